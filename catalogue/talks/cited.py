"""What a drafted sentence rests on: the fields it cites, in words, and where each is on record."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from catalogue.talks.drafting import Told
from catalogue.talks.met import Met
from catalogue.talks.words import field_words
from series.telling.sentences import Sentence
from series.text.english import listed

PIECE = ("piece", "date")


@dataclass(frozen=True)
class Cited:
    """Fields of one record in words, what it is called, and its address, "" where it has none."""

    of: str
    address: str
    words: str


@dataclass(frozen=True)
class Sourced:
    """A drafted sentence that stands in the notes, and what it rests on."""

    sentence: Sentence
    cited: tuple[Cited, ...]


def sourced(sentences: Iterable[Sentence], one: Met, now: Told) -> list[Sourced]:
    """Each of the sentences drafted at a stop with what it cites, by record."""
    before = now.tellings[one.number].before
    other = now.stops[before] if before is not None else None
    return [Sourced(each, _cited(each.cites, one, other)) for each in sentences]


def _cited(paths: Iterable[str], one: Met, before: Met | None) -> tuple[Cited, ...]:
    of_record: dict[tuple[str, str], list[str]] = {}
    for path in paths:
        parts = path.split(".")
        if parts[0] == "earlier":
            found, parts = (_("what was told before"), ""), parts[1:]
        elif parts[0] == "before" and before is not None:
            found, parts = _record(parts[1:], before), parts[1:]
        else:
            found = _record(parts, one)
        of_record.setdefault(found, []).append(field_words(parts))
    return tuple(
        Cited(of, address, listed(dict.fromkeys(fields)))
        for (of, address), fields in of_record.items()
    )


def _record(parts: list[str], one: Met) -> tuple[str, str]:
    """What the record that holds a field is called, and its address."""
    if parts[:1] and parts[0] in PIECE and one.holding is not None:
        return one.holding.label, one.holding.get_absolute_url()
    record: Any = one.coin_type if one.coin_type is not None else one.record
    name = (
        ", ".join([str(record), record.series.name]) if one.coin_type is not None else str(record)
    )
    return name, record.get_absolute_url() if hasattr(record, "get_absolute_url") else ""
