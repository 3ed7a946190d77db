"""Money that gave way to the euro, at the exact rate of the law.

What is computed: the sums the law prescribes, as Decimals.

Source: Council Regulation (EC) No 1103/97. Article 4: rates are one euro in national units, with
six significant figures; they are not rounded or cut, and no rate is inverted; from one national
unit into another the amount goes through the euro, rounded there to not less than three
decimals (here to exactly three). Article 5: sums to be paid are rounded half up to the cent or
the sub-unit, and to the unit where no sub-unit is in use. The rates themselves are data (Council
Regulation (EC) No 2866/98 as amended) and not kept here.

>>> mark = EuroRate("DEM", Decimal("1.95583"))
>>> lira = EuroRate("ITL", Decimal("1936.27"), smallest=Decimal(1))
>>> into_euro(Decimal("100"), mark), from_euro(Decimal("10"), lira)
(Decimal('51.13'), Decimal('19363'))
>>> between(Decimal("100"), mark, lira)  # 51.129 euro
Decimal('99000')
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal, localcontext
from fractions import Fraction

CENT = Decimal("0.01")
THREE_DECIMALS = Decimal("0.001")


class RateError(ValueError):
    """A rate, or a smallest unit, that is none in law."""


def round_half_up(value: Fraction, smallest: Decimal) -> Decimal:
    """The nearest multiple of ``smallest``, exactly half way up (below nothing: down).

    >>> round_half_up(Fraction(1, 8), CENT), round_half_up(Fraction(-1, 8), CENT)
    (Decimal('0.13'), Decimal('-0.13'))
    """
    if smallest <= 0:
        raise RateError("The smallest unit must be more than nothing.")
    steps = int(abs(value) / Fraction(smallest) + Fraction(1, 2))
    with localcontext() as exact:
        exact.prec = len(str(steps)) + len(smallest.as_tuple().digits)
        return steps * smallest * (-1 if value < 0 else 1)


@dataclass(frozen=True)
class EuroRate:
    """One euro in national units, by law; ``smallest`` is the sub-unit in use, or 1 for none."""

    currency: str
    units: Decimal
    smallest: Decimal = CENT

    def __post_init__(self) -> None:
        if not self.units.is_finite() or self.units <= 0 or len(self.units.as_tuple().digits) != 6:
            raise RateError(
                f"The rate of {self.currency} is {self.units}: write one euro in its units with "
                "six significant figures, zeros at the end included, such as 340.750."
            )
        if self.smallest <= 0:
            raise RateError(f"The smallest unit of {self.currency} must be more than nothing.")


def into_euro(amount: Decimal, rate: EuroRate) -> Decimal:
    """National units in euro, rounded half up to the cent."""
    return round_half_up(Fraction(amount) / Fraction(rate.units), CENT)


def from_euro(amount: Decimal, rate: EuroRate) -> Decimal:
    """Euro in national units, rounded half up to the smallest of them in use."""
    return round_half_up(Fraction(amount) * Fraction(rate.units), rate.smallest)


def between(amount: Decimal, old: EuroRate, new: EuroRate) -> Decimal:
    """One national unit in another, through the euro rounded to three decimals."""
    euro = round_half_up(Fraction(amount) / Fraction(old.units), THREE_DECIMALS)
    return from_euro(euro, new)
