"""Money as people write it down for the first time: its units, and its denominations.

What is computed: the units of a currency, one a line, ``tinne 100`` (how many make one main
unit, exactly) or ``tinne, tinnes 100`` with a plural; and denominations with exact values in main
units from one line, ``1, 5, 10, 25 tinne; 1, 5 marl``. Both notations are this project's own.

>>> units = read_units("tinne 100")
>>> units[0].name, units[0].per_main
('tinne', Fraction(100, 1))
>>> money = UnitSystem((Unit("marl", "marls"), *units))
>>> [(one.name, str(one.value)) for one in read_denominations("¼, 1 marl; 25 tinne", money)]
[('¼ marl', '1/4'), ('1 marl', '1'), ('25 tinne', '1/4')]
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from series.money.units import AmountError, Unit, UnitSystem, read_number, write_number

LONGEST = 2**63
LONGEST_RATIO = 20  # signs, as they are stored
# The name ends before what parts it from the number, so that a long row of spaces is read once.
_UNIT_LINE = re.compile(r"(?P<names>\D*?[^\d\s=:])[\s=:]++(?P<number>[0-9].*|[½¼¾⅓⅔⅕⅛].*)")
_FIGURES_AND_UNIT = re.compile(
    r"(?P<number>[\d¼½¾⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞⅐⅑⅒\s./⁄]+?)\s*(?P<unit>[^\d\s./⁄¼½¾⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞⅐⅑⅒].*)?"
)


@dataclass(frozen=True)
class Denominated:
    """A denomination: its name, and its exact value in main units."""

    name: str
    value: Fraction


def read_units(text: str) -> tuple[Unit, ...]:
    """The units below (or above) the main one, one a line; AmountError says what to write."""
    found = []
    for line in filter(None, (line.strip() for line in text.splitlines())):
        match = _UNIT_LINE.fullmatch(line)
        if match is None:
            raise AmountError(
                f"'{line}' is not a unit: write its name and how many make one main unit, "
                "tinne 100; a plural follows a comma, penny, pence 240."
            )
        number = read_number(match["number"])
        if number <= 0:
            raise AmountError(f"'{line}': how many make one main unit must be more than nothing.")
        if len(str(number)) > LONGEST_RATIO:
            raise AmountError(
                f"'{line}': how many make one main unit comes to {number}, which is too long: "
                f"write a number or a fraction, such as 20/21, of at most {LONGEST_RATIO} signs."
            )
        name, _comma, plural = (part.strip() for part in match["names"].partition(","))
        if max(len(name), len(plural)) > 60 or not name:
            raise AmountError(f"'{line}': write a name of at most 60 characters before the number.")
        found.append(Unit(name, plural, "", number))
    return tuple(found)


def write_units(units: Iterable[Unit]) -> str:
    return "\n".join(
        f"{', '.join(filter(None, (unit.name, unit.plural)))} {unit.per_main}" for unit in units
    )


def unit_system(main: Unit, others: Iterable[Unit]) -> UnitSystem:
    """The units together; AmountError if two have a name in common."""
    try:
        return UnitSystem((main, *others))
    except ValueError as error:
        raise AmountError(f"These units cannot stand together: {error}.") from error


def read_denominations(text: str, money: UnitSystem) -> tuple[Denominated, ...]:
    """Denominations of one unit parted by commas, of several units by semicolons or lines."""
    found: dict[str, Denominated] = {}
    for group in filter(None, (part.strip() for part in re.split(r"[;\n]", text))):
        *before, last = [" ".join(part.split()) for part in group.split(",") if part.strip()]
        match = _FIGURES_AND_UNIT.fullmatch(last)
        if match is None:
            raise AmountError(
                f"'{group}' is not a row of denominations: write the figures and then their unit, "
                "1, 5, 10 tinne; 1, 5 marl."
            )
        unit = money.unit(match["unit"].strip()) if match["unit"] else money.main
        for written in [*before, match["number"]]:
            number = read_number(written)
            value = number / unit.per_main
            if number <= 0 or max(value.numerator, value.denominator) >= LONGEST:
                raise AmountError(f"'{written}' in '{group}' is no value of a coin.")
            name = f"{write_number(number)} {unit.name_for(number)}"
            if name in found:
                raise AmountError(f"'{name}' stands there twice: leave one out.")
            found[name] = Denominated(name, value)
    return tuple(found.values())


def read_value(text: str, money: UnitSystem) -> Fraction:
    """An exact value in main units, from ``1/4``, ``¼``, ``12`` or ``25 tinne``."""
    return value_of_coin(money.parse(text), text)


def value_of_coin(value: Fraction, written: str) -> Fraction:
    """The value itself; AmountError where no coin can have it."""
    if value <= 0 or max(value.numerator, value.denominator) >= LONGEST:
        raise AmountError(f"'{written}' is no value of a coin: it is more than nothing.")
    return value
