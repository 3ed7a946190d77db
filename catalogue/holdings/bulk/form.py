"""The form of a bulk change: each thing is left as it is, changed, or cleared."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from catalogue import access
from catalogue.holdings.bulk.plan import Changes
from catalogue.holdings.fields import CurrencyCode
from catalogue.holdings.finding.typeahead import TypeRead, read_type, type_label
from catalogue.holdings.grades import GradeError, normalise
from catalogue.models import Holding, HoldingProblem, Member, Place

AS_IT_IS = ("", gettext_lazy("leave as it is"))
SET, CLEAR = "set", "clear"
_SET = (SET, gettext_lazy("change to"))


def _do(*clear: Any) -> forms.ChoiceField:
    """Whether a thing is changed; ``clear`` is the words for clearing it, if it can be."""
    choices = [AS_IT_IS, _SET, *((CLEAR, words) for words in clear)]
    return forms.ChoiceField(required=False, choices=choices, widget=forms.RadioSelect)


class BulkForm(forms.Form):
    """What to change; every thing may stay as it is. ``read`` is what the type's field means."""

    type_do = _do()
    type_text = forms.CharField(label=gettext_lazy("Type"), required=False, max_length=300)
    coin_type = forms.CharField(required=False, widget=forms.HiddenInput)
    date_do = _do(gettext_lazy("clear: not known"))
    date_text = forms.CharField(
        label=gettext_lazy("Date"),
        required=False,
        max_length=60,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        help_text=gettext_lazy("As it stands on the coin, with its mark: 1947 S."),
    )
    as_read = forms.ChoiceField(
        required=False,
        label=gettext_lazy("Where the date is none of the type's"),
        choices=[
            ("", gettext_lazy("leave the piece alone")),
            ("yes", gettext_lazy("keep the date as read")),
        ],
    )
    grade_do = _do(gettext_lazy("clear: not graded"))
    grade = forms.CharField(
        label=gettext_lazy("Grade"),
        required=False,
        max_length=12,
        widget=forms.TextInput(attrs={"list": "grade-codes", "autocomplete": "off"}),
    )
    grade_scale = forms.ChoiceField(
        label=gettext_lazy("Scale"), required=False, choices=Holding.Scale.choices
    )
    price_do = _do(gettext_lazy("clear: no price"))
    price = forms.DecimalField(
        label=gettext_lazy("Price paid"),
        required=False,
        min_value=0,
        max_digits=14,
        decimal_places=2,
        help_text=gettext_lazy("The same for each number, with all its pieces."),
    )
    currency_do = _do()
    price_currency = CurrencyCode(label=gettext_lazy("Paid in"))
    source_do = _do(gettext_lazy("clear: not known"))
    acquired_from = forms.CharField(
        label=gettext_lazy("Acquired from"), required=False, max_length=200
    )
    visibility = forms.ChoiceField(
        label=gettext_lazy("Who may see it"),
        required=False,
        choices=[AS_IT_IS, *Holding.Visibility.choices],
    )
    place = forms.ChoiceField(label=gettext_lazy("Place"), required=False)
    spare = forms.ChoiceField(
        label=gettext_lazy("Spare"),
        required=False,
        choices=[AS_IT_IS, ("yes", gettext_lazy("spare")), ("no", gettext_lazy("not spare"))],
    )
    add_problem = forms.ChoiceField(
        label=gettext_lazy("Add a problem"),
        required=False,
        choices=[("", gettext_lazy("none")), *HoldingProblem.Kind.choices],
    )
    remove_problem = forms.ChoiceField(
        label=gettext_lazy("Remove a problem"),
        required=False,
        choices=[("", gettext_lazy("none")), *HoldingProblem.Kind.choices],
    )
    sides = (
        ("type_do", "type_text"),
        ("date_do", "date_text"),
        ("grade_do", "grade"),
        ("price_do", "price"),
        ("currency_do", "price_currency"),
        ("source_do", "acquired_from"),
    )

    def __init__(self, *args: Any, owner: Member, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.places = {
            str(place.pk): place
            for place in access.owned(Place.objects.all(), owner).order_by("path", "pk")
        }
        field: Any = self.fields["place"]
        field.choices = [AS_IT_IS, ("none", gettext_lazy("no place"))] + [
            (key, str(place)) for key, place in self.places.items()
        ]
        self.read = TypeRead()
        if self.is_bound:
            self._read_type(owner)

    def _read_type(self, owner: Member) -> None:
        """Put the type that was found into what was sent, so that it is shown and sent again."""
        data = self.data.copy()  # type: ignore[attr-defined]
        picked = data.get("picked_type", "")
        self.read = read_type(owner, data.get("type_text", ""), data.get("coin_type", ""), picked)
        found = self.read.coin_type
        data["coin_type"] = str(found.pk) if found else ""
        if found is not None:
            data["type_text"] = type_label(found)
        self.data = data

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        for do, name in self.sides:
            self._clean_side(cleaned, cleaned.get(do, ""), name)
        if cleaned.get("grade_do") == SET and cleaned.get("grade"):
            try:
                cleaned["grade"] = normalise(cleaned.get("grade_scale") or "", cleaned["grade"])
            except GradeError as error:
                self.add_error("grade", str(error))
        if cleaned.get("type_do") == SET and self.read.error:
            self.add_error("type_text", self.read.error)
        added, removed = cleaned.get("add_problem"), cleaned.get("remove_problem")
        if added and added == removed:
            self.add_error("remove_problem", _("This is the problem you add."))
        if not self.errors and self.changes().nothing:
            raise forms.ValidationError(_("Choose at least one thing to change."))
        return cleaned

    def _clean_side(self, cleaned: dict[str, Any], do: str, name: str) -> None:
        """What is to be changed needs a value; a value needs to be chosen for the change."""
        if name in self.errors:
            return
        given = cleaned.get(name)
        if do == SET and given in (None, ""):
            self.add_error(name, _("Say what to change it to, or leave it as it is."))
        elif do != SET and given not in (None, ""):
            self.add_error(name, _("Choose “change to” above, or empty this."))

    def changes(self) -> Changes:
        given = self.cleaned_data

        def side(do: str, name: str) -> Any:
            """What to change it to; empty to clear it; None to leave it."""
            return {SET: given[name], CLEAR: ""}.get(given[do])

        moved = given["type_do"] == SET or given["date_do"] == SET
        return Changes(
            coin_type=self.read.coin_type if given["type_do"] == SET else None,
            date=side("date_do", "date_text"),
            as_read=moved and given["as_read"] == "yes",
            scale=given["grade_scale"] if given["grade_do"] == SET else "",
            grade=side("grade_do", "grade"),
            price=given["price"] if given["price_do"] == SET else None,
            no_price=given["price_do"] == CLEAR,
            currency=given["price_currency"] if given["currency_do"] == SET else "",
            source=side("source_do", "acquired_from"),
            place=self.places.get(given["place"]),
            no_place=given["place"] == "none",
            spare={"yes": True, "no": False}.get(given["spare"]),
            visibility=given["visibility"],
            add_problem=given["add_problem"],
            remove_problem=given["remove_problem"],
        )
