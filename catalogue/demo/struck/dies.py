"""Cut the die of a coin's face: a height map in half diameters, from the layout of the face.

The blank comes first: for every pixel, how far it lies inside the edge. Its outline is that of
:func:`series.picture.outlines.outline_points`, so a struck picture and a drawing agree. Then rim,
border, motifs, letters, in this order; around letters, what lies beneath is cleared away.
Heights: the field 0, the rim and the highest points about 0.045.

>>> blank = blank_of(Planchet(20.0), px=96)
>>> round(blank.per_unit * 2, 1), float(blank.cover[48, 48]), float(blank.cover[0, 0])
(96.0, 1.0, 0.0)
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache, lru_cache

import numpy as np
from PIL import Image, ImageDraw

from catalogue.demo.struck.clay import Array, blurred, dome, model
from catalogue.demo.struck.layouts import Face, Placed, lay_out
from catalogue.demo.struck.letters import EASTERN, Letter, font
from series.picture.outlines import outline_points

RIM = 0.052
BORDERS = {"beaded": 0.05, "toothed": 0.055, "linear": 0.03, "corded": 0.048, "none": 0.008}
FINER = 4
SOFT, SOFTER = 0.003, 0.0125  # radii of the two blurs, in widths of the picture


@dataclass(frozen=True)
class Planchet:
    """The shape of a piece; words and lengths (mm) as in :class:`series.picture.drawing.Drawn`."""

    diameter_mm: float
    outline: str = "round"
    sides: int = 0
    hole: str = ""
    hole_mm: float = 0.0
    ring_mm: float = 0.0
    panel: str = ""
    panel_sides: int = 0

    def scaled(self) -> Planchet:
        """The same shape two units across, so that pieces of one shape share what is made."""
        share = 2 / self.diameter_mm
        return replace(
            self,
            diameter_mm=2.0,
            hole_mm=round(self.hole_mm * share, 3),
            ring_mm=round(self.ring_mm * share, 3),
        )

    @property
    def ring(self) -> float:
        """Radius of the centre of a ring-and-centre piece, in half diameters."""
        return self.ring_mm / self.diameter_mm

    @property
    def bore(self) -> float:
        """Half the size of the hole, in half diameters."""
        return self.hole_mm / self.diameter_mm if self.hole else 0.0


@dataclass(frozen=True)
class Blank:
    """Arrays over the picture: ``cover`` (0 outside, 1 inside), distance ``inward`` from the
    edge and ``beyond`` the hole's edge, polar coordinates, and length ``along`` the edge; all
    lengths in half diameters, ``per_unit`` pixels each. ``core`` is the greatest free circle."""

    px: int
    per_unit: float
    cover: Array
    inward: Array
    beyond: Array
    radius: Array
    angle: Array
    along: Array
    length: float
    core: float


def reach(planchet: Planchet) -> float:
    """Half the side of the square that a piece fits in, in half diameters."""
    points = outline_points(planchet.outline, 2.0, planchet.sides)
    return max(max(abs(x), abs(y)) for x, y in points)


@lru_cache(maxsize=24)
def blank_of(planchet: Planchet, px: int) -> Blank:
    """The blank of a piece in a square picture of ``px`` pixels, the piece in its middle."""
    per_unit = px / 2 / reach(planchet)
    at = ((np.arange(px, dtype=np.float32) + 0.5) - px / 2) / np.float32(per_unit)
    x, y = at[None, :], at[:, None]
    radius = np.hypot(x, y)
    angle = np.arctan2(y, x)
    inward, along, length, core = _inside(planchet.outline, planchet.sides, 1.0, radius, angle)
    cover = np.clip(inward * per_unit + 0.5, 0, 1)
    beyond = radius + np.float32(1)
    if planchet.hole == "round":
        beyond = radius - np.float32(planchet.bore)
    elif planchet.hole:
        beyond = np.maximum(abs(x), abs(y)) - np.float32(planchet.bore)
    cover *= np.clip(beyond * per_unit + 0.5, 0, 1)
    return Blank(px, per_unit, cover, inward, beyond, radius, angle, along, length, core)


def _inside(
    outline: str, sides: int, half: float, radius: Array, angle: Array
) -> tuple[Array, Array, float, float]:
    """Distance inside an outline, length along it, its whole length and its inner radius."""
    if outline == "round":
        return half - radius, angle * np.float32(half), 2 * math.pi * half, half
    points = np.array(outline_points(outline, 2 * half, sides, spacing=0.004 * half))
    turns = np.arctan2(points[:, 1], points[:, 0])
    order = np.argsort(turns)
    points, turns = points[order], turns[order]
    away = np.hypot(points[:, 0], points[:, 1])
    steps = np.hypot(*(np.roll(points, -1, axis=0) - points).T)
    lengths = np.concatenate([[0.0], np.cumsum(steps)[:-1]])
    bend = np.gradient(np.log(away), turns)
    lean = 1 / np.sqrt(1 + bend**2)

    grid = np.linspace(-np.pi, np.pi, 4097)
    index = ((angle + np.float32(np.pi)) * np.float32(4096 / (2 * np.pi))).astype(np.int32)

    def spread(values: np.ndarray) -> Array:
        table = np.interp(grid, turns, values, period=2 * np.pi).astype(np.float32)
        return table[index]

    inward = (spread(away) - radius) * spread(lean)
    table = np.interp(grid, turns, lengths).astype(np.float32)
    return inward, table[index], float(steps.sum()), float(away.min())


@dataclass(frozen=True)
class Die:
    """A face without its date: its heights, the same softened a little and more, and the
    circles its layout was made for."""

    heights: Array
    soft: Array
    softer: Array
    core: float
    ring: float
    hole: float

    def date(self, face: Face) -> list[Letter]:
        """The letters of the date of a face, which is otherwise the one of this die."""
        return lay_out(face, self.core, self.ring, self.hole).date


def die_of(planchet: Planchet, face: Face, border: str, px: int) -> Die:
    """Cut the die of a face, dates apart. An unknown word for the border is cut as none."""
    return _cut(planchet, replace(face, date="0" * len(face.date)), border, px)


@lru_cache(maxsize=32)
def _cut(planchet: Planchet, face: Face, border: str, px: int) -> Die:
    blank = blank_of(planchet, px)
    core = blank.core - RIM - BORDERS.get(border, BORDERS["none"])
    heights = _rim(blank)
    _cut_border(blank, heights, border)
    if planchet.panel:
        core = _cut_panel(blank, planchet, heights) - 0.02
    bore = planchet.bore * (1.0 if planchet.hole == "round" else 1.3)
    hole = bore + 0.045 if bore else 0.0
    layout = lay_out(face, core, planchet.ring, hole)
    for placed in layout.motifs:
        _press(blank, heights, model(placed.name), placed)
    if layout.exergue:
        _cut_exergue(blank, heights, *layout.exergue)
    if planchet.hole:
        heights *= np.clip((blank.beyond - np.float32(0.05)) / np.float32(0.02), 0, 1)
    engrave(blank, heights, layout.legends, 0.024, moat=0.3)
    engrave(blank, heights, layout.numeral, 0.04, moat=0.21)
    engrave(blank, heights, layout.unit, 0.028, moat=0.45)
    engrave(blank, heights, layout.marks, 0.022, moat=0.3)
    if planchet.hole:
        heights = np.maximum(heights, _bump(blank.beyond, 0.004, 0.034, 0.01) * np.float32(0.03))
    if planchet.ring_mm:
        away = np.abs(blank.radius - np.float32(planchet.ring))
        heights -= np.float32(0.02) * np.clip(1 - away / np.float32(0.013), 0, 1)
    return Die(heights, *softened(heights, px), core, planchet.ring, hole)


def softened(heights: Array, px: int) -> tuple[Array, Array]:
    """Heights blurred a little and more, as wear does; ``px`` is the width of the picture."""
    return blurred(heights, px * SOFT), blurred(heights, px * SOFTER)


def _bump(distance: Array, start: float, end: float, slope: float) -> Array:
    """1 between two distances, falling to 0 over ``slope`` on either side, rounded."""
    rise = np.clip(
        np.minimum((distance - start) / slope + 1, (end - distance) / slope + 1), 0, 1
    ).astype(np.float32)
    return rise * rise * (3 - 2 * rise)


def _rim(blank: Blank) -> Array:
    """A raised rim, rounded off outside."""
    flat = _bump(blank.inward, 0.016, RIM - 0.012, 0.016)
    return flat * np.float32(0.04)


def _cut_border(blank: Blank, heights: Array, border: str) -> None:
    per = blank.per_unit
    if border in ("beaded", "toothed", "corded"):
        gap = {"beaded": 0.047, "toothed": 0.036, "corded": 0.04}[border]
        count = max(24, round(blank.length / gap))
        gap = blank.length / count
        from_middle = blank.inward - np.float32(RIM + 0.024)
        phase = blank.along / np.float32(gap)
        if border == "corded":
            phase = phase + from_middle / np.float32(0.03)
        beside = (phase - np.round(phase)) * np.float32(gap)
        if border == "beaded":
            ball = 1 - (beside**2 + from_middle**2) / np.float32(0.0175**2)
            shape = np.sqrt(np.clip(ball, 0, 1)) * np.float32(0.024)
        elif border == "toothed":
            tooth = np.clip((0.0125 - np.abs(beside)) * per * 0.7 + 0.2, 0, 1)
            shape = tooth * _bump(blank.inward, RIM - 0.01, RIM + 0.036, 0.012) * np.float32(0.022)
        else:
            cord = np.sqrt(np.clip(1 - (beside / np.float32(0.021)) ** 2, 0, 1))
            shape = cord * np.sqrt(np.clip(1 - (from_middle / np.float32(0.021)) ** 2, 0, 1))
            shape = shape * np.float32(0.024)
        np.maximum(heights, shape, out=heights)
    elif border == "linear":
        line = _bump(blank.inward, RIM + 0.018, RIM + 0.028, 0.007) * np.float32(0.02)
        np.maximum(heights, line, out=heights)


def _cut_panel(blank: Blank, planchet: Planchet, heights: Array) -> float:
    """Sink a panel of another outline into the field; returns the radius free inside it."""
    size = blank.core - RIM - 0.05
    inward, _, _, core = _inside(
        planchet.panel, planchet.panel_sides, size, blank.radius, blank.angle
    )
    heights -= np.float32(0.014) * np.clip(inward / np.float32(0.012) + 1, 0, 1)
    heights += np.float32(0.014)
    heights[blank.inward < RIM + 0.01] -= np.float32(0.014)
    return core


def _press(blank: Blank, heights: Array, relief: Array, placed: Placed) -> None:
    """Press a motif's height map into the die at its place."""
    _, x, y, radius, mirrored, rise = placed
    per = blank.per_unit
    side = max(8, round(2 * radius * per))
    image = Image.fromarray(relief[:, ::-1].copy() if mirrored else relief)
    small = np.asarray(image.resize((side, side), Image.Resampling.LANCZOS, reducing_gap=2.0))
    height = 0.052 * rise * (1.0 if radius > 0.3 else 0.7)
    left, top = round(blank.px / 2 + (x - radius) * per), round(blank.px / 2 + (y - radius) * per)
    x0, y0 = max(left, 0), max(top, 0)
    x1, y1 = min(left + side, blank.px), min(top + side, blank.px)
    part = heights[y0:y1, x0:x1]
    piece = small[y0 - top : y1 - top, x0 - left : x1 - left] * np.float32(height)
    floor = np.minimum(part, 0)
    part[...] = np.where(np.abs(piece) > 1e-4, np.maximum(part, piece + floor), part)


