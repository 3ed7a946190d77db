"""Forms for aims, wants by hand and want lists."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from catalogue import access
from catalogue.holdings.fields import GradeField, need_currency, read_grades
from catalogue.models import Aim, Member, Want, WantList
from catalogue.wants.gaps import scope_issues
from series.forms import ManyRecords, RecordForm
from series.models import CoinType, Issue


class _GradedForm(RecordForm):
    """A form with a scale and a lowest grade; the rank follows from them."""

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        self.instance.lowest_rank = read_grades(self).get("lowest_grade")
        return cleaned


def types_to_name(record: Aim | Want) -> QuerySet[CoinType]:
    """The types an aim or a want may be of: those its owner sees, and the one it is of already."""
    had = CoinType.objects.filter(pk=record.coin_type_id)
    return access.visible_types(record.owner) | had


class AimForm(_GradedForm):
    purposes = forms.MultipleChoiceField(
        label=_("Purposes that count"),
        choices=Issue.Purpose.choices,
        widget=forms.CheckboxSelectMultiple,
    )

    class Meta:
        model = Aim
        fields = [
            "name",
            "unit",
            "issuer",
            "currency",
            "series",
            "denomination",
            "coin_type",
            "first_year",
            "last_year",
            "purposes",
            "commemoratives",
            "grade_scale",
            "lowest_grade",
        ]
        widgets = {"coin_type": forms.HiddenInput, "lowest_grade": forms.TextInput}
        field_classes = {"lowest_grade": GradeField}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        labels = {"issuer": _("Any country"), "series": _("Any series")}
        labels |= {"currency": _("Any currency"), "denomination": _("Any denomination")}
        for name, label in labels.items():
            self.fields[name].empty_label = label  # type: ignore[attr-defined]
        self.fields["coin_type"].queryset = types_to_name(self.instance)  # type: ignore[attr-defined]
        self.fields["lowest_grade"].help_text = _("Leave empty to take any grade.")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        scope = ("issuer", "currency", "series", "denomination", "coin_type")
        if not self.errors and not any(cleaned.get(name) for name in scope):
            raise forms.ValidationError(
                _("Say of what: choose at least a country, a currency, a series or a denomination.")
            )
        first, last = cleaned.get("first_year"), cleaned.get("last_year")
        if first is not None and last is not None and last < first:
            self.add_error("last_year", _("The last year lies before the first."))
        return cleaned

    def _post_clean(self) -> None:
        super()._post_clean()  # type: ignore[misc]
        if not self.errors and not scope_issues(self.instance).exists():
            self.add_error(
                None,
                _("No dates in the catalogue fit all of this; widen it, or add the dates first."),
            )


class WantForm(_GradedForm):
    class Meta:
        model = Want
        fields = [
            "coin_type",
            "issue",
            "text",
            "grade_scale",
            "lowest_grade",
            "highest_price",
            "price_currency",
            "note",
        ]
        widgets = {"coin_type": forms.HiddenInput, "lowest_grade": forms.TextInput}
        field_classes = {"lowest_grade": GradeField}

    def __init__(self, *args: Any, coin_type: CoinType | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.wanted_type = coin_type
        self.fields["coin_type"].queryset = types_to_name(self.instance)  # type: ignore[attr-defined]
        issues = Issue.objects.none()
        if coin_type is not None:
            issues = Issue.objects.filter(coin_type=coin_type)
            self.initial.setdefault("coin_type", coin_type.pk)
        field = self.fields["issue"]
        field.queryset = issues  # type: ignore[attr-defined]
        field.empty_label = _("Any date")  # type: ignore[attr-defined]
        if coin_type is None:
            del self.fields["issue"]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if not cleaned.get("coin_type") and not (cleaned.get("text") or "").strip():
            self.add_error(
                "text", _("Say in words what you look for, or start from a type's page.")
            )
        need_currency(self, "highest_price", "price_currency")
        cleaned["price_currency"] = (cleaned.get("price_currency") or "").upper()
        return cleaned


class WantListForm(RecordForm):
    class Meta:
        model = WantList
        fields = [
            "title",
            "greeting",
            "asked_by",
            "answer_to",
            "aims",
            "with_hand_wants",
            "with_upgrades",
        ]
        field_classes = {"aims": ManyRecords}
        widgets = {"aims": forms.CheckboxSelectMultiple}

    def __init__(self, *args: Any, owner: Member, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["aims"].queryset = Aim.objects.filter(  # type: ignore[attr-defined]
            owner=owner
        )
        self.fields["aims"].label = _("Aims whose gaps it lists")
        if self.instance._state.adding:
            self.initial["asked_by"] = owner.name
