"""The running number of changes, from which every process knows that its columns are old.

A change is noted in the transaction that makes it. The counter's row stays locked until that
transaction ends, so numbers are committed in their order and none is missed.
"""

from __future__ import annotations

import secrets
from collections.abc import Iterable

from django.db import connection, transaction
from django.db.models import F

from catalogue.holdings.own_words import refresh
from catalogue.models import Change, ChangeCounter

KEPT = 20_000


def note_holdings(ids: Iterable[int]) -> None:
    """Note that these holdings (or their problems, photographs, place) were changed.

    The words by which their owners find them are brought up to date first.
    """
    ids = list(ids)
    with transaction.atomic():
        refresh(ids)
        _note(Change.Kind.HOLDING, ids)


def note_made(ids: Iterable[int]) -> None:
    """Note holdings that were made with the words by which their owner finds them."""
    _note(Change.Kind.HOLDING, ids)


def note_types(ids: Iterable[int]) -> None:
    """Note that these types, or their faces, marks and issues, were changed."""
    _note(Change.Kind.TYPE, ids)


def note_everything() -> None:
    """Note that so much was changed that the columns are best made anew."""
    _note(Change.Kind.ALL, [0])


def current_number() -> int:
    """The number of the last change that was committed; 0 when there was none."""
    return ChangeCounter.objects.filter(pk=1).values_list("n", flat=True).first() or 0


def changes_since(number: int) -> list[tuple[str, int]] | None:
    """Kind and id of what changed after ``number``; None when that is no longer known."""
    rows = list(
        Change.objects.filter(n__gt=number).order_by("n", "pk").values_list("n", "kind", "ref")
    )
    if not rows or rows[0][0] != number + 1:
        return None
    return [(kind, ref) for _, kind, ref in rows]


def mark_of(number: int) -> int:
    """What was drawn for this number; 0 when it is not known, or no longer."""
    marks = Change.objects.filter(n=number).order_by("pk").values_list("mark", flat=True)
    return marks.first() or 0


def may_be_undone() -> bool:
    """Whether what is read now was perhaps changed by a transaction that is not committed."""
    return connection.in_atomic_block


def _note(kind: Change.Kind, ids: Iterable[int]) -> None:
    refs = sorted(set(ids))
    if not refs:
        return
    with transaction.atomic():
        if not ChangeCounter.objects.filter(pk=1).update(n=F("n") + 1):
            ChangeCounter.objects.get_or_create(pk=1)
            ChangeCounter.objects.filter(pk=1).update(n=F("n") + 1)
        number = ChangeCounter.objects.get(pk=1).n
        mark = secrets.randbits(62) + 1
        Change.objects.bulk_create(Change(n=number, kind=kind, ref=ref, mark=mark) for ref in refs)
        if number % 1000 == 0:
            Change.objects.filter(n__lte=number - KEPT).delete()
