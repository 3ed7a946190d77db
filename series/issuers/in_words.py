"""What became of a currency, its units, and what a denomination is worth, in words."""

from __future__ import annotations

from series.dates.words import day_in_words
from series.issuers.models import Currency, Denomination
from series.money.units import Unit, UnitSystem, write_number


def became(currency: Currency) -> str:
    """What became of a currency: "10 marls became 1 new marl on 4 January 1960", or ""."""
    if currency.successor is None:
        return ""
    if not currency.rate:
        return f"followed by the {currency.successor.name}"
    one = currency.rate == "1" or currency.rate.startswith("1/")
    old = currency.name if one else currency.plural or currency.name
    words = f"{currency.rate} {old} became 1 {currency.successor.name}"
    day = currency.rate_from
    return words if day is None else f"{words} on {day_in_words(day)}"


def unit_chain(currency: Currency) -> str:
    """What one main unit is, in its sub-units: "1 pound = 20 shillings = 240 pence", or ""."""
    try:
        units = [
            Unit(unit.name, unit.plural, unit.symbol, unit.ratio) for unit in currency.units.all()
        ]
        main = [] if any(unit.per_main == 1 for unit in units) else [Unit(currency.name)]
        chain = str(UnitSystem((*main, *units)))
    except ValueError:  # units that cannot be told apart, or a ratio that is none
        return ""
    return chain if " = " in chain else ""


def worth(denomination: Denomination) -> str:
    """What a denomination is in main units of its currency: "¼ marl"."""
    main = Unit(denomination.currency.name, denomination.currency.plural)
    return f"{write_number(denomination.value)} {main.name_for(denomination.value)}"
