"""The short form that begins a country: its money, a series and the first denominations."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from catalogue.curation.record_forms import area, check_years, clean_code_of, save_units
from series.models import Currency, Denomination, Issuer, Series
from series.money.typed_lines import read_denominations, read_units, unit_system
from series.money.units import AmountError, Unit
from series.text.keys import free_key


class CountryStartForm(forms.Form):
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
    units = forms.CharField(
        label=gettext_lazy("Smaller units"),
        required=False,
        widget=area(2),
        help_text=gettext_lazy(
            "One a line: how many make one main unit, as in tinne 100; a plural follows a comma, "
            "penny, pence 240."
        ),
    )
    series = forms.CharField(
        label=gettext_lazy("First series"),
        max_length=120,
        required=False,
        help_text=gettext_lazy("A group of coins struck to one plan, such as First coinage."),
    )
    first_year = forms.IntegerField(label=gettext_lazy("From"), required=False)
    last_year = forms.IntegerField(label=gettext_lazy("To"), required=False)
    denominations = forms.CharField(
        label=gettext_lazy("Denominations"),
        required=False,
        widget=area(2),
        help_text=gettext_lazy(
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

    def clean_code(self) -> str:
        return clean_code_of(self.cleaned_data["code"], 2)

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
            cleaned["units"] = units
        except AmountError as error:
            self.add_error(part, str(error))
        return cleaned

    def save(self) -> Series:
        """Make all of it, or nothing; the series is returned."""
        said = self.cleaned_data
        with transaction.atomic():
            issuer = Issuer.objects.create(
                key=free_key(Issuer, said["name"]), name=said["name"], code=said["code"]
            )
            years = {"first_year": said["first_year"], "last_year": said["last_year"]}
            currency = Currency.objects.create(
                key=free_key(Currency, issuer.key, said["currency"]),
                name=said["currency"],
                plural=said["plural"],
                first_year=said["first_year"],
                subunit_in_use=bool(said["units"]),
            )
            currency.issuers.add(issuer)
            save_units(currency, said["units"])
            for each in said["denominations"]:
                Denomination.objects.create(
                    key=free_key(Denomination, issuer.key, each.name),
                    currency=currency,
                    name=each.name[:80],
                    value_numerator=each.value.numerator,
                    value_denominator=each.value.denominator,
                )
            return Series.objects.create(
                key=free_key(Series, issuer.key, said["series"]),
                issuer=issuer,
                currency=currency,
                name=said["series"],
                **years,
            )
