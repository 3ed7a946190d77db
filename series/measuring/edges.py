"""Classes of edges: from the words of a record, and what a person reports of such an edge.

What is computed: the classes that a free text such as "lettered, fine milled" names, and for
each class the chance that a person who looks at such an edge reports it (the chances sum to one,
none is zero). Milled, reeded and grained are one thing. Words are terms of the trade; the shares
are common practice, no source. A piece shows one class or several; a person names the one that
stands out.

>>> sorted(edge_kinds("lettered, fine milled")), sorted(edge_kinds("smooth, with a groove"))
(['lettered', 'milled'], ['grooved'])
>>> chances = edge_chances("reeded")
>>> max(chances, key=chances.get), round(sum(chances.values()), 9)
('milled', 1.0)
>>> edge_kinds(""), edge_chances("")
(frozenset(), None)
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from series.measuring.signs import with_errors

EDGES: Mapping[str, str] = MappingProxyType(
    {
        "plain": "smooth all round",
        "milled": "fine lines across, all round (milled, reeded or grained)",
        "interrupted": "stretches of lines with smooth stretches between",
        "scalloped": "a row of hollows or coarse notches",
        "grooved": "a groove that runs along the edge",
        "lettered": "words, letters or figures",
        "ornamented": "a pattern: leaves, stars, beads, a cord",
    }
)
"""The classes of edges, each with what it looks like."""

_LINES = r"mill\w*|reed\w*|grain(?:ed|ing)|ridge[sd]?|ribbed|serrated|knurl\w*"
_GAPS = r"interrupt\w*|segment\w*|intermittent\w*|discontinuous|broken|part(?:ly|ial(?:ly)?)"
_WORDS: tuple[tuple[str, re.Pattern[str]], ...] = tuple(
    (kind, re.compile(rf"\b(?:{words})\b"))
    for kind, words in (
        ("lettered", r"letter\w*|inscri\w+|legends?|words?|text|motto|incuse date"),
        ("grooved", r"groov\w*|channel\w*|security"),
        ("scalloped", r"scallop\w*|notch\w*|indent\w*|castellat\w*"),
        (
            "ornamented",
            r"ornament\w*|decorat\w*|pattern\w*|leaf|leaves|wreath|cord(?:ed)?|cabled?|rope|"
            r"vines?|tulips?|stars?|bead(?:s|ed)|pearl(?:s|ed)|flor(?:al|iate)|lozenges?|"
            r"diamonds?|chain|arabesques?|engrailed",
        ),
        ("milled", _LINES + "|security"),
        ("plain", r"plain|smooth|unmilled"),
    )
)
_INTERRUPTED = re.compile(rf"\b(?:{_GAPS})\b")
_LACKS = re.compile(r"\b(?:without|no|not|never)[ -](?:(?:any|an?|the) )?\w+")
_EITHER = re.compile(r"\bor\b|/")
_TURNS = re.compile(r"\balternat\w+|\bsections?\b|\bstretches\b")


@lru_cache(maxsize=8192)
def edge_kinds(text: str) -> frozenset[str]:
    """The classes of EDGES that a record's words name; empty where they name none.

    "Plain" counts only where nothing else is named, or as the other of two choices ("plain or
    reeded"); plain stretches by turns with milled ones are interrupted milling.

    >>> sorted(edge_kinds("alternating plain and reeded sections"))
    ['interrupted']
    >>> sorted(edge_kinds("plain or reeded")), sorted(edge_kinds("smooth, without lettering"))
    (['milled', 'plain'], ['plain'])
    """
    words = _LACKS.sub(" ", text.lower())
    found = {kind for kind, pattern in _WORDS if pattern.search(words)}
    if "plain" in found and "milled" in found and _TURNS.search(words):
        found -= {"plain", "milled"}
        found.add("interrupted")
    if _INTERRUPTED.search(words) and (not found or "milled" in found):
        found.discard("milled")
        found.add("interrupted")
    if len(found) > 1 and not _EITHER.search(words):
        found.discard("plain")
    return frozenset(found)


# What is reported of an edge of one class, in percent, of pieces new and worn.
_REPORTED: Mapping[str, Mapping[str, float]] = {
    "plain": {"plain": 97, "milled": 1, "grooved": 1, "ornamented": 1},
    "milled": {"milled": 90, "plain": 7, "interrupted": 1, "scalloped": 1, "ornamented": 1},
    "interrupted": {"interrupted": 78, "milled": 15, "plain": 3, "scalloped": 3, "ornamented": 1},
    "scalloped": {"scalloped": 70, "milled": 12, "interrupted": 10, "plain": 4, "ornamented": 4},
    "grooved": {"grooved": 82, "plain": 13, "milled": 3, "ornamented": 2},
    "lettered": {"lettered": 86, "plain": 9, "ornamented": 3, "milled": 2},
    "ornamented": {"ornamented": 78, "lettered": 8, "milled": 7, "plain": 5, "scalloped": 2},
}
_STANDS_OUT: Mapping[str, float] = {
    "plain": 1, "milled": 1, "interrupted": 2, "scalloped": 2, "grooved": 2, "lettered": 3,
    "ornamented": 2,
}  # fmt: skip
"""How readily a class is named where an edge shows several; common practice, no source."""


@lru_cache(maxsize=8192)
def edge_chances(text: str) -> Mapping[str, float] | None:
    """The chance that each class of EDGES is reported of an edge so recorded; None if unclear."""
    kinds = edge_kinds(text)
    if not kinds:
        return None
    seen = {
        each: sum(_STANDS_OUT[kind] * _REPORTED[kind].get(each, 0) for kind in kinds)
        for each in EDGES
    }
    return with_errors(seen, tuple(EDGES))
