"""The columns as they stood at one moment, for readers while a writer makes the next ones.

Computed: which rows have a word, remembered for the words asked for last; the whole as plain
arrays, to be kept on disk, and back. Units: rows numbered from 0. Source: none needed.

>>> Snapshot.empty(["metal"], ["id"]).having("net").tolist()
[]
"""

from __future__ import annotations

import threading
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from catalogue.holdings.search.haystack import Haystack
from catalogue.holdings.search.ranking import Ranking
from catalogue.holdings.search.tally import Integers, Truths, ValueSets
from series.arrays import Arrays

WORDS_KEPT = 64
"""Recent words whose rows a snapshot remembers."""
AUDIENCE, TYPE, QUANTITY = -3, -2, -1
"""The lines of cells behind those of the facets."""


@dataclass(frozen=True, slots=True)
class Snapshot:
    """All that a reader needs. What it can reach never changes, but for the recent words."""

    facets: dict[str, ValueSets]
    rankings: dict[str, Ranking]
    ids: Integers
    cells: Integers  # int32: a line for each facet, then audience, type and quantity
    alive: Truths
    audiences: tuple[tuple[int, str], ...]  # the distinct (owner, visibility)
    types: Haystack
    notes: Haystack
    own: Haystack
    recent: dict[tuple[str, bool], Truths] = field(default_factory=dict)
    lock: threading.Lock = field(default_factory=threading.Lock)

    @classmethod
    def empty(cls, facets: Iterable[str], sorts: Iterable[str]) -> Snapshot:
        """No rows, for these facets and sort keys."""
        lines = [*facets]
        ids = np.zeros(0, dtype=np.int64)
        return cls(
            facets={name: ValueSets() for name in lines},
            rankings={name: Ranking.of([], ids) for name in sorts},
            ids=ids,
            cells=np.zeros((len(lines) + 3, 0), dtype=np.int32),
            alive=np.zeros(0, dtype=np.bool_),
            audiences=(),
            types=Haystack(size=1),
            notes=Haystack(),
            own=Haystack(),
        )

    def having(self, word: str, own: bool = False) -> Truths:
        """For each row, whether its text or its type's has the word; not to be written to.

        ``own``: whether the text has it that is its owner's alone.
        """
        asked = (word, own)
        with self.lock:
            found = self.recent.pop(asked, None)
            if found is not None:
                self.recent[asked] = found
                return found
        if own:
            found = self.own.having(word)
        else:
            found = self.types.having(word).take(self.cells[TYPE]) | self.notes.having(word)
        with self.lock:
            self.recent[asked] = found
            if len(self.recent) > WORDS_KEPT:
                del self.recent[next(iter(self.recent))]
        return found

    def packed(self) -> tuple[Arrays, dict[str, Any]]:
        """As arrays, and what JSON can say, but for ``ids``, ``cells`` and patches of texts.

        All rows must be alive.
        """
        arrays: Arrays = {}
        for name, facet in self.facets.items():
            arrays[f"set {name}"], arrays[f"value {name}"] = facet.entry_set, facet.entry_value
        for name, ranking in self.rankings.items():
            arrays[f"ranking {name}"] = ranking.rows
        for name in ("types", "notes", "own"):
            arrays |= getattr(self, name).packed(name)
        return arrays, {
            "rows": len(self.ids),
            "audiences": self.audiences,
            "values": {name: facet.values for name, facet in self.facets.items()},
            "filled": {name: ranking.filled for name, ranking in self.rankings.items()},
        }

    @classmethod
    def unpacked(
        cls, arrays: Arrays, plain: dict[str, Any], ids: Integers, cells: Integers
    ) -> Snapshot:
        """What was packed; ``ids`` and ``cells`` may have room behind the rows."""
        rows = plain["rows"]
        return cls(
            facets={
                name: ValueSets.of_entries(values, arrays[f"set {name}"], arrays[f"value {name}"])
                for name, values in plain["values"].items()
            },
            rankings={
                name: Ranking(arrays[f"ranking {name}"], filled)
                for name, filled in plain["filled"].items()
            },
            ids=ids[:rows],
            cells=cells[:, :rows],
            alive=np.ones(rows, dtype=np.bool_),
            audiences=tuple((owner, visibility) for owner, visibility in plain["audiences"]),
            types=Haystack.unpacked("types", arrays),
            notes=Haystack.unpacked("notes", arrays),
            own=Haystack.unpacked("own", arrays),
        )
