"""What a date run names: one issue, its date shown, years of striking, marks and purpose.

What is computed: whether an issue shows the very year it was struck in, and whether a word can
stand as a mark or a calendar without further signs. Years are civil years. The words for
purposes and facts are those of the catalogue; the notation is described in
``series.dates.runs``.

>>> DatedIssue("1952", 1953, 1953).is_plain, DatedIssue("1952", 1952, 1952).is_plain
(False, True)
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

Purpose = Literal["circulation", "sets", "proof", "pattern", "not_released", "melted"]
Fact = Literal["struck", "not_struck", "not_recorded"]

PURPOSES: dict[str, Purpose] = {
    "circulation": "circulation",
    "sets": "sets",
    "sets only": "sets",
    "proof": "proof",
    "proofs": "proof",
    "pattern": "pattern",
    "patterns": "pattern",
    "not released": "not_released",
    "melted": "melted",
}
FACTS: dict[str, Fact] = {
    "not struck": "not_struck",
    "no": "not_struck",
    "not recorded": "not_recorded",
}
PURPOSE_WORDS: dict[Purpose, str] = {
    "circulation": "",
    "sets": "sets",
    "proof": "proof",
    "pattern": "pattern",
    "not_released": "not released",
    "melted": "melted",
}
FACT_WORDS: dict[Fact, str] = {
    "struck": "",
    "not_struck": "not struck",
    "not_recorded": "not recorded",
}
# Abbreviations of calendars that may follow the date; common practice, no source: Hijri, solar
# Hijri, Buddhist era, anno mundi, Vikram and Saka eras, Ethiopian era.
CALENDARS = ("AH", "SH", "BE", "AM", "VS", "SE", "EE")
SPECIAL = re.compile(r'[\s,;/+()"“”]')
UNDATED = re.compile(r"n\.?d\.?|undated", re.IGNORECASE)
DASHES = "-–—−"


@dataclass(frozen=True)
class DatedIssue:
    """One issue of a date run.

    ``shown`` is the date as it stands on the coin, empty if undated; the years of striking are
    civil and None where they are not known; ``calendar`` is one word, "civil" for ours.
    """

    shown: str
    struck_from: int | None
    struck_to: int | None
    marks: tuple[str, ...] = ()
    purpose: Purpose = "circulation"
    fact: Fact = "struck"
    calendar: str = "civil"
    note: str = ""

    def __post_init__(self) -> None:
        if (self.struck_from is None) != (self.struck_to is None):
            raise ValueError("give both years of striking, or neither")
        years = (self.struck_from or 1, self.struck_to or 1)
        if 0 in (self.struck_from, self.struck_to) or not 0 < years[0] <= years[1] <= 9999:
            raise ValueError("the years of striking run from 1 to 9999, the earlier first")
        if not all(text and text == text.strip() for text in (*self.marks, self.calendar)):
            raise ValueError("a mark or a calendar is a text without spaces around it")
        if not all(text == text.strip() for text in (self.shown, self.note)):
            raise ValueError("the date shown and the note have no spaces around them")
        if not may_be_calendar(self.calendar):
            raise ValueError(f"'{self.calendar}' cannot name a calendar: one plain word does")

    @property
    def is_plain(self) -> bool:
        """Shows, in western figures, the very year in which it was struck."""
        return (
            self.calendar == "civil"
            and bool(re.fullmatch(r"[0-9]{3,4}", self.shown))
            and int(self.shown) == self.struck_from == self.struck_to
        )


def may_be_calendar(word: str) -> bool:
    return not (
        SPECIAL.search(word)
        or re.search(r"\d", word)
        or UNDATED.fullmatch(word)
        or word[0] in DASHES
        or word.lower() in ("not", "to", *PURPOSES, *FACTS)
    )


def is_bare_mark(word: str) -> bool:
    """Whether a word after a date is taken for a mark without a plus before it."""
    return (
        0 < len(word) <= 3
        and not re.search(rf"[\d?]|^[{DASHES}]", word)
        and not SPECIAL.search(word)
        and not UNDATED.fullmatch(word)
        and word not in CALENDARS
        and word.lower() not in ("not", "to", *PURPOSES, *FACTS)
    )
