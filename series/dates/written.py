"""What a collector types for the date of one piece, turned into EDTF.

What is computed: an ``Edtf`` (see ``series.dates.edtf``) from a text in plain words or figures.
The words and the reading of ``?`` are this project's; EDTF itself is that of the Library of
Congress (4 February 2019). Years are civil years of the common era.

>>> str(read_date_input("19?8")), str(read_date_input("c. 1931"))
('19X8', '1931~')
>>> str(read_date_input("1966 or 1968")), str(read_date_input("1931–38"))
('[1966,1968]', '[1931..1938]')
"""

from __future__ import annotations

import re

from series.dates.edtf import DateError, Edtf, parse_edtf
from series.dates.words import MONTHS


def complete_year(start: int, end: str) -> int:
    """The last year of a range written short: 1931–38 is 1938, 1999–04 is 2004.

    ``end`` is in western digits. Two digits below those of the start mean the next century,
    but never more than 50 years on; anything else must not run backwards (DateError).
    """
    written = str(start)
    year = int(written[: -len(end)] + end) if len(end) < len(written) else int(end)
    if year < start and len(end) == 2:
        year += 100
        if year - start > 50:
            year -= 100
    if year < start:
        raise DateError(
            f"'{start}–{end}' runs backwards: write the earlier year first, and the later one "
            "in full.",
            f"{start}–{end}",
        )
    return year


_PERHAPS = r"(?:perhaps|probably|possibly|maybe)\s+"
_ABOUT = r"(?:circa|about|around|approximately|approx\.?|ca\.?|c\.?)(?:\s+|(?=[0-9?X]))"
_PREFIX = re.compile(f"(?:(?P<perhaps>{_PERHAPS})|(?P<about>{_ABOUT}))", re.IGNORECASE)
_UNCERTAIN = re.compile(r",?\s*\(?uncertain\)?$", re.IGNORECASE)
_MONTHS = [name[:3].lower() for name in MONTHS]
_YEAR = r"[0-9?X]{4}"
_NUMERIC = re.compile(rf"(?P<digits>{_YEAR}(?:-[0-9?X]{{2}}){{0,2}})(?P<qualifier>[?~%]?)")
_NAMED = re.compile(
    rf"(?:(?P<day>\d{{1,2}})\.?\s+)?(?P<month>[A-Za-z]{{3,9}})\.?,?\s+(?P<year>{_YEAR})"
)
_ERA = re.compile(r"(?:(?:AD|CE)\s*([1-9]\d{0,3})|([1-9]\d{0,3})\s*(AD|CE|BC|BCE))", re.IGNORECASE)
_RANGE = re.compile(
    rf"(?:(?:between|from)\s+)?({_YEAR}[?~%]?)\s*(?:[-–—]|to|and)\s*((?:\d{{1,3}}|{_YEAR})[?~%]?)",
    re.IGNORECASE,
)
_BOUND = re.compile(r"(before|after|until|from|since)\s+(\d{4})", re.IGNORECASE)
_OR_BEYOND = re.compile(r"(\d{4})\s+(?:or|and)\s+(later|after|earlier|before)", re.IGNORECASE)
_TYPED_FORMS = "1931, 19?8, c. 1931, perhaps 1931, 1966 or 1968, 1931–38, before 1931"


def read_date_input(text: str) -> Edtf:
    """What a collector types for the date of a piece, as EDTF; DateError says what to write.

    EDTF itself is read as such. In a year of four places, or a month or day of two, ``?`` and
    ``x`` are digits that cannot be read: ``196?`` is ``196X``. Only after all four digits
    (``1931?``), or in words (``perhaps 1931``), is a reading uncertain. A range is one year
    out of several: one piece has one date. ``1966-08`` is August 1966, as in EDTF, but
    ``1905-08`` could also be a range and is refused.
    """
    text = " ".join(text.split())
    if not text:
        raise DateError(f"Write a date, for example {_TYPED_FORMS}.", text)
    if re.search(r"[^\W\D0-9]", text):
        raise DateError(
            f"'{text}' is not in western figures: write the civil years it may mean, "
            "for example 1969 or 1970.",
            text,
        )
    try:
        found = parse_edtf(text)
    except DateError:
        return parse_edtf(_as_edtf(text))
    if re.fullmatch(r"\d{4}-\d{2}", text) and text[5:] > text[2:4]:
        raise DateError(
            f"'{text}' can mean a month or a range: write {text[:4]} to {text[:2]}{text[5:]} for "
            f"the years, or {_MONTHS[int(text[5:]) - 1].title()} {text[:4]} for the month.",
            text,
        )
    return found


