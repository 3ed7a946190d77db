"""Uncertain dates in EDTF: which civil years a date may mean.

Years are astronomical integers (0 is 1 BC) of the proleptic Gregorian calendar.

Source: Extended Date/Time Format (EDTF) Specification, Library of Congress, 4 February 2019
(profile of ISO 8601-2). Kept here, of level 0 and level 1: years, months and days, ``X`` for
an unspecified digit, ``?`` uncertain, ``~`` approximate, ``%`` both (of the whole date),
intervals with open (``..``) and unknown (empty) ends, negative years; of level 2: ``X`` in any
place and sets "one of" (``[1966,1968]``, ``[1966..1968]``, ``[..1930]``). Left out, because a
coin does not carry them: times of day, seasons, years of more than four digits.

>>> date = parse_edtf("19X8")
>>> date.lower_year, date.upper_year, date.candidate_years[:3]
(1908, 1998, (1908, 1918, 1928))
>>> parse_edtf("1931/..").may_be(2024), str(parse_edtf("[1968, 1966,1966]"))
(True, '[1966,1968]')
"""

from __future__ import annotations

import re
from calendar import isleap
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import product
from typing import Literal

FORMS = "1931, 19X8, 1931-05-01, 1931?, 1931/1938 or [1966,1968]"


class DateError(ValueError):
    """A text that is no date; the message says what to write instead.

    ``piece`` is the part of the text at fault.
    """

    def __init__(self, message: str, piece: str) -> None:
        super().__init__(message)
        self.piece = piece


def _fits(pattern: str, number: int) -> bool:
    return all(p in ("X", d) for p, d in zip(pattern, f"{number:02d}", strict=True))


