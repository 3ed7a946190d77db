"""Strike pictures of coins: metal shaded from a height map, worn and toned by grade.

:func:`strike` gives a face of a coin as an RGBA picture, transparent outside the outline and in
the hole; the same :class:`Strike` always gives the same picture. :func:`photographed` lays it on
paper with a soft shadow and, if wanted, a scale in millimetres, as a JPEG; :func:`encode` gives
a WebP with transparency. ``grade`` is wear from 0 (uncirculated) to 1 (worn nearly flat),
``toning`` from 0 (bright) to 1 (dark). Dies are cut once a type and size and kept, so that
striking many dates and grades of one type is quick. Made for the eye; no source.

>>> piece = Strike(20.0, numeral="5", unit="TINNE", date="1931", colour="bronze")
>>> picture = strike(piece, px=96)
>>> picture.size, picture.mode, picture.getpixel((0, 0))[3], picture.getpixel((48, 48))[3]
((96, 96), 'RGBA', 0, 255)
"""

from __future__ import annotations

import io
import math
import zlib
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import NamedTuple

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from catalogue.demo import creatures, motifs  # noqa: F401 - they enter their motifs
from catalogue.demo.clay import MOTIFS, Array, blurred
from catalogue.demo.dies import SOFTER, Planchet, blank_of, die_of, engrave, reach, softened
from catalogue.demo.layouts import Face, font
from series.picture.drawing import METALS, known

__all__ = [
    "MOTIFS",
    "Strike",
    "encode",
    "photographed",
    "relief",
    "strike",
    "width_mm",
]

PATINA = {
    "copper": "#4A2E20",
    "bronze": "#40301F",
    "brass": "#5A4C28",
    "gold": "#8A5E1C",
    "pale gold": "#6E5A2E",
    "silver": "#4C4845",
    "billon": "#4C4238",
    "steel": "#5C4A3E",
    "aluminium": "#777B80",
    "zinc": "#5C6164",
    "iron": "#4A3226",
    "nickel": "#605D56",
    "copper-nickel": "#575148",
    "tin": "#5E5E5A",
    "lead": "#4C4F54",
    "platinum": "#6A6C6E",
}
GLOSS = {
    "aluminium": 0.7,
    "zinc": 0.6,
    "lead": 0.4,
    "iron": 0.5,
    "tin": 0.7,
    "copper": 0.95,
    "silver": 1.15,
    "gold": 1.15,
    "nickel": 1.15,
    "platinum": 1.15,
}
KEY = (-0.46, -0.6, 0.655)
FILL = (0.66, 0.36, 0.66)
TONES = 24


@dataclass(frozen=True)
class Strike:
    """A face of a piece. Lengths in mm; words for shapes and metals as in
    :class:`series.picture.drawing.Drawn`; texts and marks as in
    :class:`catalogue.demo.layouts.Face`.

    ``border`` is "beaded", "toothed", "linear", "corded" or "none"; ``side`` ("obverse" or
    "reverse") and ``seed`` decide where scratches fall.
    """

    diameter_mm: float
    outline: str = "round"
    sides: int = 0
    hole: str = ""
    hole_mm: float = 0.0
    ring_mm: float = 0.0
    panel: str = ""
    panel_sides: int = 0
    colour: str = "copper-nickel"
    centre_colour: str = ""
    legend_top: str = ""
    legend_bottom: str = ""
    date: str = ""
    numeral: str = ""
    unit: str = ""
    motif: str = ""
    facing: str = "left"
    border: str = "beaded"
    mint_mark: str = ""
    mint_mark_clock: float = 6.0
    privy: str = ""
    privy_clock: float = 12.0
    grade: float = 0.0
    toning: float = 0.0
    seed: int = 0
    side: str = "obverse"

    @property
    def planchet(self) -> Planchet:
        return Planchet(
            self.diameter_mm,
            self.outline,
            self.sides,
            self.hole,
            self.hole_mm,
            self.ring_mm,
            self.panel,
            self.panel_sides,
        ).scaled()

    @property
    def face(self) -> Face:
        return Face(
            self.legend_top,
            self.legend_bottom,
            self.date,
            self.numeral,
            self.unit,
            self.motif,
            self.facing,
            self.mint_mark,
            self.mint_mark_clock,
            self.privy,
            self.privy_clock,
        )


