"""The table of all types that pieces are ranked against, kept in memory and up to date.

``current_table()`` costs one small query while no type was changed; changes of holdings do not
count. The table holds every type that is not joined to another, also those that were only
proposed: ``eligible`` says which of them a viewer may see.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from catalogue import access
from catalogue.holdings.up_to_date import Changed, UpToDate
from catalogue.models import Change
from series.arrays import Arrays
from series.identifying.facts import RankedType
from series.identifying.fetching import facts_of, load_table, ranked_types, surroundings
from series.identifying.merging import merged
from series.identifying.packing import packed, unpacked
from series.identifying.table import TypeTable
from series.models import CoinType
from series.parcels import parcels


def current_table() -> TypeTable:
    """The table as of the last committed change of types."""
    return _ranked.current().table


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


@dataclass(frozen=True)
class _Ranked:
    """The table, and what beside the types themselves it was made of."""

    table: TypeTable
    around: dict[str, Any]

    def __len__(self) -> int:
        return len(self.table)

    def packed(self) -> tuple[Arrays, dict[str, Any]]:
        arrays, plain = packed(self.table)
        return arrays, {"table": plain, "around": self.around}

    @classmethod
    def unpacked(cls, arrays: Arrays, plain: dict[str, Any]) -> _Ranked:
        return cls(unpacked(arrays, plain["table"]), plain["around"])


def _all_types() -> _Ranked:
    around = surroundings()  # before the types, so that a change in between is seen by the next
    return _Ranked(load_table(), around)


def _patched(ranked: _Ranked, changed: Changed) -> _Ranked:
    ids = sorted({ref for kind, ref in changed if kind == Change.Kind.TYPE})
    if not ids:
        return ranked
    around = surroundings()
    if any(around.get(name) != value for name, value in ranked.around.items()):
        return _all_types()
    facts: list[RankedType] = []
    for some in parcels(ids):
        facts += facts_of(ranked_types().filter(pk__in=some))
    return _Ranked(merged(ranked.table, TypeTable.of(facts), ids), around)


_ranked = UpToDate(
    "types", _all_types, _patched, _Ranked.packed, _Ranked.unpacked, (Change.Kind.TYPE,)
)
forget = _ranked.forget
