"""Links of many to many of tracked records, announced as a column of the record that has them.

``add``, ``remove``, ``set`` and ``clear`` of either side are announced as a change from the ids
that were linked to those that are, in the transaction that does it. A table of links that is a
model of its own is tracked as that.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from typing import Any

from django.db.models.signals import m2m_changed

from series.parcels import parcels
from series.signals import rows_changed
from series.tracked import RowChange, Tracked, is_heard, owner_and_subject

_BEFORE = frozenset({"pre_add", "pre_remove", "pre_clear"})


def listen() -> None:
    """Hear of every link; called once when the app is ready."""
    m2m_changed.connect(_links_changed, dispatch_uid="tracked-links")


def _links_changed(
    sender: Any, instance: Any, action: str, reverse: bool, pk_set: Any, **_more: Any
) -> None:
    model = sender._meta.auto_created
    tracked = isinstance(model, type) and issubclass(model, Tracked) and is_heard(model)
    if action not in _BEFORE or not tracked:
        return
    fields: Iterable[Any] = model._meta.many_to_many
    field = next(each for each in fields if each.remote_field.through is sender)
    here, there = field.m2m_field_name(), field.m2m_reverse_field_name()
    rows = sender._base_manager.all()
    if not reverse:
        ids = [instance.pk]
    elif pk_set is None:
        ids = list(rows.filter(**{there: instance.pk}).values_list(here, flat=True))
    else:
        ids = sorted(pk_set)
    linked = _linked(rows, here, there, ids)
    other = {instance.pk} if reverse else pk_set
    changes = []
    for pk, (owner, subject) in owner_and_subject(model, ids).items():
        before = linked[pk]
        after = _after(action, before, other)
        if before != after:
            was, becomes = ({field.name: sorted(each)} for each in (before, after))
            changes.append(RowChange(pk, was, becomes, subject, owner))
    if changes:
        rows_changed.send(model, changes=changes)


def _linked(rows: Any, here: str, there: str, ids: Iterable[int]) -> dict[int, frozenset[int]]:
    found: dict[int, frozenset[int]] = defaultdict(frozenset)
    for some in parcels(ids):
        for pk, other in rows.filter(**{f"{here}__in": some}).values_list(here, there):
            found[pk] |= {other}
    return found


def _after(action: str, before: frozenset[int], other: Any) -> frozenset[int]:
    if action == "pre_clear":
        return before - other if other is not None else frozenset()
    return before | other if action == "pre_add" else before - other
