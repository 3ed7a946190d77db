"""What else in a row speaks for one type or another: words, metal, measures.

Computed: for each of several types the logarithm of how much likelier the row's texts and measures
make it, 0 where they say nothing. Names of metals are compared by what they are made of; a metal of
another kind speaks against a type, another name for a like one does not. Weights are this project's
own; a mass may be up to a fifteenth off, a diameter by a twentieth (worn or ill measured).

>>> steel = TypeFacts("a", "s", "d", metal="steel", words=("A gull above waves.",))
>>> silver = TypeFacts("b", "s", "d", metal="Ag50Cu50", name="net")
>>> said = Said(words=frozenset({"gull"}), metals=frozenset({"silver"}))
>>> [round(mark, 1) for mark in marks(said, [steel, silver])]
[-2.0, 2.0]
>>> metals_in("Silber 800, selten"), metals_in("Kupfernickel")
(frozenset({'silver'}), frozenset({'copper-nickel'}))
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from functools import lru_cache

from catalogue.importing.reading.facts import TypeFacts
from series.metal.compositions import CompositionError, parse_composition
from series.metal.metals import metal_name
from series.text.folding import fold

_METALS = {
    "silver": "silber|argent|argento|plata|zilver|silver|sølv|srebro|prata|ag|sterling",
    "gold": "gold|or|oro|goud|guld|złoto|ouro|au",
    "copper": "copper|kupfer|cuivre|rame|cobre|koper|koppar|kobber|miedź|miedz|cu",
    "bronze": "bronze|bronzo|bronce|brons|brąz|cusn|bronz",
    "brass": (
        "brass|messing|laiton|ottone|latón|latão|mässing|mosiądz|cuzn|nordic gold|nordisches "
        "gold|tombak|or nordique|oro nordico|nordiskt guld"
    ),
    "copper-nickel": (
        "copper nickel|cupronickel|kupfernickel|kupfer nickel|cupro nickel|cuproníquel|koper "
        "nikkel|kopparnickel|kobbernikkel|miedzionikiel|cuni|cn|copper nickel clad|clad|"
        "cupronichel|nickel clad"
    ),
    "nickel brass": (
        "nickel brass|nickelmessing|cuznni|cunizn|nickel silver|neusilber|maillechort|alpaca|"
        "nysilver"
    ),
    "nickel": "nickel|nichel|níquel|nikkel|nikiel|ni|reinnickel",
    "zinc": "zinc|zink|zinco|cynk|zn",
    "aluminium": "aluminium|aluminum|alu|alluminio|aluminio|alumínio|al",
    "steel": "steel|stahl|acier|acciaio|acero|staal|stål|stal|aço|fe",
    "iron": "iron|eisen|fer|ferro|hierro|ijzer|järn|jern|żelazo",
    "lead": "lead|blei|plomb|piombo|plomo|lood",
    "tin": "tin|zinn|etain|étain|stagno|estaño",
}
_WORDS = {fold(word): name for name, words in _METALS.items() for word in words.split("|")}
_SHORT = {"or", "au", "al", "fe", "fer", "tin", "cn", "ni", "alu", "lead", "oro"}
"""Words for a metal that are other words too, and count where a metal is asked for alone."""
_KINDS = (
    {"silver"}, {"gold"}, {"copper", "bronze", "brass", "nickel brass"},
    {"copper-nickel", "nickel", "steel", "iron", "nickel brass"}, {"aluminium"}, {"zinc"},
    {"lead", "tin"},
)  # fmt: skip
_COMMON = frozenset(
    [
        "coin",
        "coins",
        "with",
        "from",
        "left",
        "right",
        "above",
        "below",
        "head",
        "bust",
        "value",
        "date",
        "side",
        "around",
        "edge",
        "under",
        "over",
        "behind",
        "before",
        "type",
        "first",
        "second",
        "third",
        "series",
        "name",
        "circulating",
        "circulation",
        "united",
        "states",
        "america",
        "euro",
        "cent",
        "cents",
    ]
)
_SAME_METAL, _OTHER_KIND, _NAME, _WORD, _MEASURE, _NOT_MEASURE = 2.0, -3.0, 3.2, 1.0, 1.5, -3.0
_MASS_OFF, _WIDTH_OFF = Decimal(1) / 15, Decimal(1) / 20


@dataclass(frozen=True)
class Said:
    """What a row says beside country, value and date; measures in mm and g.

    ``names``: words beside the value that are written like names ("Adams dollar"); ``written``:
    those of all texts that begin with a capital, as they are written.
    """

    words: frozenset[str] = frozenset()
    names: frozenset[str] = frozenset()
    metals: frozenset[str] = frozenset()
    diameter: Decimal | None = None
    mass: Decimal | None = None
    written: frozenset[str] = frozenset()


@lru_cache(maxsize=5_000)
def metals_in(text: str, *, alone: bool = False) -> frozenset[str]:
    """The metals that words of a text name; ``alone``: nothing but a metal is said there."""
    words = re.sub(r"\d+", " ", fold(text)).split()
    found: set[str] = set()
    at = 0
    while at < len(words):
        for length in (3, 2, 1):
            name = " ".join(words[at : at + length])
            if name in _WORDS and at + length <= len(words) and (alone or name not in _SHORT):
                found.add(_WORDS[name])
                at += length - 1
                break
        at += 1
    return frozenset(found)


@lru_cache(maxsize=10_000)
def _metals_of(composition: str) -> frozenset[str]:
    try:
        name = metal_name(parse_composition(composition))
    except (CompositionError, ValueError):
        name = composition
    return metals_in(name.replace("-clad", " clad").replace("-plated", " "), alone=True)


def contradicts(said: Said, coin: TypeFacts) -> bool:
    """Whether a metal or a measure of the row can hardly be this type's."""
    return _metal_mark(said.metals, coin) < 0 or _measure_mark(said, coin) < 0


