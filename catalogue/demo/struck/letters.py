"""Set letters for a die: in a line, within a circle, along an arc.

Lengths are in half diameters, x to the right, y downwards, the middle at (0, 0). An upper legend
has its feet inwards, a lower one outwards, so both read from left to right. Letters are measured
in Source Serif (the package font-source-serif-pro); Eastern Arabic figures, which it lacks, are
drawn here.

>>> [round(letter.x, 2) for letter in straight("11", y=0.0, cap=0.2, room=1.0)]
[-0.09, 0.09]
>>> arc("HALVERN", radius=0.8, cap=0.12, top=True)[3].char
'V'
"""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from typing import NamedTuple

import font_source_serif_pro
from PIL import ImageFont

FONTS = Path(font_source_serif_pro.font_directory)
CAP = 0.67  # height of a capital of Source Serif, in its size
EASTERN = {
    "٠": [[(0.3, 0.45), (0.31, 0.35)]],
    "١": [[(0.2, 1.0), (0.34, 0.6), (0.36, 0.0)]],
    "٢": [[(0.08, 1.0), (0.2, 0.72), (0.42, 0.74), (0.56, 1.0)], [(0.08, 1.0), (0.24, 0.0)]],
    "٣": [
        [
            (0.02, 1.0),
            (0.1, 0.75),
            (0.26, 0.75),
            (0.34, 0.98),
            (0.4, 0.75),
            (0.56, 0.75),
            (0.64, 1.0),
        ],
        [(0.02, 1.0), (0.2, 0.0)],
    ],
    "٤": [
        [(0.55, 0.98), (0.22, 0.86), (0.26, 0.62), (0.5, 0.54)],
        [(0.5, 0.54), (0.14, 0.4), (0.16, 0.1), (0.58, 0.04)],
    ],
    "٥": [
        [(0.3, 0.86), (0.54, 0.5), (0.5, 0.14), (0.3, 0.1), (0.1, 0.14), (0.06, 0.5), (0.3, 0.86)]
    ],
    "٦": [[(0.06, 0.82), (0.12, 0.98), (0.48, 0.94)], [(0.48, 0.94), (0.46, 0.5), (0.52, 0.0)]],
    "٧": [[(0.06, 1.0), (0.3, 0.0), (0.54, 1.0)]],
    "٨": [[(0.06, 0.0), (0.3, 1.0), (0.54, 0.0)]],
    "٩": [
        [(0.48, 0.76), (0.3, 0.98), (0.1, 0.76), (0.26, 0.54), (0.48, 0.68)],
        [(0.48, 0.76), (0.46, 0.4), (0.52, 0.0)],
    ],
}


class Letter(NamedTuple):
    """One letter: the middle of its foot, its slant in degrees clockwise, its capital height."""

    char: str
    x: float
    y: float
    turn: float
    cap: float


@cache
def font(size: int, bold: bool = True) -> ImageFont.FreeTypeFont:
    """Source Serif at a size in pixels."""
    name = "SourceSerifPro-Bold.otf" if bold else "SourceSerifPro-Semibold.otf"
    return ImageFont.truetype(FONTS / name, size, layout_engine=ImageFont.Layout.BASIC)


@cache
def _width(text: str) -> float:
    """Advance width in capital heights."""
    if text in EASTERN:
        return 0.66
    return font(1000).getlength(text) / 1000 / CAP


def _steps(text: str, spacing: float) -> list[float]:
    """Middles of the letters along a line that starts at 0, in capital heights, then its length."""
    at, out = 0.0, []
    for k, char in enumerate(text):
        if k and char not in EASTERN and text[k - 1] not in EASTERN:
            at += _width(text[k - 1] + char) - _width(text[k - 1]) - _width(char)
        out.append(at + _width(char) / 2)
        at += _width(char) + spacing
    return [*out, at - spacing]


def straight(text: str, y: float, cap: float, room: float, x: float = 0.0) -> list[Letter]:
    """A line of text centred on (x, y), no longer than ``room``."""
    *middles, length = _steps(text, 0.06)
    if length * cap > room:
        cap = room / length
    return [
        Letter(char, x + (at - length / 2) * cap, y + cap / 2, 0.0, cap)
        for char, at in zip(text, middles, strict=True)
        if char != " "
    ]


def within(text: str, y: float, cap: float, radius: float) -> list[Letter]:
    """A centred line of text that stays inside a circle."""
    reach = min(abs(y) + cap / 2, radius * 0.98)
    return straight(text, y, cap, 1.88 * math.sqrt(radius**2 - reach**2))


def span(text: str, radius: float, cap: float) -> float:
    """Degrees that an arc of text takes up along its feet."""
    return math.degrees(_steps(text, 0.16)[-1] * cap / radius)


def arc(text: str, radius: float, cap: float, top: bool) -> list[Letter]:
    """Text along an arc about 12 (``top``) or 6 o'clock; the letters' feet are at ``radius``."""
    *middles, length = _steps(text, 0.16)
    out = []
    for char, at in zip(text, middles, strict=True):
        if char == " ":
            continue
        turn = (at - length / 2) * cap / radius
        if top:
            x, y, slant = math.sin(turn), -math.cos(turn), turn
        else:
            x, y, slant = math.sin(turn), math.cos(turn), -turn
        out.append(Letter(char, radius * x, radius * y, math.degrees(slant), cap))
    return out
