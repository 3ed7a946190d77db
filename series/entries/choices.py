"""The choices of the reference catalogue's columns: what is stored, and the word for each.

What is computed: nothing; the one list of each choice, which packs, forms and models share. The
first of a list is what holds where nothing is said. English; a page translates the words.

>>> Outline("notched").words, list(Hole)[1:]
('round with indentations', [<Hole.ROUND: 'round'>, <Hole.SQUARE: 'square'>])
"""

from __future__ import annotations

from enum import StrEnum
from typing import Self


class Choice(StrEnum):
    """A value as it is stored, with ``words`` for it."""

    words: str

    def __new__(cls, value: str, words: str = "") -> Self:
        made = str.__new__(cls, value)
        made._value_ = value
        made.words = words or value
        return made


class Purpose(Choice):
    CIRCULATING = "circulating"
    COMMEMORATIVE = "commemorative"
    PATTERN = "pattern"


class Outline(Choice):
    ROUND = "round"
    SCALLOPED = "scalloped"
    NOTCHED = "notched", "round with indentations"
    POLYGON = "polygon"
    CURVED = "curved", "polygon with curved sides"
    SQUARE = "square", "square with rounded corners"


class Hole(Choice):
    NONE = "", "no hole"
    ROUND = "round"
    SQUARE = "square"


class Convention(Choice):
    """Who says which face is the obverse."""

    UNKNOWN = "", "not recorded"
    ISSUER = "issuer", "the issuer's own"
    CUSTOM = "custom", "custom of collectors"
    OURS = "ours"


class Side(Choice):
    OBVERSE = "obverse"
    REVERSE = "reverse"
    EDGE = "edge"


class Role(Choice):
    """What the law calls a face, where it speaks of such sides."""

    NONE = "", "no other name"
    COMMON = "common", "common side"
    NATIONAL = "national", "national side"


class ValueAs(Choice):
    NONE = "", "no value on this face"
    NUMERAL = "numeral"
    WORDS = "words"
    BOTH = "both", "numeral and words"


class Bust(Choice):
    NONE = "", "no bust"
    LEFT = "left", "to the left"
    RIGHT = "right", "to the right"
    FACING = "facing"


class Border(Choice):
    UNKNOWN = "", "not recorded"
    NONE = "none"
    BEADED = "beaded"
    TOOTHED = "toothed"
    LINEAR = "linear", "a line"
    CORDED = "corded"


class MarkKind(Choice):
    MINT = "mint", "mint mark"
    PRIVY = "privy", "privy mark"
    MINT_MASTER = "mint_master", "mint master's mark"
    ASSAYER = "assayer", "assayer's mark"
    SIGNATURE = "signature", "engraver's signature"
