"""Forms of countries, money, denominations, series, mints, people and motifs."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from catalogue import access
from series.dates.written import DateError, parse_edtf
from series.forms import ManyRecords, RecordForm
from series.models import (
    Currency,
    CurrencyUnit,
    Denomination,
    Issuer,
    Mint,
    Motif,
    Person,
    Series,
)
from series.money.typed_lines import (
    read_units,
    read_value,
    unit_system,
    write_units,
)
from series.money.units import AmountError, Unit, UnitSystem, read_rate, write_number
from series.text.keys import free_key


def area(rows: int = 4) -> forms.Textarea:
    return forms.Textarea(attrs={"rows": rows})


def check_years(form: forms.BaseForm) -> None:
    first, last = form.cleaned_data.get("first_year"), form.cleaned_data.get("last_year")
    if first is not None and last is not None and last < first:
        form.add_error("last_year", _("The last year lies before the first."))


def clean_code_of(written: str, length: int) -> str:
    code = written.strip().upper()
    if code and not (len(code) == length and code.isascii() and code.isalpha()):
        raise forms.ValidationError(
            _("Write %(n)d letters, or leave it empty where there is no code.") % {"n": length}
        )
    return code


class CatalogueForm(RecordForm):
    """A record of the catalogue; a new one gets a key from its name."""

    def __init__(self, *args: Any, viewer: access.Viewer, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.viewer = viewer

    def key_texts(self) -> list[str]:
        """What the key of a new record is made from."""
        return [self.cleaned_data["name"]]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        check_years(self)
        return cleaned

    def save_checked(self) -> bool:
        with transaction.atomic():
            if self.instance._state.adding:
                self.instance.key = free_key(type(self.instance), *self.key_texts())
            saved = super().save_checked()
            if saved:
                self.save_rest()
        return saved

    def save_rest(self) -> None:
        """Save what lies beside the record's own columns."""


class IssuerForm(CatalogueForm):
    class Meta:
        model = Issuer
        fields = ["name", "code", "first_year", "last_year", "predecessors", "story"]
        field_classes = {"predecessors": ManyRecords}
        widgets = {"story": area()}

    def clean_code(self) -> str:
        return clean_code_of(self.cleaned_data["code"], 2)


def money_of(currency: Currency) -> UnitSystem:
    """The units of a stored currency."""
    others = [Unit(u.name, u.plural, u.symbol, u.ratio) for u in currency.units.all()]
    return unit_system(Unit(currency.name, currency.plural, currency.symbol), others)


