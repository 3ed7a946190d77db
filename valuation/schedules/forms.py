"""The form by which a schedule is asked for."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
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
    )
    currency = forms.ChoiceField(label=gettext_lazy("Currency"))
    which = forms.ChoiceField(label=gettext_lazy("Which holdings"))
    threshold = forms.DecimalField(
        label=gettext_lazy("Itemise from"),
        min_value=0,
        max_digits=14,
        decimal_places=2,
        initial=50,
        help_text=gettext_lazy(
            "A piece worth as much or more has a line, pictures and a description of its own."
        ),
    )
    bulk_rate = forms.DecimalField(
        label=gettext_lazy("For each small piece without a value"),
        min_value=0,
        max_digits=10,
        decimal_places=2,
        initial=0,
        help_text=gettext_lazy(
            "A rate you can stand by, such as what dealers ask for a mixed lot."
        ),
    )

    def __init__(self, *args: Any, viewer: Member, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.viewer = viewer
        self.fields["insured"].initial = viewer.name or viewer.username
        self.fields["as_of"].initial = timezone.localdate()
        self.fields["currency"].choices = currency_choices(viewer.currency)[:1]  # type: ignore[attr-defined]
        self.fields["which"].choices = self._selections()  # type: ignore[attr-defined]

    def clean_as_of(self) -> date:
        return not_in_the_future(self.cleaned_data["as_of"])

    def terms(self) -> Terms:
        data = self.cleaned_data
        return Terms(
            insured=data["insured"],
            insurer=data["insurer"],
            policy=data["policy"],
            as_of=data["as_of"],
            currency=data["currency"],
            threshold=Decimal(data["threshold"]),
            bulk_rate=Decimal(data["bulk_rate"]),
        )

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
        countries = own.values_list(
            "coin_type__series__issuer", "coin_type__series__issuer__name"
        ).distinct()
        series = own.values_list(
            "coin_type__series", "coin_type__series__issuer__name", "coin_type__series__name"
        ).distinct()
        places = access.owned(Place.objects.all(), self.viewer).values_list("pk", "path", "name")
        groups: list[Any] = [("all", _("all I hold"))]
        choices = {
            _("a country"): [
                (f"country:{pk}", name)
                for pk, name in countries.order_by("coin_type__series__issuer__name")
            ],
            _("a series"): [
                (f"series:{pk}", f"{country}, {name}")
                for pk, country, name in series.order_by(
                    "coin_type__series__issuer__name", "coin_type__series__name"
                )
            ],
            _("a place and what stands in it"): [
                (f"place:{pk}", path or name) for pk, path, name in places
            ],
        }
        return groups + [(label, found) for label, found in choices.items() if found]
