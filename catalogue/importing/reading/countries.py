"""The country that a text names, in any language, by its code, or by a name it has no more.

Computed: a ``Country``, or the first and longest name of one among the words of a text. Sources:
the names of territories in all languages of the Unicode Common Locale Data Repository and its
aliases of codes (ISO 3166-1 in two and three letters), as babel brings them; for what is gone,
``catalogue/importing/reading/country_words.py``.

>>> named("Zwitserland").code, named("deu").name, named("Griechenland").name
('CH', 'Germany', 'Greece')
>>> named("DDR"), named("Germany (GDR)").code, named("Euro").currency
(Country(text='DDR', code='DDHH', name='German Democratic Republic', currency=''), 'DDHH', 'EUR')
>>> named("Atlantis"), find("5 francs suisse 1967".split())
(Country(text='Atlantis', code='', name='', currency=''), ('CH', 2, 1))
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache, lru_cache

from babel import Locale
from babel.core import get_global
from babel.localedata import locale_identifiers

from catalogue.holdings.finding.country_names import LANGUAGES
from catalogue.importing.reading.country_words import (
    ADJECTIVES,
    ALSO,
    FORMER,
    UNIONS,
    VEHICLES,
    WITHOUT_CODE,
)
from catalogue.importing.reading.lists import Country
from catalogue.importing.reading.near_names import ByLength, by_length, near
from catalogue.importing.reading.unit_words import UNITS
from series.text.folding import fold

_NO_COUNTRY = {"EU", "EZ", "UN", "QO", "XA", "XB", "ZZ"}
_LONGEST = 6
_SHORTEST_IN_TEXT = 4
_SHORTEST_AT_HEAD = 5
_UPPER = {
    "GB",
    "UK",
    "US",
    "USA",
    "DDR",
    "BRD",
    "USSR",
    "UDSSR",
    "URSS",
    "GDR",
    "FRG",
    "CCCP",
    "RSA",
}


@lru_cache(maxsize=50_000)
def named(text: str) -> Country:
    """The country that a cell names; without a code where none is known."""
    text = " ".join(text.split())
    code = _usually(text) or _rare_names().get(fold(text), "")
    return Country(text, *_described(code)) if code else Country(text)


@lru_cache(maxsize=50_000)
def meant(text: str) -> Country:
    """Like ``named``, of a cell that holds nothing but a country, misspelt or cut short.

    >>> meant("Germnay").code, meant("Littauen").name, meant("Austrlia").code
    ('DE', 'Lithuania', '')
    >>> meant("Niem.").code, meant("W. Brytania").code, meant("E.U.A.").code, meant("Austr.").code
    ('DE', 'GB', 'US', '')
    """
    if not is_usual(text) and (code := _cut_short(text)):
        return Country(" ".join(text.split()), *_described(code))
    country = named(text)
    if country.code or country.name or country.currency:
        return country
    codes = near_codes(text)
    if len(codes) != 1:
        return country
    return replace(Country(country.text, *_described(*codes)), misspelt=True)


def _cut_short(text: str) -> str:
    """The code of the one country whose usual name has such beginnings, each with a stop."""
    if re.fullmatch(r"(?:[^\W\d_]\.\s?){2,5}", text.strip()):
        return _usually(re.sub(r"[.\s]", "", text))
    begun = [(fold(m[1]), bool(m[2])) for m in re.finditer(r"([^\W\d_]+)(\.?)", text)]
    letters = sum(len(beginning) for beginning, _cut in begun)
    if not any(cut for _beginning, cut in begun) or letters < 3 or any(map(str.isdigit, text)):
        return ""
    codes = {
        code
        for words, code in _words_of_names().get(len(begun), ())
        if all(
            word.startswith(beginning) if cut else word == beginning
            for (beginning, cut), word in zip(begun, words, strict=True)
        )
    }
    return codes.pop() if len(codes) == 1 else ""


@cache
def _words_of_names() -> dict[int, list[tuple[list[str], str]]]:
    found: dict[int, list[tuple[list[str], str]]] = {}
    for name, code in _names().items():
        found.setdefault(len(name.split()), []).append((name.split(), code))
    return found


def near_codes(text: str) -> frozenset[str]:
    """The codes of countries of whose usual names a text is one slip away."""
    return frozenset(_names()[name] for name in near(fold(text), _names_by_length()))


def is_nearly(text: str) -> bool:
    """Whether a text is a usual name of one country misspelt or cut short."""
    return meant(text).misspelt or bool(_cut_short(text))


@cache
def _names_by_length() -> ByLength:
    return by_length(_names())


@lru_cache(maxsize=50_000)
def is_usual(text: str) -> bool:
    """Whether a text names a country by its code or in one of the usual languages."""
    return bool(_usually(" ".join(text.split())))


@lru_cache(maxsize=50_000)
def is_name(text: str) -> bool:
    """Whether a text is nothing but the name of a country in one of the usual languages."""
    return fold(text) in _names()


def _usually(text: str) -> str:
    return _of_cell(re.sub("['’]", " ", text)) or _of_cell(text)


def describe(code: str, text: str) -> Country:
    """A country by the code that ``find`` gave, with the text that named it."""
    return Country(text, *_described(code))


def find(words: list[str]) -> tuple[str, int, int] | None:
    """The code of the country that some of these words name, where they begin, how many."""
    folded = [fold(word) for word in words]
    best: tuple[str, int, int] | None = None
    for length in range(min(len(words), _LONGEST), 0, -1):
        for start in range(len(words) - length + 1):
            name = " ".join(filter(None, folded[start : start + length]))
            if not _may_stand(name, words[start], length):
                continue
            code = _names().get(name)
            if code is not None and (best is None or _is_gone(code) > _is_gone(best[0])):
                best = (code, start, length)
    return best


def at_head(words: list[str]) -> tuple[str, int, int] | None:
    """Like ``find``, of names at the beginning alone, in every language there is.

    >>> at_head("Grikkland 2 evrur".split()), at_head("Lincoln cent".split())
    (('GR', 0, 1), None)
    """
    for length in range(min(len(words), _LONGEST), 0, -1):
        name = fold(" ".join(words[:length]))
        if len(name) < _SHORTEST_AT_HEAD or not _may_stand(name, words[0], length):
            continue
        if code := _rare_names().get(name):
            return code, 0, length
    return None


@lru_cache(maxsize=50_000)
def names_one(text: str) -> bool:
    """Whether words of a text are the name of a country, not just an adjective of it.

    >>> names_one("USA 5 Cents 2016"), names_one("quarter, Canada"), names_one("Deutsche Mark")
    (True, True, False)
    """
    words = re.findall(r"[^\s,;:()]+", text)
    found = find([word.strip(":.") for word in words]) or at_head(words)
    name = " ".join(words[found[1] : found[1] + found[2]]) if found is not None else ""
    return bool(name) and fold(name) not in _adjectives()


def within(text: str) -> Country | None:
    """The country that words of a text name, see ``names_one``.

    >>> within("Alemania 2 cent").code, within("2 cent")
    ('DE', None)
    """
    words = [word.strip(":.") for word in re.findall(r"[^\s,;:()]+", text)]
    found = find(words) or at_head(words)
    if found is None:
        return None
    return describe(found[0], " ".join(words[found[1] : found[1] + found[2]]))


@cache
def _adjectives() -> frozenset[str]:
    return frozenset(fold(word) for words in ADJECTIVES.values() for word in words.split("|"))


def _is_gone(code: str) -> bool:
    return code in FORMER


def _may_stand(name: str, word: str, length: int) -> bool:
    """Whether so short a name may be meant for a country amid other words."""
    if length == 1 and len(name) < _SHORTEST_IN_TEXT:
        return word.strip(".,;:()") in _UPPER
    return bool(name) and name not in UNITS and name not in _names_of_money()


@cache
def _names_of_money() -> frozenset[str]:
    return frozenset(fold(name) for names in UNIONS.values() for name in names.split("|"))


def _of_cell(text: str) -> str:
    folded = fold(text)
    if not folded:
        return ""
    found = _names().get(folded) or _codes().get(text.strip(" .").upper())
    if found:
        return found
    bare = re.sub(r"\(.*?\)|\[.*?\]", " ", text)
    within = find(re.split(r"[\s,;/()\[\]–-]+", text))
    if within is not None:
        return within[0]
    return _names().get(fold(bare), "")


def _described(code: str) -> tuple[str, str, str]:
    """Code, English name and currency of what a code of ours stands for."""
    if code in FORMER:
        return code, FORMER[code].name, ""
    if code in UNIONS:
        return "", "", code
    if code in WITHOUT_CODE:
        return "", code, ""
    return code, str(Locale("en").territories[code]), ""


@cache
def _names() -> dict[str, str]:
    """Codes by folded names in the usual languages, further names and adjectives first."""
    found: dict[str, str] = {}
    for table in (ALSO, UNIONS, WITHOUT_CODE, ADJECTIVES):
        for code, names in table.items():
            found.update({fold(name): code for name in names.split("|") if name})
    found.update({fold(name): name for name in WITHOUT_CODE})
    for code, gone in FORMER.items():
        found.update({fold(name): code for name in (gone.name, *gone.names.split("|")) if name})
    for language in LANGUAGES:
        _add_names(found, language)
    return found


@cache
def _rare_names() -> dict[str, str]:
    """Codes by folded names in every language there is; read only when nothing else is found."""
    found: dict[str, str] = {}
    for language in locale_identifiers():
        if "_" not in language:
            _add_names(found, language)
    return found


def _add_names(found: dict[str, str], language: str) -> None:
    for code, name in Locale.parse(language).territories.items():
        if _is_country(code):
            found.setdefault(fold(name), code)


@cache
def _codes() -> dict[str, str]:
    """Codes by codes: of two and three letters, of what is gone, of vehicles."""
    own: dict[str, str] = {c: c for c in map(str, Locale("en").territories) if _is_country(c)}
    aliases = get_global("territory_aliases")
    longer = {str(code): str(to[0]) for code, to in aliases.items() if _is_country(to[0])}
    gone = {code[:2]: code for code in FORMER} | {code: code for code in FORMER}
    return longer | own | VEHICLES | gone | own | {"DD": "DDHH", "SU": "SUHH", "YU": "YUCS"}


@cache
def _is_country(code: str) -> bool:
    known = code in Locale("en").territories
    return known and code not in _NO_COUNTRY and re.fullmatch("[A-Z]{2}", code) is not None
