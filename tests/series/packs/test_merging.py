"""The rule that decides whether a pack or a curator has the last word on a path."""

from __future__ import annotations

from itertools import product
from typing import Any

import pytest

from series.packs.merging import ABSENT, KeptPath, Merged, merge

EMPTY: list[Any] = [None, "", []]
VALUES: list[Any] = ["net", ["gull"], 0, *EMPTY]


def merged(loaded: Any, stored: Any, new: Any) -> Merged:
    """What comes of one path; what is absent stands in no record."""
    records = ({} if each is ABSENT else {"path": each} for each in (loaded, stored, new))
    return merge(*records)


@pytest.mark.parametrize("loaded", VALUES)
def test_what_a_curator_made_of_the_packs_word_stays(loaded: Any) -> None:
    """Also when it was emptied or taken out, and when the pack has taken it out since."""
    for stored, new in product([*VALUES, ABSENT], repeat=2):
        if stored not in (loaded, new):
            assert merged(loaded, stored, new) == Merged({}, (), (KeptPath("path", new, stored),))


@pytest.mark.parametrize(
    ("loaded", "new"),
    [(a, b) for a, b in product([*VALUES, ABSENT], VALUES) if a != b],
)
def test_where_nobody_edited_the_pack_has_its_way(loaded: Any, new: Any) -> None:
    assert merged(loaded, loaded, new) == Merged({"path": new}, (), ())


@pytest.mark.parametrize("loaded", VALUES)
def test_what_nobody_edited_goes_with_the_pack(loaded: Any) -> None:
    assert merged(loaded, loaded, ABSENT) == Merged({}, ("path",), ())


@pytest.mark.parametrize("word", VALUES)
def test_what_the_pack_says_already_is_neither_changed_nor_an_edit(word: Any) -> None:
    for loaded in (*VALUES, ABSENT):
        assert merged(loaded, word, word) == Merged({}, (), ())


@pytest.mark.parametrize(("stored", "new"), list(product(EMPTY, ["net", ["gull"], 0])))
def test_a_path_that_is_new_in_the_pack_fills_what_is_empty(stored: Any, new: Any) -> None:
    assert merged(ABSENT, stored, new) == Merged({"path": new}, (), ())


@pytest.mark.parametrize("stored", ["gull", 0, ["gull"]])
def test_a_path_that_is_new_in_the_pack_leaves_what_is_filled(stored: Any) -> None:
    assert merged(ABSENT, stored, "net").kept == (KeptPath("path", "net", stored),)


@pytest.mark.parametrize("stored", VALUES)
def test_what_no_pack_ever_spoke_of_is_a_curators_own(stored: Any) -> None:
    assert merged(ABSENT, stored, ABSENT) == Merged({}, (), ())


def test_each_path_is_judged_by_itself_in_the_order_of_the_pack() -> None:
    loaded = {"gone": 1, "edited": 1, "same": 1, "changed": 1}
    stored = {"own": 5, "edited": 2, "same": 1, "changed": 1, "gone": 1}
    new = {"changed": 3, "same": 1, "edited": 3, "fresh": 4}
    assert merge(loaded, stored, new) == Merged(
        {"changed": 3, "fresh": 4}, ("gone",), (KeptPath("edited", 3, 2),)
    )
