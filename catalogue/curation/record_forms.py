"""Forms of countries, money, denominations, series, mints, people and motifs."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar

from django import forms
from django.db import transaction
from django.db.models import QuerySet
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from catalogue import access
from catalogue.curation.making import money_of, save_units, units_of
from catalogue.curation.text_fields import TextsForm, box
from series.entries import tables
from series.entries.columns import columns
from series.faces.broader import broader_motifs
from series.forms import ManyRecords
from series.models import Currency, Denomination, Issuer, Mint, Motif, Person, Series
from series.money.typed_lines import read_units, read_value, unit_system, write_units
from series.money.units import Unit, read_rate, write_number
from series.reaching import reached
from series.text.keys import free_key

UNITS_HELP = gettext_lazy(
    "One a line: how many make one main unit, as in tinne 100; a plural follows a comma, penny, "
    "pence 240."
)


def fields_of(entry: type) -> list[str]:
    """The columns that the form of a kind of record asks for."""
    return [name for name in columns(entry) if name not in ("key", "citations")]


def check_years(form: forms.BaseForm) -> None:
    first, last = form.cleaned_data.get("first_year"), form.cleaned_data.get("last_year")
    if first is not None and last is not None and last < first:
        form.add_error("last_year", _("The last year lies before the first."))


class CodeForm(forms.BaseForm):
    """A form with the code of a country or a currency."""

    def clean_code(self) -> str:
        code: str = self.cleaned_data["code"].strip().upper()
        length: int = self.fields["code"].max_length  # type: ignore[attr-defined]
        if code and not (len(code) == length and code.isascii() and code.isalpha()):
            raise forms.ValidationError(
                _("Write %(n)d letters, or leave it empty where there is no code.") % {"n": length}
            )
        return code


class CatalogueForm(CodeForm, TextsForm):
    """A record of the catalogue; a new one gets a key from its name."""

    table: ClassVar[str]
    headings: ClassVar[tuple[Promise | str, Promise | str]]
    """Of the page that adds one, and of the page that changes one."""
    started_by: ClassVar[tuple[str, ...]] = ()
    """What ``?name=key`` may start: fields that name a country or a currency."""
    open_to: ClassVar[dict[str, Callable[[access.Viewer], QuerySet[Any]]]] = {}
    """The records that a member may add to, by field."""
    key_from: ClassVar[str] = ""
    """The field with whose key that of a new record begins."""
    rows: ClassVar = {"story": 4, "note": 3}

    def __init__(self, *args: Any, viewer: access.Viewer, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name, records in self.open_to.items():
            self.fields[name].queryset = records(viewer)  # type: ignore[attr-defined]
        for name in self.rows.keys() & self.fields.keys():
            self.fields[name].widget.attrs["rows"] = self.rows[name]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        check_years(self)
        return cleaned

    def save_checked(self) -> bool:
        with transaction.atomic():
            if self.instance._state.adding:
                before = [self.cleaned_data[self.key_from].key] if self.key_from else []
                name = self.cleaned_data["name"]
                self.instance.key = free_key(type(self.instance), *before, name)
            saved = super().save_checked()
            if saved:
                self.save_rest()
        return saved

    def save_rest(self) -> None:
        """Save what lies beside the record's own columns."""


class IssuerForm(CatalogueForm):
    table = "issuers"
    headings = gettext_lazy("Add a country"), gettext_lazy("Change the country")

    class Meta:
        model = Issuer
        fields = fields_of(tables.IssuerEntry)
        field_classes = {"predecessors": ManyRecords}


