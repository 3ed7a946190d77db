"""What a drafted sentence rests on: the fields it cites, in words, and where each is on record."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from catalogue.talks.drafting import Told
from catalogue.talks.met import Met
from catalogue.talks.words import field_words
from series.telling.sentences import Sentence


@dataclass(frozen=True)
class Cited:
    """A field in words, and the address of the record that holds it, "" where it has no page."""

    words: str
    address: str
    of: str


@dataclass(frozen=True)
class Sourced:
    """A drafted sentence that stands in the notes, and what it rests on."""

    sentence: Sentence
    cited: tuple[Cited, ...]


def sourced(sentences: Iterable[Sentence], one: Met, now: Told) -> list[Sourced]:
    """Each of the sentences drafted at a stop with what it cites."""
    before = now.tellings[one.number].before
    other = now.stops[before] if before is not None else None
    found = []
    for sentence in sentences:
        cited = dict.fromkeys(_cited(path, one, other) for path in sentence.cites)
        found.append(Sourced(sentence, tuple(cited)))
    return found


def _cited(path: str, one: Met, before: Met | None) -> Cited:
    parts = path.split(".")
    if parts[0] == "before":
        record = before.coin_type if before is not None else None
        return Cited(field_words(parts[1:]), _address(record), str(record or ""))
    record: Any = one.coin_type if one.coin_type is not None else one.record
    if parts[0] in ("piece", "date") and one.holding is not None:
        record = one.holding
    name = record.label if record is not None and record is one.holding else str(record or "")
    return Cited(field_words(parts), _address(record), name)


def _address(record: Any) -> str:
    return record.get_absolute_url() if hasattr(record, "get_absolute_url") else ""
