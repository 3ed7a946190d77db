"""A table of types in which some are new, changed or gone, without reading all others again.

What is computed: the table that ``TypeTable.of`` would make of all types by id, but for the order
in which distinct things are numbered. Units are those of ``series.identifying.table``. Source: none
needed; a test holds the two against each other.

>>> from series.identifying.facts import TypeFacts
>>> old = TypeTable.of([TypeFacts(7, "a", "1 cent", "Halvern"), TypeFacts(9, "b", "2", "Halvern")])
>>> new = TypeTable.of([TypeFacts(8, "c", "5 cents", "Ouran")])
>>> table = merged(old, new, gone=[7])
>>> table.ids.tolist(), table.labels, [name for name, *_ in table.countries]
([8, 9], ['5 cents', '2'], ['Halvern', 'Ouran'])
"""

from __future__ import annotations

from collections.abc import Collection, Hashable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from series.identifying.columns import Classed, Floats, Ints, Ragged, Standards
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
    issues, issue_places = both.ragged("issues")
    motifs, motif_places = both.ragged("motifs")
    dates, issue_dates = _numbered(
        old.dates, old.issues.values, new.dates, new.issues.values, issue_places
    )
    motif_names, motif_numbers = _numbered(
        old.motif_names, old.motifs.values, new.motif_names, new.motifs.values, motif_places
    )
    labels, issue_label = _numbered(
        old.issue_labels, old.issue_label, new.issue_labels, new.issue_label, issue_places
    )
    metal, low, high = both.densities()
    countries, country = both.things("countries", "country")
    denominations, denomination = both.things("denominations", "denomination")
    scripts, script = both.things("scripts", "script")
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
        country=country,
        countries=countries,
        denomination=denomination,
        denominations=denominations,
        script=script,
        scripts=scripts,
        motifs=Ragged(motif_numbers, motifs),
        motif_names=motif_names,
        issues=Ragged(issue_dates, issues),
        issue_ids=both.column("issue_ids", issue_places),
        issue_label=issue_label,
        issue_labels=labels,
        issue_weights=both.column("issue_weights", issue_places),
        dates=dates,
        legends=both.legends(),
        numbers={type_id: number for number, type_id in enumerate(both.column("ids").tolist())},
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

    def things(self, things: str, numbers: str) -> tuple[list[Any], Ints]:
        """Distinct things, and the number of each type's."""
        old, new = self.old, self.new
        return _numbered(
            getattr(old, things), getattr(old, numbers), getattr(new, things),
            getattr(new, numbers), self.picked,
        )  # fmt: skip

    def ragged(self, name: str) -> tuple[Ints, Places]:
        """Where the picked types' lists begin, and the places of their entries in both."""
        return _ragged(getattr(self.old, name), getattr(self.new, name), self.picked)

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
        places, rows = _joined(old.recorded, old.rows, new.recorded, new.rows, self.picked)
        chances = np.concatenate([old.chances[:-1], new.chances[:-1]])[places]
        recorded = [*old.recorded, *new.recorded]
        return Classed(
            classes=old.classes,
            rows=rows,
            chances=np.concatenate([chances, old.chances[-1:]]),
            recorded=tuple(recorded[place] for place in places.tolist()),
        )

    def legends(self) -> LegendIndex:
        old, new = self.old.legends, self.new.legends
        starts, places = _ragged(
            Ragged(old.legend_numbers, old.legend_starts),
            Ragged(new.legend_numbers, new.legend_starts),
            self.picked,
        )
        unique, numbers = _numbered(
            old.unique, old.legend_numbers, new.unique, new.legend_numbers, places
        )
        same = len(unique) == len(old.unique) and np.array_equal(starts, old.legend_starts)
        if same and tuple(unique) == old.unique and np.array_equal(numbers, old.legend_numbers):
            return old
        return LegendIndex.of_numbered(tuple(unique), numbers, starts)


def _rows(*columns: NDArray[np.float64]) -> list[tuple[float, ...]]:
    """Rows that are alike where they are not recorded: nan is not like another nan."""
    filled = [np.nan_to_num(column, nan=-1.0).tolist() for column in columns]
    return list(zip(*filled, strict=True))


def _ragged(old: Ragged, new: Ragged, picked: Places) -> tuple[Ints, Places]:
    first = np.concatenate([old.start[:-1], new.start[:-1] + len(old.values)])
    counts = np.concatenate([old.counts, new.counts])[picked]
    starts = np.concatenate([[0], np.cumsum(counts)]).astype(np.int32)
    return starts, slices(first[picked], first[picked] + counts)


def _numbered(
    old: Sequence[Hashable], old_numbers: Ints, new: Sequence[Hashable], new_numbers: Ints,
    picked: Places,
) -> tuple[list[Any], Ints]:  # fmt: skip
    """The distinct things that picked entries have, and the number of each entry's."""
    places, numbers = _joined(old, old_numbers, new, new_numbers, picked)
    both = [*old, *new]
    return [both[place] for place in places.tolist()], numbers


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
