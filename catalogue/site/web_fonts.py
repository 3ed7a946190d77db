"""Fonts for browsers: the fonts of the sheets, cut to what a page needs and packed as WOFF2.

A font package holds 230 kB a face, unpacked; the letters of nearly every page are a tenth of that.
Each face is cut in two: "first" with the letters of Latin scripts, figures, fractions, punctuation
and signs, and "more" with all else the font has (Greek, Cyrillic, …), which a browser fetches only
when a page holds one of its characters. Figures of equal width, lining and old-style, fractions,
kerning and marks above letters stay. The sheets are set in the whole fonts.

:func:`make_web_fonts` writes the files and the stylesheet that names them into a folder, each
whole or not at all. A file's name tells what it was made of, so it is made once and may be kept
for good by browsers.

As the fonts' licence (SIL Open Font License 1.1) asks of what was changed, the files do not bear
the reserved name; copyright and licence stay in them.

>>> in_css([0x41, 0x42, 0x43, 0x17F])
'U+41-43,U+17F'
>>> sorted(first_part({0x41, 0xBD, 0x3B1, 0x416}))
[65, 189]
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Iterable
from pathlib import Path

from fontTools import subset

from catalogue.printing.lettering import FAMILY_NAMES, font_files
from catalogue.site.whole_files import write_whole

STYLESHEET = "fonts.css"
FOLDER = "fonts/web"
# Latin and its extensions in use, marks that combine, punctuation, money, signs, fractions, arrows.
FIRST = (
    (0x20, 0x17F),
    (0x192, 0x192),
    (0x1FA, 0x21B),
    (0x2C6, 0x2DD),
    (0x300, 0x33F),
    (0x1E80, 0x1E9E),
    (0x2000, 0x20CF),
    (0x2100, 0x218F),
    (0x2190, 0x2193),
    (0x2200, 0x22FF),
    (0xFB00, 0xFB04),
)
FEATURES = (
    *("ccmp", "locl", "mark", "mkmk", "kern", "liga", "calt"),
    *("lnum", "onum", "pnum", "tnum", "frac", "numr", "dnom"),
)
COPYRIGHT, LICENCE, LICENCE_ADDRESS = 0, 13, 14
RECIPE = "1"  # another one makes the files anew


def make_web_fonts(folder: Path) -> None:
    """Make what is not there yet; the stylesheet comes last, when all it names is there."""
    rules = []
    (folder / FOLDER).mkdir(parents=True, exist_ok=True)
    for face, source in font_files().items():
        if face[1:] == (600, True):
            continue  # no page sets anything in it
        data = source.read_bytes()
        for part, characters in _parts(data).items():
            name = f"{FOLDER}/{source.stem}-{part}.{_digest(data, characters)}.woff2"
            if not (folder / name).exists():
                write_whole(folder / name, [cut(data, characters)])
            rules.append(_rule(face, name, characters))
    write_whole(folder / STYLESHEET, ["".join(rules).encode()])


def first_part(characters: set[int]) -> set[int]:
    """Those that stand in the first part of a face."""
    return {code for code in characters if any(low <= code <= high for low, high in FIRST)}


def _parts(data: bytes) -> dict[str, set[int]]:
    with subset.load_font(io.BytesIO(data), subset.Options(), lazy=True) as font:
        characters = set(font.getBestCmap())
    first = first_part(characters)
    return {"first": first, "more": characters - first}


def cut(data: bytes, characters: set[int]) -> bytes:
    """A font with these characters only, as WOFF2."""
    options = subset.Options(
        flavor="woff2",
        layout_features=list(FEATURES),
        name_IDs=[COPYRIGHT, LICENCE, LICENCE_ADDRESS],
        notdef_outline=True,
        desubroutinize=True,  # packs better
    )
    font = subset.load_font(io.BytesIO(data), options)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=characters)
    cutter.subset(font)
    font["CFF "].cff.fontNames = ["Exergue"]
    out = io.BytesIO()
    subset.save_font(font, out, options)
    return out.getvalue()


def in_css(characters: Iterable[int]) -> str:
    """The characters as a ``unicode-range``."""
    runs: list[list[int]] = []
    for code in sorted(characters):
        if runs and runs[-1][1] == code - 1:
            runs[-1][1] = code
        else:
            runs.append([code, code])
    return ",".join(f"U+{a:X}" if a == b else f"U+{a:X}-{b:X}" for a, b in runs)


def _rule(face: tuple[str, int, bool], name: str, characters: set[int]) -> str:
    family, weight, italic = face
    return (
        f'@font-face {{ font-family: "{FAMILY_NAMES[family]}"; font-weight: {weight}; '
        f"font-style: {'italic' if italic else 'normal'}; font-display: swap; "
        f'src: url("{name}") format("woff2"); unicode-range: {in_css(characters)}; }}\n'
    )


def _digest(data: bytes, characters: set[int]) -> str:
    recipe = f"{RECIPE} {FEATURES} {in_css(characters)}"
    return hashlib.sha256(recipe.encode() + data).hexdigest()[:16]
