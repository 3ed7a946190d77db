"""One numeral of any script that coins are dated in.

What is computed: the numbers it may be, the name of its script, and its western figures if it
is written by place. See the module of each script for what is read.

>>> read_numeral("१९५?").values[:2], read_numeral("MDCCC").values, read_numeral("二〇〇一").figures
((1950, 1951), (1800,), '2001')
>>> read_numeral("one") is None
True
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from series.years.chinese import by_place, chinese
from series.years.ethiopic import ethiopic
from series.years.figures import kind_of, numbers, western
from series.years.hebrew import hebrew
from series.years.roman import roman
from series.years.unread import MOST, UNREAD


@dataclass(frozen=True)
class Numeral:
    """``figures`` is "" unless the numeral is written by place; ``unread`` counts its ``?``."""

    script: str
    values: tuple[int, ...]
    figures: str
    unread: int


_LETTERS: dict[str, Callable[[str], tuple[int, ...]]] = {
    "roman": roman,
    "hebrew": hebrew,
    "ethiopic": ethiopic,
    "chinese": chinese,
}


def read_numeral(text: str) -> Numeral | None:
    """The numeral; None if it is none, or if more of it is unread than can be tried."""
    unread = text.count(UNREAD)
    if figures := western(text):
        return Numeral(kind_of(text), numbers(figures), figures, unread)
    if unread > MOST and not by_place(text):
        return None
    for script, read in _LETTERS.items():
        if values := read(text):
            return Numeral(script, values, by_place(text) if script == "chinese" else "", unread)
    return None
