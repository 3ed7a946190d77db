"""The numeral to draw on a coin, from the name of its denomination.

What is computed: a text of a few letters, such as "25" for "25 tinne" or "½" for "half crown";
empty when the name says no number ("florin"). The words are English, from memory.

>>> numeral("25 tinne"), numeral("half crown"), numeral("2½ cents"), numeral("sixpence")
('25', '½', '2½', '6')
>>> numeral("florin")
''
"""

from __future__ import annotations

import re

from series.text.english import NUMBERS

_LEADING = re.compile(r"[\d][\d.,']*(?:\s?[½⅓⅔¼¾⅕⅛⅒]|\s\d/\d+|/\d+)?|[½⅓⅔¼¾⅕⅛⅒]")
_FRACTIONS = {"1/2": "½", "1/3": "⅓", "2/3": "⅔", "1/4": "¼", "3/4": "¾", "1/5": "⅕", "1/8": "⅛"}
_WORDS = {"half": "½", "third": "⅓", "quarter": "¼", "hundred": "100"}
_PENCE = re.compile(r"(?P<number>half|two|three|four|six)(?:penny|pence)$")


def numeral(name: str) -> str:
    """The number that opens a denomination's name, as a coin would show it, or ""."""
    name = name.strip()
    if match := _LEADING.match(name):
        found = match[0].rstrip(".,'")
        whole, _, fraction = found.rpartition(" ")
        fraction = _FRACTIONS.get(fraction, fraction)
        return f"{whole}{fraction}" if "/" not in fraction else found
    first = name.lower().split(" ")[0]
    if match := _PENCE.match(first):
        first = match["number"]
    parts = first.split("-")
    number = sum(NUMBERS.get(part, 0) for part in parts)
    return str(number) if number else _WORDS.get(parts[0], "")
