"""Forms for values and for the sources they come from."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from catalogue import access
from catalogue.holdings.fields import DayField, GradeField, read_grades
from catalogue.models import Member
from series.forms import RecordForm
from valuation.estimates.models import PriceSource, Valuation
from valuation.estimates.queries import visible_sources
from valuation.money import TODAY, WITHDRAWN, currency_name

_MONEY = ("single", "low", "high")


def currency_choices(first: str = "EUR") -> list[Any]:
    """Currencies of today, that of the viewer first, then those since withdrawn."""
    today = [first, *(code for code in TODAY if code != first)]
    gone = [code for code in WITHDRAWN if code != first]
    return [
        (words, [(code, f"{code}, {currency_name(code)}") for code in codes])
        for words, codes in ((_("in use"), today), (_("withdrawn"), gone))
    ]


def not_in_the_future(day: date) -> None:
    if day > timezone.localdate():
        raise ValidationError(_("This day has not come yet. Give today or an earlier day."))


class ValueForm(RecordForm):
    """A value of what ``instance`` names: a holding, a type or an issue."""

    on = DayField(
        label=gettext_lazy("On"),
        help_text=gettext_lazy("The day it was recorded or published."),
        required=True,
        validators=[not_in_the_future],
    )
    currency = forms.ChoiceField(label=gettext_lazy("Currency"))
    new_source = forms.CharField(
        label=gettext_lazy("or a new source"),
        max_length=160,
        required=False,
        help_text=gettext_lazy("Its name, such as “Saltmouth fair, list of spring 2026”."),
    )
    new_kind = forms.ChoiceField(
        label=gettext_lazy("which is a"), choices=PriceSource.Kind, required=False
    )
    new_shared = forms.BooleanField(
        label=gettext_lazy("The club may use the new source and its values"), required=False
    )

    class Meta:
        model = Valuation
        fields = (
            "single",
            "low",
            "high",
            "currency",
            "on",
            "basis",
            "grade_scale",
            "grade",
            "appraiser",
            "source",
            "note",
        )
        widgets = {"grade": forms.TextInput}
        field_classes = {"grade": GradeField}

    def __init__(self, *args: Any, viewer: Member, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.viewer = viewer
        choices = currency_choices(viewer.currency)
        self.fields["currency"].choices = choices  # type: ignore[attr-defined]
        if self.instance._state.adding:
            self.initial["currency"] = viewer.currency
            self.initial["on"] = timezone.localdate()
        source: Any = self.fields["source"]
        source.queryset = visible_sources(viewer)
        source.required = False
        source.empty_label = _("choose one")
        self.fields["single"].label = _("Amount for one piece")
        for name in _MONEY:
            self.fields[name].min_value = 0  # type: ignore[attr-defined]
            self.fields[name].widget.attrs["min"] = "0"
        if self.instance.holding_id is not None:
            del self.fields["grade_scale"], self.fields["grade"], self.fields["new_shared"]
        else:
            del self.fields["appraiser"]
            self.fields["grade_scale"].label = _("Grading scale")
            self.fields["grade"].help_text = _("Empty: it holds for any grade.")
            self.initial.setdefault("new_shared", True)

    def clean_new_source(self) -> str:
        return str(self.cleaned_data["new_source"]).strip()

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        self._check_amounts(data)
        self.instance.grade_rank = read_grades(self).get("grade")
        if data.get("source") and data.get("new_source"):
            self.add_error(
                "new_source", _("Choose a source from the list or name a new one, not both.")
            )
        is_holding = self.instance.holding_id is not None
        if not (data.get("source") or data.get("new_source") or is_holding):
            self.add_error("source", _("Say where the value comes from."))
        return data

    def _check_amounts(self, data: dict[str, Any]) -> None:
        if any(name in self.errors for name in _MONEY):
            return
        single, low, high = (data.get(name) for name in _MONEY)
        for name in _MONEY:
            if data.get(name) is not None and data[name] < 0:
                self.add_error(name, _("A value is not less than nought."))
        if (low is None) != (high is None):
            missing = "low" if low is None else "high"
            self.add_error(missing, _("A range has both ends; give this one too."))
        elif low is not None and high is not None and low > high:
            self.add_error("high", _("The range ends below its beginning."))
        elif single is None and low is None:
            self.add_error("single", _("Give an amount, or a range from and to."))
        elif single is not None and low is not None and not low <= single <= (high or low):
            self.add_error("single", _("The amount lies outside its range."))

    def save(self, commit: bool = True) -> Any:
        """Save the value, and its source where a new one was named."""
        if self.instance.source_id is None:
            self.instance.source = self._source()
        if self.instance._state.adding:
            self.instance.entered_by = self.viewer
        return super().save(commit)

    def _source(self) -> PriceSource:
        data = self.cleaned_data
        name, kind = data.get("new_source", ""), data.get("new_kind") or PriceSource.Kind.LIST
        if not name:
            appraiser = data.get("appraiser", "")
            name = appraiser or _("own estimate")
            kind = PriceSource.Kind.PERSON if appraiser else PriceSource.Kind.OWN
        owner = None if data.get("new_shared") else self.viewer
        sources = access.shared_or_owned(PriceSource.objects.all(), self.viewer)
        found = sources.filter(name__iexact=name, owner=owner).first()
        return found or PriceSource.objects.create(name=name, kind=kind, owner=owner)


class SourceForm(RecordForm):
    """A price source: the member's own, or shared by the club."""

    url = forms.URLField(label=gettext_lazy("Address"), required=False, assume_scheme="https")
    shared = forms.BooleanField(
        label=gettext_lazy("The club may use it and its values"), required=False
    )

    class Meta:
        model = PriceSource
        fields = ("name", "kind", "url", "note")

    def __init__(self, *args: Any, viewer: Member, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.viewer = viewer
        if not self.instance._state.adding:
            self.initial["shared"] = self.instance.owner_id is None
            if self.instance.owner_id is None:
                del self.fields["shared"]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if "shared" in self.fields:
            self.instance.owner = None if data.get("shared") else self.viewer
        return data


class AsOfForm(forms.Form):
    """The day and the currency in which a page states what things are worth."""

    as_of = DayField(label=gettext_lazy("As of"), required=True, validators=[not_in_the_future])
    currency = forms.ChoiceField(label=gettext_lazy("Currency"))

    def __init__(self, *args: Any, viewer: Member, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["currency"].choices = currency_choices(viewer.currency)  # type: ignore[attr-defined]
