"""Outlines of coins: round, scalloped, polygonal, of equal width, notched or square.

Straight geometry of our own, in any unit of length (millimetres from the record). Each outline
is a closed run of circular arcs joined by straight lines, clockwise round (0, 0) with y
downwards; :func:`outline_path` (SVG path data, also for a ``clipPath`` round a photograph) and
:func:`outline_points` (for striking pictures) both come from it, so they agree.

What "diameter" means: of the circle round a round, scalloped or notched piece; across the
corners of a plain polygon, or of one with an even number of curved sides; the width of one with
an odd number of curved sides, the same in every direction; the side of a square. A curve of
constant width is π times its width long (Barbier 1860):

>>> round(outline_length("curved", 20, 7) / 20, 9)
3.141592654
>>> outline_path("round", 20)
'M0 -10A10 10 0 0 1 0 10A10 10 0 0 1 0 -10Z'
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache, lru_cache
from typing import NamedTuple

from series.entries.choices import Outline
from series.text.english import NUMBERS
from series.text.words import number

OUTLINES = tuple(outline.value for outline in Outline)


class Arc(NamedTuple):
    """Part of a circle from angle ``start`` to ``end`` (radians, clockwise on screen)."""

    cx: float
    cy: float
    r: float
    start: float
    end: float

    def at(self, angle: float) -> tuple[float, float]:
        return self.cx + self.r * math.cos(angle), self.cy + self.r * math.sin(angle)


def outline_arcs(outline: str, diameter: float, sides: int = 0) -> tuple[Arc, ...]:
    """The closed outline, clockwise round (0, 0) from the top; gaps between arcs are lines.

    ``sides`` counts scallops, notches or sides; fewer than 3 means 12 scallops, 7 notches,
    8 straight or 7 curved sides.
    Raises ValueError for an outline that is not in :data:`OUTLINES` or a diameter below zero.
    """
    if diameter <= 0:
        raise ValueError(f"A diameter must be above zero, not {diameter}.")
    half = diameter / 2
    if outline == "round":
        return (
            Arc(0, 0, half, -math.pi / 2, math.pi / 2),
            Arc(0, 0, half, math.pi / 2, 3 * math.pi / 2),
        )
    if outline == "square":
        return _square(half)
    if outline == "scalloped":
        return _scalloped(half, sides if sides > 2 else 12)
    if outline == "notched":
        return _notched(half, sides if sides > 2 else 7)
    if outline == "curved":
        return _curved(half, sides if sides > 2 else 7)
    if outline == "polygon":
        return _polygon(half, sides if sides > 2 else 8)
    raise ValueError(f"“{outline}” is not an outline; use one of {', '.join(OUTLINES)}.")


def _square(half: float) -> tuple[Arc, ...]:
    r = 0.2 * half
    c = half - r
    quarter = math.pi / 2
    corners = ((c, -c, -quarter), (c, c, 0.0), (-c, c, quarter), (-c, -c, 2 * quarter))
    return tuple(Arc(x, y, r, a, a + quarter) for x, y, a in corners)


def _polygon(half: float, n: int) -> tuple[Arc, ...]:
    step = 2 * math.pi / n
    first = -math.pi / 2 + (0 if n % 2 else step / 2)  # odd: a corner on top; even: a side
    r = min(0.08, 0.5 / n) * half
    c = half - r
    return tuple(
        Arc(c * math.cos(a), c * math.sin(a), r, a - step / 2, a + step / 2)
        for a in (first + k * step for k in range(n))
    )


def _curved(half: float, n: int) -> tuple[Arc, ...]:
    """Sides bulge round a point opposite: for an odd number, the opposite corner, which makes
    the width equal in every direction; the corners are rounded without spoiling that."""
    step = math.pi / n
    r = 0.06 * half
    if n % 2:
        reach = (half - r) / math.cos(step / 2)
        away = reach
    else:
        reach = half - r
        away = 0.7 * reach
    turn = math.atan2(reach * math.sin(step), reach * math.cos(step) + away)
    side = math.hypot(reach * math.sin(step), reach * math.cos(step) + away) + r
    arcs = []
    for k in range(n):
        a = -math.pi / 2 + 2 * step * k + (0 if n % 2 else step)
        corner = step - turn
        arcs.append(Arc(reach * math.cos(a), reach * math.sin(a), r, a - corner, a + corner))
        b = a + step
        arcs.append(Arc(-away * math.cos(b), -away * math.sin(b), side, b - turn, b + turn))
    return tuple(arcs)


def _scalloped(half: float, n: int) -> tuple[Arc, ...]:
    alpha = math.pi / n
    valley = half * (1 - 0.5 / n)
    c = (half**2 - valley**2) / (2 * (half - valley * math.cos(alpha)))
    lobe = half - c
    fillet = 0.25 * lobe
    q = c * math.cos(alpha) + math.sqrt((lobe + fillet) ** 2 - (c * math.sin(alpha)) ** 2)
    spread = math.atan2(q * math.sin(alpha), q * math.cos(alpha) - c)
    lean = spread - alpha
    arcs = []
    for k in range(n):
        a = -math.pi / 2 + 2 * alpha * k
        b = a + alpha
        arcs.append(Arc(c * math.cos(a), c * math.sin(a), lobe, a - spread, a + spread))
        arcs.append(
            Arc(q * math.cos(b), q * math.sin(b), fillet, b + math.pi + lean, b + math.pi - lean)
        )
    return tuple(arcs)


def _notched(half: float, n: int) -> tuple[Arc, ...]:
    r = 0.2 * half
    q = half * (1 - 0.028) + r
    phi = math.acos((half**2 + q**2 - r**2) / (2 * half * q))
    psi = math.atan2(half * math.sin(phi), half * math.cos(phi) - q)
    step = 2 * math.pi / n
    arcs = []
    for k in range(n):
        a = -math.pi / 2 + k * step
        arcs.append(Arc(q * math.cos(a), q * math.sin(a), r, a - psi, a + psi - 2 * math.pi))
        arcs.append(Arc(0, 0, half, a + phi, a + step - phi))
    return tuple(arcs)


def outline_points(
    outline: str, diameter: float, sides: int = 0, spacing: float = 0.0
) -> list[tuple[float, float]]:
    """Points along the outline, clockwise from the top, about ``spacing`` apart (default 1/400
    of the diameter), in the units of ``diameter``; the last one joins the first."""
    spacing = spacing or diameter / 400
    arcs = outline_arcs(outline, diameter, sides)
    points: list[tuple[float, float]] = []
    for arc, following in zip(arcs, arcs[1:] + arcs[:1], strict=True):
        steps = max(1, math.ceil(arc.r * abs(arc.end - arc.start) / spacing))
        turn = (arc.end - arc.start) / steps
        points += [arc.at(arc.start + turn * k) for k in range(steps)]
        x, y = arc.at(arc.end)
        to_x, to_y = following.at(following.start)
        line = math.hypot(to_x - x, to_y - y)
        if line > 1e-9 * diameter:
            parts = max(1, math.ceil(line / spacing))
            points += [
                (x + (to_x - x) * k / parts, y + (to_y - y) * k / parts) for k in range(parts)
            ]
    return points


def outline_length(outline: str, diameter: float, sides: int = 0) -> float:
    """Length of the outline, in the units of ``diameter``."""
    arcs = outline_arcs(outline, diameter, sides)
    total = 0.0
    for arc, following in zip(arcs, arcs[1:] + arcs[:1], strict=True):
        total += arc.r * abs(arc.end - arc.start)
        total += math.dist(arc.at(arc.end), following.at(following.start))
    return total


def outline_area(outline: str, diameter: float, sides: int = 0) -> float:
    """Area inside the outline, in the square of the units of ``diameter`` (Green's theorem).

    >>> round(outline_area("round", 2), 9)
    3.141592654
    """
    arcs = outline_arcs(outline, diameter, sides)
    twice = 0.0
    for arc, following in zip(arcs, arcs[1:] + arcs[:1], strict=True):
        twice += arc.r**2 * (arc.end - arc.start)
        twice += arc.r * arc.cx * (math.sin(arc.end) - math.sin(arc.start))
        twice -= arc.r * arc.cy * (math.cos(arc.end) - math.cos(arc.start))
        x, y = arc.at(arc.end)
        to_x, to_y = following.at(following.start)
        twice += x * to_y - to_x * y
    return twice / 2


@lru_cache(maxsize=4096)
def outline_path(
    outline: str,
    diameter: float,
    sides: int = 0,
    hole: str = "",
    hole_size: float = 0.0,
) -> str:
    """SVG path data of the outline round (0, 0), with the hole as a second ring.

    Fill or clip with ``fill-rule`` or ``clip-rule`` set to ``evenodd`` so that the hole is open.
    """
    data = path_data(outline_arcs(outline, diameter, sides))
    if hole and hole_size > 0:
        data += path_data(outline_arcs(hole, hole_size))
    return data


def path_data(arcs: Sequence[Arc]) -> str:
    x, y = arcs[0].at(arcs[0].start)
    parts = [f"M{number(x)} {number(y)}"]
    for arc in arcs:
        from_x, from_y = arc.at(arc.start)
        if math.hypot(from_x - x, from_y - y) > 1e-6 * arc.r:
            parts.append(f"L{number(from_x)} {number(from_y)}")
        x, y = arc.at(arc.end)
        sweep = 1 if arc.end > arc.start else 0
        parts.append(f"A{number(arc.r)} {number(arc.r)} 0 0 {sweep} {number(x)} {number(y)}")
    return "".join(parts) + "Z"


@cache
def panel(words: str) -> tuple[str, int]:
    """An inner panel in words ("seven-sided", "square") as an outline and a number of sides.

    >>> panel("eleven-sided"), panel("a round panel"), panel("")
    (('polygon', 11), ('round', 0), ('', 0))
    """
    words = words.lower()
    if not words or words == "none":
        return "", 0
    for outline in ("round", "scalloped", "square"):
        if outline in words:
            return outline, 0
    for word in sorted(_SIDES, key=len, reverse=True):
        if word in words:
            return "polygon", _SIDES[word]
    return "round", 0


_SIDES = {word: number for word, number in NUMBERS.items() if number > 2} | {
    "triang": 3, "pentagon": 5, "hexagon": 6, "heptagon": 7, "octagon": 8, "decagon": 10,
    "dodecagon": 12,
}  # fmt: skip
