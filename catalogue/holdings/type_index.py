"""The texts and years of all types in memory: loaded from the database, kept up to date.

``type_texts()`` is what finding a type asks; it costs one query when nothing has changed. Who may
see a type, and whether pieces can be entered as it, is not kept here: that is asked each time.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator

from django.db.models import QuerySet

from catalogue.holdings.changes import changes_since, current_number
from catalogue.holdings.type_words import TypeTexts, TypeWords
from catalogue.models import Change
from series.models import CoinType

_BATCH = 800  # ids in one query

_lock = threading.Lock()
_texts: TypeTexts | None = None
_number = -1


def type_texts() -> TypeTexts:
    """The texts as of the last committed change."""
    global _texts, _number
    with _lock:
        number = current_number()
        if _texts is None or number != _number:
            changed = changes_since(_number) if _texts is not None and number > _number else None
            _texts = _brought_up_to_date(_texts, changed)
            _number = number
        return _texts


def forget() -> None:
    """Drop the texts, so that the next reader makes them anew."""
    global _texts, _number
    with _lock:
        _texts, _number = None, -1


def _brought_up_to_date(
    texts: TypeTexts | None, changed: list[tuple[str, int]] | None
) -> TypeTexts:
    if texts is None or changed is None or any(kind == Change.Kind.ALL for kind, _ in changed):
        return TypeTexts.of(_words_of(CoinType.everything.all()))
    ids = sorted({ref for kind, ref in changed if kind == Change.Kind.TYPE})
    for start in range(0, len(ids), _BATCH):
        some = ids[start : start + _BATCH]
        rows = list(_words_of(CoinType.everything.filter(pk__in=some)))
        texts = texts.patched(rows, set(some) - {row.id for row in rows})
    return texts


def _words_of(types: QuerySet[CoinType]) -> Iterator[TypeWords]:
    rows = types.order_by("pk").values_list("pk", "search_text", "first_year", "last_year")
    for row in rows.iterator(chunk_size=5_000):
        yield TypeWords(*row)
