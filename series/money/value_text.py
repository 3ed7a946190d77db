"""The value of a coin and a country's money as people write them in one line.

What is computed: from ``25 tinne``, ``½ crown``, ``half crown`` or ``1 marl`` the name of a
denomination and its exact value in main units; from ``1 marl = 100 tinne`` the units of a money.
A value may say what an unknown unit is: ``3 ore = 3/100 dal`` gives the money an ore of which 100
make a dal, and ``crown = 5 shillings`` a denomination of that name. Where a unit has no plural
yet, its name with an s is taken for it. The words half, third, quarter and double are English;
the notation is this project's own.

>>> money = read_money("1 marl = 100 tinne")
>>> str(money)
'1 marl = 100 tinne'
>>> coin = read_coin_value("25 tinne", money)
>>> coin.name, coin.value, coin.unit
('25 tinne', Fraction(1, 4), None)
>>> read_coin_value("3 ore = 6 tinne", money).unit.per_main
Fraction(50, 1)
>>> read_coin_value("half marl", money)
CoinValue(name='half marl', value=Fraction(1, 2), unit=None)
>>> str(read_money("1 pound = 20 shillings = 240 penny/pence"))
'1 pound = 20 shillings = 240 pence'
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction

from series.money.typed_lines import read_value, unit_system, value_of_coin
from series.money.units import AmountError, Unit, UnitSystem, read_number, write_number

LONGEST_NAME, LONGEST_UNIT, LONGEST_RATIO = 80, 60, 20
_SHARES = {
    "half": Fraction(1, 2),
    "third": Fraction(1, 3),
    "quarter": Fraction(1, 4),
    "double": Fraction(2),
}
_FIGURES = r"[\d¼½¾⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞⅐⅑⅒][\d¼½¾⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞⅐⅑⅒\s./⁄]*"
_COIN = re.compile(rf"(?P<number>{_FIGURES})?(?P<unit>[^\d\s=][^\d=]*)?")


@dataclass(frozen=True)
class CoinValue:
    """A denomination; ``unit`` is one the money is to have, or to have a plural of, from now."""

    name: str
    value: Fraction
    unit: Unit | None = None


def read_money(text: str) -> UnitSystem:
    """The units of a money from one line; AmountError says what to write."""
    main, *others = [part.strip() for part in text.split("=")]
    one, name = _parted(main)
    if not name or one not in (None, 1):
        raise AmountError(
            f"'{text.strip()}' is no money: write its main unit, marl, or what one of it is, "
            "1 marl = 100 tinne."
        )
    units = [_unit_of(part) for part in others]
    return unit_system(_named(name, Fraction(1)), units)


def _parted(text: str) -> tuple[Fraction | None, str]:
    match = _COIN.fullmatch(text)
    if match is None:
        return None, ""
    number = read_number(match["number"]) if match["number"] else None
    return number, (match["unit"] or "").strip()


def _unit_of(part: str) -> Unit:
    number, name = _parted(part)
    if number is None or not name or number <= 0:
        raise AmountError(
            f"'{part}' does not say how many make one main unit: write a number and a name, "
            "1 marl = 100 tinne."
        )
    return _named(name, number)


def _named(written: str, per_main: Fraction) -> Unit:
    """A unit from its name, or from name and plural as in penny/pence."""
    name, _stroke, plural = (part.strip() for part in written.partition("/"))
    if not plural and per_main > 1 and re.search(r"[^s]s$", name) and len(name) > 3:
        name, plural = name[:-1], name
    if not name or max(len(name), len(plural)) > LONGEST_UNIT:
        raise AmountError(f"'{written}' is no name of a unit: write at most 60 letters.")
    if len(str(per_main)) > LONGEST_RATIO:
        raise AmountError(f"'{written}': how many make one main unit is too long a number.")
    return Unit(name, plural, "", per_main)


def money_of_value(text: str) -> UnitSystem:
    """The money of a country that is begun with one coin: its unit is the main one."""
    if "=" in text:
        raise AmountError("Write the money of the country first, 1 marl = 100 tinne.")
    words = text.split()
    if words and words[0].lower() in _SHARES:
        text = f"1 {' '.join(words[1:])}"
    number, name = _parted(text.strip())
    if not name:
        raise AmountError(f"'{text.strip()}' has no unit: write the value with one, 25 tinne.")
    number = number or Fraction(1)
    if number > 1 and re.search(r"[^s]s$", name) and len(name) > 3:
        return unit_system(Unit(name[:-1], name), ())
    return unit_system(_named(name, Fraction(1)), ())


def in_unit_of(text: str, other: str) -> str:
    """A bare figure with the unit that another value is in; any other text as it is.

    >>> in_unit_of("5", "1 tinne"), in_unit_of("½", "crown"), in_unit_of("1 marl", "1 tinne")
    ('5 tinne', '½ crown', '1 marl')
    """
    if re.fullmatch(_FIGURES, text.strip()) is None:
        return text
    match = _COIN.fullmatch(other.strip())
    unit = (match["unit"] or "").strip() if match else ""
    return f"{text.strip()} {unit}" if unit else text


def read_coin_value(text: str, money: UnitSystem) -> CoinValue:
    """The denomination a text names; AmountError says what to write instead."""
    written = " ".join(text.split())
    name, equals, amount = (part.strip() for part in written.partition("="))
    if len(name) > LONGEST_NAME:
        raise AmountError(f"'{name[:40]}…' is too long: a value has at most 80 letters.")
    if equals:
        return _explained(name, read_value(amount, money), money)
    first, _space, rest = name.partition(" ")
    share = _SHARES.get(first.lower())
    if share and rest:
        unit, learned = _unit(rest, money)
        return CoinValue(name, value_of_coin(share / unit.per_main, written), learned)
    number, word = _parted(name)
    if number is None and not word:
        return CoinValue(name, read_value(name, money))
    if not word:
        unit, learned = money.main, None
    else:
        try:
            unit, learned = _unit(word, money)
        except AmountError:
            if number is None:
                raise
            return _several(name, money)
    number = Fraction(1) if number is None else number
    shown = f"{write_number(number)} {unit.name_for(number)}"
    return CoinValue(shown, value_of_coin(number / unit.per_main, written), learned)


def _several(name: str, money: UnitSystem) -> CoinValue:
    """A value in several units, 2s 6d; if that is none either, what the first unit may be."""
    try:
        return CoinValue(name, read_value(name, money))
    except AmountError:
        _unit(_parted(name)[1], money)
        raise


def _unit(word: str, money: UnitSystem) -> tuple[Unit, Unit | None]:
    """The unit of a name, and that unit with its plural where the name is a plural unheard of."""
    try:
        return money.unit(word), None
    except AmountError:
        pass
    if word.endswith("s"):
        for unit in money.units:
            if not unit.plural and unit.name.casefold() == word[:-1].casefold():
                learned = replace(unit, plural=word)
                return learned, learned
    units = ", ".join(unit.name for unit in money.units)
    raise AmountError(
        f"'{word}' is no unit of this money, which has {units}. Write one of them, or what it "
        f"is: 1 {word} = 1/100 {money.main.name}."
    )


def _explained(name: str, value: Fraction, money: UnitSystem) -> CoinValue:
    """A name with its value; a new unit after figures is learned from it."""
    number, word = _parted(name)
    if not name or (number is not None and not word):
        raise AmountError(f"'{name} =' says no name: write ½ crown = 2½ shillings.")
    if number is None or number <= 0:
        return CoinValue(name, value)
    try:
        unit, learned = _unit(word, money)
    except AmountError:
        return CoinValue(name, value, _named(word, number / value))
    if number / unit.per_main != value:
        raise AmountError(
            f"'{name}' is {money.format(number / unit.per_main)} here, not "
            f"{money.format(value)}: leave out what follows the equals sign."
        )
    return CoinValue(f"{write_number(number)} {unit.name_for(number)}", value, learned)
