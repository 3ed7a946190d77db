"""The table of all types that pieces are ranked against, kept in memory and up to date.

``current_table()`` costs one small query while no type was changed; changes of holdings do not
count. The table holds every type that is not joined to another, also those that were only
proposed: ``eligible`` says which of them a viewer may see.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from catalogue import access
from catalogue.holdings.up_to_date import Changed, UpToDate
from catalogue.models import Change
from series.identifying.packing import packed, unpacked
from series.identifying.records import load_table
from series.identifying.table import TypeTable
from series.models import CoinType


def current_table() -> TypeTable:
    """The table as of the last committed change of types."""
    return _table.current()


def forget() -> None:
    """Drop the table, so that the next reader maps or loads it anew."""
    _table.forget()


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


def _patched(table: TypeTable, changed: Changed) -> TypeTable:
    if all(kind == Change.Kind.HOLDING for kind, _ in changed):
        return table
    return load_table()


_table = UpToDate("types", load_table, _patched, packed, unpacked)