@lru_cache(maxsize=512)
def _days(month: str, day: str, leap: bool) -> tuple[tuple[int, int], ...]:
    """The (month, day) pairs of a year that fit two patterns; an empty pattern fits all."""
    lengths = (31, 29 if leap else 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
    return tuple(
        (m, d)
        for m, length in enumerate(lengths, start=1)
        for d in range(1, length + 1)
        if _fits(month or "XX", m) and _fits(day or "XX", d)
    )


@dataclass(frozen=True)
class PartialDate:
    """A year, a month or a day, with ``X`` for digits unread; a qualifier of the whole."""

    year: str
    month: str = ""
    day: str = ""
    qualifier: Literal["", "?", "~", "%"] = ""

    def __str__(self) -> str:
        return "-".join(filter(None, (self.year, self.month, self.day))) + self.qualifier

    @cached_property
    def years(self) -> tuple[int, ...]:
        """Every year it may mean, ascending; empty if there is no such day."""
        sign = -1 if self.year.startswith("-") else 1
        choices = ("0123456789" if c == "X" else c for c in self.year.lstrip("-"))
        found = (sign * int("".join(digits)) for digits in product(*choices))
        return tuple(sorted(y for y in found if _days(self.month, self.day, isleap(y))))

    @property
    def first_day(self) -> tuple[int, int, int]:
        year = self.years[0]
        return (year, *_days(self.month, self.day, isleap(year))[0])

    @property
    def last_day(self) -> tuple[int, int, int]:
        year = self.years[-1]
        return (year, *_days(self.month, self.day, isleap(year))[-1])


@dataclass(frozen=True)
class Span:
    """From one date to another; None is an end that is open, or not known."""

    first: PartialDate | None
    last: PartialDate | None


@dataclass(frozen=True)
class Edtf:
    """One date, an interval, or a set of which one is meant. ``str()`` is canonical EDTF."""

    kind: Literal["date", "interval", "one of"]
    spans: tuple[Span, ...]
    open_first: bool = False
    """Of an interval: a missing start is open (``..``), not merely unknown."""
    open_last: bool = False

    def __str__(self) -> str:
        span = self.spans[0]
        if self.kind == "date":
            return str(span.first)
        if self.kind == "interval":
            first = span.first or (".." if self.open_first else "")
            last = span.last or (".." if self.open_last else "")
            return f"{first}/{last}"
        return f"[{','.join(map(_member_text, self.spans))}]"

    @property
    def lower_year(self) -> int | None:
        """The earliest year it may mean; None where the start is open or not known."""
        firsts = [span.first.years[0] for span in self.spans if span.first]
        return min(firsts) if len(firsts) == len(self.spans) else None

    @property
    def upper_year(self) -> int | None:
        """The latest year it may mean; None where the end is open or not known."""
        lasts = [span.last.years[-1] for span in self.spans if span.last]
        return max(lasts) if len(lasts) == len(self.spans) else None

    @property
    def candidate_years(self) -> tuple[int, ...] | None:
        """Every year it may mean, ascending; None where an end is open or not known.

        ``~`` and ``?`` add no years: how far "about" reaches is for the reader to say.
        """
        if self.lower_year is None or self.upper_year is None:
            return None
        years: set[int] = set()
        for span in self.spans:
            if span.first and span.first == span.last:
                years.update(span.first.years)
            elif span.first and span.last:
                years.update(range(span.first.years[0], span.last.years[-1] + 1))
        return tuple(sorted(years))

    def may_be(self, year: int) -> bool:
        """Whether ``year`` is among those it may mean; open and unknown ends allow any."""
        for span in self.spans:
            if span.first and span.first == span.last:
                found = year in span.first.years
            else:
                found = not (span.first and year < span.first.years[0]) and not (
                    span.last and year > span.last.years[-1]
                )
            if found:
                return True
        return False


def _member_text(span: Span) -> str:
    if span.first == span.last:
        return str(span.first)
    return f"{span.first or ''}..{span.last or ''}"


_DATE = re.compile(
    r"(?P<year>-?[0-9X]{4})(?:-(?P<month>[0-9X]{2})(?:-(?P<day>[0-9X]{2}))?)?(?P<qualifier>[?~%]?)"
)


def _partial_date(text: str) -> PartialDate:
    match = _DATE.fullmatch(text)
    if match is None:
        raise DateError(_what_to_write(text), text)
    year, month, day, qualifier = (part or "" for part in match.groups())
    date = PartialDate(year, month, day, qualifier)  # type: ignore[arg-type]
    if year == "-0000":
        raise DateError("Write 0000 for the year 1 BC; there is no year -0000.", text)
    if not date.years:
        raise DateError(f"There is no such day as {text}: check the month and the day.", text)
    return date


def _what_to_write(text: str) -> str:
    """The advice for a text that is no EDTF date."""
    shown = f"'{text}' is not a date."
    if re.search(r"[–—]", text):
        return f"{shown} Write 1931/1938 for a span, [1931..1938] for one year out of several."
    if re.search(r"[?~%].", text):
        return (
            f"{shown} Write X for a digit that cannot be read (19X8); ?, ~ or % stand once, "
            "at the end, and % means both uncertain and approximate."
        )
    if re.search(r"\dx|x\d", text):
        return f"{shown} Write a capital X for a digit that cannot be read: 19X8."
    if "T" in text or ":" in text:
        return f"{shown} A coin has no time of day: write the day alone, 1931-05-01."
    if text[:1] in ("{", "}"):
        return f"{shown} One piece has one date: write [1966,1968] for one of them."
    if re.fullmatch(r"-?[0-9X]{1,3}[?~%]?", text):
        return f"{shown} Write the year with four digits: 0931, or X for one that cannot be read."
    if re.fullmatch(r"Y?-?[0-9X]{5,}.*", text):
        return f"{shown} A year has four digits; write 1931-05-01 for a day."
    return f"{shown} Write it like one of these: {FORMS}."


def parse_edtf(text: str) -> Edtf:
    """Read EDTF; raise DateError saying what to write instead."""
    text = text.strip()
    if text.startswith("["):
        if not text.endswith("]"):
            raise DateError(f"'{text}' wants its closing bracket: [1966,1968].", text)
        return _one_of(text)
    if "/" in text:
        return _interval(text)
    date = _partial_date(text)
    return Edtf("date", (Span(date, date),))


def _interval(text: str) -> Edtf:
    ends = text.split("/")
    if len(ends) != 2:
        raise DateError(f"'{text}' has more than two ends: write 1931/1938.", text)
    first, last = (None if end in ("", "..") else _partial_date(end) for end in ends)
    if first is None and last is None:
        raise DateError(f"'{text}' names no year: write 1931/.., ../1938 or 1931/1938.", text)
    _check_order(first, last, text)
    return Edtf("interval", (Span(first, last),), ends[0] == "..", ends[1] == "..")


def _one_of(text: str) -> Edtf:
    spans = {_member(member.strip()) for member in text[1:-1].split(",")}

    def place(span: Span) -> tuple[int, int, str]:
        low = span.first.years[0] if span.first else -10_000
        high = span.last.years[-1] if span.last else 10_000
        return low, high, _member_text(span)

    return Edtf("one of", tuple(sorted(spans, key=place)))


def _member(text: str) -> Span:
    if ".." not in text:
        date = _partial_date(text)
        return Span(date, date)
    head, _, tail = text.partition("..")
    first = _partial_date(head) if head else None
    last = _partial_date(tail) if tail else None
    if first is None and last is None:
        raise DateError(f"'[{text}]' names no year: write [1931..] or [..1938].", text)
    _check_order(first, last, text)
    return Span(first, last)


def _check_order(first: PartialDate | None, last: PartialDate | None, text: str) -> None:
    if first and last and first.first_day > last.last_day:
        raise DateError(f"'{text}' runs backwards: write the earlier date first.", text)
