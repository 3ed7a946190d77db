"""A cell that holds several things of a coin: its country, value, date, mint and grade.

Computed: the parts of texts such as "Germany 10 Pf 1950 G ss" or "Lincoln cent, 1944-D, VF", each
read as in a cell of its own, and the words that are left, as they were written.

>>> parts = split_coin("Germany 10 Pf 1950 G ss", "german")
>>> parts.country.code, parts.value.number, parts.date.edtf, parts.date.marks, parts.grade
('DE', Fraction(10, 1), '1950', ('G',), 'ss')
>>> parts = split_coin("2x Lincoln cent, 1944-D, VF", "american")
>>> parts.quantity, parts.value.units, parts.value.words, parts.date.marks, parts.grade
(2, ('cent',), ('lincoln',), ('D',), 'VF')
>>> split_coin("brass token, holed", "british").left
('brass', 'token', 'holed')
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from catalogue.importing.reading import countries
from catalogue.importing.reading.coin_dates import read_coin_date
from catalogue.importing.reading.grade_words import read_grade
from catalogue.importing.reading.lists import CoinDate, Country, Value
from catalogue.importing.reading.values import read_value

_DATE = re.compile(
    r"(?<![\w.,/])(?:(?:ca\.?|c\.|circa|um|vers|~)\s*)?"
    r"(?:AH\s?)?(?:1[2-9]\d[\d?]|2[045]\d\d)(?:\s?AH)?(?:\s*[-–/*]\s*\d{1,4}(?!\d))?"
    r"(?:\s?\((?:1[89]|20)\d\d(?:[-/]\d{2,4})?\))?\??"
    r"(?:\s?\([A-Z]{1,2}\)|[\s/-]?(?:[A-Z]{1,2}|[A-Z]/[A-Z]|[a-z])(?![\w.'-]))?(?![\w,]\d)"
    r"|(?<!\w)(?:Meiji|Taisho|Taishō|Showa|Shōwa|Heisei|Reiwa)\s?\d{1,2}(?!\d)|[明大昭平令]\w[\d元一二三四五六七八九十]+年?",
)
_QUANTITY = re.compile(r"^\s*(\d{1,4})\s?[x×]\s+|\s+[x×]\s?(\d{1,4})\s*$|\s+(\d{1,4})\s?[x×]\s*$")
_SPLIT = re.compile(r"\s*[,;|]\s*|\s+[-–—]\s+|\s*\(|\)\s*")
_GERMAN = {"DE", "DDHH"}
_AMERICAN_MINTS = {"P", "D", "S", "W", "O", "CC", "C"}
_LONGEST_GRADE = 3


@dataclass(frozen=True)
class Parts:
    """What a cell was split into; ``left`` are words that none of the parts says."""

    country: Country | None = None
    value: Value | None = None
    date: CoinDate | None = None
    grade: str = ""
    quantity: int | None = None
    left: tuple[str, ...] = ()


@lru_cache(maxsize=50_000)
def split_coin(text: str, habit: str, country_code: str = "") -> Parts:
    """The parts of a cell; ``country_code`` is known from elsewhere in the row."""
    said = " ".join(text.split())[:200]
    quantity, said = _quantity(said)
    country, said = _country(said)
    code = country.code if country else country_code
    coin_date, before, after = _date(said, habit, code)
    grade, after = _grade(after, habit)
    if not grade and not after.strip():
        grade, before = _grade(before, habit)
    value = read_value(f"{before.strip(' ,;')} {after.strip(' ,;')}".strip())
    known = value.number is not None and (bool(value.units) or not value.words)
    return Parts(
        country, value if known else None, coin_date, grade, quantity,
        () if known else tuple(re.findall(r"[^\s,;()]+", f"{before} {after}")),
    )  # fmt: skip


def _quantity(said: str) -> tuple[int | None, str]:
    match = _QUANTITY.search(said)
    if match is None:
        return None, said
    count = int(next(filter(None, match.groups())))
    return count or None, f"{said[: match.start()]} {said[match.end() :]}".strip()


def _country(said: str) -> tuple[Country | None, str]:
    words = re.findall(r"[^\s,;()]+", said)
    bare = [word.strip(":.") for word in words]
    found = countries.find(bare) or (countries.at_head(bare) if len(bare) > 1 else None)
    if found is None:
        return None, said
    code, start, length = found
    named = " ".join(words[start : start + length])
    pattern = r"[\s,;()]+".join(map(re.escape, words[start : start + length]))
    left = re.sub(rf"(?<!\w){pattern}(?!\w)[\s:,;-]*", " ", said, count=1)
    return countries.describe(code, named.strip(":.")), left.strip()


def _date(said: str, habit: str, code: str) -> tuple[CoinDate | None, str, str]:
    """The date, and what stands before and after it; the last year that is no value counts."""
    for match in reversed([*_DATE.finditer(said)]):
        found = match[0].strip()
        read = read_coin_date(found)
        if read is None or read[0].first is None:
            continue
        rest = said[match.end() :]
        mark = read[0].marks[0] if read[0].marks else ""
        if mark and _is_grade(found, mark, habit, code):
            found, rest = found[: -len(mark)].rstrip(" -("), f"{mark}{rest}"
            read = read_coin_date(found) or read
        left = " ".join(read[1])
        return read[0], f"{said[: match.start()]} {left}", rest
    return None, said, ""


def _is_grade(found: str, mark: str, habit: str, code: str) -> bool:
    """Whether the letters after a year are a grade: never glued, never where they name a mint."""
    if not habit or not re.search(rf"\s{re.escape(mark)}$", found):
        return False
    if code in _GERMAN and mark.isupper():
        return False
    if code == "US" and mark in _AMERICAN_MINTS:
        return False
    return read_grade(mark, habit) is not None


def _grade(said: str, habit: str) -> tuple[str, str]:
    """The grade at the end of a text, or at its start where it follows a date; and the rest."""
    bare = said.strip(" ,;.()")
    if not habit or not bare:
        return "", said
    words = bare.split()
    for length in range(min(len(words), _LONGEST_GRADE), 0, -1):
        for some, rest in ((words[-length:], words[:-length]), (words[:length], words[length:])):
            text = " ".join(some).strip(",;()")
            read = read_grade(text, habit)
            if read is not None and not read.left and not text.isdigit() and _not_value(text, rest):
                return text, " ".join(rest)
    return "", said


def _not_value(text: str, rest: list[str]) -> bool:
    """Whether letters can be a grade: "s" after a number alone is a shilling."""
    return not (len(text) == 1 and rest and re.fullmatch(r"[\d/½¼¾]+", rest[-1]))
