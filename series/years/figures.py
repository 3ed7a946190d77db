"""Place-value figures of any script, with ``?`` for a figure that cannot be read.

What is computed: the same figures in western signs, what they are called, and the numbers
they may be. Which characters are decimal digits is the Unicode Standard's (property
Numeric_Type=Decimal): western, Arabic-Indic and Persian, Devanagari, Bengali and the other
Indian scripts, Thai, Lao, Khmer, Burmese and more.

>>> western("١٣?٩"), kind_of("١٣?٩"), numbers("13?9")[:3]
('13?9', 'arabic', (1309, 1319, 1329))
>>> western("MDCC"), kind_of("၁၂၁၄")
('', 'burmese')
"""

from __future__ import annotations

import unicodedata
from itertools import product

from series.text.scripts import script_name, script_of
from series.years.unread import UNREAD

MOST_FIGURES = 4
"""Figures of one year; a longer row of them is no year, and has no number."""


def western(text: str) -> str:
    """The figures in western signs; "" unless all are figures or ``?``, one at least a figure."""
    signs = []
    for char in text:
        number = unicodedata.decimal(char, None)
        if number is None and char != UNREAD:
            return ""
        signs.append(UNREAD if number is None else str(number))
    figures = "".join(signs)
    return figures if figures.strip(UNREAD) else ""


def kind_of(text: str) -> str:
    """What the first figure is called: "western", "arabic", "persian", "thai", ..."""
    first = next(char for char in text if unicodedata.decimal(char, None) is not None)
    if unicodedata.name(first).startswith("EXTENDED ARABIC"):
        return "persian"
    return script_name(script_of(first)).lower() or "western"


def numbers(figures: str) -> tuple[int, ...]:
    """Every number that western ``figures`` may be, ascending; an unread first figure is no 0.

    None for more than ``MOST_FIGURES`` of them.

    >>> numbers("19531953")
    ()
    """
    if len(figures) > MOST_FIGURES:
        return ()
    choices = [
        ("123456789" if place == 0 else "0123456789") if sign == UNREAD else sign
        for place, sign in enumerate(figures)
    ]
    return tuple(number for signs in product(*choices) if (number := int("".join(signs))))
