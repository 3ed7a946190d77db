"""The form of a bulk change: each thing is left as it is, changed, or cleared."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from catalogue import access
from catalogue.holdings.bulk.plan import Changes
from catalogue.holdings.fields import AmountField, CurrencyCode, GradeField, read_grades
from catalogue.holdings.finding.typeahead import TypeRead, read_type_fields
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
    grade = GradeField(label=gettext_lazy("Grade"))
    grade_scale = forms.ChoiceField(
        label=gettext_lazy("Scale"), required=False, choices=Holding.Scale.choices
    )
    price_do = _do(gettext_lazy("clear: no price"))
    price = AmountField(
        label=gettext_lazy("Price paid"),
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
    cleared = {"price": None}

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
            self.data = self.data.copy()  # type: ignore[attr-defined]
            self.read = read_type_fields(owner, self.data)

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        for do, name in self.sides:
            self._clean_side(cleaned, cleaned.get(do, ""), name)
        read_grades(self)
        if cleaned.get("type_do") == SET and self.read.error:
            self.add_error("type_text", self.read.error)
        added, removed = cleaned.get("add_problem"), cleaned.get("remove_problem")
        if added and added == removed:
            self.add_error("remove_problem", _("This is the problem you add."))
        if not self.errors and self.changes() == Changes():
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
        does = {name: given[do] for do, name in self.sides}
        values = {name: given[name] for name, do in does.items() if do == SET}
        values |= {name: self.cleared.get(name, "") for name, do in does.items() if do == CLEAR}
        coin_type = self.read.coin_type if "type_text" in values else None
        moved = SET in (given["type_do"], given["date_do"])
        values.pop("type_text", None)
        date = values.pop("date_text", None)
        values |= {name: given[name] for name in ("place", "spare", "visibility") if given[name]}
        if values.get("grade"):
            values["grade_scale"] = given["grade_scale"]
        if "place" in values:
            values["place"] = self.places.get(given["place"])
        if "spare" in values:
            values["spare"] = given["spare"] == "yes"
        return Changes(
            coin_type=coin_type,
            date=date,
            as_read=moved and given["as_read"] == "yes",
            values=values,
            add_problem=given["add_problem"],
            remove_problem=given["remove_problem"],
        )
