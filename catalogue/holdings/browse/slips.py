"""Did you mean: a search that found nothing, with its words put right.

A word that nothing has is compared with the words there are; what is proposed is searched for
first, as the viewer, so that no word is ever offered that only somebody else's records hold.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from rapidfuzz import process
from rapidfuzz.distance import OSA

from catalogue.holdings import own_words
from catalogue.holdings.search.columns import ColumnStore, Search
from catalogue.models import Holding
from series.text.folding import fold
from series.types.derived import parts_of as type_parts

SHORTEST = 4
LIKE_ENOUGH = 0.7
LOOKED_AT = 20  # records at most, to see how a word is written
TRIED = 8  # words compared at most for one slip
_WORD = re.compile(r"\w+")


@dataclass(frozen=True)
class Meant:
    """A search that would find something: its words as they are written, and how many it finds."""

    words: str
    total: int


def what_was_meant(columns: ColumnStore, search: Search) -> Meant | None:
    """The same search with every word that finds nothing replaced by the likest that does."""
    known = columns.vocabulary()
    words = search.text.split()
    for at, word in enumerate(words):
        if _total(columns, search, [word]):
            continue
        likest = _likest(columns, search, word, known)
        if likest is None:
            return None
        words[at] = likest
    total = _total(columns, search, words)
    if not total or words == search.text.split():
        return None
    written = _written(columns, search, words)
    return Meant(" ".join(written.get(word, word) for word in words), total)


def _total(columns: ColumnStore, search: Search, words: Iterable[str]) -> int:
    asked = replace(search, text=" ".join(words))
    return columns.query(asked, facets=(), limit=0).total


def _likest(columns: ColumnStore, search: Search, word: str, known: list[str]) -> str | None:
    if len(word) < SHORTEST or word.isdigit():
        return None
    like = process.extract(
        word,
        known,
        scorer=OSA.normalized_similarity,
        score_cutoff=LIKE_ENOUGH,
        limit=TRIED,
    )
    # Not the parts of longer words: what the viewer sees must hold the very word.
    return next((one for one, _score, _at in like if one in _written(columns, search, [one])), None)


def _written(columns: ColumnStore, search: Search, words: list[str]) -> dict[str, str]:
    """The words of some records that are found, folded ("siluer"), each as it is written."""
    found = columns.query(replace(search, text=" ".join(words)), facets=(), limit=LOOKED_AT).ids
    holdings = Holding.objects.filter(pk__in=found)
    texts = [text for holding in holdings for text in (holding.accession, holding.title)]
    types = [holding.coin_type_id for holding in holdings if holding.coin_type_id]
    texts += [text for parts in type_parts(types).values() for text in parts]
    own = holdings.filter(owner=search.viewer) if search.viewer else holdings.none()
    texts += [text for parts in own_words.parts_of(own).values() for text in parts]
    return {fold(word): word.lower() for text in texts for word in _WORD.findall(text)}
