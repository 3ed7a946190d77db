"""Accession numbers by a member's pattern.

Computed: the number of the nth piece of a year. In the pattern ``{year}`` is the year, ``{n}``
counts; ``{n:03}`` makes 007. Everything else stands as written. Numbering a piece by year and
running number is common practice of collections; no source.

>>> accession_number("{year}.{n:03}", 2024, 7)
'2024.007'
>>> accession_number("H-{n}", 2024, 1250)
'H-1250'
>>> accession_number("{year}", 2024, 1)
Traceback (most recent call last):
    ...
catalogue.members.accession.PatternRefused: no-count
"""

from __future__ import annotations

import re
from string import Formatter

LONGEST = 60
_WIDTH = re.compile(r"(0?[1-9])?d?")


class PatternRefused(ValueError):
    """The pattern makes no accession numbers.

    ``args[0]`` says why: "braces" (unbalanced), "field" (something else than year and n in
    braces), "width" (not a width of 1 to 9 digits), "no-count" ({n} is missing), "long".
    """


def accession_number(pattern: str, year: int, n: int) -> str:
    """The accession number of the nth piece; raises PatternRefused."""
    counted = False
    try:
        parts = list(Formatter().parse(pattern))
    except ValueError as error:
        raise PatternRefused("braces") from error
    for _text, field, width, conversion in parts:
        if field is None:
            continue
        if field not in {"year", "n"} or conversion:
            raise PatternRefused("field")
        if not _WIDTH.fullmatch(width or ""):
            raise PatternRefused("width")
        counted = counted or field == "n"
    if not counted:
        raise PatternRefused("no-count")
    number = pattern.format(year=year, n=n)
    if len(number) > LONGEST:
        raise PatternRefused("long")
    return number
