"""What becomes of a piece's date when the piece is found to be of another type.

What is computed: for the date a piece had, the issue of the new type that is the same date, or
the issues that could be meant, from plain facts of issues. The same date is the same date shown,
in the same calendar, with the same marks and the same purpose; of several such the one that was
struck in the same years and has the same remark. What was not struck is never the answer. Where
no issue shows the date with its marks, those could be meant that show it with other marks or were
made for another purpose, else those struck in the same years. Rules of this project.

>>> old = DateFacts(1, "1947", marks="S", struck_from=1947, struck_to=1947)
>>> new = [DateFacts(7, "1947", marks="S", struck_from=1947, struck_to=1947), DateFacts(8, "1948")]
>>> carry(old, new)
Carried(issue=7, choices=(), not_struck=False)
>>> carry(old, [DateFacts(7, "1947"), DateFacts(8, "1947", marks="N")]).choices
(7, 8)
>>> carry_reading("1947", new).issue, carry_reading("194X", new).choices
(7, (7,))
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from catalogue.identifying.wording import civil_years
from series.dates.edtf import DateError, parse_edtf
from series.years.struck import ShownIssue

NOT_STRUCK = "not_struck"
_CIRCULATION = "circulation"


@dataclass(frozen=True)
class DateFacts:
    """What a date is known by; ``marks`` as written after it, parted by "+"."""

    id: int
    shown: str
    calendar: str = "civil"
    marks: str = ""
    purpose: str = _CIRCULATION
    note: str = ""
    struck_from: int | None = None
    struck_to: int | None = None
    fact: str = "struck"

    @property
    def date(self) -> tuple[Any, ...]:
        return self.shown.strip(), self.calendar

    @property
    def same(self) -> tuple[Any, ...]:
        return *self.date, tuple(sorted(filter(None, self.marks.split("+")))), self.purpose

    @property
    def exactly(self) -> tuple[Any, ...]:
        return *self.same, self.note, self.struck_from, self.struck_to


@dataclass(frozen=True)
class Carried:
    """The issue of the new type, or those that could be meant.

    ``not_struck``: the new type records that the date was not struck.
    """

    issue: int | None = None
    choices: tuple[int, ...] = ()
    not_struck: bool = False


def carry(was: DateFacts, issues: Sequence[DateFacts]) -> Carried:
    """The date ``was`` among the issues of another type."""
    struck = [issue for issue in issues if issue.fact != NOT_STRUCK]
    for key in (lambda one: one.exactly, lambda one: one.same):
        found = [issue.id for issue in struck if was.shown.strip() and key(issue) == key(was)]
        if len(found) == 1:
            return Carried(found[0])
        if found:
            return Carried(choices=tuple(found))
    shown = [issue.id for issue in struck if was.shown.strip() and issue.date == was.date]
    never = any(issue.fact == NOT_STRUCK and issue.date == was.date for issue in issues)
    return Carried(None, tuple(shown or _of_years(struck, _within(was))), never)


def carry_reading(reading: str, issues: Sequence[DateFacts]) -> Carried:
    """A date that was only read, as EDTF, among the issues of a type.

    A year that was read whole is taken if one issue for circulation is of it, and no other is.
    """
    try:
        date = parse_edtf(reading)
    except DateError:
        return Carried()
    struck = [issue for issue in issues if issue.fact != NOT_STRUCK]
    found = _of_years(struck, date.may_be)
    plain = [issue.id for issue in struck if issue.id in found and issue.purpose == _CIRCULATION]
    if reading.isdecimal() and found == plain and len(found) == 1:
        return Carried(found[0])
    return Carried(choices=tuple(found))


def as_read(was: DateFacts) -> str:
    """The date shown as the civil years it may mean, in EDTF; "" when it cannot be read."""
    issue = ShownIssue(was.shown, was.calendar, was.struck_from, was.struck_to)
    return civil_years(was.shown, was.calendar, [issue]) if was.shown.strip() else ""


def _within(was: DateFacts) -> Callable[[int], bool]:
    first, last = was.struck_from or was.struck_to, was.struck_to or was.struck_from
    return lambda year: first is not None and last is not None and first <= year <= last


def _of_years(issues: Sequence[DateFacts], fits: Callable[[int], bool]) -> list[int]:
    """Those struck in at least one year that fits."""
    found = []
    for issue in issues:
        first, last = issue.struck_from or issue.struck_to, issue.struck_to or issue.struck_from
        if first is not None and last is not None and any(map(fits, range(first, last + 1))):
            found.append(issue.id)
    return found
