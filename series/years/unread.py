"""Numerals with unread signs: try each sign that could stand there.

What is computed: for a numeral with up to ``MOST`` signs ``?``, the numbers it may be, given the
letters of the script and a function that reads one numeral (None where it is not well formed).

>>> unread("1?", "034", lambda text: int(text))
(10, 13, 14)
>>> unread("1", "034", lambda text: None)
()
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import product

UNREAD = "?"
MOST = 2
"""Unread letters that are tried one by one, in numerals that are not place-value figures."""


def unread(text: str, letters: str, value: Callable[[str], int | None]) -> tuple[int, ...]:
    """The numbers ``text`` may be, ascending; each ``?`` is one of ``letters``."""
    first, *others = text.split(UNREAD)
    found = {
        value(first + "".join(letter + piece for letter, piece in zip(choice, others, strict=True)))
        for choice in product(letters, repeat=len(others))
    }
    return tuple(sorted(number for number in found if number is not None))
