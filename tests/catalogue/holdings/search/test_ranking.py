"""The order kept ready, against ``sorted``."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.holdings.search import ranking
from catalogue.holdings.search.ranking import Key, Ranking

some_key = st.one_of(
    st.none(), st.integers(0, 3), st.sampled_from([0.5, 1.0, Decimal("1.5"), Decimal(2)])
)


def plain(keys: list[Key], ids: list[int]) -> list[int]:
    """The rows in order; rows without a key last."""
    rows = sorted(range(len(keys)), key=lambda row: ids[row])
    keyed = sorted((row for row in rows if keys[row] is not None), key=lambda row: keys[row])
    return keyed + [row for row in rows if keys[row] is None]


@pytest.mark.parametrize("sort_anew", [0, 1_000], ids=["put in one by one", "sorted anew"])
def test_rows_joined_later_stand_where_sorting_puts_them(
    sort_anew: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(ranking, "_SORT_ANEW", sort_anew)

    @given(st.lists(some_key, max_size=8), st.lists(some_key, max_size=8), st.randoms())
    def check(keys: list[Key], fresh: list[Key], chance: object) -> None:
        ids = list(range(len(keys) + len(fresh)))
        chance.shuffle(ids)
        numbers = np.array(ids, dtype=np.int64)
        joined = Ranking.of(keys, numbers[: len(keys)]).joined(keys, fresh, numbers)
        assert joined.rows.tolist() == plain([*keys, *fresh], ids)
        assert joined.filled == sum(key is not None for key in [*keys, *fresh])

    check()


def test_descending_keeps_rows_without_a_key_last() -> None:
    order = Ranking.of(["b", None, "a", None, "b"], np.arange(5))
    assert order.ordered(np.ones(5, dtype=bool), descending=True).tolist() == [4, 0, 2, 3, 1]


def test_rows_that_are_left_keep_their_order() -> None:
    order = Ranking.of(["c", "b", None, "a"], np.arange(4)).kept(np.array([0, 2, 3]))
    assert (order.rows.tolist(), order.filled) == ([2, 0, 1], 2)


@pytest.mark.parametrize("keys", [["1931", 1931], [float("nan")], [Decimal("NaN")]])
def test_keys_without_an_order_are_refused(keys: list[Key]) -> None:
    with pytest.raises(ValueError, match=r"[Ss]ort key"):
        Ranking.of(keys, np.arange(len(keys)))
