"""Measure lettering before it is printed: widths of text in mm, and where lines break.

A label must never run over its edge, so its width is known before a page is drawn. Widths are
summed from the advance widths in the fonts that the sheets are set in (Source Serif Pro and
Source Sans Pro, from the packages of those names), kerning left out, with 2 % added for pairs
that are kerned apart. A character the font lacks is counted as one em: a wider one than nearly
every fallback font has. So the estimate errs on the wide side.

A line never breaks between a figure and what it counts or measures, between an abbreviation and
its figure, or within a number (good typesetting, common practice, no source).

Sizes are in points (1 pt = 25.4/72 mm), everything else in mm.

>>> label = Lettering("label", "sans", size=8)
>>> round(label.line_height, 3)  # 8 pt × 1.25
3.528
>>> round(text_width("1953", label), 2)  # four figures of 0.497 em each
5.72
>>> wrap("Lighthouse on a rock, HALVERN above", label, 24)
('Lighthouse on a', 'rock, HALVERN', 'above')
>>> wrap("bronze, 5.4 g, 23.5 mm, cut by F. 1934", label, 20)
('bronze, 5.4 g,', '23.5 mm, cut by', 'F. 1934')
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import font_source_sans_pro
import font_source_serif_pro
from fontTools.ttLib import TTFont

MM_PER_POINT = 25.4 / 72
SLACK = 1.02
NOT_IN_FONT = 1.0  # em

_FOLDERS = {
    "serif": Path(font_source_serif_pro.font_directory),
    "sans": Path(font_source_sans_pro.font_directory),
}
_FILES = {
    ("serif", 400, False): "SourceSerifPro-Regular.otf",
    ("serif", 400, True): "SourceSerifPro-It.otf",
    ("serif", 600, False): "SourceSerifPro-Semibold.otf",
    ("serif", 600, True): "SourceSerifPro-SemiboldIt.otf",
    ("sans", 400, False): "SourceSansPro-Regular.otf",
    ("sans", 400, True): "SourceSansPro-It.otf",
    ("sans", 600, False): "SourceSansPro-Semibold.otf",
    ("sans", 600, True): "SourceSansPro-SemiboldIt.otf",
}
FAMILY_NAMES = {"serif": "Source Serif Pro", "sans": "Source Sans Pro"}


@dataclass(frozen=True)
class Lettering:
    """One way of setting text. ``size`` in points, ``leading`` a multiple of it.

    ``family`` is "serif" or "sans", ``weight`` 400 or 600, ``align`` "left", "center" or
    "right", ``colour`` "ink", "muted", "accent" or "warning". ``first`` is the family and
    weight of the first line where it differs.
    """

    name: str
    family: str
    size: float
    leading: float = 1.25
    weight: int = 400
    italic: bool = False
    align: str = "left"
    colour: str = "ink"
    first: tuple[str, int] | None = None

    @property
    def line_height(self) -> float:
        """Distance from one line to the next, mm."""
        return self.size * self.leading * MM_PER_POINT


def font_files() -> dict[tuple[str, int, bool], Path]:
    """The font file of each (family, weight, italic) that sheets are set in."""
    return {face: _FOLDERS[face[0]] / name for face, name in _FILES.items()}


@cache
def _advances(family: str, weight: int, italic: bool) -> dict[int, float]:
    """Advance width of every character of a font, in em."""
    with TTFont(font_files()[family, weight, italic], lazy=True) as font:
        em = font["head"].unitsPerEm
        widths = font["hmtx"].metrics
        return {code: widths[name][0] / em for code, name in font.getBestCmap().items()}


@cache
def _heights(family: str, weight: int, italic: bool) -> tuple[float, float]:
    """Height of a lower-case x and of a capital, in em, as the font states them (OS/2)."""
    with TTFont(font_files()[family, weight, italic], lazy=True) as font:
        em, table = font["head"].unitsPerEm, font["OS/2"]
        return table.sxHeight / em, table.sCapHeight / em


def x_height(lettering: Lettering) -> float:
    """Height of a lower-case x in em."""
    return _heights(lettering.family, lettering.weight, lettering.italic)[0]


def capital_height(lettering: Lettering) -> float:
    """Height of a capital in em."""
    return _heights(lettering.family, lettering.weight, lettering.italic)[1]


def text_width(text: str, lettering: Lettering) -> float:
    """Width of one line in mm, rather too wide than too narrow."""
    advances = _advances(lettering.family, lettering.weight, lettering.italic)
    em = sum([advances.get(code) or _unknown(code) for code in map(ord, text)])
    return em * lettering.size * MM_PER_POINT * SLACK


def lacking(text: str) -> set[str]:
    """The characters of a text that a font of the sheets has no form for."""
    return {
        char
        for char in set(text)
        if _unknown(ord(char))
        and not char.isspace()
        and any(ord(char) not in _advances(family, 400, False) for family in _FOLDERS)
    }


def _unknown(code: int) -> float:
    return 0.0 if unicodedata.category(chr(code)) in ("Mn", "Me", "Cf") else NOT_IN_FONT


_BOUND = re.compile(
    r"(?<=\d) (?=[^\W\d_]{1,16}\b|[%‰°×½⅓⅔¼¾⅛]|\d{3}\b|\d/\d)"  # 25 tinne, 23.5 × 1.6, 1 000, 1 1/2
    r"|(?<=\w\.) (?=\d)|(?<=[×½⅓⅔¼¾⅛]) (?=\w)"  # F. 1934, No. 7, × 3, ½ crown
)
_BREAKS = re.compile(r"[^\S\u00a0\u202f]+")
_IDEOGRAPH = "[\u3040-\u30ff\u3400-\u4dbf\u4e00-\u9fff\uf900-\ufaff]"
_WITHIN = re.compile(rf"(?<=[^\W\d_]-)(?=\w)|(?<={_IDEOGRAPH})(?={_IDEOGRAPH})")


def bound(text: str) -> str:
    """A text with no-break spaces where a line must not break.

    >>> bound("25 tinne, 1953, 5.4 g").replace(chr(160), "~")
    '25~tinne, 1953, 5.4~g'
    """
    return _BOUND.sub("\u00a0", text)


def unbroken(text: str) -> list[str]:
    """A text parted at the spaces where a line may break."""
    return [word for word in _BREAKS.split(bound(text)) if word]


def words_with_joints(text: str) -> list[tuple[str, str]]:
    """The pieces of a text between which a line may break, each with what parts it from the last.

    A hyphen stays with what is before it.

    >>> words_with_joints("a copper-nickel 5 tinne")[1:3]
    [(' ', 'copper-'), ('', 'nickel')]
    """
    return [
        (" " if number and not part else "", piece)
        for number, word in enumerate(unbroken(text))
        for part, piece in enumerate(_hyphenated(word))
    ]


def words(text: str) -> list[str]:
    """The pieces of a text between which a line may break."""
    return [piece for _joint, piece in words_with_joints(text)]


def _hyphenated(word: str) -> list[str]:
    return [piece for piece in _WITHIN.split(word) if piece]


def longest_word(text: str, lettering: Lettering) -> float:
    """Width in mm below which :func:`wrap` would have to break a word."""
    return max((text_width(word, lettering) for word in words(text)), default=0.0)


def wrap(text: str, lettering: Lettering, width: float) -> tuple[str, ...]:
    """Break a text into lines no wider than ``width`` mm.

    Lines break at spaces that part no figure from its unit, after hyphens within words, between
    ideographs, at every line feed, and inside a word only where the word alone is too wide. A
    single character is never broken, so a line can exceed a width below that of one character.
    """
    lines: list[str] = []
    for paragraph in text.splitlines() or [""]:
        lines += _wrap_paragraph(paragraph, lettering, width)
    return tuple(lines)


def _wrap_paragraph(paragraph: str, lettering: Lettering, width: float) -> list[str]:
    lines: list[str] = []
    line = ""
    for space, piece in words_with_joints(paragraph):
        joint = space if line else ""
        if text_width(line + joint + piece, lettering) <= width:
            line += joint + piece
            continue
        if line:
            lines.append(line)
        *broken, line = break_word(piece, lettering, width)
        lines += broken
    return [text.replace("\u00a0", " ") for text in ([*lines, line] if line else lines)]


def break_word(word: str, lettering: Lettering, width: float) -> list[str]:
    """A word in parts no wider than ``width``, at least one character each."""
    parts = [""]
    for char in word:
        if parts[-1] and text_width(parts[-1] + char, lettering) > width:
            parts.append("")
        parts[-1] += char
    return parts
