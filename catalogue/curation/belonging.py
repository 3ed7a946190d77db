"""Where a type belongs, from what is typed: its country, money, denomination and series.

What the catalogue has is found; what it lacks is made with the type, as far as the member may
add to that country (``catalogue.access``).
"""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Q
from django.utils.translation import gettext as _

from catalogue import access
from catalogue.curation.making import (
    make_currency,
    make_denomination,
    make_issuer,
    make_series,
    money_of,
)
from series.models import Currency, Denomination, Issuer, Series
from series.money.units import AmountError, Unit, UnitSystem
from series.money.value_text import CoinValue, money_of_value, read_coin_value, read_money

Years = tuple[int | None, int | None]


class NowhereYet(Exception):
    """What was typed does not say where the type belongs; ``field`` is to be mended."""

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field = field


@dataclass
class Belonging:
    """A country, money, denomination and series; what is None is made by ``make``."""

    country: str
    issuer: Issuer | None
    currency: Currency | None
    money: UnitSystem
    coin: CoinValue
    denomination: Denomination | None
    series: Series | None
    series_name: str = ""
    years: Years = (None, None)

    @property
    def series_begins(self) -> int | None:
        """The year from which the series is to count now, if these dates are before it."""
        first = self.years[0]
        if self.series is None or self.series.first_year is None or first is None:
            return None
        grows = self.series.pack_id is None and self.series.last_year is None
        return first if grows and first < self.series.first_year else None


class Memory:
    """What was found of countries, kept while many types are made one after another."""

    def __init__(self) -> None:
        self._issuers: dict[str, Issuer] = {}
        self._money: dict[int, list[Currency]] = {}
        self._named: dict[int, dict[str, Denomination]] = {}
        self._series: dict[tuple[int, int], list[Series]] = {}

    def issuer(self, name: str) -> Issuer | None:
        if name not in self._issuers and (found := find_issuer(name)) is not None:
            self._issuers[name] = found
        return self._issuers.get(name)

    def money(self, issuer: Issuer | None) -> list[Currency]:
        """The money of a country, the newest first. Two queries."""
        if issuer is None:
            return []
        if issuer.pk not in self._money:
            of_it = Q(issuers=issuer) | Q(series__issuer=issuer)
            money = Currency.objects.filter(of_it).distinct().order_by("-first_year", "-pk")
            self._money[issuer.pk] = list(money.prefetch_related("units"))
        return self._money[issuer.pk]

    def denominations(self, currency: Currency) -> dict[str, Denomination]:
        """What of a currency is not in the bin, by its name in small letters. One query."""
        if currency.pk not in self._named:
            of_it = Denomination.objects.filter(currency=currency)
            self._named[currency.pk] = {one.name.casefold(): one for one in of_it}
        return self._named[currency.pk]

    def series(self, issuer: Issuer, currency: Currency) -> list[Series]:
        """The series of a country in a money, the latest first. One query."""
        both = issuer.pk, currency.pk
        if both not in self._series:
            mine = Series.objects.filter(issuer=issuer, currency=currency)
            there = mine.select_related("issuer", "currency").order_by("-first_year", "-pk")
            self._series[both] = list(there)
        return self._series[both]

    def learn(self, found: Belonging, series: Series, denomination: Denomination) -> None:
        """Know of what ``make`` made."""
        if found.currency is None or found.coin.unit is not None:
            self._money.pop(series.issuer_id, None)
        if found.denomination is None:
            self.denominations(denomination.currency)[denomination.name.casefold()] = denomination
        if found.series is None or found.series_begins is not None:
            self._series.pop((series.issuer_id, series.currency_id), None)


# ---- finding ----
def find_issuer(name: str) -> Issuer | None:
    """The country of this name or code; capitals and spaces do not matter."""
    plainly = " ".join(name.replace("\0", " ").split())
    if not plainly:
        return None
    named = Issuer.objects.filter(name__iexact=plainly).order_by("pk").first()
    if named is None:  # a database may not know the capitals of every script
        fold = plainly.casefold()
        named = next((one for one in Issuer.objects.all() if one.name.casefold() == fold), None)
    return named or Issuer.objects.filter(code__iexact=plainly).exclude(code="").first()


def belonging(
    viewer: access.Viewer,
    *,
    country: str,
    value: str,
    money: str = "",
    years: Years = (None, None),
    series: Series | None = None,
    new_series: str = "",
    memory: Memory | None = None,
) -> Belonging:
    """Where a type belongs; NowhereYet says at which field what is to be mended.

    ``series`` chosen decides the money; without one the money is that which knows the value, of
    the years where several do, and the series that of these years.
    """
    memory = memory or Memory()
    issuer = series.issuer if series is not None else memory.issuer(country)
    currencies = [series.currency] if series is not None else memory.money(issuer)
    if not currencies:
        return _with_new_money(viewer, issuer, country, value, money, years, new_series)
    found = _valued(viewer, value, currencies, years, memory)
    found.issuer, found.country = issuer, issuer.name if issuer else country
    found.years, found.series = years, series
    if series is None:
        _choose_series(viewer, found, new_series, memory)
    return found


