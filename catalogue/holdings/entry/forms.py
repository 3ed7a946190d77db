"""Forms of quick entry and of ticking dates."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from catalogue.holdings.dates.read import DateRead, read_issue
from catalogue.holdings.fields import (
    AmountField,
    CurrencyCode,
    DayField,
    GradeField,
    need_currency,
    place_field,
    read_grades,
)
from catalogue.holdings.finding.typeahead import TypeRead, read_type_fields
from catalogue.models import Holding, HoldingProblem, Member
from catalogue.photos.forms import PictureField
from series.picture.pictures import Prepared

KEPT = (
    "grade_scale",
    "place",
    "price",
    "price_currency",
    "acquired_from",
    "acquired_on",
    "problems",
    "spare",
    "trimmed",
)
"""What is offered again for the next piece."""

_NOT_SAID = {"price_currency", "grade_scale", "trimmed"}
"""Kept too, but as a habit: by themselves they say nothing of a piece."""

FOLDS = {
    "price": ("price", "price_currency", "acquired_from", "acquired_on"),
    "problems": ("problems",),
    "photographs": ("obverse", "reverse", "trimmed"),
    "spare": ("spare", "grade_scale"),
}


class _Graded(forms.Form):
    """A grade on a scale, and a place: what is given to every new piece."""

    grade = GradeField(label=_("Grade"))
    grade_scale = forms.ChoiceField(label=_("Scale"), choices=Holding.Scale.choices)

    def __init__(self, *args: Any, owner: Member, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.owner = owner
        self.fields["place"] = place_field(owner)

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        read_grades(self)
        return cleaned


class TickForm(_Graded):
    """What the pieces newly ticked on a date run have in common."""


class QuickForm(_Graded):
    """One piece in one line. ``read_type`` and ``read_date`` hold what was understood.

    ``number`` is the accession number the piece was to get when the page was made, by which a
    form that is sent twice is known; ``keep_date`` the doubtful date that was asked about.
    """

    type_text = forms.CharField(label=_("Coin"), max_length=300, required=False)
    coin_type = forms.CharField(required=False, widget=forms.HiddenInput)
    date_text = forms.CharField(
        label=_("Date"),
        required=False,
        max_length=60,
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "characters"}),
    )
    quantity = forms.IntegerField(label=_("Pieces"), min_value=1, max_value=1_000_000, initial=1)
    price = AmountField(
        label=_("Price paid"),
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"}),
    )
    price_currency = CurrencyCode(label=_("Paid in"))
    acquired_from = forms.CharField(label=_("Source"), required=False, max_length=200)
    acquired_on = DayField(label=_("Acquired on"))
    problems = forms.MultipleChoiceField(
        label=_("Problems"),
        required=False,
        choices=HoldingProblem.Kind.choices,
        widget=forms.CheckboxSelectMultiple,
    )
    obverse = PictureField(label=_("Obverse"), required=False)
    reverse = PictureField(label=_("Reverse"), required=False)
    trimmed = forms.BooleanField(label=_("Trimmed to the edge of the coin"), required=False)
    spare = forms.BooleanField(label=_("Spare: I would part with it"), required=False)
    number = forms.CharField(required=False, max_length=60, widget=forms.HiddenInput)
    keep_date = forms.CharField(required=False, max_length=60, widget=forms.HiddenInput)

    def __init__(
        self, *args: Any, kept: Collection[str] = (), folds: Collection[str] = (), **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        self.read_type, self.read_date = TypeRead(), DateRead()
        self.picked = bool((self.data if self.is_bound else self.initial).get("picked_issue"))
        for name in KEPT:
            said = name in kept and name not in _NOT_SAID
            self.fields[name].kept = said  # type: ignore[attr-defined]
        if self.is_bound:
            self._read()
        elif self.initial.get("type_text"):
            self.initial = self._found_in(self.initial)
        self.folds = {name for name in FOLDS if name in folds or self._unfolded(name)}

    def _read(self) -> None:
        """Find the coin and its date in what was sent, and put them into the fields."""
        data = self.data.copy()  # type: ignore[attr-defined]
        self._found_in(data)
        self.asked_before = data.get("keep_date", "") == data.get("date_text", "")
        if self.read_date.doubt:
            data["keep_date"] = data.get("date_text", "")
        self.data = data

    def _found_in(self, texts: Any) -> Any:
        """Texts by field, with the coin that was found in them, and its date and grade."""
        self.read_type = read_type_fields(self.owner, texts)
        found = self.read_type.coin_type
        if found is not None:
            texts["date_text"] = texts.get("date_text", "").strip() or self.read_type.date
            texts["grade"] = texts.get("grade", "").strip() or self.read_type.grade
        if found is not None or "unidentified" in texts:
            self.read_date = self._date_of(texts)
        return texts

    def _date_of(self, texts: Any) -> DateRead:
        return read_issue(
            self.read_type.coin_type, texts.get("date_text", ""), texts.get("picked_issue", "")
        )

    def _unfolded(self, fold: str) -> bool:
        """Whether something stands in a fold that one must see: it goes to the next piece too."""
        return any(self[name].value() for name in FOLDS[fold] if name not in _NOT_SAID) or any(
            name in self.errors for name in FOLDS[fold] if self.is_bound
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if not (cleaned.get("type_text") or "").strip():
            self.add_error("type_text", _("Write a few words of the coin, such as its value."))
        elif self.read_type.error and "unidentified" not in self.data:
            self.add_error("type_text", self.read_type.error)
        if self.read_date.error:
            self.add_error("date_text", self.read_date.error)
        elif self.read_date.doubt and not self.asked_before:
            self.add_error("date_text", f"{self.read_date.doubt} {KEEP_IT}")
        need_currency(self, "price", "price_currency")
        for side in ("obverse", "reverse"):
            if self.errors and self.files.get(side) and side not in self.errors:
                self.add_error(side, _("Choose this picture again: a page cannot keep it."))
        return cleaned

    def fields_of_holding(self) -> dict[str, Any]:
        """What the new holding is made from."""
        cleaned = self.cleaned_data
        names = ("grade", "grade_scale", "place", "quantity", "spare", "price", "acquired_from")
        found = {name: cleaned[name] for name in (*names, "acquired_on")}
        found["price_currency"] = cleaned["price_currency"] if cleaned["price"] is not None else ""
        found |= {"coin_type": self.read_type.coin_type, "issue": self.read_date.issue}
        found["date_reading"] = self.read_date.reading
        if self.read_type.coin_type is None:
            found["title"] = cleaned["type_text"][:200]
        return found

    def pictures(self) -> dict[str, Prepared]:
        """The stored pictures by side."""
        sides = ("obverse", "reverse")
        return {side: self.cleaned_data[side] for side in sides if self.cleaned_data.get(side)}

    def kept(self) -> dict[str, Any]:
        """What of this piece is offered for the next one, fit for the session."""
        cleaned = self.cleaned_data
        nothing: tuple[Any, ...] = (None, "", [])
        found = {
            name: cleaned[name]
            for name in KEPT
            if cleaned[name] not in nothing and cleaned[name] is not False
        }
        for name in ("price", "acquired_on"):
            if name in found:
                found[name] = str(found[name])
        if "place" in found:
            found["place"] = found["place"].pk
        return found


KEEP_IT = _("Keep it? Save again, and it is kept as you read it from the piece.")