def unexplained(said: Said, coin: TypeFacts, also: frozenset[str]) -> str:
    """A name beside the value that nothing of this type has, nor ``also``; "" for none."""
    known = _vocabulary(coin) | also
    left = [n for n in sorted(said.names) if n not in _COMMON and not _hits(frozenset({n}), known)]
    return left[0] if left else ""


def of_another(said: Said, coin: TypeFacts, names: frozenset[str], also: frozenset[str]) -> str:
    """One of ``names``, those of like types, that the row says and nothing of this type does."""
    known = _vocabulary(coin) | also
    words = sorted({*map(fold, said.written)} & names)
    left = [n for n in words if n not in _COMMON and not _hits(frozenset({n}), known)]
    return left[0] if left else ""


def as_written(name: str, said: Said) -> str:
    """A folded word as the row writes it."""
    return next((word for word in sorted(said.written) if fold(word) == name), name)


def marks(said: Said, types: Sequence[TypeFacts]) -> list[float]:
    """The mark of each type; words count only where they do not stand with all of them."""
    vocabularies = [_vocabulary(each) for each in types]
    names = [frozenset(fold(f"{each.name} {each.key.replace('-', ' ')}").split()) for each in types]
    shared = frozenset.intersection(*vocabularies) if len(types) > 1 else frozenset()
    return [
        _metal_mark(said.metals, coin)
        + _measure_mark(said, coin)
        + _NAME * _hits(said.words, own - shared)
        + _WORD * _hits(said.words, vocabulary - own - shared)
        for coin, own, vocabulary in zip(types, names, vocabularies, strict=True)
    ]


def _hits(words: frozenset[str], own: frozenset[str]) -> int:
    """How many words stand in a vocabulary, or begin like a word of it."""
    long = [word for word in words if len(word) > 3 and word not in _COMMON]
    return sum(w in own or any(len(w) > 5 and w[:6] == o[:6] for o in own) for w in long)


@lru_cache(maxsize=100_000)
def _vocabulary(coin: TypeFacts) -> frozenset[str]:
    texts = (coin.name, coin.key.replace("-", " "), *coin.words, *coin.legends)
    return frozenset(word for text in texts for word in fold(text).split() if len(word) > 3)


def _metal_mark(metals: frozenset[str], coin: TypeFacts) -> float:
    own = _metals_of(coin.metal) if coin.metal and metals else frozenset()
    if not own:
        return 0.0
    if metals & own:
        return _SAME_METAL
    alike = any(metals & kind and own & kind for kind in _KINDS)
    return 0.0 if alike else _OTHER_KIND


def _measure_mark(said: Said, coin: TypeFacts) -> float:
    mark = 0.0
    for measured, text, off in (
        (said.mass, coin.mass_g, _MASS_OFF),
        (said.diameter, coin.diameter_mm, _WIDTH_OFF),
    ):
        standard = _decimal(text)
        if measured and standard:
            far = abs(measured - standard) / standard
            mark += _MEASURE if far <= off else _NOT_MEASURE if far > 2 * off else 0.0
    return mark


def _decimal(text: str) -> Decimal | None:
    try:
        return Decimal(text) if text else None
    except InvalidOperation:
        return None
