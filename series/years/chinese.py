"""Chinese and Japanese numerals, everyday and financial, with place words or without.

What is computed: the numbers such a numeral may be, up to 9999. Figures alone stand by place
(一九八五, 二〇〇一); with place words they multiply (一千九百八十五, 廿三 for 23); 元 alone is the
first year. The signs and their values: common practice, no source. ``?`` is any one figure or
place word that makes a well-formed numeral; among more than two unread signs, if no place word
is among them, each is one figure.

>>> chinese("一千九百八十五"), chinese("二〇〇一"), chinese("廿三"), chinese("壹佰零貳")
((1985,), (2001,), (23,), (102,))
>>> chinese("四十?")[:3], by_place("一九?五"), by_place("四十三")
((40, 41, 42), '19?5', '')
"""

from __future__ import annotations

import re

from series.years.figures import MOST_FIGURES, numbers
from series.years.unread import MOST, UNREAD, unread

_FIGURES = (
    "〇零○◯", "一壹弌壱", "二貳弐贰貮兩两", "三參叁参弎", "四肆", "五伍", "六陸陆", "七柒漆",
    "八捌", "九玖",
)  # fmt: skip
_FIGURE = {sign: number for number, signs in enumerate(_FIGURES) for sign in signs}
_PLACE = {"十": 10, "拾": 10, "百": 100, "佰": 100, "陌": 100, "千": 1000, "仟": 1000, "阡": 1000}
_SCORES = {"廿": 20, "卄": 20, "念": 20, "卅": 30, "丗": 30, "卌": 40}
_KNOWN = "".join((*_FIGURE, *_PLACE, *_SCORES, "元"))
LETTERS = "〇一二三四五六七八九十百千廿卅"


def chinese(text: str) -> tuple[int, ...]:
    """The numbers ``text`` may be, ascending; none if it is no such numeral."""
    signs = re.sub(r"\s", "", text)
    known = signs.replace(UNREAD, "")
    if not known or known.strip(_KNOWN):
        return ()
    if signs.count(UNREAD) > MOST and (figures := by_place(signs)):
        return numbers(figures)
    return unread(signs, LETTERS, _value)


def by_place(text: str) -> str:
    """The figures in western signs, "" if there are place words among them or other signs."""
    signs = [UNREAD if c == UNREAD else str(_FIGURE.get(c, "")) for c in re.sub(r"\s", "", text)]
    figures = "".join(signs)
    return figures if all(signs) and len(signs) > 1 and figures.strip(UNREAD) else ""


def _value(signs: str) -> int | None:
    if signs == "元":
        return 1
    if all(sign in _FIGURE for sign in signs):
        figures = "".join(str(_FIGURE[sign]) for sign in signs)
        return int(figures) if figures[0] != "0" and len(figures) <= MOST_FIGURES else None
    return _with_places(signs)


def _with_places(signs: str) -> int | None:
    total, waiting, lowest = 0, 0, 10_000
    for sign in signs:
        figure = _FIGURE.get(sign)
        if figure == 0 and total and not waiting:
            continue
        if figure:
            if waiting:
                return None
            waiting = figure
        elif (place := 10 if sign in _SCORES else _PLACE.get(sign, 0)) and place < lowest:
            if sign in _SCORES and waiting:
                return None
            total += _SCORES.get(sign, (waiting or 1) * place)
            waiting, lowest = 0, place
        else:
            return None
    return total + waiting
