"""A line chart of amounts by day, as the figures an SVG drawing needs.

Computed: where each point stands in a box of ``width`` by ``height`` (units of the drawing, the
origin at the top left), time running evenly to the right and the scale starting at nought, so
that a rise looks no steeper than it is.

>>> line = chart([(date(2024, 1, 1), Decimal("10")), (date(2025, 1, 1), Decimal("20"))], 100, 50)
>>> line.points
'4,25 96,4'
>>> line.top
Decimal('20')
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

MARGIN = 4


@dataclass(frozen=True)
class Dot:
    """One point of the line: where it stands, and what it says."""

    x: str
    y: str
    on: date
    amount: Decimal


@dataclass(frozen=True)
class Chart:
    """A line in a box; ``points`` is an SVG points list, ``top`` the largest amount."""

    width: int
    height: int
    points: str
    dots: tuple[Dot, ...]
    base: str
    top: Decimal


def chart(history: Sequence[tuple[date, Decimal]], width: int, height: int) -> Chart | None:
    """The chart of a history in order of days; None for fewer than two days."""
    if len(history) < 2:
        return None
    first, last = history[0][0], history[-1][0]
    top = max(amount for _day, amount in history)
    span = Decimal((last - first).days) or Decimal(1)
    across, down = Decimal(width - 2 * MARGIN), Decimal(height - 2 * MARGIN)
    dots = tuple(
        Dot(
            _place(MARGIN + across * (day - first).days / span),
            _place(height - MARGIN - (down * amount / top if top else Decimal(0))),
            day,
            amount,
        )
        for day, amount in history
    )
    points = " ".join(f"{dot.x},{dot.y}" for dot in dots)
    return Chart(width, height, points, dots, str(height - MARGIN), top)


def _place(value: Decimal) -> str:
    return f"{value:.1f}".removesuffix(".0")
