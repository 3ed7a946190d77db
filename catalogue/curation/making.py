"""Make what a coin belongs to: its country, money with units, denomination and series."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any

from series.models import Currency, CurrencyUnit, Denomination, Issuer, Series
from series.money.typed_lines import unit_system
from series.money.units import Unit, UnitSystem
from series.text.keys import free_key


def units_of(currency: Currency) -> list[Unit]:
    return [Unit(u.name, u.plural, u.symbol, u.ratio) for u in currency.units.all()]


def money_of(currency: Currency) -> UnitSystem:
    """The units of a stored currency, its main one first."""
    main = Unit(currency.name, currency.plural, currency.symbol)
    return unit_system(main, units_of(currency))


def save_units(currency: Currency, units: Iterable[Unit]) -> None:
    """Make the units of a currency these; a symbol that one had stays."""
    before = {unit.name: unit for unit in currency.units.all()}
    for position, unit in enumerate(units):
        record = before.pop(unit.name, None) or CurrencyUnit(currency=currency, name=unit.name)
        record.plural, record.per_main = unit.plural, str(unit.per_main)
        record.position = position
        record.save()
    for record in before.values():
        record.delete()


def make_issuer(name: str, code: str = "") -> Issuer:
    return Issuer.objects.create(key=free_key(Issuer, name), name=name, code=code)


def make_currency(issuer: Issuer, money: UnitSystem, first_year: int | None = None) -> Currency:
    main = money.main
    currency = Currency.objects.create(
        key=free_key(Currency, issuer.key, main.name),
        name=main.name,
        plural=main.plural,
        first_year=first_year,
        subunit_in_use=len(money.units) > 1,
    )
    currency.issuers.add(issuer)
    save_units(currency, (unit for unit in money.units if unit is not main))
    return currency


def make_denomination(
    issuer: Issuer, currency: Currency, name: str, value: Fraction
) -> Denomination:
    return Denomination.objects.create(
        key=free_key(Denomination, issuer.key, name),
        currency=currency,
        name=name[:80],
        value_numerator=value.numerator,
        value_denominator=value.denominator,
    )


def make_series(issuer: Issuer, currency: Currency, name: str, **years: Any) -> Series:
    return Series.objects.create(
        key=free_key(Series, issuer.key, name),
        issuer=issuer,
        currency=currency,
        name=name,
        **years,
    )
