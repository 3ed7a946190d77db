"""What columns are called in lists, in several languages, and in which language a heading is.

Read: for each field and language the words over its column, from ``headings.toml`` beside this.
Computed: how well a heading names each field (0 to 1), and the language of most headings. A unit or
a remark in brackets is left aside.

>>> named_by("Nominal"), named_by("Gewicht (g)"), named_by("Erh. Rs.")
({'denomination': 1.0}, {'mass': 1.0}, {'grade_reverse': 1.0})
>>> named_by("Remraks"), named_by("Zqarum")
({'note': 0.85}, {})
>>> language_of(("Land", "Jaar", "Waarde", "Prijs")), language_of(("x", "w"))
('nl', '')
"""

from __future__ import annotations

import re
import tomllib
from collections import Counter, defaultdict
from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path

from catalogue.importing.reading.figures import read_currency
from catalogue.importing.reading.near_names import by_length, near
from series.text.folding import fold

LANGUAGES = ("en", "de", "fr", "es", "it", "nl", "sv", "da", "nb", "pl", "pt")

_WORDS = Path(__file__).with_name("headings.toml")
_BRACKETS = re.compile(r"\(.*?\)|\[.*?\]")


def _laid_out() -> tuple[dict[str, list[str]], dict[str, list[str]]]:
    fields: dict[str, list[str]] = defaultdict(list)
    languages: dict[str, list[str]] = defaultdict(list)
    for name, by_language in tomllib.loads(_WORDS.read_text("utf-8")).items():
        for language, words in by_language.items():
            for word in map(_plain, words.split("|")):
                if name not in fields[word]:
                    fields[word].append(name)
                if language not in languages[word]:
                    languages[word].append(language)
    return fields, languages


def _plain(text: str) -> str:
    folded = (
        fold(text.replace("#", " nr ").replace("№", " nr ").replace("Nº", " nr ")) or text.strip()
    )
    return folded if text.strip() not in ("Ø", "ø", "∅", "⌀") else "diameter"


_FIELDS, _LANGUAGES = _laid_out()
_BY_LENGTH = by_length(word for word in _FIELDS if word.isalpha())
_MISSPELT = 0.15
_MANY = {"note", "title", "description"}


@lru_cache(maxsize=5_000)
def named_by(heading: str) -> dict[str, float]:
    """How well a heading names each field, those alone that it may name."""
    bare = _plain(_BRACKETS.sub(" ", heading)) or _plain(heading)
    if bare in _FIELDS:
        return dict.fromkeys(_FIELDS[bare], 1.0 if len(_FIELDS[bare]) == 1 else 0.85)
    whole = _plain(heading)
    if whole in _FIELDS:
        return dict.fromkeys(_FIELDS[whole], 0.9)
    if read_currency(heading.strip(" ."), "") or bare in ("kr", "fr", "ft"):
        return {"price": 0.8, "worth": 0.6}
    words = bare.split()
    found = _by_words(words)
    if not found and (respelt := [_respelt(word) for word in words]) != words:
        found = {
            name: round(said - _MISSPELT, 2) for name, said in named_by(" ".join(respelt)).items()
        }
    return found


def _respelt(word: str) -> str:
    """A word as it is spelt in the table, where it is one slip away from words for one field."""
    likely = near(word, _BY_LENGTH)
    same = len({tuple(_FIELDS[each]) for each in likely}) == 1
    return likely[0] if same else word


def _by_words(words: list[str]) -> dict[str, float]:
    """By the longest run of words that is a heading itself; by a long word that begins with one."""
    found: dict[str, float] = {}
    for length in range(len(words), 0, -1):
        for start in range(len(words) - length + 1):
            for name in _FIELDS.get(" ".join(words[start : start + length]), ()):
                if length > 1 or len(words[start]) > 1:
                    share = length / len(words)
                    found.setdefault(name, round(0.45 + 0.4 * share - 0.05 * (start > 0), 2))
    if not found and len(words) == 1 and len(words[0]) >= 3:
        for known, names in _FIELDS.items():
            if len(known) >= 5 and known.startswith(words[0]) and known.isalpha():
                found.update({name: 0.6 for name in names if name not in found})
    return found


def language_of(headings: Iterable[str]) -> str:
    """The language in which most headings stand; "" where none is known."""
    votes: Counter[str] = Counter()
    for heading in headings:
        bare = _plain(_BRACKETS.sub(" ", heading))
        for word in {bare, *(each for each in bare.split() if len(each) > 3)}:
            known = _LANGUAGES.get(word, [])
            votes.update({language: 1 / len(known) for language in known})
    return max(LANGUAGES, key=lambda each: votes[each]) if votes else ""
