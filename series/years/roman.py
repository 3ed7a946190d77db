"""Roman numerals as engravers cut them.

What is computed: the numbers a Roman numeral may be. Beside the regular, subtractive form
(MCMX, as the package roman-numerals writes it) are read, all common practice, no source:

* additive forms: MDCCCCX is 1910, MDCCLXXXXVIII is 1798, IIII is 4;
* IIX for 8, as on coins of about 1618;
* U cut for V, J for a last I, stops or spaces between the letters;
* the old thousand and five hundred, CIƆ and IƆ (also typed CI) and I)).

``?`` is any one of the letters M D C L X V I that makes a well-formed numeral.

>>> roman("MDCCCCX"), roman("M·DCC·LXXXXVIII"), roman("CIƆIƆCXX"), roman("MDCVIIJ")
((1910,), (1798,), (1620,), (1608,))
>>> roman("MDCCC?"), roman("MIM"), roman("LIBRA")
((1801, 1805, 1810, 1850, 1900), (), ())
"""

from __future__ import annotations

import re

from series.years.unread import UNREAD, unread

_VALUES = {"M": 1000, "D": 500, "C": 100, "L": 50, "X": 10, "V": 5, "I": 1}
_STOPS = re.compile(r"[\s.,:·•∙⋅*'’-]")
_OLD = re.compile(r"CI[ƆↃ)]|ↀ|I[ƆↃ)]|ↁ")
_FORM = re.compile(
    r"(M{0,4})(CM|CD|DC{0,4}|C{0,4})(XC|XL|LX{0,4}|X{0,4})(IX|IIX|IV|VI{0,4}|I{0,4})"
)
LETTERS = "".join(_VALUES)


def plain(text: str) -> str:
    """The letters M D C L X V I and ``?`` of a Roman numeral; "" if the text is none."""
    letters = _STOPS.sub("", text.upper())
    letters = _OLD.sub(lambda match: "M" if match[0][0] in "Cↀ" else "D", letters)
    letters = letters.replace("U", "V").replace("J", "I")
    known = letters.replace(UNREAD, "")
    return letters if known and not known.strip(LETTERS) else ""


def roman(text: str) -> tuple[int, ...]:
    """The numbers ``text`` may be, ascending; none if it is no Roman numeral."""
    letters = plain(text)
    return unread(letters, LETTERS, _value) if letters else ()


def _value(letters: str) -> int | None:
    match = _FORM.fullmatch(letters)
    if match is None:
        return None
    return sum(_group(part) for part in match.groups()) or None


def _group(letters: str) -> int:
    values = [_VALUES[letter] for letter in letters]
    return sum(-v if v < max(values[place:]) else v for place, v in enumerate(values))
