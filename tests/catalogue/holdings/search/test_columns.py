"""Browsing by columns, against a plain loop over the rows."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.holdings.search import columns, ranking
from catalogue.holdings.search.columns import ColumnStore, HoldingRow, Result, Search, Value
from tests.catalogue.holdings.differing import ids_in

FACETS = ["metal", "grade", "mint", "place"]
SORTS = ["year", "title"]


def everyone(owner: int, visibility: str) -> bool:
    return True


def seen_by(viewer: int) -> Callable[[int, str], bool]:
    return lambda owner, visibility: owner == viewer or visibility == "public"


# The plain loop


def values_of(row: HoldingRow, name: str) -> tuple[Value, ...]:
    cell = row.facets.get(name)
    return tuple(dict.fromkeys(cell or (None,))) if isinstance(cell, tuple) else (cell,)


def is_met(row: HoldingRow, name: str, search: Search) -> bool:
    chosen = search.choices.get(name)
    if not chosen:
        return True
    if name in search.private_facets and row.owner != search.viewer:
        return False
    return any(value in chosen for value in values_of(row, name))


def plainly_found(
    rows: dict[int, HoldingRow], types: dict[int, str], search: Search
) -> list[HoldingRow]:
    """The rows that are visible and have all words, with no regard to choices."""
    return [
        row
        for row in rows.values()
        if search.visible(row.owner, row.visibility)
        and all(
            word in row.text
            or word in types.get(row.type_id or 0, "")
            or (word in row.own_text and row.owner == search.viewer)
            for word in search.text.split()
        )
    ]


def plainly_sorted(rows: list[HoldingRow], search: Search) -> list[int]:
    def key_and_id(row: HoldingRow) -> tuple:
        key = None if search.sort == "id" else row.keys.get(search.sort)
        return (row.id,) if key is None else (key, row.id)

    def has_key(row: HoldingRow) -> bool:
        return search.sort != "id" and row.keys.get(search.sort) is not None

    keyed = sorted(filter(has_key, rows), key=key_and_id, reverse=search.descending)
    rest = [row for row in rows if not has_key(row)]
    return [
        row.id for row in keyed + sorted(rest, key=lambda row: row.id, reverse=search.descending)
    ]


def plain_query(rows: dict[int, HoldingRow], types: dict[int, str], search: Search) -> Result:
    found = plainly_found(rows, types, search)
    counts: dict[str, dict[Value, int]] = {}
    for name in FACETS:
        counts[name] = dict.fromkeys(search.choices.get(name, ()), 0)
        for row in found:
            if name in search.private_facets and row.owner != search.viewer:
                continue
            if all(is_met(row, other, search) for other in FACETS if other != name):
                for value in values_of(row, name):
                    counts[name][value] = counts[name].get(value, 0) + 1
    hits = [row for row in found if all(is_met(row, name, search) for name in FACETS)]
    ids = plainly_sorted(hits, search)
    return Result(len(hits), ids, counts, sum(row.quantity for row in hits))


# What is invented for it

some_value = st.sampled_from([None, "copper", "silver", 1, 2])
some_cell = st.one_of(some_value, st.lists(some_value, max_size=3).map(tuple))
some_text = st.text(alphabet="ab\u00e9\u0663 \n\u2003", max_size=8)
some_word = st.text(alphabet="ab\u00e9\u0663", min_size=1, max_size=3)
some_types = st.dictionaries(st.integers(1, 4), some_text, max_size=4)
some_row = st.builds(
    HoldingRow,
    id=st.integers(1, 9),
    owner=st.integers(1, 3),
    visibility=st.sampled_from(["private", "public"]),
    type_id=st.one_of(st.none(), st.integers(1, 4)),
    quantity=st.integers(1, 50),
    facets=st.dictionaries(st.sampled_from(FACETS), some_cell),
    keys=st.fixed_dictionaries(
        {},
        optional={
            "year": st.one_of(st.none(), st.integers(1900, 1903), st.just(1901.5)),
            "title": st.one_of(st.none(), st.text(alphabet="abc", max_size=2)),
        },
    ),
    text=some_text,
    own_text=some_text,
)
some_search = st.builds(
    Search,
    visible=st.one_of(st.just(everyone), st.integers(1, 3).map(seen_by)),
    viewer=st.one_of(st.none(), st.integers(1, 3)),
    choices=st.dictionaries(
        st.sampled_from(FACETS), st.frozensets(st.one_of(some_value, st.just("unheard of")))
    ),
    text=st.lists(some_word, max_size=2).map(" ".join),
    sort=st.sampled_from(["id", *SORTS]),
    descending=st.booleans(),
    private_facets=st.frozensets(st.sampled_from(FACETS)),
)
some_change = st.tuples(
    st.lists(some_row, max_size=4), some_types, st.lists(st.integers(1, 9), max_size=3)
)


@pytest.fixture(params=["settles often", "settles seldom"])
def habits(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Both ways a store may go: packed after nearly every change, or patched for long."""
    if request.param == "settles often":
        monkeypatch.setattr(columns, "_SETTLE_AFTER", 1)
    else:
        monkeypatch.setattr(ranking, "_SORT_ANEW", 0)


