"""The spellings in which a legend can be read: as struck, transliterated, or copied by its looks.

What is computed: for a legend as recorded, the letters that a piece is matched against.

>>> [spelling.letters for spelling in spellings_for_latin(StruckText("5 КОПЕЕК", "Cyrl"))]
['5kopeek', '5koneek']
>>> [spelling.letters for spelling in spellings_as_struck(StruckText("5 КОПЕЕК", "Cyrl"))]
['5копеек']
>>> spellings_for_latin(StruckText("جزر", "Arab", "juzur"))
(Spelling(letters='iuzur', recorded='juzur', how='transliteration', share=1.0),)
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from series.legends.letters import by_looks, is_latin, letters, romanised
from series.legends.wear import BY_LOOKS

How = Literal["struck", "transliteration", "looks"]


@dataclass(frozen=True, slots=True)
class StruckText:
    """A legend as struck, its script (ISO 15924: Latn, Arab, Hebr, Cyrl …), and the record's
    transliteration, if it has one."""

    text: str
    script: str
    transliteration: str = ""


@dataclass(frozen=True, slots=True)
class Spelling:
    """One spelling of a legend: its letters (never empty), the text they come from, how it is read,
    and how often it is read so."""

    letters: str
    recorded: str
    how: How
    share: float


def spellings_as_struck(legend: StruckText) -> tuple[Spelling, ...]:
    """The spelling that a piece of figures, or in a script other than Latin, is matched against."""
    struck = letters(legend.text)
    return (Spelling(struck, legend.text, "struck", 1.0),) if struck else ()


def spellings_for_latin(legend: StruckText) -> tuple[Spelling, ...]:
    """The spellings that a piece in Latin letters is matched against."""
    struck = letters(legend.text)
    if is_latin(struck):
        return spellings_as_struck(legend)
    looks = by_looks(legend.text)
    written = legend.transliteration
    if not letters(written):
        written = romanised(legend.text)
    spellings = (
        Spelling(letters(written), written, "transliteration", 1 - BY_LOOKS if looks else 1.0),
        Spelling(looks, legend.text, "looks", BY_LOOKS),
    )
    return tuple(spelling for spelling in spellings if spelling.letters)
