"""A face of a coin as the wall shows it: an SVG whose unit is the millimetre.

What is computed: markup. Every face of a talk has the same view box, a square that the widest
coin of the talk fits in, so whatever size a page gives the squares, all coins stand at one scale;
:func:`rule_svg` is a rule of 10 mm in a box of the same width. Lengths mm. Geometry stands in
attributes alone, so a strict content policy holds, and nothing has an id, so a face can be copied.

>>> face = ShownFace("obverse", "Gull", 20.0, src="gull.webp", px=900)
>>> face_svg(face, widest_mm=30.0).startswith('<svg class="face" viewBox="-15.3 -15.3 30.6 30.6"')
True
>>> ring_place(Light("reverse", 3.0, 80), 20.0)
(8.0, 0.0)
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from decimal import Decimal
from html import escape

from catalogue.talks.shown import Light, ShownFace
from series.picture.outlines import outline_path, outline_points
from series.text.words import clock_text, number

ROOM = 1.02
"""The view box, as a multiple of the widest coin; chosen by eye."""

RING = 0.095
"""The radius of the ring of a light, as a share of the coin's width; chosen by eye."""


def box_mm(widest_mm: float) -> float:
    """The side of the square that every face of a talk is drawn in."""
    return ROOM * (widest_mm or 1.0)


def face_svg(
    face: ShownFace,
    widest_mm: float,
    held: bool = True,
    lights: Iterable[tuple[int, Light]] = (),
) -> str:
    """One face; a coin that is not held is faint within a dashed outline.

    ``lights`` are those of the stop with their numbers, of which this side takes its own. Nothing
    is ringed on a photograph that does not end at the coin's edge, for nobody knows where it lies.
    """
    whole = box_mm(widest_mm)
    scaled = to_scale(face)
    own = ROOM * face.width_mm * _extent(face) if scaled else whole
    inside = _picture(face, whole) if face.src else face.svg
    if not held:
        inside = f'<g class="faint">{inside}</g>{_outline(face)}'
    rings = _rings(face, lights) if scaled else ""
    return (
        f'<svg class="face" viewBox="{_square(whole)}" data-whole="{_square(whole)}" '
        f'data-closer="{_square(own)}" data-side="{escape(face.side)}" '
        f'data-width="{number(face.width_mm)}" role="img" aria-label="{escape(face.alt)}">'
        f"{inside}{rings}</svg>"
    )


def rule_svg(widest_mm: float) -> str:
    """A rule of 10 mm at the right end of a box as wide as a face."""
    whole = box_mm(widest_mm)
    left = whole - 10
    return (
        f'<svg class="rule" viewBox="0 0 {number(whole)} 0.5" aria-hidden="true">'
        f'<path d="M{number(left)} 0v0.5h10v-0.5" vector-effect="non-scaling-stroke"/></svg>'
    )


def ring_place(light: Light, width_mm: float) -> tuple[float, float]:
    """The middle of a light's ring, from the middle of the coin: right and down."""
    angle, far = math.radians(light.clock * 30), light.radius / 100 * width_mm / 2
    return round(far * math.sin(angle), 3), 0.0 - round(far * math.cos(angle), 3)


def light_words(light: Light) -> str:
    """What a light points at, said aloud.

    >>> light_words(Light("reverse", 3.0, 80, "a small D"))
    "Light on the reverse at 3 o'clock: a small D"
    >>> light_words(Light("reverse", 3.0, 80, "Look at three o'clock: a small D."))
    "Look at three o'clock: a small D."
    """
    if light.words.endswith("."):
        return light.words
    clock = clock_text(Decimal(str(light.clock)))
    what = f": {light.words}" if light.words else ""
    return f"Light on the {light.side} at {clock}{what}"


def _square(side: float) -> str:
    half = number(-side / 2)
    return f"{half} {half} {number(side)} {number(side)}"


def _picture(face: ShownFace, whole: float) -> str:
    """A trimmed picture at its coin's size, cut by its outline; any other as large as the box."""
    scaled = to_scale(face)
    side = face.width_mm * _extent(face) if scaled else whole
    fit = "slice" if scaled else "meet"
    cut = f' clip-path="{_cut(face)}"' if scaled else ' class="print"'
    half, across = number(-side / 2), number(side)
    return (
        f'<image href="{escape(face.src)}" x="{half}" y="{half}" width="{across}" '
        f'height="{across}" preserveAspectRatio="xMidYMid {fit}" decoding="sync"{cut}/>'
    )


def to_scale(face: ShownFace) -> bool:
    """Whether a face can be drawn at the scale of the talk."""
    return face.width_mm > 0 and (face.trimmed or not face.src)


def _extent(face: ShownFace) -> float:
    """The side of the square that an outline fits in, as a multiple of its diameter."""
    points = outline_points(face.outline, 2.0, face.sides)
    return max(max(abs(x), abs(y)) for x, y in points)


def _cut(face: ShownFace) -> str:
    if face.outline == "round":
        return "circle(50%)"
    reach = _extent(face)
    points = (
        f"{number(50 + 50 * x / reach)}% {number(50 + 50 * y / reach)}%"
        for x, y in outline_points(face.outline, 2.0, face.sides, spacing=0.04)
    )
    return f"polygon({','.join(points)})"


def _outline(face: ShownFace) -> str:
    path = outline_path(face.outline, face.width_mm, face.sides)
    return f'<path class="not-held" d="{path}" vector-effect="non-scaling-stroke"/>'


def _rings(face: ShownFace, lights: Iterable[tuple[int, Light]]) -> str:
    """The ring that shows how wide the coin before was, and one for each light."""
    before = '<circle class="before-ring" r="0" vector-effect="non-scaling-stroke"/>'
    own = (_ring(at, light, face) for at, light in lights if light.side == face.side)
    return before + "".join(own)


def _ring(at: int, light: Light, face: ShownFace) -> str:
    x, y = ring_place(light, face.width_mm)
    return (
        f'<circle class="light" data-light="{at}" data-words="{escape(light_words(light))}" '
        f'cx="{number(x)}" cy="{number(y)}" r="{number(RING * face.width_mm)}" '
        f'vector-effect="non-scaling-stroke"/>'
    )
