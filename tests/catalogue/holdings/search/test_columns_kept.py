"""What a store of columns keeps in memory: within bounds, and for a reader as it was."""

from __future__ import annotations

import pytest

from catalogue.holdings.search import columns, snapshot
from catalogue.holdings.search.columns import ColumnStore, HoldingRow, Search
from tests.catalogue.holdings.differing import ids_in

FACETS = ["metal", "grade", "mint", "place"]
SORTS = ["year", "title"]


def everyone(owner: int, visibility: str) -> bool:
    return True


def test_recent_words_are_remembered_within_bounds() -> None:
    store = ColumnStore([], [], [HoldingRow(1, 1, "public", text="halvern")])
    for number in range(snapshot.WORDS_KEPT * 2):
        store.query(Search(everyone, text=f"halv word{number}"))
    assert len(store._snapshot.recent) == snapshot.WORDS_KEPT
    assert ids_in(store, Search(everyone, text="halv")) == [1]


def test_changes_without_end_leave_no_growing_trail(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(columns, "_SETTLE_AFTER", 10)
    store = ColumnStore(FACETS, SORTS, [HoldingRow(0, 1, "public")])
    for number in range(1, 200):
        store.replace([HoldingRow(number, 1, "public", text="net")], {number: "gull"}, [number - 1])
    held = store._snapshot
    assert len(store) == 1
    assert len(store._row_of) == 1
    assert max(len(held.ids), len(held.notes.patch), len(held.types.patch)) <= 15


def test_a_snapshot_in_a_readers_hands_outlives_later_changes() -> None:
    store = ColumnStore(
        FACETS, SORTS, [HoldingRow(1, 1, "public", facets={"metal": "zinc"}, text="net")]
    )
    answers = []

    def meanwhile(owner: int, visibility: str) -> bool:
        """Stand in for another thread: change the store in the midst of a reader's question."""
        if not answers:
            answers.append("changed")
            store.replace(
                [
                    HoldingRow(1, 1, "public", facets={"metal": "steel"}),
                    HoldingRow(2, 1, "public", text="net"),
                ]
            )
            store.replace((), removed=[1])
        return True

    choices = {"metal": frozenset({"steel", "zinc"})}
    result = store.query(Search(meanwhile, choices=choices, text="net"))
    assert result.ids == [1]
    assert result.counts["metal"] == {"steel": 0, "zinc": 1}
    assert ids_in(store, Search(everyone)) == [2]