def applied(
    rows: dict[int, HoldingRow],
    types: dict[int, str],
    change: tuple[list[HoldingRow], dict[int, str], list[int]],
) -> tuple[dict[int, HoldingRow], dict[int, str]]:
    added, texts, removed = change
    left = {number: row for number, row in rows.items() if number not in removed}
    return left | {row.id: row for row in added}, types | texts


@pytest.mark.usefixtures("habits")
class TestAgainstAPlainLoop:
    @given(st.lists(some_row, max_size=9), some_types, st.lists(some_search, max_size=3))
    @settings(max_examples=150, deadline=None)
    def test_a_store_made_in_one_go(
        self, rows: list[HoldingRow], types: dict[int, str], searches: list[Search]
    ) -> None:
        store = ColumnStore(FACETS, SORTS, rows, types)
        by_id = {row.id: row for row in rows}
        assert len(store) == len(by_id)
        for search in searches:
            assert store.query(search) == plain_query(by_id, types, search)
            assert ids_in(store, search) == plain_query(by_id, types, search).ids

    @given(st.lists(some_row, max_size=9), some_types, st.lists(some_change), some_search)
    @settings(max_examples=150, deadline=None)
    def test_a_store_changed_bit_by_bit(
        self,
        rows: list[HoldingRow],
        types: dict[int, str],
        changes: list[tuple[list[HoldingRow], dict[int, str], list[int]]],
        search: Search,
    ) -> None:
        store = ColumnStore(FACETS, SORTS, rows, types)
        by_id = {row.id: row for row in rows}
        for change in changes:
            store.replace(*change)
            by_id, types = applied(by_id, types, change)
            assert store.query(search) == plain_query(by_id, types, search)
        anew = ColumnStore(FACETS, SORTS, by_id.values(), types)
        assert store.query(search) == anew.query(search)
        assert len(store) == len(anew)


# Single points, for the reader


def three_coins() -> ColumnStore:
    rows = [
        HoldingRow(
            1, 1, "public", quantity=5, facets={"metal": "copper", "grade": "VF", "place": "A"}
        ),
        HoldingRow(2, 1, "public", facets={"metal": "silver", "grade": "VF", "place": "A"}),
        HoldingRow(3, 2, "public", facets={"metal": "silver", "grade": "EF", "place": "B"}),
    ]
    return ColumnStore(FACETS, SORTS, rows)


def test_a_facet_is_counted_without_its_own_choice_and_with_the_others() -> None:
    choices = {"metal": frozenset({"silver"}), "grade": frozenset({"VF"})}
    counts = three_coins().query(Search(everyone, choices=choices)).counts
    assert counts["metal"] == {"copper": 1, "silver": 1}
    assert counts["grade"] == {"VF": 1, "EF": 1}
    assert counts["place"] == {"A": 1}


def test_a_second_value_of_one_facet_widens_by_what_its_count_said() -> None:
    store = three_coins()
    narrow = store.query(Search(everyone, choices={"metal": frozenset({"silver"})}))
    wide = store.query(Search(everyone, choices={"metal": frozenset({"silver", "copper"})}))
    assert wide.total == narrow.total + narrow.counts["metal"]["copper"] == 3


def test_pieces_are_summed_over_the_whole_result_and_not_the_page() -> None:
    result = three_coins().query(Search(everyone), limit=1)
    assert (result.ids, result.total, result.pieces) == ([1], 3, 7)


def test_a_private_facet_tells_nothing_of_others_holdings() -> None:
    search = Search(everyone, 1, {"place": frozenset({"B"})}, private_facets={"place"})
    result = three_coins().query(search)
    assert result.ids == []
    assert result.counts["place"] == {"A": 2, "B": 0}


@pytest.mark.parametrize(("viewer", "ids"), [(1, [1]), (2, []), (None, [])])
def test_what_only_its_owner_finds_a_piece_by_finds_it_for_them_alone(
    viewer: int | None, ids: list[int]
) -> None:
    rows = [
        HoldingRow(1, 1, "public", own_text="walnut cabinet"),
        HoldingRow(2, 1, "public", own_text="oak chest"),
    ]
    assert ids_in(ColumnStore([], [], rows), Search(everyone, viewer, text="walnut")) == ids


def test_a_chosen_value_that_is_nowhere_is_counted_as_nought() -> None:
    result = three_coins().query(Search(everyone, choices={"metal": frozenset({"gold"})}))
    assert result.total == 0
    assert result.counts["metal"] == {"gold": 0, "copper": 1, "silver": 2}


