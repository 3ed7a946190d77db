"""What a row says beside country, value and date: its words, names, metals and measures.

Computed: a ``Said`` from a ``Reading``. Words for commemorative coins are common usage in several
languages, no source.

>>> reading = Reading(1, values={"title": "Adams dollar", "note": "G. Washington, silver"})
>>> sorted(said_beside(reading).names), said_beside(reading).metals
(['adams', 'washington'], frozenset({'silver'}))
"""

from __future__ import annotations

import re
from functools import lru_cache

from catalogue.importing.reading import countries
from catalogue.importing.reading.evidence import Said, metals_in
from catalogue.importing.reading.lists import Reading, Value
from catalogue.importing.reading.unit_words import NAMED, NUMBERS, UNITS
from catalogue.importing.reading.values import read_value
from series.text.folding import fold

_KEPT = 2_000
"""Remarks are hardly ever the same, so few are remembered."""
_TEXTS = ("title", "series", "metal", "note", "legend", "description", "reference")
_OF_THE_PIECE = {
    "acquired_on",
    "price",
    "price_currency",
    "spare",
    "status",
    "visibility",
    "worth",
}
"""What cannot be read of these says something of the piece, not of which coin it is."""
COMMEMORATIVE = frozenset(
    [
        "commemorative",
        "gedenkmunze",
        "gedenk",
        "sondermunze",
        "sonderpragung",
        "commemorative",
        "commemoratiue",
        "commemorativa",
        "conmemorativa",
        "commemoratiua",
        "conmemoratiua",
        "herdenking",
        "herdenkingsmunt",
        "minnesmynt",
        "iubileumsmynt",
        "erindringsmont",
        "okolicznosciowa",
        "pamiatkowa",
        "gedenkmuntze",
        "iubilaum",
    ]
)


def said_beside(reading: Reading) -> Said:
    """See the module's docstring."""
    values = reading.values
    value: Value | None = values.get("denomination")
    texts = [str(values[name]) for name in _TEXTS if values.get(name)]
    aside = {cell.column for cell in reading.unread if cell.field in _OF_THE_PIECE}
    texts += [text for column, text in reading.rest if column not in aside]
    words = {word for text in texts for word in fold(text).split()}
    words |= {*value.words} if value else set()
    found = metals_in(str(values.get("metal", "")), alone=True)
    for text in (*texts, " ".join(value.words) if value else ""):
        found |= metals_in(text)
    kept = frozenset(word for word in words if len(word) > 3 and not word.isdigit())
    beside = f"{value.text if value else ''} {values.get('title', '')}"
    names = _names_in(beside) | _people_in(" ".join(texts))
    return Said(
        kept,
        names,
        found,
        values.get("diameter"),
        values.get("mass"),
        _capitals(" ".join([*texts, beside])),
    )


@lru_cache(maxsize=_KEPT)
def _names_in(text: str) -> frozenset[str]:
    """The folded words of a text that are written like names, without those of money and metal."""
    names = {fold(word) for word in re.findall(r"[^\W\d_]{4,}", text) if word[0].isupper()}
    return frozenset(
        name
        for name in names
        if not (name in UNITS or name in NAMED or name in NUMBERS or countries.is_usual(name))
        and not metals_in(name)
        and read_value(name).number is None
    )


@lru_cache(maxsize=_KEPT)
def _capitals(text: str) -> frozenset[str]:
    return frozenset(re.findall(r"(?<!\w)[^\W\d_a-z][^\W\d_]{3,}", text))


@lru_cache(maxsize=_KEPT)
def _people_in(text: str) -> frozenset[str]:
    """The folded surnames of people who are named with an initial ("G. Washington")."""
    return frozenset(map(fold, re.findall(r"(?<!\w)[^\W\d_a-z]\.\s?([A-Z][a-z]{3,})", text)))
