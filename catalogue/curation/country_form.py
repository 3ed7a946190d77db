"""The short form that begins a country: its money, a series and the first denominations."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from catalogue.curation.making import (
    make_currency,
    make_denomination,
    make_issuer,
    make_series,
)
from catalogue.curation.record_forms import UNITS_HELP, CodeForm, check_years
from catalogue.curation.text_fields import box
from series.models import Issuer, Series
from series.money.typed_lines import read_denominations, read_units, unit_system
from series.money.units import AmountError, Unit


class CountryStartForm(CodeForm, forms.Form):
    """A country, its money, a series and the first denominations, all at once."""

    name = forms.CharField(label=gettext_lazy("Country"), max_length=120)
    code = forms.CharField(
        label=gettext_lazy("Country code"),
        max_length=2,
        required=False,
        help_text=gettext_lazy("ISO 3166-1, where one exists."),
    )
    currency = forms.CharField(
        label=gettext_lazy("Main unit of its money"),
        max_length=80,
        help_text=gettext_lazy("Such as marl."),
    )
    plural = forms.CharField(
        label=gettext_lazy("More than one of them"),
        max_length=80,
        required=False,
        help_text=gettext_lazy("Such as marls; leave it empty if it is the same word."),
    )
    units = box(gettext_lazy("Smaller units"), UNITS_HELP)
    series = forms.CharField(
        label=gettext_lazy("First series"),
        max_length=120,
        required=False,
        help_text=gettext_lazy("A group of coins struck to one plan, such as First coinage."),
    )
    first_year = forms.IntegerField(label=gettext_lazy("From"), required=False)
    last_year = forms.IntegerField(label=gettext_lazy("To"), required=False)
    denominations = box(
        gettext_lazy("Denominations"),
        gettext_lazy(
            "Figures, then their unit: 1, 5, 10, 25 tinne; 1, 5 marl. Those left out come with "
            "their first coin."
        ),
    )

    folded = ("series", "first_year", "last_year", "plural", "code")

    @property
    def folded_errors(self) -> bool:
        return any(name in self.errors for name in self.folded)

    def clean_series(self) -> str:
        return self.cleaned_data["series"].strip() or _("First coinage")

    def clean_name(self) -> str:
        name: str = self.cleaned_data["name"].strip()
        if Issuer.objects.filter(name__iexact=name).exists():
            raise forms.ValidationError(
                _("There is a country of this name already: add a series to it instead.")
            )
        return name

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        for name in ("first_year", "last_year"):
            year = cleaned.get(name)
            if year is not None and not -1000 <= year <= 9999:
                self.add_error(name, _("Write a year."))
        check_years(self)
        if not cleaned.get("currency"):
            return cleaned
        part = "units"
        try:
            units = read_units(cleaned.get("units") or "")
            money = unit_system(Unit(cleaned["currency"], cleaned.get("plural") or ""), units)
            part = "denominations"
            cleaned["denominations"] = read_denominations(cleaned.get("denominations") or "", money)
            cleaned["money"] = money
        except AmountError as error:
            self.add_error(part, str(error))
        return cleaned

    def save(self) -> Series:
        """Make all of it, or nothing; the series is returned."""
        said = self.cleaned_data
        first, last = said["first_year"], said["last_year"]
        with transaction.atomic():
            issuer = make_issuer(said["name"], said["code"])
            currency = make_currency(issuer, said["money"], first)
            for each in said["denominations"]:
                make_denomination(issuer, currency, each.name, each.value)
            return make_series(issuer, currency, said["series"], first_year=first, last_year=last)