def strike(piece: Strike, px: int = 480) -> Image.Image:
    """The face as an RGBA picture of ``px`` × ``px`` pixels.

    The picture is the square that the outline fits in, the piece in its middle. Raises KeyError
    for an unknown motif, ValueError for an unknown outline.
    """
    finer = 1 if px >= 300 else math.ceil(300 / px)
    picture = _shaded(piece, px * finer)
    return picture.reduce(finer) if finer > 1 else picture


def width_mm(piece: Strike) -> float:
    """What the whole width of a struck picture measures, in mm."""
    return piece.diameter_mm * reach(piece.planchet)


def relief(piece: Strike, px: int = 480) -> Array:
    """The worn height map of a face, in half diameters."""
    fresh, soft, softer = _struck(piece.planchet, piece.face, piece.border, px)
    wear = min(max(float(piece.grade), 0.0), 1.0)
    if wear == 0:
        return fresh
    near = min(1.0, 1.6 * wear)
    heights = fresh + (soft - fresh) * np.float32(near)
    if wear > 0.25:
        heights += (softer - heights) * np.float32((wear - 0.25) * 1.1)
    cap = np.float32(0.048 - 0.04 * wear**0.8)
    over = np.maximum(heights - cap, 0)
    heights -= over * np.float32(0.8)
    heights *= np.float32(1 - 0.25 * wear)
    return heights


class _Struck(NamedTuple):
    """Heights as struck, and the same softened a little and more."""

    fresh: Array
    soft: Array
    softer: Array


@lru_cache(maxsize=16)
def _struck(planchet: Planchet, face: Face, border: str, px: int) -> _Struck:
    die = die_of(planchet, face, border, px)
    if not face.date:
        return _Struck(die.heights, die.soft, die.softer)
    heights = die.heights.copy()
    rows, columns = engrave(blank_of(planchet, px), heights, die.date(face), 0.028, moat=0.45)
    soft, softer = die.soft.copy(), die.softer.copy()
    reached = 2 * round(px * SOFTER) + 2  # a blur changes so much more about the date
    wide = tuple(
        slice(max(0, s.start - 2 * reached), s.stop + 2 * reached) for s in (rows, columns)
    )
    near = tuple(slice(max(0, s.start - reached), s.stop + reached) for s in (rows, columns))
    inner = tuple(
        slice(n.start - w.start, n.stop - w.start) for n, w in zip(near, wide, strict=True)
    )
    for whole, patch in zip((soft, softer), softened(heights[wide], px), strict=True):
        whole[near] = patch[inner]
    return _Struck(heights, soft, softer)


class _Setting(NamedTuple):
    """What lies under the light and not on the die: large curvature, lustre, grain, metal."""

    lean_x: Array
    lean_y: Array
    lustre: Array
    grain: Array
    edge: Array