def test_pages_follow_one_another_and_end() -> None:
    store, search = three_coins(), Search(everyone, descending=True)
    pages = [store.query(search, (), offset, 2) for offset in (0, 2, 4)]
    assert [page.ids for page in pages] == [[3, 2], [1], []]
    assert [page.counts for page in pages] == [{}, {}, {}]


def test_only_the_facets_asked_for_are_counted() -> None:
    assert set(three_coins().query(Search(everyone), ["grade"]).counts) == {"grade"}


def test_rows_can_be_read_from_a_stream() -> None:
    rows: Iterator[HoldingRow] = (HoldingRow(number, 1, "public") for number in range(5))
    assert ids_in(ColumnStore([], [], rows), Search(everyone)) == [0, 1, 2, 3, 4]


# What is refused


@pytest.mark.parametrize(
    "search",
    [
        Search(everyone, choices={"colour": frozenset({"red"})}),
        Search(everyone, private_facets={"colour"}),
        Search(everyone, sort="colour"),
    ],
)
def test_an_unknown_name_is_refused_with_the_known_ones(search: Search) -> None:
    with pytest.raises(ValueError, match=r"'colour'; known are .*, "):
        three_coins().query(search)
    with pytest.raises(ValueError, match="colour"):
        ids_in(three_coins(), search)


def test_a_negative_page_is_refused() -> None:
    with pytest.raises(ValueError, match="0 or later"):
        three_coins().query(Search(everyone), offset=-1)


MANY = [str(number) for number in range(256)]  # what a row misses is counted in eight bits


@pytest.mark.parametrize(
    "names", [(["metal", "metal"], []), ([], ["id"]), ([], ["a", "a"]), (MANY, [])]
)
def test_names_that_clash_or_are_too_many_are_refused(names: tuple[list[str], list[str]]) -> None:
    with pytest.raises(ValueError, match="once each"):
        ColumnStore(*names)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (HoldingRow(9, 1, "public", facets={"colour": "red"}), "no facet 'colour'"),
        (HoldingRow(9, 1, "public", keys={"colour": 1}), "no sort key 'colour'"),
        (HoldingRow(9, 1, "public", keys={"id": 1}), "no sort key 'id'"),
        (HoldingRow(9, 1, "public", keys={"year": "1931"}), "of one kind"),
        (HoldingRow(9, 1, "public", keys={"year": float("nan")}), "NaN"),
    ],
)
@pytest.mark.usefixtures("habits")
def test_a_wrong_row_changes_nothing_and_the_store_goes_on(wrong: HoldingRow, words: str) -> None:
    good = HoldingRow(1, 1, "public", facets={"metal": "copper"}, keys={"year": 1931}, text="net")
    store = ColumnStore(FACETS, SORTS, [good])
    before = store.query(Search(everyone))
    with pytest.raises(ValueError, match=words):
        store.replace([replace(good, facets={"metal": "gold"}, text="gull"), wrong], {1: "x"}, [1])
    assert store.query(Search(everyone)) == before
    store.replace([replace(good, id=2, facets={"metal": "zinc"}, keys={"year": 1925})])
    after = store.query(Search(everyone, text="net", sort="year"))
    assert after.ids == [2, 1]
    assert after.counts["metal"] == {"copper": 1, "zinc": 1}


# Threads


@pytest.mark.usefixtures("habits")
def test_readers_never_see_half_a_change() -> None:
    """Each change gives all forty rows a new grade, word and key; a reader sees them agree."""

    def rows(turn: int) -> list[HoldingRow]:
        return [
            HoldingRow(
                number,
                1,
                "public",
                type_id=1,
                facets={"grade": turn},
                keys={"year": turn * 100 - number},
                text=f"turn{turn}end",
            )
            for number in range(40)
        ]

    store = ColumnStore(FACETS, SORTS, rows(0), {1: "type0end"})
    faults: list[object] = []
    seen: set[Value] = set()
    done = threading.Event()

    def read() -> None:
        while not done.is_set():
            try:
                result = store.query(Search(everyone, text="turn type", sort="year"))
                [(turn, count)] = result.counts["grade"].items()
                assert count == result.total == result.pieces == 40
                assert result.ids == list(range(39, -1, -1))
                seen.add(turn)
            except Exception as fault:
                faults.append(fault)
                return

    readers = [threading.Thread(target=read) for _ in range(3)]
    for reader in readers:
        reader.start()
    try:
        for turn in range(1, 120):
            store.replace(rows(turn), {1: f"type{turn}end"})
    finally:
        done.set()
        for reader in readers:
            reader.join()
    assert faults == []
    assert len(seen) > 1
    assert store.query(Search(everyone, text="turn119end type119end")).total == 40