def _cut_exergue(blank: Blank, heights: Array, y: float, half: float) -> None:
    rows = ((np.arange(blank.px, dtype=np.float32) + 0.5) - blank.px / 2) / blank.per_unit
    line = (
        np.clip(1 - np.abs(rows - y) / np.float32(0.011), 0, 1)[:, None]
        * np.clip((half - np.abs(rows)) * 40, 0, 1)[None, :]
    )
    np.maximum(heights, line * np.float32(0.026), out=heights)


def engrave(
    blank: Blank, heights: Array, letters: list[Letter], rise: float, moat: float
) -> tuple[slice, slice]:
    """Raise letters from the field, clearing ``moat`` capital heights round them.

    Returns the rows and columns of the picture that were changed.
    """
    if not letters:
        return slice(0, 0), slice(0, 0)
    along_arc = any(letter.turn for letter in letters)
    groups = [[letter] for letter in letters] if along_arc else [letters]
    cap = max(letter.cap for letter in letters) * blank.per_unit  # in pixels
    stamps = [_stamp(blank, group, round(moat * cap) + 4) for group in groups]
    for y0, x0, mask in stamps:
        part = heights[y0 : y0 + mask.shape[0], x0 : x0 + mask.shape[1]]
        if moat * cap >= 1 and part.max() > 1e-4:
            clear = np.clip(1 - 5 * blurred(mask, moat * cap / 2), 0, 1)
            part *= np.where(part > 0, clear, np.float32(1))
    for y0, x0, mask in stamps:
        part = heights[y0 : y0 + mask.shape[0], x0 : x0 + mask.shape[1]]
        soft = _softened(mask) if blank.per_unit > 60 else mask
        shape = soft + dome(mask, max(1.5, 0.1 * cap))
        part[...] = np.maximum(part, shape * np.float32(rise / 2) + np.minimum(part, 0))
    top, left = min(y for y, _, _ in stamps), min(x for _, x, _ in stamps)
    bottom = max(y + mask.shape[0] for y, _, mask in stamps)
    right = max(x + mask.shape[1] for _, x, mask in stamps)
    return slice(top, bottom), slice(left, right)


