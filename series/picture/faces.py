"""Both faces of a coin that is only described yet, drawn side by side at one scale.

What is computed: an SVG whose unit is the millimetre, with the two faces, their legends along
the rim, and a rule of 10 mm below; every coin no wider than ``USUAL_MM`` is shown at the same
scale, so that a larger one looks larger. Room and type sizes were chosen by eye, no source.

>>> picture = two_faces(Drawn(20), ("H", "HALVERN"), ("25", ""), label="25 tinne")
>>> picture.count('class="coin-edge"'), 'HALVERN' in picture, "10 mm" in picture
(2, True, True)
"""

from __future__ import annotations

import math
from dataclasses import replace
from html import escape

from series.picture.drawing import SERIF, Drawn, coin, supposed_mark
from series.picture.metals import METALS, known
from series.text.words import number

USUAL_MM = 30.0
_ROUND_THE_RIM = 0.365  # of the width: within the beads of the drawing
_ARC = math.radians(300)
_LETTER = 0.64  # the mean width of a capital, of its size
_IDS = "draft-legend"


def two_faces(
    shape: Drawn, obverse: tuple[str, str], reverse: tuple[str, str], label: str, unknown: str = ""
) -> str:
    """The faces as (middle, legend) each; ``label`` is read out, ``unknown`` says a size is not.

    The middle is a numeral or a letter, "" for a bare face.
    """
    cell = 1.06 * max(USUAL_MM, shape.diameter_mm) + 3
    width, height = 2 * cell, cell + 5
    parts = []
    for place, (middle, legend) in enumerate((obverse, reverse)):
        face = replace(shape, text=middle)
        inside = coin(face) + _legend(face, legend, f"{_IDS}-{place}")
        inside += supposed_mark(shape, 1.0, unknown)
        at = f"translate({number((place + 0.5) * cell)} {number(cell / 2)})"
        parts.append(f'<g transform="{at}">{inside}</g>')
    return (
        f'<svg class="draft-coins" viewBox="0 0 {number(width)} {number(height)}" role="img" '
        f'aria-label="{escape(label)}">{"".join(parts)}{_rule(width, cell + 2)}</svg>'
    )


def _legend(shape: Drawn, text: str, name: str) -> str:
    """A legend clockwise along the rim, its middle at the top; "" for none."""
    text = " ".join(text.split())
    if not text:
        return ""
    size = shape.diameter_mm
    radius = _ROUND_THE_RIM * size
    font = min(0.075 * size, _ARC * radius / (_LETTER * len(text)))
    x, y = radius * math.sin(_ARC / 2), -radius * math.cos(_ARC / 2)
    arc = (
        f"M{number(-x)} {number(y)}A{number(radius)} {number(radius)} 0 1 1 {number(x)} {number(y)}"
    )
    ink = METALS[known(shape.colour)].deep
    return (
        f'<path id="{name}" d="{arc}" fill="none"/>'
        f'<text font-family="{SERIF}" font-weight="600" font-size="{number(font)}" '
        f'text-anchor="middle" fill="{ink}" fill-opacity="0.85" aria-hidden="true">'
        f'<textPath href="#{name}" startOffset="50%">{escape(text)}</textPath></text>'
    )


def _rule(width: float, top: float) -> str:
    left = width / 2 - 5
    line = f"M{number(left)} {number(top)}v1M{number(left)} {number(top + 0.5)}h10m0 -0.5v1"
    return (
        f'<g class="draft-rule" aria-hidden="true"><path d="{line}"/>'
        f'<text x="{number(left + 11.5)}" y="{number(top + 1.2)}">10 mm</text></g>'
    )