class CurrencyForm(CatalogueForm):
    table = "currencies"
    headings = gettext_lazy("Add a currency"), gettext_lazy("Change the currency")
    started_by = ("issuer",)
    open_to = {"issuers": access.issuers_to_add_to}

    units = box(gettext_lazy("Units"), UNITS_HELP, 3)

    class Meta:
        model = Currency
        fields = fields_of(tables.CurrencyEntry)
        field_classes = {"issuers": ManyRecords}
        labels = {"issuers": gettext_lazy("Countries")}
        widgets = {"rate_from": forms.DateInput(attrs={"type": "date"})}

    field_order = ["issuers", "name", "plural", "symbol", "code", "units"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk:
            self.initial["units"] = write_units(units_of(self.instance))

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
        self.read("units", self._units)
        return cleaned

    def _units(self, written: str) -> tuple[Unit, ...]:
        said = self.cleaned_data
        units = read_units(written)
        unit_system(Unit(said.get("name") or "?", said.get("plural") or ""), units)
        return units

    def save_rest(self) -> None:
        save_units(self.instance, self.cleaned_data["units"])


class SeriesForm(CatalogueForm):
    table = "series"
    headings = gettext_lazy("Add a series"), gettext_lazy("Change the series")
    started_by = ("issuer", "currency")
    open_to = {"issuer": access.issuers_to_add_to}
    key_from = "issuer"

    class Meta:
        model = Series
        fields = fields_of(tables.SeriesEntry)
        labels = {"issuer": gettext_lazy("Country")}

    field_order = ["issuer", "currency"]


class DenominationForm(CatalogueForm):
    table = "denominations"
    headings = gettext_lazy("Add a denomination"), gettext_lazy("Change the denomination")
    started_by = ("currency",)
    open_to = {"currency": access.currencies_to_add_to}
    key_from = "currency"
    rows = {"note": 2}

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
        fields = fields_of(tables.DenominationEntry)

    field_order = ["currency"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if self.instance.pk:
            self.initial["value"] = write_number(self.instance.value)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        currency, name = cleaned.get("currency"), cleaned.get("name")
        if not currency or not name:
            return cleaned
        self.read("value", lambda written: read_value(written or name, money_of(currency)))
        if value := cleaned.get("value"):
            self.instance.value_numerator = value.numerator
            self.instance.value_denominator = value.denominator
        same = Denomination.objects.filter(currency=currency, name=name)
        if same.exclude(pk=self.instance.pk).exists():
            self.add_error("name", _("This currency has a denomination of this name already."))
        return cleaned


class MintForm(CatalogueForm):
    table = "mints"
    headings = gettext_lazy("Add a mint"), gettext_lazy("Change the mint")
    started_by = ("issuer",)

    class Meta:
        model = Mint
        fields = fields_of(tables.MintEntry)
        labels = {"issuer": gettext_lazy("Country")}


class PersonForm(CatalogueForm):
    table = "people"
    headings = gettext_lazy("Add a person"), gettext_lazy("Change the person")

    class Meta:
        model = Person
        fields = fields_of(tables.PersonEntry)
        help_texts = {
            "born": gettext_lazy("A year or a day: 1889, 1889-05-02; 1889? if uncertain."),
            "died": "",
        }

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        self.read_dates(tables.PersonEntry)
        return cleaned


class MotifForm(CatalogueForm):
    table = "motifs"
    headings = gettext_lazy("Add a motif"), gettext_lazy("Change the motif")

    class Meta:
        model = Motif
        fields = fields_of(tables.MotifEntry)
        field_classes = {"broader": ManyRecords}
        labels = {"broader": gettext_lazy("Broader motifs")}

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        name = (cleaned.get("name") or "").strip()
        if Motif.objects.filter(name__iexact=name).exclude(pk=self.instance.pk).exists():
            self.add_error("name", _("There is a motif of this name already."))
        above = [motif.pk for motif in cleaned.get("broader") or ()]
        if self.instance.pk in reached(above, broader_motifs()):
            self.add_error("broader", _("A motif cannot be broader than itself."))
        return cleaned


FORMS: dict[str, type[CatalogueForm]] = {
    "issuer": IssuerForm,
    "currency": CurrencyForm,
    "series": SeriesForm,
    "denomination": DenominationForm,
    "mint": MintForm,
    "person": PersonForm,
    "motif": MotifForm,
}
