"""What becomes of a piece's date when the piece is found to be of another type.

What is computed: for the date a piece had, the issue of the new type that is the same date, or
the issues that could be meant, from what is known of each. The same date is the same date shown,
in the same calendar, with the same marks and the same purpose; of several such the one that was
struck in the same years and has the same remark. What was not struck is never the answer. Where
no issue shows the date with its marks, those could be meant that show it with other marks or were
made for another purpose, else those struck in the same years. Rules of this project.

>>> from types import SimpleNamespace
>>> def dated(shown, marks="", year=None):
...     years = {"struck_from": year, "struck_to": year}
...     texts = {"calendar": "civil", "mark_text": marks, "purpose": "circulation", "note": ""}
...     return SimpleNamespace(shown=shown, fact="struck", **texts, **years)
>>> new = [dated("1947", "S", 1947), dated("1948")]
>>> carry(dated("1947", "S", 1947), new).issue is new[0]
True
>>> other_marks = [dated("1947"), dated("1947", "N")]
>>> [one.mark_text for one in carry(dated("1947", "S"), other_marks).choices]
['', 'N']
>>> carry_reading("1947", new).issue is new[0], len(carry_reading("194X", new).choices)
(True, 1)
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from catalogue.identifying.wording import civil_years
from series.dates.edtf import DateError, parse_edtf
from series.years.struck import ShownIssue

NOT_STRUCK = "not_struck"
_CIRCULATION = "circulation"

Dated = TypeVar("Dated", bound=Any)
"""What is known of a date by the names of an issue's fields; its marks are parted by "+"."""


def _shown(one: Any) -> tuple[Any, ...]:
    return one.shown.strip(), one.calendar


def _same(one: Any) -> tuple[Any, ...]:
    return *_shown(one), tuple(sorted(filter(None, one.mark_text.split("+")))), one.purpose


def _exactly(one: Any) -> tuple[Any, ...]:
    return *_same(one), one.note, one.struck_from, one.struck_to


@dataclass(frozen=True)
class Carried(Generic[Dated]):
    """The issue of the new type, or those that could be meant.

    ``not_struck``: the new type records that the date was not struck.
    """

    issue: Dated | None = None
    choices: tuple[Dated, ...] = ()
    not_struck: bool = False


def carry(was: Dated, issues: Sequence[Dated]) -> Carried[Dated]:
    """The date ``was`` among the issues of another type."""
    struck = [issue for issue in issues if issue.fact != NOT_STRUCK]
    dated = struck if was.shown.strip() else []
    for key in (_exactly, _same):
        found = [issue for issue in dated if key(issue) == key(was)]
        if len(found) == 1:
            return Carried(found[0])
        if found:
            return Carried(choices=tuple(found))
    shown = [issue for issue in dated if _shown(issue) == _shown(was)]
    never = any(issue.fact == NOT_STRUCK and _shown(issue) == _shown(was) for issue in issues)
    return Carried(None, tuple(shown or _of_years(struck, _within(was))), never)


def carry_reading(reading: str, issues: Sequence[Dated]) -> Carried[Dated]:
    """A date that was only read, as EDTF, among the issues of a type.

    A year that was read whole is taken if one issue for circulation is of it, and no other is.
    """
    try:
        date = parse_edtf(reading)
    except DateError:
        return Carried()
    found = _of_years([issue for issue in issues if issue.fact != NOT_STRUCK], date.may_be)
    if reading.isdecimal() and [issue.purpose for issue in found] == [_CIRCULATION]:
        return Carried(found[0])
    return Carried(choices=tuple(found))


def as_read(was: Any) -> str:
    """The date shown as the civil years it may mean, in EDTF; "" when it cannot be read."""
    issue = ShownIssue(was.shown, was.calendar, was.struck_from, was.struck_to)
    return civil_years(was.shown, was.calendar, [issue]) if was.shown.strip() else ""


def may_be_of(reading: str, first: int | None, last: int | None) -> bool | None:
    """Whether a date that was read, as EDTF, may be of these years; either end may be open.

    None where the date cannot be read or no year is known.

    >>> may_be_of("2002", 2002, None), may_be_of("200X", 2007, 2013), may_be_of("1999", 2002, 2006)
    (True, True, False)
    """
    try:
        date = parse_edtf(reading)
    except DateError:
        return None
    if first is None and last is None:
        return None
    early, late = date.lower_year, date.upper_year
    return not (
        (late is not None and first is not None and late < first)
        or (early is not None and last is not None and early > last)
    )


def _within(was: Any) -> Callable[[int], bool]:
    first, last = was.struck_from or was.struck_to, was.struck_to or was.struck_from
    return lambda year: first is not None and last is not None and first <= year <= last


def _of_years(issues: Sequence[Dated], fits: Callable[[int], bool]) -> list[Dated]:
    """Those struck in at least one year that fits."""
    found = []
    for issue in issues:
        first, last = issue.struck_from or issue.struck_to, issue.struck_to or issue.struck_from
        if first is not None and last is not None and any(map(fits, range(first, last + 1))):
            found.append(issue)
    return found
