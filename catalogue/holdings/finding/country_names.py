"""The countries of today by their names in several languages.

Computed: the two-letter code of ISO 3166-1 and the English name of a country, from words among
which its name stands, and the folded words that are this name. Units: none. Source: names of
territories in the Unicode Common Locale Data Repository, as the package babel brings them.

>>> named_country("1 mark Deutschland")
Named(code='DE', name='Germany', words=('deutschland',))
>>> named_country("5 francs suisse 1967").name
'Switzerland'
>>> named_country("25 tinne") is None
True
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from babel import Locale

from series.text.folding import fold

LANGUAGES = (
    "en", "de", "fr", "es", "it", "nl", "pt", "pl", "sv", "da", "nb", "fi", "cs", "hu", "ro", "tr",
    "el", "ru", "uk", "ar", "he", "zh", "ja",
)  # fmt: skip
"""The languages whose names are known; where two differ in a name's country, the first counts."""

_NO_COUNTRY = {"EU", "EZ", "UN", "QO", "XA", "XB", "ZZ"}


class Named(NamedTuple):
    """A country by its code and English name, and the folded words that named it."""

    code: str
    name: str
    words: tuple[str, ...]


def named_country(text: str) -> Named | None:
    """The country that some words of a text name; the longest name."""
    words = fold(text).split()
    for length in range(min(len(words), 6), 0, -1):
        for start in range(len(words) - length + 1):
            code = _codes().get(" ".join(words[start : start + length]))
            if code is not None:
                return Named(code, _english(code), tuple(words[start : start + length]))
    return None


@lru_cache(maxsize=1)
def _codes() -> dict[str, str]:
    found: dict[str, str] = {}
    for language in LANGUAGES:
        for code, name in Locale(language).territories.items():
            if re.fullmatch("[A-Z]{2}", code) and code not in _NO_COUNTRY:
                found.setdefault(fold(name), code)
    return found


def _english(code: str) -> str:
    return str(Locale("en").territories[code])
