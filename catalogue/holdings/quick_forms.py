"""Forms of quick entry and of ticking dates."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from catalogue.holdings.fields import place_field
from catalogue.holdings.grades import GradeError, normalise
from catalogue.holdings.typeahead import DateRead, TypeRead, read_issue, read_type, type_label
from catalogue.models import Holding, Member


class _Graded(forms.Form):
    """A grade on a scale, and a place: what is given to every new piece."""

    grade = forms.CharField(
        label=_("Grade"),
        required=False,
        max_length=12,
        widget=forms.TextInput(attrs={"list": "grade-codes", "autocomplete": "off"}),
    )
    grade_scale = forms.ChoiceField(label=_("Scale"), choices=Holding.Scale.choices)

    def __init__(self, *args: Any, owner: Member, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.owner = owner
        self.fields["place"] = place_field(owner)

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        if cleaned.get("grade") and cleaned.get("grade_scale"):
            try:
                cleaned["grade"] = normalise(cleaned["grade_scale"], cleaned["grade"])
            except GradeError as error:
                self.add_error("grade", str(error))
        return cleaned


class TickForm(_Graded):
    """What the pieces newly ticked on a date run have in common."""


class QuickForm(_Graded):
    """One piece in one line. ``types`` and ``dates`` hold what is to be chosen from, if any."""

    type_text = forms.CharField(label=_("Type"), max_length=300, required=False)
    coin_type = forms.CharField(required=False, widget=forms.HiddenInput)
    date_text = forms.CharField(
        label=_("Date"),
        required=False,
        max_length=60,
        widget=forms.TextInput(attrs={"autocomplete": "off", "list": "dates-of-type"}),
    )
    quantity = forms.IntegerField(label=_("Pieces"), min_value=1, max_value=1_000_000, initial=1)
    spare = forms.BooleanField(label=_("Spare"), required=False)
    field_order = (
        "type_text",
        "coin_type",
        "date_text",
        "grade",
        "grade_scale",
        "place",
        "quantity",
        "spare",
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.order_fields(self.field_order)
        self.read_type, self.read_date = TypeRead(), DateRead()
        if self.is_bound:
            data = self.data.copy()  # type: ignore[attr-defined]
            self.read_type = read_type(
                self.owner,
                data.get("type_text", ""),
                data.get("coin_type", ""),
                data.get("picked_type", ""),
            )
            found = self.read_type.coin_type
            data["coin_type"] = str(found.pk) if found else ""
            if found is not None:
                data["type_text"] = type_label(found)
            if found is not None or "unidentified" in data:
                self.read_date = read_issue(
                    found, data.get("date_text", ""), data.get("picked_issue", "")
                )
            self.data = data

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if not (cleaned.get("type_text") or "").strip():
            self.add_error("type_text", _("Write a few words of the coin, such as its value."))
        elif self.read_type.error and "unidentified" not in self.data:
            self.add_error("type_text", self.read_type.error)
        if self.read_date.error:
            self.add_error("date_text", self.read_date.error)
        return cleaned

    def fields_of_holding(self) -> dict[str, Any]:
        """What the new holding is made from."""
        cleaned = self.cleaned_data
        names = ("grade", "grade_scale", "place", "quantity", "spare")
        found = {name: cleaned[name] for name in names}
        found |= {"coin_type": self.read_type.coin_type, "issue": self.read_date.issue}
        found["date_reading"] = self.read_date.reading
        if self.read_type.coin_type is None:
            found["title"] = cleaned["type_text"][:200]
        return found
