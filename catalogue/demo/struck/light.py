"""Light on a struck face: metal shaded from its relief, worn, toned and scratched.

What is computed: a picture in RGBA, from the heights of :mod:`catalogue.demo.struck.pieces`.
``PATINA`` is the colour a metal turns, ``GLOSS`` how much it shines against copper-nickel. Made
for the eye; no source.

>>> picture = shaded(Strike(20.0, numeral="5", colour="bronze"), px=96)
>>> picture.mode, picture.getpixel((0, 0))[3], picture.getpixel((48, 48))[3]
('RGBA', 0, 255)
"""

from __future__ import annotations

import math
import zlib
from functools import cache, lru_cache
from typing import NamedTuple

import numpy as np
from PIL import Image, ImageDraw

from catalogue.demo.struck.clay import Array, blurred
from catalogue.demo.struck.dies import Planchet, blank_of
from catalogue.demo.struck.pieces import Strike, as_struck, relief
from series.picture.metals import METALS, known

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


def shaded(piece: Strike, px: int) -> Image.Image:
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

    struck = as_struck(planchet, piece.face, piece.border, px)
    recess = (struck.softer - struck.fresh) * np.float32(105)
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