class CurrencyForm(CatalogueForm):
    units = forms.CharField(
        label=gettext_lazy("Units"),
        required=False,
        widget=area(3),
        help_text=gettext_lazy(
            "One a line: how many make one main unit, as in tinne 100; a plural follows a comma, "
            "penny, pence 240."
        ),
    )

    class Meta:
        model = Currency
        fields = [
            "issuers",
            "name",
            "plural",
            "symbol",
            "code",
            "first_year",
            "last_year",
            "successor",
            "rate",
            "rate_from",
            "subunit_in_use",
            "note",
        ]
        field_classes = {"issuers": ManyRecords}
        widgets = {"note": area(3), "rate_from": forms.DateInput(attrs={"type": "date"})}

    field_order = ["issuers", "name", "plural", "symbol", "code", "units"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        issuers = self.fields["issuers"]
        issuers.queryset = access.issuers_to_add_to(self.viewer)  # type: ignore[attr-defined]
        issuers.label = _("Countries")
        if self.instance.pk:
            units = [Unit(u.name, u.plural, u.symbol, u.ratio) for u in self.instance.units.all()]
            self.initial["units"] = write_units(units)

    def clean_code(self) -> str:
        return clean_code_of(self.cleaned_data["code"], 3)

    def clean_rate(self) -> str:
        rate: str = self.cleaned_data["rate"].strip()
        if rate and read_rate(rate) is None:
            raise forms.ValidationError(_("Write the exact rate, such as 1.95583, 100 or 2/3."))
        return rate

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if cleaned.get("rate") and not cleaned.get("successor"):
            self.add_error("successor", _("Choose the currency that this rate leads to."))
        if cleaned.get("successor") and cleaned["successor"].pk == self.instance.pk:
            self.add_error("successor", _("A currency cannot follow itself."))
        try:
            units = read_units(cleaned.get("units") or "")
            main = Unit(cleaned.get("name") or "?", cleaned.get("plural") or "")
            unit_system(main, units)
        except AmountError as error:
            self.add_error("units", str(error))
        else:
            cleaned["units"] = units
        return cleaned

    def save_rest(self) -> None:
        save_units(self.instance, self.cleaned_data["units"])


def save_units(currency: Currency, units: tuple[Unit, ...]) -> None:
    """Make the units of a currency these; a symbol that one had stays."""
    before = {unit.name: unit for unit in currency.units.all()}
    for position, unit in enumerate(units):
        record = before.pop(unit.name, None) or CurrencyUnit(currency=currency, name=unit.name)
        record.plural, record.per_main = unit.plural, str(unit.per_main)
        record.position = position
        record.save()
    for record in before.values():
        record.delete()


class SeriesForm(CatalogueForm):
    class Meta:
        model = Series
        fields = ["issuer", "currency", "name", "first_year", "last_year", "story"]
        labels = {"issuer": gettext_lazy("Country")}
        widgets = {"story": area()}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        issuers = access.issuers_to_add_to(self.viewer)
        self.fields["issuer"].queryset = issuers  # type: ignore[attr-defined]

    def key_texts(self) -> list[str]:
        return [self.cleaned_data["issuer"].key, self.cleaned_data["name"]]


class DenominationForm(CatalogueForm):
    value = forms.CharField(
        label=gettext_lazy("Value"),
        required=False,
        max_length=60,
        help_text=gettext_lazy(
            "Exact, in main units: 1/4, ¼, 12; or with a unit, 25 tinne. Leave it empty if the "
            "name says it."
        ),
    )

    class Meta:
        model = Denomination
        fields = ["currency", "name", "note"]
        widgets = {"note": area(2)}

    field_order = ["currency", "name", "value", "note"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["currency"]
        field.queryset = access.currencies_to_add_to(self.viewer)  # type: ignore[attr-defined]
        if self.instance.pk:
            self.initial["value"] = write_number(self.instance.value)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        currency, name = cleaned.get("currency"), cleaned.get("name")
        if not currency or not name:
            return cleaned
        try:
            value = read_value(cleaned.get("value") or name, money_of(currency))
        except AmountError as error:
            self.add_error("value", str(error))
        else:
            self.instance.value_numerator = value.numerator
            self.instance.value_denominator = value.denominator
        same = Denomination.objects.filter(currency=currency, name=name).exclude(
            pk=self.instance.pk
        )
        if same.exists():
            self.add_error("name", _("This currency has a denomination of this name already."))
        return cleaned

    def key_texts(self) -> list[str]:
        return [self.cleaned_data["currency"].key, self.cleaned_data["name"]]


class MintForm(CatalogueForm):
    class Meta:
        model = Mint
        fields = ["name", "town", "issuer", "note"]
        labels = {"issuer": gettext_lazy("Country")}
        widgets = {"note": area(3)}


class PersonForm(CatalogueForm):
    class Meta:
        model = Person
        fields = ["name", "born", "died", "signature", "note"]
        widgets = {"note": area(3)}
        help_texts = {
            "born": gettext_lazy("A year or a day: 1889, 1889-05-02; 1889? if uncertain."),
            "died": "",
        }

    def clean_born(self) -> str:
        return self._date("born")

    def clean_died(self) -> str:
        return self._date("died")

    def _date(self, name: str) -> str:
        written: str = self.cleaned_data[name].strip()
        try:
            return str(parse_edtf(written)) if written else ""
        except DateError as error:
            raise forms.ValidationError(str(error)) from error


class MotifForm(CatalogueForm):
    class Meta:
        model = Motif
        fields = ["name", "broader", "note"]
        field_classes = {"broader": ManyRecords}
        labels = {"broader": gettext_lazy("Broader motifs")}
        widgets = {"note": area(3)}

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        name = (cleaned.get("name") or "").strip()
        if Motif.objects.filter(name__iexact=name).exclude(pk=self.instance.pk).exists():
            self.add_error("name", _("There is a motif of this name already."))
        above = {motif.pk for motif in cleaned.get("broader") or ()}
        ahead = set(above)
        while ahead:
            ahead = (
                set(Motif.objects.filter(narrower__in=ahead).values_list("pk", flat=True)) - above
            )
            above |= ahead
        if self.instance.pk in above:
            self.add_error("broader", _("A motif cannot be broader than itself."))
        return cleaned