def _as_edtf(text: str) -> str:
    if re.fullmatch(r"n\.?\s?d\.?|undated|no date", text, re.IGNORECASE):
        raise DateError(
            "An undated piece has no date to read: leave this empty, or write the years it may "
            "have been struck in, for example 1890–95.",
            text,
        )
    if re.fullmatch(r"unreadable|illegible", text, re.IGNORECASE):
        return "XXXX"
    mark, plain = _qualifier(text)
    if match := _BOUND.fullmatch(plain):
        word, year = match[1].lower(), int(match[2])
        shift = {"before": -1, "after": 1}.get(word, 0)
        date = _year_text(year + shift) + mark
        return f"[..{date}]" if word in ("before", "until") else f"[{date}..]"
    if match := _OR_BEYOND.fullmatch(plain):
        later = match[2].lower() in ("later", "after")
        return f"[{match[1]}{mark}..]" if later else f"[..{match[1]}{mark}]"
    choices = [part for part in re.split(r"\s*(?:,|\bor\b)\s*", plain) if part] or [plain]
    members: list[str] = []
    for choice in choices:
        if re.fullmatch(r"\d{1,3}", choice) and members and re.match(r"\d{4}", members[-1]):
            choice = members[-1][: 4 - len(choice)] + choice
        members.append(_choice(choice, mark, text))
    if len(members) == 1 and ".." not in members[0]:
        return members[0]
    return f"[{','.join(members)}]"


def _qualifier(text: str) -> tuple[str, str]:
    """The EDTF qualifier that the words around a date ask for, and what is left of the text."""
    uncertain, approximate = False, False
    while match := _PREFIX.match(text):
        uncertain, approximate = uncertain or bool(match[1]), approximate or bool(match[2])
        text = text[match.end() :]
    left = _UNCERTAIN.sub("", text)
    return _combined(uncertain or left != text, approximate), left


def _combined(uncertain: bool, approximate: bool) -> str:
    if uncertain and approximate:
        return "%"
    return "?" if uncertain else "~" if approximate else ""


def _year_text(year: int) -> str:
    return f"{'-' if year < 0 else ''}{abs(year):04d}"


def _choice(text: str, outer: str, whole: str) -> str:
    """One member of a set of choices as EDTF: a date, or a range of them."""
    inner, text = _qualifier(text)
    mark = inner + outer
    unread_month = re.fullmatch(rf"{_YEAR}-(?=.?[?xX])[0-9?xX]{{2}}[?~%]?", text)
    if not unread_month and (match := _RANGE.fullmatch(text)):
        first, last = match.groups()
        figures = last.rstrip("?~%")
        if figures.isdigit() and first[:4].isdigit():
            last = f"{complete_year(int(first[:4]), figures):04d}{last[len(figures) :]}"
        return f"{_one_date(first, mark, whole)}..{_one_date(last, mark, whole)}"
    return _one_date(text, mark, whole)


def _one_date(text: str, marks: str, whole: str) -> str:
    text = re.sub(r"^the\s+", "", text, flags=re.IGNORECASE)
    if match := _NUMERIC.fullmatch(text.replace("x", "X")):
        date, marks = match["digits"].replace("?", "X"), marks + match["qualifier"]
    elif match := re.fullmatch(r"(\d{3})0s", text):
        if match[1].endswith("0"):
            raise DateError(
                f"'{text}' can mean ten years or a hundred: write {match[1]}X or {match[1][:2]}XX.",
                text,
            )
        date = f"{match[1]}X"
    elif (match := _NAMED.fullmatch(text.replace("x", "X"))) and (
        match["month"][:3].lower() in _MONTHS
    ):
        month = _MONTHS.index(match["month"][:3].lower()) + 1
        date = f"{match['year'].replace('?', 'X')}-{month:02d}"
        date += f"-{int(match['day']):02d}" if match["day"] else ""
    elif match := _ERA.fullmatch(text):
        year = int(match[1] or match[2])
        date = _year_text(1 - year if (match[3] or "").upper().startswith("B") else year)
    else:
        raise DateError(_what_to_type(text, whole), text)
    both = "%" in marks
    return date + _combined(both or "?" in marks, both or "~" in marks)


def _what_to_type(text: str, whole: str) -> str:
    if re.fullmatch(r"\d{4}/\d{1,3}", text):
        return (
            f"'{text}' can mean several things: write {text[:4]} or {text[5:]} if either year may "
            f"be meant, {text[:4]} if that is what the coin shows."
        )
    if re.fullmatch(r"[0-9?xX]{1,3}", text):
        return (
            f"'{text}' is short: write four figures, ? for each that cannot be read, "
            f"or AD {text if text.isdigit() else 931} for an early year."
        )
    where = "" if text == whole else f" in '{whole}'"
    return f"'{text}'{where} is not a date. Write it like one of these: {_TYPED_FORMS}."