def _with_new_money(
    viewer: access.Viewer,
    issuer: Issuer | None,
    country: str,
    value: str,
    money: str,
    years: Years,
    new_series: str,
) -> Belonging:
    if issuer is not None and not access.issuers_to_add_to(viewer).filter(pk=issuer.pk).exists():
        raise NowhereYet("country", _closed_to_members(issuer.name))
    try:
        units = read_money(money) if money.strip() else money_of_value(value)
    except AmountError as error:
        raise NowhereYet(
            "money" if money.strip() or "=" in value else "value", str(error)
        ) from error
    coin = _read(value, units)
    name = " ".join(country.split())
    made = Belonging(name, issuer, None, units, coin, None, None, years=years)
    made.series_name = new_series.strip() or _("First coinage")
    return made


def _closed_to_members(name: str) -> str:
    return _(
        "A reference pack describes %(name)s, so curators add its money, values and series. "
        "Choose what it has, or ask a curator."
    ) % {"name": name}


def _read(value: str, units: UnitSystem) -> CoinValue:
    try:
        return read_coin_value(value, units)
    except AmountError as error:
        raise NowhereYet("value", str(error)) from error


def _valued(
    viewer: access.Viewer, value: str, currencies: list[Currency], years: Years, memory: Memory
) -> Belonging:
    """The money that has a denomination of this name, or else knows the unit it is in."""
    named = " ".join(value.split()).casefold()
    readings: list[tuple[bool, bool, Belonging]] = []
    failed: NowhereYet | None = None
    for currency in currencies:
        units = money_of(currency)
        known = memory.denominations(currency)
        try:
            coin = _read(value, units)
        except NowhereYet as error:
            failed = failed or error
            coin = None
        denomination = known.get(named) or (known.get(coin.name.casefold()) if coin else None)
        if denomination is not None:
            coin = CoinValue(denomination.name, denomination.value)
        if coin is not None:
            found = Belonging("", None, currency, units, coin, denomination, None)
            readings.append((denomination is not None, _within(currency, years), found))
    if not readings:
        raise failed or NowhereYet("value", _("Write the value with its unit, 25 tinne."))
    found = max(readings, key=lambda each: each[:2])[2]
    if found.denomination is None:
        of_currency = access.currencies_to_add_to(viewer).filter(pk=found.currency.pk)  # type: ignore[union-attr]
        if not of_currency.exists():
            names = ", ".join(d.name for d in found.currency.denominations.all())  # type: ignore[union-attr]
            raise NowhereYet(
                "value",
                _(
                    "A reference pack describes this money, so curators add values to it. It has "
                    "%(names)s."
                )
                % {"names": names},
            )
    return found


def _within(record: Currency | Series, years: Years) -> bool:
    """Whether the record's years, open ends included, hold these."""
    first, last = years
    begins, ends = record.first_year, record.last_year
    return (first is None or begins is None or begins <= first) and (
        last is None or ends is None or last <= ends
    )


def _choose_series(
    viewer: access.Viewer, found: Belonging, new_series: str, memory: Memory
) -> None:
    """The series of these years, or a new one; of several, the latest that was begun."""
    there = memory.series(found.issuer, found.currency)  # type: ignore[arg-type]
    if new_series.strip():
        same = [one for one in there if one.name.casefold() == new_series.strip().casefold()]
        found.series = same[0] if same else None
    else:
        fitting = [one for one in there if _within(one, found.years)]
        meeting = [one for one in there if _meets(one, found.years)]
        found.series = next(iter(fitting or meeting or _growing(there)), None)
    if found.series is not None:
        return
    if not access.issuers_to_add_to(viewer).filter(pk=found.issuer.pk).exists():  # type: ignore[union-attr]
        raise NowhereYet("series", _closed_to_members(found.country))
    found.series_name = new_series.strip() or _series_name(there, found.years)


def _meets(series: Series, years: Years) -> bool:
    """Whether some of these years lie in the series."""
    first, last = years
    if first is None or last is None:
        return False
    begins = series.first_year if series.first_year is not None else first
    ends = series.last_year if series.last_year is not None else last
    return begins <= last and first <= ends


def _growing(there: list[Series]) -> list[Series]:
    """A series of the club's own that is still open takes earlier dates too."""
    return [one for one in there if one.pack_id is None and one.last_year is None][:1]


def _series_name(there: list[Series], years: Years) -> str:
    if not there:
        return _("First coinage")
    name = _("Coinage of %(year)s") % {"year": years[0]}
    taken = {one.name for one in there}
    return name if name not in taken else f"{name} ({len(there) + 1})"


# ---- making ----
def make(found: Belonging) -> tuple[Series, Denomination]:
    """Make what is not there yet. Call it in the transaction that saves the type."""
    issuer = found.issuer or make_issuer(found.country)
    currency = found.currency or make_currency(issuer, found.money)
    if found.coin.unit is not None:
        _learn(currency, found.coin.unit)
    denomination = found.denomination or make_denomination(
        issuer, currency, found.coin.name, found.coin.value
    )
    series = found.series or make_series(
        issuer, currency, found.series_name, first_year=found.years[0]
    )
    if (begins := found.series_begins) is not None:
        series.first_year = begins
        series.save()
    return series, denomination


def _learn(currency: Currency, unit: Unit) -> None:
    """Give the money a unit it lacks, or one of its units the plural it lacks."""
    if unit.name == currency.name:
        currency.plural = unit.plural
        currency.save()
        return
    record, made = currency.units.get_or_create(
        name=unit.name,
        defaults={
            "per_main": str(unit.per_main),
            "plural": unit.plural,
            "position": currency.units.count(),
        },
    )
    if not made and not record.plural:
        record.plural = unit.plural
        record.save()
