"""Grades on their scales, and one rank by which they can be compared.

Computed here: what a written grade means on a named scale, and its rank, a whole number from 1
(barely known) to 70 (as struck, without a flaw). The rank is the number of the American
70-point scale; the words of the British and continental scales are set against it as collectors
commonly do: common practice, no source. A British "very fine" is stricter than an American one,
so its rank is higher. A rank orders grades within a collection; it is not a second opinion.

>>> rank("american", "VF-20"), rank("british", "VF"), rank("continental", "ss")
(20, 32, 27)
>>> grade("british", "gvf").code, rank("british", "gVF") > rank("british", "VF")
('GVF', True)
>>> band(rank("british", "EF")).label
'Extremely fine'
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import NamedTuple


class GradeError(ValueError):
    """The text is no grade of the scale; the message says what can be written."""


@dataclass(frozen=True)
class Grade:
    """One grade of a scale: as written, in words, and its rank (1 to 70)."""

    code: str
    label: str
    rank: int


class Band(NamedTuple):
    """Ranks grouped for browsing: from ``low`` to ``high``, both included."""

    key: str
    label: str
    low: int
    high: int


BRITISH = (
    Grade("P", "poor", 1),
    Grade("FR", "fair", 3),
    Grade("G", "good", 6),
    Grade("VG", "very good", 10),
    Grade("F", "fine", 18),
    Grade("VF", "very fine", 32),
    Grade("EF", "extremely fine", 50),
    Grade("UNC", "uncirculated", 63),
    Grade("FDC", "fleur de coin", 68),
)

CONTINENTAL = (
    Grade("ge", "poor", 3),
    Grade("sge", "very good", 8),
    Grade("s", "fine", 14),
    Grade("ss", "very fine", 27),
    Grade("vz", "extremely fine", 48),
    Grade("st", "uncirculated", 64),
)

_AMERICAN: dict[str, tuple[str, tuple[int, ...]]] = {
    "P": ("poor", (1,)),
    "FR": ("fair", (2,)),
    "AG": ("about good", (3,)),
    "G": ("good", (4, 6)),
    "VG": ("very good", (8, 10)),
    "F": ("fine", (12, 15)),
    "VF": ("very fine", (20, 25, 30, 35)),
    "EF": ("extremely fine", (40, 45)),
    "AU": ("about uncirculated", (50, 53, 55, 58)),
    "MS": ("mint state", tuple(range(60, 71))),
    "PR": ("proof", tuple(range(60, 71))),
}
AMERICAN = tuple(
    Grade(f"{word}-{number}", f"{label} {number}", number)
    for word, (label, numbers) in _AMERICAN.items()
    for number in numbers
)

SCALES: dict[str, tuple[Grade, ...]] = {
    "british": BRITISH,
    "american": AMERICAN,
    "continental": CONTINENTAL,
}

CODES = [each.code for scale in SCALES.values() for each in scale]
"""What a field of a grade suggests."""

BANDS = (
    Band("unc", "Uncirculated", 60, 70),
    Band("ef", "Extremely fine", 45, 59),
    Band("vf", "Very fine", 24, 44),
    Band("f", "Fine", 12, 23),
    Band("vg", "Very good", 8, 11),
    Band("low", "Below very good", 1, 7),
)

_STEP = 3  # how far "good" or "near" moves a grade; common practice, no source
_QUALIFIED = re.compile(r"(?P<way>good|near|about|[GNA])\s*(?P<grade>VG|F|VF|EF|UNC)", re.I)


def grade(scale: str, text: str) -> Grade:
    """The grade that ``text`` names on ``scale``; GradeError when it names none.

    On the British scale "GVF" (good) is a little better than VF and "NVF" or "AVF" (near,
    about) a little worse; on the American scale a word without its number takes its lowest.
    """
    if scale not in SCALES:
        raise GradeError(f"no such scale: {scale}; use {', '.join(SCALES)}")
    wanted = _plain(text)
    for candidate in SCALES[scale]:
        if wanted == _plain(candidate.code) or wanted == _plain(candidate.label):
            return candidate
    if scale == "american" and wanted in _AMERICAN:
        return grade(scale, f"{wanted}-{_AMERICAN[wanted][1][0]}")
    qualified = _QUALIFIED.fullmatch(text.strip()) if scale == "british" else None
    if qualified:
        base = grade(scale, qualified["grade"])
        better = qualified["way"][0].upper() == "G"
        prefix, word, step = ("G", "good", _STEP) if better else ("N", "near", -_STEP)
        return Grade(f"{prefix}{base.code}", f"{word} {base.label}", base.rank + step)
    codes = ", ".join(g.code for g in SCALES[scale])
    raise GradeError(f"“{text}” is no grade of the {scale} scale; write one of {codes}")


def rank(scale: str, text: str) -> int:
    """The rank (1 to 70) of a written grade; GradeError when it is none of the scale."""
    return grade(scale, text).rank


def band(value: int | None) -> Band | None:
    """The band a rank belongs to; None for no rank."""
    if value is None:
        return None
    return next((b for b in BANDS if b.low <= value <= b.high), None)


def _plain(text: str) -> str:
    return re.sub(r"[\s\-–]+", "", text).upper()
