"""The table of all types that pieces are ranked against, kept in memory and up to date.

``current_table()`` costs one small query while no type was changed; changes of holdings do not
count. At 50,000 types a table takes about 5 seconds to load, once in each process after types
were changed; while one request loads it, others wait for it. A ranking then takes 10 to 30 ms.

The table holds every type that is not joined to another, also those that were only proposed:
``eligible`` says which of them a viewer may see.
"""

from __future__ import annotations

import threading

import numpy as np
from numpy.typing import NDArray

from catalogue import access
from catalogue.holdings.changes import changes_since, current_number
from catalogue.models import Change
from series.identifying.records import load_table
from series.identifying.table import TypeTable
from series.models import CoinType

_lock = threading.Lock()
_table: TypeTable | None = None
_number = -1


def current_table() -> TypeTable:
    """The table as of the last committed change of types."""
    global _table, _number
    with _lock:
        number = current_number()
        if _table is None or _types_changed(number):
            _table = load_table()
        _number = number
        return _table


def forget() -> None:
    """Drop the table, so that the next reader loads it anew."""
    global _table, _number
    with _lock:
        _table, _number = None, -1


def eligible(table: TypeTable, viewer: access.Viewer) -> NDArray[np.bool_] | None:
    """Which types of the table the viewer may see; None when they may see them all.

    At most one query, and none where every type is everyone's.
    """
    if not len(table.not_everyones):
        return None
    proposed = access.visible_types(viewer).filter(standing=CoinType.Standing.PROPOSED)
    seen = np.fromiter(proposed.values_list("pk", flat=True), np.int64)
    mask: NDArray[np.bool_] = table.everyones | np.isin(table.ids, seen)
    return None if mask.all() else mask


def _types_changed(number: int) -> bool:
    """Whether a type was changed between the table's number and this one."""
    if number == _number:
        return False
    changed = changes_since(_number) if number > _number else None
    return changed is None or any(kind != Change.Kind.HOLDING for kind, _ in changed)
