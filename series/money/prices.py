"""What money was worth: buying power from an index of prices.

What is computed: how much of the money of a base year one unit of a later year was worth, as an
exact ratio of two index figures, and that ratio to two significant figures for people to read.

>>> worth(Decimal("100"), Decimal("250")), readable(Decimal("0.4"))
(Decimal('0.4'), '0.4')
>>> readable(Decimal("0.03846")), readable(Decimal("1234.5"))
('0.038', '1200')
"""

from __future__ import annotations

from decimal import Decimal

from series.text.words import plain


def worth(base: Decimal, later: Decimal) -> Decimal:
    """Base-year money that one unit bought as much as, when the index stood at ``later``."""
    if base <= 0 or later <= 0:
        raise ValueError("an index of prices is above zero")
    return base / later


def readable(value: Decimal) -> str:
    """A figure to two significant places, without an exponent."""
    return plain(Decimal(f"{value:.1e}"))
