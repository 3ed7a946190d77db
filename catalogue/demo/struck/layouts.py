"""Lay out the face of a coin: where legends, numeral, date, motif and marks stand.

Lengths are in half diameters (1 is the edge of a round piece), x to the right, y downwards,
the middle at (0, 0). Nothing is set outside the circle it belongs in: text too long for its
place is set smaller. Letters come from :mod:`catalogue.demo.struck.letters`.

>>> face = lay_out(Face(legend_top="HALVERN", numeral="25", unit="TINNE", date="1953"), core=0.88)
>>> "".join(letter.char for letter in face.date), face.exergue is None
('1953', True)
>>> max(abs(letter.turn) for letter in face.numeral)
0.0
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from catalogue.demo.struck.clay import BASE, MOTIFS
from catalogue.demo.struck.letters import Letter, arc, span, straight, within


class Placed(NamedTuple):
    """A motif: its middle, the radius it is scaled to, mirrored or not, how high it stands."""

    name: str
    x: float
    y: float
    radius: float
    mirrored: bool
    rise: float


@dataclass(frozen=True)
class Face:
    """What stands on a face; "" where there is none. Clock positions in hours (12 is the top).

    ``unit`` may hold lines, parted by newlines. ``facing`` is "left" or "right".
    ``privy`` is the name of a motif, struck small.
    """

    legend_top: str = ""
    legend_bottom: str = ""
    date: str = ""
    numeral: str = ""
    unit: str = ""
    motif: str = ""
    facing: str = "left"
    mint_mark: str = ""
    mint_mark_clock: float = 6.0
    privy: str = ""
    privy_clock: float = 12.0


@dataclass
class Layout:
    legends: list[Letter] = field(default_factory=list)
    numeral: list[Letter] = field(default_factory=list)
    unit: list[Letter] = field(default_factory=list)
    date: list[Letter] = field(default_factory=list)
    marks: list[Letter] = field(default_factory=list)
    motifs: list[Placed] = field(default_factory=list)
    exergue: tuple[float, float] | None = None  # its y and half its length
    free: float = 1.0  # radius of the circle inside the legends


def lay_out(face: Face, core: float, ring: float = 0.0, hole: float = 0.0) -> Layout:
    """Lay out a face inside the circle of radius ``core``.

    ``ring`` is the radius of the centre of a ring-and-centre piece (its legends then stand in
    the ring), ``hole`` that of the circle round the hole. Raises KeyError for a motif or privy
    mark that is not in the registry.
    """
    out = Layout()
    date_on_arc = bool(
        face.date
        and not face.legend_bottom
        and face.motif
        and not face.numeral
        and not hole
        and MOTIFS[face.motif].kind in ("figure", "ground")
    )
    lower = face.date if date_on_arc else face.legend_bottom
    cap, outer = 0.122, core - 0.02
    if ring:
        cap = min(cap, 0.56 * (core - ring))
        outer = (core + ring + cap) / 2
    arcs = [text for text in (face.legend_top, lower) if text]
    degrees = sum(span(text, outer - cap / 2, cap) for text in arcs)
    most = 300.0 if len(arcs) == 2 else 316.0
    if degrees > most:
        cap *= most / degrees
    upper_span = span(face.legend_top, outer - cap, cap) if face.legend_top else 0.0
    lower_span = span(lower, outer, cap) if lower else 0.0
    if face.legend_top:
        out.legends += arc(face.legend_top, outer - cap, cap, top=True)
    if lower:
        letters = arc(lower, outer, cap, top=False)
        if date_on_arc:
            out.date = letters
        else:
            out.legends += letters
    out.free = outer - cap - 0.035 if arcs else core - 0.03
    if ring:
        out.free = min(out.free, ring - 0.035)
    if face.motif:
        MOTIFS[face.motif]  # a KeyError says which motif is unknown
    drop = 0.0 if ring or hole or lower else _drop(face, upper_span, cap)
    out.free += drop
    spans, band = (upper_span, lower_span), outer - cap / 2 if arcs else 0.0
    if hole:
        foot = face.mint_mark and _from_top(face.mint_mark_clock) > 150
        if foot and not _fits_band(face.mint_mark_clock, spans, band):
            _around_hole(out, replace(face, mint_mark=""), hole, face.mint_mark)
            face = replace(face, mint_mark="")
        else:
            _around_hole(out, face, hole)
    elif face.motif and not face.numeral and not face.unit:
        _picture(out, face, date_on_arc)
    else:
        _value(out, face)
    if drop:
        _lower(out, drop)
    _small_marks(out, face, spans, band, cap, hole)
    return out


def _from_top(clock: float) -> float:
    """Degrees between an hour and 12 o'clock."""
    return abs((clock * 30 + 180) % 360 - 180)


