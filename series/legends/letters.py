"""Legends and the pieces of them that a person reads, as bare letters that can be compared.

What is computed: plain text in, plain text out; no units.

* ``letters``: the folded form (``series.text.folding``: no case, no accents, U = V, I = J,
  ligatures opened, stops and stars ignored, figures of any script 0 to 9) without its spaces, since
  the gap between two words is uncertain on a coin. The five Hebrew letters with a form of their own
  at the end of a word are one each; the half rings of transliterations vanish. In a text that is
  mostly Latin, letters cut the wrong way round are themselves: И is N, Я is R.
* ``piece_letters``: the same for a piece, keeping ``?`` (also ``？`` and ``؟``) for each letter
  that is there and cannot be read. Those at either end say nothing and go.
* ``split_pieces``: what a person types into one box, parted into pieces. White space, ``/``,
  ``;``, ``|``, ``*``, ``…`` and two or more full stops part two pieces; the order of the pieces
  does not matter, nor how much lies between them.
* ``romanised``: a text in Latin letters, by the package ``anyascii`` (a table of common
  romanisations, letter by letter; unpointed Arabic and Hebrew have no vowels in it).
* ``by_looks``: a Cyrillic or Greek text as one copies it with a Latin keyboard (СССР is CCCP).

That U = V and I = J, that letters are found reversed, and which letters look like which:
common practice, no source.

>>> letters("HALVERN · SALTMOUTH ★ 1931"), letters("ЯEX"), letters("juzur ʿūrān")
('haluernsaltmouth1931', 'rex', 'iuzururan')
>>> split_pieces("salt??outh / ver … RN")
('salt??outh', 'ver', 'RN')
>>> piece_letters("??SALT??OVTH?")
'salt??outh'
>>> romanised("КОПЕЕК"), by_looks("КОПЕЕК"), by_looks("СССР")
('KOPEEK', 'koneek', 'cccp')
"""

from __future__ import annotations

import re
import unicodedata

from anyascii import anyascii

from series.text.folding import fold
from series.text.scripts import script_of

UNREAD = "?"
LONGEST_PIECE = 100
"""Letters of one piece that count; what a person types beyond them is not looked at."""

_PARTED = re.compile(r"(?:[\s/;|*…]|\.{2,})+")
_UNREAD_MARKS = str.maketrans({"？": UNREAD, "؟": UNREAD, "⸮": UNREAD, "\ufffd": UNREAD})
_HALF_RINGS = dict.fromkeys(map(ord, "ʿʾ "))
_HEBREW_ENDS = str.maketrans("ךםןףץ", "כמנפצ")
_REVERSED = str.maketrans(
    {"и": "n", "я": "r", "ƨ": "s", "ɔ": "c", "ǝ": "e", "ʌ": "a", "λ": "a", "ᴎ": "n", "ᴙ": "r"}
)

# Folded letters, so capitals as they are struck: П and Л as N, Ч as 4, Ю as 10 in one.
_LOOKS = str.maketrans(
    {
        "а": "a", "б": "6", "в": "b", "г": "r", "д": "a", "е": "e", "ж": "k", "з": "3", "и": "n",
        "к": "k", "л": "n", "м": "m", "н": "h", "о": "o", "п": "n", "р": "p", "с": "c", "т": "t",
        "у": "y", "ф": "o", "х": "x", "ц": "u", "ч": "4", "ш": "w", "щ": "w", "ъ": "b", "ы": "bi",
        "ь": "b", "э": "3", "ю": "io", "я": "r", "і": "i", "ј": "i", "ѣ": "b", "ѕ": "s",
        "α": "a", "β": "b", "γ": "r", "δ": "a", "ε": "e", "ζ": "z", "η": "h", "θ": "o", "ι": "i",
        "κ": "k", "λ": "a", "μ": "m", "ν": "n", "ξ": "e", "ο": "o", "π": "n", "ρ": "p", "σ": "e",
        "τ": "t", "υ": "y", "φ": "o", "χ": "x", "ψ": "y", "ω": "o",
    }
)  # fmt: skip


def is_latin(text: str) -> bool:
    """Whether at least half the letters of a folded text are Latin; figures count for neither."""
    if text.isascii():
        return True
    scripts = [script_of(char) for char in text if char.isalpha()]
    return 2 * scripts.count("Latn") >= len(scripts)


def runs_leftward(text: str) -> bool:
    """Whether the text is in a script that is written from right to left."""
    return any(unicodedata.bidirectional(char) in ("R", "AL") for char in text)


_ASCII = {point: fold(chr(point)) for point in range(128)}
"""What ``fold`` makes of each ASCII character; most legends are of these alone."""


def letters(text: str) -> str:
    """The letters and figures of a legend, folded, without spaces; maybe empty."""
    if text.isascii():
        return text.translate(_ASCII)
    bare = fold(text).translate(_HALF_RINGS)
    if bare.isascii():
        return bare
    return bare.translate(_REVERSED if is_latin(bare) else _HEBREW_ENDS)


def piece_letters(piece: str) -> str:
    """The letters of a piece with ``?`` for each unread one; empty if nothing is read."""
    parts = [letters(part) for part in piece.translate(_UNREAD_MARKS).split(UNREAD)]
    whole = UNREAD.join(parts)
    if not whole.isascii() and is_latin(whole):
        whole = whole.translate(_REVERSED)
    return whole.strip(UNREAD)[:LONGEST_PIECE].strip(UNREAD)


def split_pieces(text: str) -> tuple[str, ...]:
    """The pieces in what a person typed, as typed; those without a read letter are left out."""
    return tuple(part for part in _PARTED.split(text) if piece_letters(part))


def romanised(text: str) -> str:
    """The text in Latin letters, for a record that gives no transliteration."""
    return anyascii(text)


def by_looks(text: str) -> str:
    """A Cyrillic or Greek text in the Latin letters it looks like; empty for other scripts."""
    bare = letters(text)
    scripts = {script_of(char) for char in bare} - {""}
    return bare.translate(_LOOKS) if scripts in ({"Cyrl"}, {"Grek"}) else ""
