"""What is reached by going on, against the closure of the relation worked out pair by pair."""

from __future__ import annotations

from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from series.reaching import leads, reached

THINGS = range(6)
PAIRS = st.lists(st.tuples(st.sampled_from(THINGS), st.sampled_from(THINGS)), max_size=14)


@given(PAIRS, st.lists(st.sampled_from(THINGS)))
def test_it_is_what_the_closed_relation_holds(
    pairs: list[tuple[int, int]], starts: list[int]
) -> None:
    """Warshall's algorithm ("A theorem on Boolean matrices", 1962)."""
    holds = set(pairs)
    for through, one, other in product(THINGS, repeat=3):
        if (one, through) in holds and (through, other) in holds:
            holds.add((one, other))
    found = reached(starts, leads(pairs))
    assert set(found) == set(starts) | {other for one, other in holds if one in starts}
    assert len(found) == len(set(found))


def test_the_nearest_come_first() -> None:
    onward = leads([("a", "b"), ("a", "c"), ("b", "far"), ("c", "far"), ("far", "a")])
    assert reached(["a"], onward) == ["a", "b", "c", "far"]


def test_every_path_is_followed() -> None:
    assert reached([1], {1: [2, 3], 3: [4, 1], 5: [6]}) == [1, 2, 3, 4]