def _fits_band(clock: float, spans: tuple[float, float], band: float) -> bool:
    """Whether a small mark has room among the legends at this hour."""
    away = _from_top(clock)
    below_upper = not spans[0] or away > spans[0] / 2 + 7
    above_lower = not spans[1] or 180 - away > spans[1] / 2 + 7
    return bool(band) and below_upper and above_lower


def _drop(face: Face, upper_span: float, cap: float) -> float:
    """How far the middle of the design may sink, where nothing runs along the lower edge."""
    low = any(
        sign and _from_top(clock) > 100
        for sign, clock in ((face.mint_mark, face.mint_mark_clock), (face.privy, face.privy_clock))
    )
    if low or not upper_span:
        return 0.0
    fills = face.motif and MOTIFS[face.motif].kind in ("ground", "wreath")
    widest = 120 if fills else 200
    return 0.42 * cap if upper_span < widest else 0.0


def _lower(out: Layout, drop: float) -> None:
    """Move the design, legends apart, down by ``drop``."""
    out.free -= drop
    for name in ("numeral", "unit", "date"):
        setattr(out, name, [letter._replace(y=letter.y + drop) for letter in getattr(out, name)])
    out.motifs = [placed._replace(y=placed.y + drop) for placed in out.motifs]
    if out.exergue:
        out.exergue = out.exergue[0] + drop, out.exergue[1]


def _picture(out: Layout, face: Face, date_on_arc: bool) -> None:
    """A motif alone; a standing one on the exergue line when there is a date to go below it."""
    free, mirror = out.free, face.facing == "right"
    kind = MOTIFS[face.motif].kind
    if not face.date or date_on_arc:
        lift = 0.0 if kind != "standing" else 0.1 * free
        out.motifs.append(Placed(face.motif, 0, lift, free, mirror, 1.0))
    elif kind == "standing":
        out.motifs.append(Placed(face.motif, 0, 0, free, mirror, 1.0))
        out.exergue = BASE * free + 0.008, 0.97 * free * math.sqrt(1 - BASE**2)
        out.date = within(face.date, 0.775 * free, 0.19 * free, free)
    elif kind == "wreath":
        out.motifs.append(Placed(face.motif, 0, 0, free, mirror, 1.0))
        out.date = within(face.date, 0, 0.26 * free, 0.6 * free)
    else:
        out.motifs.append(Placed(face.motif, 0, -0.14 * free, 0.82 * free, mirror, 1.0))
        out.date = within(face.date, 0.8 * free, 0.17 * free, free)


def _value(out: Layout, face: Face) -> None:
    """A numeral, a unit and a date, one below another, with or without a motif."""
    free, mirror = out.free, face.facing == "right"
    kind = MOTIFS[face.motif].kind if face.motif else ""
    room = free
    if kind == "ground":
        out.motifs.append(Placed(face.motif, 0, 0, free, mirror, 0.42))
    elif kind == "wreath":
        out.motifs.append(Placed(face.motif, 0, 0, free * 1.06, mirror, 0.85))
        room = 0.66 * free
    elif kind:
        lift, size = (-0.42, 0.54) if kind == "standing" else (-0.5, 0.46)
        out.motifs.append(Placed(face.motif, 0, lift * free, size * free, mirror, 0.85))
        _lines(out, face, ((0.2, 0.42), (0.55, 0.145), (0.8, 0.13)), room)
        return
    if not face.numeral:
        lines = face.unit.split("\n")
        size = min(0.3, 0.95 / (len(lines) + 0.7))
        middle = -0.12 if face.date else 0.0
        for k, line in enumerate(lines):
            y = (middle + (k - (len(lines) - 1) / 2) * size * 1.42) * room
            out.unit += within(line, y, size * room, room)
        if face.date:
            out.date = within(face.date, 0.7 * room, 0.16 * room, room)
    elif kind == "wreath" and face.unit and face.date:
        _lines(out, face, ((-0.3, 0.78), (0.32, 0.22), (0.7, 0.2)), room)
    elif face.unit and face.date:
        _lines(out, face, ((-0.27, 0.66), (0.32, 0.18), (0.68, 0.17)), room)
    elif face.unit:
        _lines(out, face, ((-0.16, 0.74), (0.5, 0.2), (0.8, 0.1)), room)
    else:
        high = (-0.12, 0.8) if face.date else (0.0, 0.98)
        _lines(out, face, (high, (0.5, 0.2), (0.6, 0.19)), room)


