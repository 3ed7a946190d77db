"""Years in Hebrew letters.

What is computed: the years of the era of the world that Hebrew letters may mean, with geresh or
gershayim or without, with the thousands (ה׳תשכ״ט) or, as on most coins, without (תשכ״ט: then
5000 is added). Common practice, no source: 15 and 16 are טו and טז, hundreds above 400 are sums
(תש is 700), letters may change places to avoid or to make a word (תרח״צ is 698), final forms
count as their letters. A first ה before a letter of the hundreds is five thousand even without
a geresh. ``?`` is any one letter that makes a well-formed numeral.

>>> hebrew("ה׳תשכ״ט"), hebrew("תשכט"), hebrew('תרח"צ'), hebrew("תשט״ו")
((5729,), (5729,), (5698,), (5715,))
>>> hebrew("תש?ט")
(5719, 5729, 5739, 5749, 5759, 5769, 5779, 5789, 5799)
"""

from __future__ import annotations

import re

from series.years.unread import UNREAD, unread

_VALUES = dict(
    zip(
        "אבגדהוזחטיכלמנסעפצקרשת",
        (*range(1, 10), *range(10, 100, 10), 100, 200, 300, 400),
        strict=True,
    )
)
_FINALS = str.maketrans("ךםןףץ", "כמנפצ")
LETTERS = "".join(_VALUES)
_GERESH = "׳'’‘`´′"
_NUMERAL = re.compile(rf"[{LETTERS}{UNREAD}{_GERESH}״\"“”″]+")
_THOUSANDS = re.compile(rf"([א-ט])[{_GERESH}](?=.*[{LETTERS}])")


def hebrew(text: str) -> tuple[int, ...]:
    """The years ``text`` may be, ascending; none if it is no Hebrew numeral."""
    letters = re.sub(r"\s", "", text).translate(_FINALS)
    if not _NUMERAL.fullmatch(letters) or not re.search(f"[{LETTERS}]", letters):
        return ()
    return unread(letters, LETTERS, _value)


def _value(text: str) -> int | None:
    thousands = 0
    if match := _THOUSANDS.match(text):
        thousands, text = _VALUES[match[1]], text[match.end() :]
    values = [_VALUES[letter] for letter in text if letter in _VALUES]
    if not thousands and values[0] == 5 and len(values) > 1 and values[1] >= 100:
        thousands, values = 5, values[1:]
    small = _below_thousand(values)
    return None if small is None else (thousands or 5) * 1000 + small


def _below_thousand(values: list[int]) -> int | None:
    hundreds = [v for v in values if v >= 100]
    tens = [v for v in values if 10 <= v < 100]
    units = [v for v in values if v < 10]
    if hundreds != sorted(hundreds, reverse=True) or hundreds.count(400) > 2:
        return None
    fifteen = values[-2:] in ([9, 6], [9, 7]) and not tens
    if len([v for v in hundreds if v < 400]) > 1 or len(tens) > 1:
        return None
    if len(units) > (2 if fifteen else 1):
        return None
    return sum(values)