def _softened(mask: Array) -> Array:
    """A bevel one pixel wide."""
    out = np.pad(mask, 1, mode="edge")
    out = (out[:-2] + 2 * out[1:-1] + out[2:]) / 4
    return (out[:, :-2] + 2 * out[:, 1:-1] + out[:, 2:]) / 4


def _stamp(blank: Blank, letters: list[Letter], spare: int) -> tuple[int, int, Array]:
    """Where in the picture letters lie (row, column), and how much of each pixel they cover."""
    return _stamped(tuple(letters), blank.px, blank.per_unit, spare)


@lru_cache(maxsize=512)
def _stamped(
    letters: tuple[Letter, ...], px: int, per: float, spare: int
) -> tuple[int, int, Array]:
    finer = 2 if letters[0].cap * per > 24 else FINER
    turned, cap = any(letter.turn for letter in letters), letters[0].cap
    beside, above, below = (1.25, 1.25, 1.25) if turned else (0.75, 1.15, 0.75)
    low_x = min(letter.x for letter in letters) - beside * cap
    low_y = min(letter.y for letter in letters) - above * cap
    high_x = max(letter.x for letter in letters) + beside * cap
    high_y = max(letter.y for letter in letters) + below * cap
    x0 = max(0, math.floor(px / 2 + low_x * per) - spare)
    y0 = max(0, math.floor(px / 2 + low_y * per) - spare)
    x1 = min(px, math.ceil(px / 2 + high_x * per) + spare)
    y1 = min(px, math.ceil(px / 2 + high_y * per) + spare)
    sheet = Image.new("L", ((x1 - x0) * finer, (y1 - y0) * finer))
    for letter in letters:
        tile = _glyph(letter.char, round(letter.cap * per * finer))
        if letter.turn:
            tile = tile.rotate(-letter.turn, Image.Resampling.BILINEAR)
        left = round((px / 2 + letter.x * per - x0) * finer - tile.width / 2)
        top = round((px / 2 + letter.y * per - y0) * finer - tile.height / 2)
        sheet.paste(255, (left, top), tile)
    mask = np.asarray(sheet.reduce(finer), np.float32) / np.float32(255)
    mask.setflags(write=False)
    return y0, x0, mask


@cache
def _glyph(char: str, cap: int) -> Image.Image:
    """A letter in a square tile, the middle of its foot in the middle of the tile."""
    side = 2 * math.ceil(1.3 * cap) + 2
    tile = Image.new("L", (side, side))
    draw = ImageDraw.Draw(tile)
    if char in EASTERN:
        wide = max(2, round(0.17 * cap))
        for line in EASTERN[char]:
            points = [(side / 2 + (x - 0.3) * cap, side / 2 - y * cap) for x, y in line]
            draw.line(points, fill=255, width=wide, joint="curve")
            for x, y in points:
                draw.ellipse((x - wide / 2, y - wide / 2, x + wide / 2, y + wide / 2), fill=255)
    else:
        draw.text((side / 2, side / 2), char, 255, font(max(4, round(cap / 0.67))), anchor="ms")
    return tile
