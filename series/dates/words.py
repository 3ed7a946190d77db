"""A date kept as EDTF, said in words.

What is computed: an English text for a date of the Extended Date/Time Format (see
``series.dates.edtf``). A text that is no EDTF is given back as it stands, for a record may hold
words.

>>> in_words("1968-12-31"), in_words("1968-07"), in_words("1957?"), in_words("1889~")
('31 December 1968', 'July 1968', 'perhaps 1957', 'about 1889')
>>> in_words("1931/1938"), in_words("1931/.."), in_words("../1938"), in_words("[1966,1968]")
('1931 to 1938', 'from 1931', 'until 1938', '1966 or 1968')
>>> in_words("19X8"), in_words("196X"), in_words("..")
('19?8', '196?', '..')
"""

from __future__ import annotations

from datetime import date

from series.dates.edtf import DateError, Edtf, PartialDate, Span, parse_edtf

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
_QUALIFIERS = {"?": "perhaps ", "~": "about ", "%": "perhaps about "}


def day_in_words(day: date) -> str:
    """A day as written in a sentence.

    >>> day_in_words(date(1969, 3, 20))
    '20 March 1969'
    """
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


def in_words(text: str) -> str:
    """The date in words; what is not EDTF unchanged."""
    try:
        said = parse_edtf(text)
    except DateError:
        return text
    return _said(said)


def _said(date: Edtf) -> str:
    if date.kind == "interval":
        return _span(date.spans[0])
    return " or ".join(map(_span, date.spans))


def _span(span: Span) -> str:
    if span.first and span.first == span.last:
        return _date(span.first)
    if span.first and span.last:
        return f"{_date(span.first)} to {_date(span.last)}"
    return f"from {_date(span.first)}" if span.first else f"until {_date(span.last)}"


def _date(date: PartialDate | None) -> str:
    if date is None:
        return ""
    year = date.year.replace("X", "?")
    if date.month and not date.month.isdigit():
        return f"{_QUALIFIERS.get(date.qualifier, '')}{date}"
    parts = [year]
    if date.month:
        parts.insert(0, MONTHS[int(date.month) - 1])
    if date.day:
        parts.insert(0, date.day.lstrip("0").replace("X", "?"))
    return _QUALIFIERS.get(date.qualifier, "") + " ".join(parts)
