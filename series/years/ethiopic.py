"""Ethiopic numerals: units, tens, and a sign for the hundred that multiplies what is before it.

What is computed: the numbers an Ethiopic numeral may be, up to 9999; the values of the signs
are those of the Unicode Standard. ``?`` is any one sign that makes a well-formed numeral.

>>> ethiopic("፲፱፻፶፫"), ethiopic("፻፩"), ethiopic("፲፱፻?")[:4]
((1953,), (101,), (1901, 1902, 1903, 1904))
"""

from __future__ import annotations

import re
import unicodedata

from series.years.unread import UNREAD, unread

_UNITS, _TENS, _HUNDRED = "፩፪፫፬፭፮፯፰፱", "፲፳፴፵፶፷፸፹፺", "፻"
LETTERS = _UNITS + _TENS + _HUNDRED
_PAIR = f"([{_TENS}]?)([{_UNITS}]?)"
_FORM = re.compile(f"(?:{_PAIR}({_HUNDRED}))?{_PAIR}")


def ethiopic(text: str) -> tuple[int, ...]:
    """The numbers ``text`` may be, ascending; none if it is no Ethiopic numeral."""
    signs = re.sub(r"\s", "", text)
    known = signs.replace(UNREAD, "")
    if not known or known.strip(LETTERS):
        return ()
    return unread(signs, LETTERS, _value)


def _value(signs: str) -> int | None:
    match = _FORM.fullmatch(signs)
    if match is None:
        return None
    tens, unit, hundred, ten_after, unit_after = match.groups()
    before = (_number(tens) + _number(unit) or 1) if hundred else 0
    return 100 * before + _number(ten_after) + _number(unit_after) or None


def _number(sign: str | None) -> int:
    return int(unicodedata.numeric(sign)) if sign else 0
