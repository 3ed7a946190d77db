"""A table of types in which some are new, changed or gone, without reading all others again.

What is computed: the table that ``TypeTable.of`` would make of all types by id, but for the order
in which distinct things are numbered. Units are those of ``series.identifying.table``. Source: none
needed; a test holds the two against each other.

>>> from series.identifying.facts import RankedType
>>> old = TypeTable.of([RankedType(7, "a", "1 c", "Halvern"), RankedType(9, "b", "2", "Halvern")])
>>> new = TypeTable.of([RankedType(8, "c", "5 cents", "Ouran")])
>>> table = merged(old, new, gone=[7])
>>> table.ids.tolist(), table.labels, [name for name, *_ in table.country.things]
([8, 9], ['5 cents', '2'], ['Halvern', 'Ouran'])
"""

from __future__ import annotations

from collections.abc import Collection, Hashable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from series.arrays import Floats, Ints
from series.coded import Coded, Listed
from series.identifying.columns import Classed, Standards
from series.identifying.table import TypeTable
from series.legends.index import LegendIndex
from series.legends.texts import slices

Places = NDArray[np.integer]
"""Places in both tables, one behind the other."""


def merged(old: TypeTable, new: TypeTable, gone: Collection[int] = ()) -> TypeTable:
    """The types of both by id; those of ``new`` in place of old ones, and none that is gone."""
    away = np.isin(old.ids, np.concatenate([new.ids, np.array([*gone], np.int64)]))
    kept = np.concatenate([np.flatnonzero(~away), len(old) + np.arange(len(new))])
    ids = np.concatenate([old.ids, new.ids])
    both = _Both(old, new, kept[np.argsort(ids[kept])])
    issues, issue_places = both.listed(old.issues, new.issues)
    motifs, _places = both.listed(old.motifs, new.motifs)
    metal, low, high = both.densities()
    return TypeTable(
        ids=both.column("ids"),
        keys=both.texts("keys"),
        labels=both.texts("labels"),
        spans=both.texts("spans"),
        weights=both.column("weights"),
        everyones=both.column("everyones"),
        standards={name: both.standards(name) for name in old.standards},
        metal=metal,
        metal_low=low,
        metal_high=high,
        sides=both.column("sides"),
        classed={kind: both.classed(kind) for kind in old.classed},
        country=_coded(old.country, new.country, both.picked),
        denomination=_coded(old.denomination, new.denomination, both.picked),
        script=_coded(old.script, new.script, both.picked),
        motifs=motifs,
        issues=issues,
        issue_ids=both.column("issue_ids", issue_places),
        issue_label=_coded(old.issue_label, new.issue_label, issue_places),
        issue_weights=both.column("issue_weights", issue_places),
        legends=both.legends(),
    )


@dataclass(frozen=True)
class _Both:
    """Two tables one behind the other, and the places of the types that are picked of them."""

    old: TypeTable
    new: TypeTable
    picked: Places

    def column(self, name: str, places: Places | None = None) -> NDArray[Any]:
        both: NDArray[Any] = np.concatenate([getattr(self.old, name), getattr(self.new, name)])
        return both[self.picked if places is None else places]

    def texts(self, name: str) -> list[str]:
        both = [*getattr(self.old, name), *getattr(self.new, name)]
        return [both[place] for place in self.picked.tolist()]

    def listed(self, old: Listed, new: Listed) -> tuple[Listed, Places]:
        """The lists of the picked types, and the places of their entries in both."""
        first = np.concatenate([old.start[:-1], new.start[:-1] + len(old.rows)])
        counts = np.concatenate([old.counts, new.counts])[self.picked]
        start = np.concatenate([[0], np.cumsum(counts)]).astype(np.int32)
        places = slices(first[self.picked], first[self.picked] + counts)
        coded = _coded(old, new, places)
        return Listed(coded.things, coded.rows, start), places

    def standards(self, name: str) -> Standards:
        old, new = self.old.standards[name], self.new.standards[name]
        columns = [
            np.concatenate([getattr(old, part), getattr(new, part)])
            for part in ("value", "remedy", "other")
        ]
        places, rows = _joined(
            _rows(old.value, old.remedy, old.other), old.rows,
            _rows(new.value, new.remedy, new.other), new.rows, self.picked,
        )  # fmt: skip
        value, remedy, other = (column[places] for column in columns)
        return Standards(value, remedy, other, rows)

    def densities(self) -> tuple[Ints, Floats, Floats]:
        """The row of each type's metal, and least and most density of each, at the end of none."""
        old, new = self.old, self.new
        places, rows = _joined(
            _rows(old.metal_low[:-1], old.metal_high[:-1]), old.metal,
            _rows(new.metal_low[:-1], new.metal_high[:-1]), new.metal, self.picked,
        )  # fmt: skip
        low = np.concatenate([old.metal_low[:-1], new.metal_low[:-1]])[places]
        high = np.concatenate([old.metal_high[:-1], new.metal_high[:-1]])[places]
        return rows, np.append(low, np.nan), np.append(high, np.nan)

    def classed(self, kind: str) -> Classed:
        old, new = self.old.classed[kind], self.new.classed[kind]
        places, rows = _joined(old.things, old.rows, new.things, new.rows, self.picked)
        chances = np.concatenate([old.chances[:-1], new.chances[:-1]])[places]
        both = [*old.things, *new.things]
        return Classed(
            [both[place] for place in places.tolist()],
            rows,
            old.classes,
            np.concatenate([chances, old.chances[-1:]]),
        )

    def legends(self) -> LegendIndex:
        old = self.old.legends.recorded
        found, _places = self.listed(old, self.new.legends.recorded)
        same = np.array_equal(found.start, old.start) and np.array_equal(found.rows, old.rows)
        if same and found.things == old.things:
            return self.old.legends
        return LegendIndex.of_listed(found)


def _rows(*columns: NDArray[np.float64]) -> list[tuple[float, ...]]:
    """Rows that are alike where they are not recorded: nan is not like another nan."""
    filled = [np.nan_to_num(column, nan=-1.0).tolist() for column in columns]
    return list(zip(*filled, strict=True))


def _coded(old: Coded, new: Coded, picked: Places) -> Coded:
    """The distinct things that picked entries have, and the number of each entry's."""
    places, rows = _joined(old.things, old.rows, new.things, new.rows, picked)
    both = [*old.things, *new.things]
    return Coded([both[place] for place in places.tolist()], rows)


def _joined(
    old: Sequence[Hashable], old_numbers: Ints, new: Sequence[Hashable], new_numbers: Ints,
    picked: Places,
) -> tuple[Places, Ints]:  # fmt: skip
    """The places in both of the distinct things that picked entries have, and the entries' numbers.

    An entry of -1 has nothing, and keeps that number.
    """
    first: dict[Hashable, int] = {}
    places = [first.setdefault(thing, place) for place, thing in enumerate([*old, *new])]
    place = np.array([*places, -1], np.int32)
    shifted = np.where(new_numbers >= 0, new_numbers + len(old), -1)
    entries = place[np.concatenate([old_numbers, shifted])[picked]]
    used = np.zeros(len(place), np.bool_)
    used[entries] = True
    used[-1] = False
    number = np.where(used, np.cumsum(used) - 1, -1).astype(np.int32)
    return np.flatnonzero(used), number[entries]