@lru_cache(maxsize=12)
def _setting(planchet: Planchet, px: int) -> _Setting:
    blank = blank_of(planchet, px)
    dice = np.random.default_rng(px)
    x = blank.radius * np.cos(blank.angle)
    y = blank.radius * np.sin(blank.angle)
    turn = blank.angle - np.float32(math.atan2(KEY[1], KEY[0]))
    wheel = np.cos(turn) ** 2
    band = wheel**6 * np.float32(0.2) + wheel * np.float32(0.06) - np.float32(0.06)
    rays = dice.normal(0, 1, 720).astype(np.float32)
    rays = (rays + np.roll(rays, 1) + np.roll(rays, 2)) * np.float32(0.006)
    streak = rays[((blank.angle + np.float32(math.pi)) * np.float32(719.9 / math.tau)).astype(int)]
    ring = np.clip(blank.radius / np.float32(0.25), 0, 1)
    coarse = dice.normal(0, 1, (px // 24 + 2, px // 24 + 2)).astype(np.float32)
    cloud = np.asarray(Image.fromarray(coarse).resize((px, px), Image.Resampling.BICUBIC))
    grain = cloud * np.float32(0.35) + blurred(dice.normal(0, 1, (px, px)).astype(np.float32), 1)
    edge = np.clip(1 - blank.inward / np.float32(0.3), 0, 1)
    return _Setting(
        np.float32(-0.13) * x, np.float32(-0.13) * y, (band + streak) * ring, grain, edge**2
    )


def _shaded(piece: Strike, px: int) -> Image.Image:
    planchet = piece.planchet
    blank = blank_of(planchet, px)
    setting = _setting(planchet, px)
    wear = np.float32(min(max(float(piece.grade), 0.0), 1.0))
    dice = np.random.default_rng(zlib.crc32(f"{piece.seed} {piece.side}".encode()))
    heights = relief(piece, px) * np.float32(blank.per_unit)
    heights = heights - _scratches(dice, float(wear), px)
    slope_x, slope_y = setting.lean_x.copy(), setting.lean_y.copy()
    slope_x[:, 1:-1] += (heights[:, 2:] - heights[:, :-2]) * np.float32(0.5)
    slope_y[1:-1] += (heights[2:] - heights[:-2]) * np.float32(0.5)

    up = 1 / np.sqrt(1 + slope_x * slope_x + slope_y * slope_y)
    key = (KEY[2] - slope_x * np.float32(KEY[0]) - slope_y * np.float32(KEY[1])) * up
    fill = (FILL[2] - slope_x * np.float32(FILL[0]) - slope_y * np.float32(FILL[1])) * up
    mirror = np.clip(2 * up * key - np.float32(KEY[2]), 0, 1)
    mirror *= mirror
    mirror *= mirror
    sharp = mirror * mirror
    sharp *= sharp
    gloss = np.float32(GLOSS.get(piece.colour, 1.0))
    light = np.float32(0.01) + np.float32(0.66) * np.maximum(key, 0)
    light += np.float32(0.12) * np.maximum(fill, 0)
    light += gloss * (1 - np.float32(0.5) * wear) * np.float32(0.22) * mirror
    light += gloss * (1 - np.float32(0.7) * wear) * np.float32(0.5) * sharp

    as_struck = _struck(planchet, piece.face, piece.border, px)
    recess = (as_struck.softer - as_struck.fresh) * np.float32(105)
    deep = np.clip(recess, 0, 1)
    high = np.clip(-recess, 0, 1)
    grain = np.roll(setting.grain, (piece.seed * 53 % px, piece.seed * 31 % px), (0, 1))
    fresh = max(0.0, 1 - 2.4 * float(wear)) * max(0.0, 1 - 0.7 * piece.toning) * float(gloss)
    if fresh:
        light += setting.lustre * np.float32(fresh) * (up * up)
    light += grain * (np.float32(0.006) + np.float32(0.012) * wear)
    light *= 1 - np.float32(0.4 - 0.12 * wear) * deep
    light += np.float32(0.1) * wear * high

    toned = np.float32(piece.toning) * (
        np.float32(0.5)
        + np.float32(0.3) * deep
        + np.float32(0.1) * grain
        + np.float32(0.28) * setting.edge
    )
    toned += wear * (np.float32(0.22) + np.float32(0.6) * deep - np.float32(0.45) * high)
    shade = (np.clip(light, 0, 1) * np.float32(255)).astype(np.int32)
    tone = (np.clip(toned, 0, 0.96) * np.float32(TONES)).astype(np.int32)
    index = tone * 256 + shade
    inks = _inks(known(piece.colour))
    if piece.ring_mm:
        index += (blank.radius < np.float32(planchet.ring)) * np.int32(inks.shape[0])
        inks = np.concatenate([inks, _inks(known(piece.centre_colour or piece.colour))])
    out = np.empty((px, px, 4), np.uint8)
    out[..., :3] = inks[index]
    out[..., 3] = blank.cover * np.float32(255) + np.float32(0.5)
    return Image.fromarray(out)


@cache
def _inks(colour: str) -> np.ndarray:
    """Colours by tone (bright to dark) and light: an array of TONES × 256 rows of RGB."""
    stops = np.array([_rgb(tone) for tone in METALS[colour]], np.float32)
    at = (0.02, 0.3, 0.56, 0.8, 1.0)
    light = np.linspace(0, 1, 256)
    bright = np.stack([np.interp(light, at, stops[:, c]) for c in range(3)], axis=1)
    patina = np.array(_rgb(PATINA.get(colour, "#575148")), np.float32)
    dark = patina * (0.2 + 1.5 * light[:, None]) * 0.72 + bright * 0.2
    share = np.linspace(0, 1, TONES)[:, None, None]
    mixed = bright[None] * (1 - share) + dark[None] * share
    return np.clip(mixed, 0, 255).astype(np.uint8).reshape(-1, 3)


def _rgb(ink: str) -> tuple[int, int, int]:
    return int(ink[1:3], 16), int(ink[3:5], 16), int(ink[5:7], 16)


def _scratches(dice: np.random.Generator, wear: float, px: int) -> Array:
    """Fine scratches and nicks, as depths in pixels: few on a fresh piece."""
    sheet = Image.new("L", (px, px))
    draw = ImageDraw.Draw(sheet)
    for _ in range(2 + round(26 * wear)):
        x, y = dice.uniform(0, px, 2)
        turn, long = dice.uniform(0, math.pi), px * dice.uniform(0.01, 0.03 + 0.18 * wear)
        bend = turn + dice.normal(0, 0.12)
        ink = int(dice.uniform(25, 60 + 70 * wear))
        points = [(x, y), (x + long * math.cos(turn), y + long * math.sin(turn))]
        points.append(
            (points[1][0] + 0.7 * long * math.cos(bend), points[1][1] + 0.7 * long * math.sin(bend))
        )
        draw.line(points, fill=ink, width=1)
    return np.asarray(sheet, np.float32) * np.float32(px / 480 / 255)


def encode(image: Image.Image) -> bytes:
    """A WebP with transparency, quality 82."""
    out = io.BytesIO()
    image.save(out, "WEBP", quality=82, method=1)
    return out.getvalue()


@lru_cache(maxsize=4)
def _paper(px: int) -> Image.Image:
    """A soft paper ground, lit from the upper left."""
    dice = np.random.default_rng(3)
    at = np.linspace(-1, 1, px, dtype=np.float32)
    light = (
        1
        - np.float32(0.045) * (at[None, :] + at[:, None])
        - np.float32(0.03) * (at[None, :] ** 2 + at[:, None] ** 2)
    )
    fibre = dice.normal(0, 1, (px, px)).astype(np.float32)
    light = light + blurred(fibre, 1) * np.float32(0.012)
    tint = np.array([228, 223, 212], np.float32)
    return Image.fromarray(np.clip(light[..., None] * tint, 0, 255).astype(np.uint8))


@lru_cache(maxsize=8)
def _ground(planchet: Planchet, px: int, side: int, top: int) -> Image.Image:
    """Paper with the soft shadow of a piece on it."""
    ground = _paper(px).copy()
    cover = Image.fromarray((blank_of(planchet, side).cover * 255).astype(np.uint8))
    for drop, blur, ink in ((0.006, 0.005, 120), (0.02, 0.018, 90)):
        shadow = Image.new("L", (px, px))
        shadow.paste(
            cover.point([ink * v // 255 for v in range(256)]),
            ((px - side) // 2 + round(drop * px * 0.8), top + round(drop * px)),
        )
        for _ in range(2):
            shadow = shadow.filter(ImageFilter.BoxBlur(blur * px))
        ground.paste((38, 32, 26), (0, 0), shadow)
    return ground


def photographed(piece: Strike, px: int = 600, scale: bool = True) -> Image.Image:
    """The face on paper, as a camera would see it: an RGB square of ``px`` pixels, the piece
    four fifths of it, turned a little by its seed; with a scale of 10 mm if wanted."""
    side = round(px * 0.8)
    coin = strike(piece, side)
    tilt = (zlib.crc32(f"{piece.seed} {piece.side} tilt".encode()) % 61 - 30) / 10
    coin = coin.rotate(tilt, Image.Resampling.BICUBIC)
    top = round(px * (0.07 if scale else 0.1))
    picture = _ground(piece.planchet, px, side, top).copy()
    picture.paste(coin, ((px - side) // 2, top), coin)
    if scale:
        _draw_scale(picture, side / width_mm(piece))
    return picture


def _draw_scale(ground: Image.Image, px_per_mm: float) -> None:
    """A scale of 10 mm in the lower left corner, every other millimetre filled."""
    px = ground.width
    draw = ImageDraw.Draw(ground)
    left, foot, high = px * 0.05, px * 0.955, px * 0.014
    ink = (44, 42, 40)
    for mm in range(10):
        x0, x1 = left + mm * px_per_mm, left + (mm + 1) * px_per_mm
        draw.rectangle(
            (x0, foot - high, x1, foot), fill=ink if mm % 2 == 0 else (236, 232, 224), outline=ink
        )
    draw.text(
        (left + 10.4 * px_per_mm, foot + px * 0.004),
        "10 mm",
        ink,
        font(max(9, round(px * 0.03)), bold=False),
        anchor="ls",
    )
