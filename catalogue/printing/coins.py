"""What is put into a pocket on paper: a coin drawn from its record, or its picture, at true size.

Markup of SVG centred on (0, 0), one unit a millimetre of paper. A picture is named
``exergue:<name>``, fills the square its outline fits in, and is cut along the outline. The
outlines are those of :mod:`series.picture.outlines`.

>>> coin = Drawn(24.25, colour="brass", text="50")
>>> "url(" in coin_art(coin)  # no gradients: some readers of PDF fail on them
False
>>> 'href="exergue:face-7"' in coin_art(coin, picture="face-7")
True
>>> widest_mm(coin), round(widest_mm(Drawn(20, outline="square")), 2)
(24.25, 26.63)
"""

from __future__ import annotations

import math
from functools import cache
from html import escape

from series.picture.drawing import Drawn, coin
from series.picture.outlines import outline_path, outline_points
from series.text.words import number


def coin_art(drawn: Drawn, scale: float = 1.0, picture: str = "", key: str = "coin") -> str:
    """The coin at ``scale`` (0.5 draws it at 1:2); ``picture`` is its name in the document.

    ``key`` tells it from the other coins of the document.
    """
    if not picture:
        return coin(drawn, scale, printed=True)
    size = drawn.diameter_mm * scale
    cut = outline_path(drawn.outline, size, drawn.sides, drawn.hole, drawn.hole_mm * scale)
    edge = outline_path(drawn.outline, size, drawn.sides)
    side = size * _square(drawn.outline, drawn.sides)
    name = f"cut-{escape(key)}"
    corner, width = number(-side / 2), number(side)
    return (
        f'<clipPath id="{name}"><path d="{cut}" clip-rule="evenodd"/></clipPath>'
        f'<image href="exergue:{escape(picture)}" x="{corner}" y="{corner}" width="{width}" '
        f'height="{width}" preserveAspectRatio="xMidYMid slice" clip-path="url(#{name})"/>'
        f'<path class="coin-edge" d="{edge}" fill="none" stroke="#1F2226" stroke-width="0.1" '
        'stroke-opacity="0.5"/>'
    )


def widest_mm(drawn: Drawn) -> float:
    """The diameter of the circle round the coin, in mm: what its pocket must let in."""
    if drawn.outline == "round":
        return drawn.diameter_mm
    return drawn.diameter_mm * _round(drawn.outline, drawn.sides)


@cache
def _square(outline: str, sides: int) -> float:
    """The side of the square an outline fits in, as a multiple of its diameter."""
    return max(max(abs(x), abs(y)) for x, y in outline_points(outline, 2.0, sides))


@cache
def _round(outline: str, sides: int) -> float:
    """The circle round an outline, as a multiple of its diameter."""
    return max(math.hypot(x, y) for x, y in outline_points(outline, 2.0, sides))
