"""The form by which a schedule is asked for."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from catalogue import access
from catalogue.holdings.facets import FACETS
from catalogue.holdings.fields import DayField
from catalogue.models import Holding, Member, Place
from valuation.estimates.forms import currency_choices, not_in_the_future
from valuation.estimates.queries import held_on
from valuation.schedules.making import Terms


def _amount(label: Any, help_text: Any, **how: Any) -> forms.DecimalField:
    return forms.DecimalField(
        label=label, help_text=help_text, min_value=0, decimal_places=2, **how
    )


class ScheduleForm(forms.Form):
    """To whom, as of when, and which of the viewer's holdings."""

    insured = forms.CharField(
        label=gettext_lazy("Owner, as the insurer knows them"), max_length=200
    )
    insurer = forms.CharField(label=gettext_lazy("Insurer"), max_length=200, required=False)
    policy = forms.CharField(label=gettext_lazy("Policy"), max_length=80, required=False)
    as_of = DayField(
        label=gettext_lazy("Values as of"),
        help_text=gettext_lazy(
            "Values and rates known on that day count, and what you held on it."
        ),
        required=True,
        validators=[not_in_the_future],
    )
    currency = forms.ChoiceField(label=gettext_lazy("Currency"))
    which = forms.ChoiceField(label=gettext_lazy("Which holdings"))
    threshold = _amount(
        gettext_lazy("Itemise from"),
        gettext_lazy(
            "A piece worth as much or more has a line, pictures and a description of its own."
        ),
        max_digits=14,
        initial=50,
    )
    bulk_rate = _amount(
        gettext_lazy("For each small piece without a value"),
        gettext_lazy("A rate you can stand by, such as what dealers ask for a mixed lot."),
        max_digits=10,
        initial=0,
    )

    def __init__(self, *args: Any, viewer: Member, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.viewer = viewer
        self.fields["insured"].initial = viewer.name or viewer.username
        self.fields["as_of"].initial = timezone.localdate()
        self.fields["currency"].choices = currency_choices(viewer.currency)[:1]  # type: ignore[attr-defined]
        self.fields["which"].choices = self._selections()  # type: ignore[attr-defined]

    def terms(self) -> Terms:
        return Terms(**{field.name: self.cleaned_data[field.name] for field in fields(Terms)})

    def holdings(self) -> QuerySet[Holding]:
        """The viewer's own holdings that were chosen, in hand on the day."""
        held = held_on(access.own_holdings(self.viewer), self.cleaned_data["as_of"])
        kind, _colon, pk = self.cleaned_data["which"].partition(":")
        if kind == "country":
            return held.filter(coin_type__series__issuer=pk)
        if kind == "series":
            return held.filter(coin_type__series=pk)
        if kind == "place":
            return held.filter(FACETS["place"].condition(frozenset({int(pk)}), self.viewer))
        return held

    def _selections(self) -> list[Any]:
        own = access.own_holdings(self.viewer).filter(coin_type__isnull=False)
        issuer, series = "coin_type__series__issuer", "coin_type__series"
        places = access.owned(Place.objects.all(), self.viewer).values_list("pk", "path", "name")
        choices = {
            _("a country"): [
                (f"country:{pk}", name) for pk, name in _each(own, issuer, f"{issuer}__name")
            ],
            _("a series"): [
                (f"series:{pk}", f"{country}, {name}")
                for pk, country, name in _each(own, series, f"{issuer}__name", f"{series}__name")
            ],
            _("a place and what stands in it"): [
                (f"place:{pk}", path or name) for pk, path, name in places
            ],
        }
        groups = [(label, found) for label, found in choices.items() if found]
        return [("all", _("all I hold")), *groups]


def _each(holdings: QuerySet[Holding], record: str, *names: str) -> Any:
    """Every record that holdings are of, by its id and names, in the order of these."""
    return holdings.values_list(record, *names).distinct().order_by(*names)
