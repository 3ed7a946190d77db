"""Units of money and amounts in them, exactly.

What is computed: an amount as an exact fraction of a currency's main unit, from what people
write, and back. Ratios are exact; never a float. The ratios below are coinage arithmetic (from
memory): 1 pound = 20 shillings = 240 pence, 1 rupee = 16 annas = 64 pice = 192 pies.

An amount is a number of main units (``1¼``, ``2.50``, ``1 1/4``), or numbers with the names or
symbols of their units in any order: ``£3 7s 6d``, ``2½d``, ``3 rupees 8 annas``.

>>> sterling = UnitSystem((
...     Unit("pound", "pounds", "£"),
...     Unit("shilling", "shillings", "s", Fraction(20)),
...     Unit("penny", "pence", "d", Fraction(240)),
... ))
>>> str(sterling)
'1 pound = 20 shillings = 240 pence'
>>> sterling.parse("£3 7s 6d"), sterling.parse("2½d")
(Fraction(27, 8), Fraction(1, 96))
>>> sterling.format(Fraction(27, 8)), sterling.format(Fraction(1, 96))
('£3 7s 6d', '2½d')
>>> sterling.parse("30 pence")  # half a crown
Fraction(1, 8)
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction

from series.text.stored_numbers import FIGURES, MOST_FIGURES

_VULGAR = {
    Fraction(1, 2): "½", Fraction(1, 3): "⅓", Fraction(2, 3): "⅔", Fraction(1, 4): "¼",
    Fraction(3, 4): "¾", Fraction(1, 5): "⅕", Fraction(2, 5): "⅖", Fraction(3, 5): "⅗",
    Fraction(4, 5): "⅘", Fraction(1, 6): "⅙", Fraction(5, 6): "⅚", Fraction(1, 8): "⅛",
    Fraction(3, 8): "⅜", Fraction(5, 8): "⅝", Fraction(7, 8): "⅞", Fraction(1, 7): "⅐",
    Fraction(1, 9): "⅑", Fraction(1, 10): "⅒",
}  # fmt: skip
_SIGNS = {sign: fraction for fraction, sign in _VULGAR.items()}
_NUMBER = re.compile(
    r"(?P<mixed>[0-9]{1,18})\s+(?P<over>[0-9]{1,18})\s*[/⁄]\s*(?P<under>[0-9]{1,18})"
    r"|(?P<over2>[0-9]{1,18})\s*[/⁄]\s*(?P<under2>[0-9]{1,18})"
    rf"|(?P<whole>[0-9]{{0,18}})(?P<sign>[{''.join(_SIGNS)}])"
    r"|(?P<decimal>[0-9]{1,18}(?:\.[0-9]{1,18})?|\.[0-9]{1,18})"
)
_RATE = re.compile(r"[0-9]{1,18}(?:\.[0-9]{1,18}|/[0-9]{1,18})?")
_TOO_MANY = re.compile(FIGURES + "[0-9]")
_NAMES_ONE = "write 3, 2.50, 1¼ or 1 1/4"


class AmountError(ValueError):
    """An amount that cannot be read; the message says what to write instead."""


def read_number(text: str) -> Fraction:
    """A number of units as an exact fraction: 3, 2.50, 1¼, ⅓, 1 1/4.

    Raises AmountError for anything else, also for a comma, which may part thousands or decimals.

    >>> read_number("1¼"), read_number("2.50"), read_number("⅓")
    (Fraction(5, 4), Fraction(5, 2), Fraction(1, 3))
    """
    match = _NUMBER.fullmatch(text.strip())
    if match is None:
        hint = " Write a point before decimals, and nothing between thousands." * ("," in text)
        hint += f" It may have {MOST_FIGURES} figures in a row." * bool(_TOO_MANY.search(text))
        raise AmountError(f"'{text}' is not a number here: {_NAMES_ONE}.{hint}")
    return _value(match)


def read_rate(text: str) -> Fraction | None:
    """An exact rate as it is written; None for what is none, and for nought.

    >>> read_rate("1.95583"), read_rate("2/3"), read_rate("1e9"), read_rate("0")
    (Fraction(195583, 100000), Fraction(2, 3), None, None)
    """
    if not _RATE.fullmatch(text):
        return None
    try:
        return Fraction(text) or None
    except ZeroDivisionError:
        return None


def _value(match: re.Match[str]) -> Fraction:
    if sign := match["sign"]:
        return int(match["whole"] or 0) + _SIGNS[sign]
    if match["decimal"]:
        return Fraction(match["decimal"])
    over, under = int(match["over"] or match["over2"]), int(match["under"] or match["under2"])
    if under == 0 or (match["mixed"] and over >= under):
        raise AmountError(f"'{match[0]}' is not a fraction: {_NAMES_ONE}.")
    return int(match["mixed"] or 0) + Fraction(over, under)


def write_number(number: Fraction) -> str:
    """The number as coins and people write it; ``read_number`` gives the same back.

    >>> write_number(Fraction(5, 4)), write_number(Fraction(1, 3)), write_number(Fraction(10, 7))
    ('1¼', '⅓', '1 3/7')
    """
    whole, rest = divmod(number, 1)
    if not rest:
        return str(whole)
    if rest in _VULGAR:
        return f"{whole or ''}{_VULGAR[rest]}"
    return f"{whole} {rest}" if whole else str(rest)


@dataclass(frozen=True)
class Unit:
    """A named unit; one main unit is ``per_main`` of these (below 1 for a larger unit)."""

    name: str
    plural: str = ""
    symbol: str = ""
    per_main: Fraction = Fraction(1)

    @property
    def labels(self) -> tuple[str, ...]:
        return tuple(filter(None, (self.name, self.plural, self.symbol)))

    def name_for(self, number: Fraction) -> str:
        """Singular up to one, plural above: ½ penny, 1 penny, 1½ pence; 0 pence."""
        return self.name if 0 < number <= 1 else self.plural or self.name


@dataclass(frozen=True)
class UnitSystem:
    """The units of one currency, in exact ratios; one of them is the main unit.

    Raises ValueError if there is not one main unit, if a ratio is not positive, or if two units
    have a name or symbol in common (capitals do not tell them apart).
    """

    units: tuple[Unit, ...]

    def __post_init__(self) -> None:
        if sum(unit.per_main == 1 for unit in self.units) < 1:
            raise ValueError("a currency has a main unit, of which one makes one")
        if any(unit.per_main <= 0 for unit in self.units):
            raise ValueError("how many make one main unit is more than nothing")
        labels = [label.casefold() for unit in self.units for label in {*unit.labels}]
        if len({*labels}) < sum(len({x.casefold() for x in unit.labels}) for unit in self.units):
            raise ValueError("two units of a currency have a name or symbol in common")

    @property
    def main(self) -> Unit:
        return next(unit for unit in self.units if unit.per_main == 1)

    def __str__(self) -> str:
        """The ratios in words, from the main unit down."""
        others = sorted(
            (unit for unit in self.units if unit.per_main > 1), key=lambda unit: unit.per_main
        )
        parts = [f"{write_number(u.per_main)} {u.name_for(u.per_main)}" for u in others]
        return " = ".join([f"1 {self.main.name}", *parts])

    def unit(self, label: str) -> Unit:
        """The unit of this name, plural or symbol; AmountError if there is none."""
        for unit in self.units:
            if label.casefold() in (each.casefold() for each in unit.labels):
                return unit
        raise AmountError(f"'{label}' is no unit here: write {self._choices()}.")

    def parse(self, text: str) -> Fraction:
        """An amount in main units; AmountError says what to write instead."""
        rest, total, seen = text.strip(), Fraction(0), set[Unit]()
        if not rest:
            raise AmountError(f"An amount is missing: {_NAMES_ONE}, or with {self._choices()}.")
        while rest:
            before, rest = self._label(rest)
            match = _NUMBER.match(rest)
            if match is None:
                raise self._unreadable(text, rest)
            number, rest = _value(match), rest[match.end() :].lstrip()
            if re.match(r"[,.][0-9]", rest):
                raise AmountError(
                    f"'{text}' has a comma or point too many: write a point before decimals, and "
                    "nothing between thousands."
                )
            after = None
            if before is None:
                after, rest = self._label(rest)
            if not (before or after) and rest[:1].isalpha():
                raise self._unreadable(text, rest)
            unit = before or after or self.main
            if unit in seen or (not (before or after) and (rest or seen)):
                raise AmountError(
                    f"'{text}' has {write_number(number)} of what? Name each unit once: "
                    f"{self._choices()}."
                )
            seen.add(unit)
            total += number / unit.per_main
            rest = re.sub(r"^(?:,|and\b)\s*(?=.)", "", rest)
        return total

    def format(self, value: Fraction) -> str:
        """The amount from the main unit down, smaller units only where they are needed.

        Symbols are used if every unit named has one. ``parse`` gives the value back. Raises
        ValueError for a value below nothing.
        """
        if value < 0:
            raise ValueError("an amount is not below nothing")
        units = sorted((u for u in self.units if u.per_main >= 1), key=lambda unit: unit.per_main)
        terms: list[tuple[Fraction, Unit]] = []
        rest = value
        for unit in units:
            number = rest * unit.per_main
            if unit is not units[-1]:
                number = Fraction(number.numerator // number.denominator)
            rest -= number / unit.per_main
            if number:
                terms.append((number, unit))
        terms = terms or [(Fraction(0), self.main)]
        if all(unit.symbol for _, unit in terms):
            return " ".join(_with_symbol(place, *term) for place, term in enumerate(terms))
        return " ".join(f"{write_number(number)} {unit.name_for(number)}" for number, unit in terms)

    def _label(self, text: str) -> tuple[Unit | None, str]:
        """The unit that a text begins with, the longest label first, and what follows it."""
        found: tuple[int, Unit | None] = (0, None)
        for unit in self.units:
            for label in unit.labels:
                begins = text[: len(label)].casefold() == label.casefold()
                goes_on = label[-1].isalpha() and text[len(label) : len(label) + 1].isalpha()
                if begins and not goes_on and len(label) > found[0]:
                    found = (len(label), unit)
        return found[1], text[found[0] :].lstrip()

    def _choices(self) -> str:
        return ", ".join(" or ".join(dict.fromkeys(unit.labels)) for unit in self.units)

    def _unreadable(self, text: str, rest: str) -> AmountError:
        if rest.startswith(("-", "−")):
            return AmountError(f"'{text}': write the amount without a sign before it.")
        return AmountError(
            f"'{rest or text}' in '{text}' is not an amount: {_NAMES_ONE}, with units where they "
            f"are needed: {self._choices()}."
        )


def _with_symbol(place: int, number: Fraction, unit: Unit) -> str:
    written = write_number(number)
    if place and "/" in written and number < 1:
        written = f"0 {written}"  # £3 0 1/7d, for £3 1/7d would be 3 1/7
    if unicodedata.category(unit.symbol[0]) == "Sc":
        return f"{unit.symbol}{written}"
    return f"{written}{unit.symbol}" if len(unit.symbol) == 1 else f"{written} {unit.symbol}"
