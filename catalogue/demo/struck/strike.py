"""The door of this library: strike a picture of a face of a coin, or photograph it on paper.

:func:`strike` gives a face of a coin as an RGBA picture, transparent outside the outline and in
the hole; the same :class:`Strike` always gives the same picture. :func:`photographed` lays it on
paper with a soft shadow and, if wanted, a scale in millimetres. ``MOTIFS`` are what a face can
bear. ``grade`` is wear from 0 (uncirculated) to 1 (worn nearly flat), ``toning`` from 0 (bright)
to 1 (dark). Made for the eye; no source. Whoever stands outside imports this module alone.

>>> piece = Strike(20.0, numeral="5", unit="TINNE", date="1931", colour="bronze")
>>> picture = strike(piece, px=96)
>>> picture.size, picture.mode, picture.getpixel((0, 0))[3], picture.getpixel((48, 48))[3]
((96, 96), 'RGBA', 0, 255)
"""

from __future__ import annotations

import math
import zlib
from functools import lru_cache

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from catalogue.demo.struck import (  # noqa: F401 - they enter their motifs
    creatures,
    emblems,
    harbour,
    plants,
    ropes,
)
from catalogue.demo.struck.clay import MOTIFS, blurred
from catalogue.demo.struck.dies import Planchet, blank_of
from catalogue.demo.struck.letters import font
from catalogue.demo.struck.light import shaded
from catalogue.demo.struck.pieces import Strike, width_mm

__all__ = ["MOTIFS", "Strike", "photographed", "strike"]


def strike(piece: Strike, px: int = 480) -> Image.Image:
    """The face as an RGBA picture of ``px`` × ``px`` pixels.

    The picture is the square that the outline fits in, the piece in its middle. Raises KeyError
    for an unknown motif, ValueError for an unknown outline.
    """
    finer = 1 if px >= 300 else math.ceil(300 / px)
    picture = shaded(piece, px * finer)
    return picture.reduce(finer) if finer > 1 else picture


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