def _lines(out: Layout, face: Face, places: Iterable[tuple[float, float]], room: float) -> None:
    """Set numeral, unit and date at (y, capital height), in shares of ``room``."""
    (y0, h0), (y1, h1), (y2, h2) = places
    if face.numeral:
        out.numeral = within(face.numeral, y0 * room, h0 * room, room)
    if face.unit:
        out.unit = within(face.unit.replace("\n", " "), y1 * room, h1 * room, room)
    if face.date:
        out.date = within(face.date, y2 * room, h2 * room, room)


def _around_hole(out: Layout, face: Face, hole: float, mark: str = "") -> None:
    """Above the hole the numeral, or else the motif; below it unit, date and mint mark."""
    free = out.free
    band = free - hole - 0.03
    middle = hole + 0.03 + band / 2
    mirror = face.facing == "right"
    kind = MOTIFS[face.motif].kind if face.motif else ""
    if kind in ("wreath", "ground"):
        share = 1.04 if kind == "wreath" else 1.0
        out.motifs.append(Placed(face.motif, 0, 0, share * free, mirror, 0.6))
        if kind == "wreath":
            band, middle = 0.7 * free - hole - 0.03, (0.7 * free + hole + 0.03) / 2
    elif kind and (face.numeral or face.unit):
        for x, turned in ((-middle, mirror), (middle, not mirror)):
            out.motifs.append(Placed(face.motif, x, 0, 0.54 * band, turned, 0.6))
    elif kind:
        out.motifs.append(Placed(face.motif, 0, -middle, 0.58 * band, mirror, 0.7))
    if face.numeral:
        out.numeral = within(face.numeral, -middle, 0.68 * band, 0.97 * free)
    unit = face.unit.replace("\n", " ")
    below = [
        (kind, text)
        for kind, text in (("unit", unit), ("date", face.date), ("marks", mark))
        if text
    ]
    size = {1: 0.5, 2: 0.33, 3: 0.24}.get(len(below), 0.5) * band
    for k, (part, text) in enumerate(below):
        y = middle + (k - (len(below) - 1) / 2) * 1.38 * size
        getattr(out, part).extend(within(text, y, size, middle + band / 2))


def _small_marks(
    out: Layout, face: Face, spans: tuple[float, float], band: float, cap: float, hole: float
) -> None:
    """Mint mark and privy mark at their hours: among the legends if there is room, else inside;
    and a stop in each gap between two legends."""
    taken = []
    for sign, clock in ((face.mint_mark, face.mint_mark_clock), (face.privy, face.privy_clock)):
        if not sign:
            continue
        angle = math.radians(clock % 12 * 30)
        from_top, free_there = _from_top(clock), _fits_band(clock, spans, band)
        radius, size = (band, cap * 0.86) if free_there else (out.free - 0.05, 0.085)
        if free_there:
            taken.append(clock % 12 * 30)
        elif hole:
            radius = (out.free + hole) / 2
        elif from_top > 155 and any(letter.turn for letter in out.date):  # the date on the arc
            first = out.motifs[0]
            out.motifs[0] = first._replace(y=first.y - 0.1 * out.free, radius=0.88 * first.radius)
        elif from_top > 155 and out.date and max(letter.y for letter in out.date) > 0.6 * out.free:
            size, radius = 0.11 * out.free, 0.91 * out.free
            out.date = within(face.date, 0.73 * out.free, 0.13 * out.free, out.free)
        x, y = radius * math.sin(angle), -radius * math.cos(angle)
        if sign == face.mint_mark:
            out.marks += straight(sign, y, size, 0.4, x)
        else:
            out.motifs.append(Placed(sign, x, y, size * 0.66, False, 0.4))
    if spans[0] and spans[1]:
        turn = (spans[0] / 2 + 180 - spans[1] / 2) / 2
        gap = 180 - spans[1] / 2 - spans[0] / 2
        for side in (turn, 360 - turn):
            if gap > 16 and all(abs((side - other + 180) % 360 - 180) > 14 for other in taken):
                a = math.radians(side)
                x, y = band * math.sin(a), -band * math.cos(a)
                out.legends.append(Letter("•", x, y + cap * 0.48, 0.0, cap))
