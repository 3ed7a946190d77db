"""A schedule adds up: line by line, by group, and across its pages."""

from __future__ import annotations

import json
from decimal import Decimal
from itertools import chain, pairwise

from hypothesis import given
from hypothesis import strategies as st

from catalogue.printing.geometry import PAPERS, Text
from valuation.schedules.contents import Described, PrintedFace, Said
from valuation.schedules.layout import MARGIN_BOTTOM, Entry, content_height, money_table, shown
from valuation.schedules.lines import Piece, digest, plan
from valuation.schedules.pages import PageRow, divide
from valuation.schedules.paper import lay_schedule

A4 = PAPERS["A4"]

money = st.decimals(0, 5000, places=2)
pieces = st.builds(
    Piece,
    id=st.integers(1, 10**6),
    accession=st.text("AB12.", min_size=1, max_size=6),
    label=st.just("25 tinne, 1953"),
    group=st.sampled_from([("Testland", "First"), ("Testland", "Second"), ("Elsewhere", "One")]),
    pieces=st.integers(1, 400),
    each=st.none() | money,
)


@given(st.lists(pieces, max_size=40), money, money)
def test_the_total_is_what_one_adds_up_by_hand(
    held: list[Piece], threshold: Decimal, rate: Decimal
) -> None:
    made = plan(held, threshold, rate)
    by_hand = sum((p.pieces * (rate if p.each is None else p.each) for p in held), Decimal(0))
    assert made.total == by_hand
    assert made.total == sum(i.amount for i in made.items) + sum(g.amount for g in made.groups)
    assert made.pieces == sum(p.pieces for p in held)
    for line in (*made.items, *made.groups):
        assert line.amount == line.amount.quantize(Decimal("0.01"))


@given(st.lists(pieces, max_size=40), money)
def test_a_piece_is_itemised_from_the_threshold_on_and_never_without_a_value(
    held: list[Piece], threshold: Decimal
) -> None:
    made = plan(held, threshold, Decimal(0))
    for item in made.items:
        assert item.piece.each is not None
        assert item.piece.each >= threshold
    for group in made.groups:
        for part in group.parts:
            assert part.each is None or part.each < threshold
            assert part.group == group.group
    assert len(made.items) + sum(len(g.parts) for g in made.groups) == len(held)


rows = st.lists(st.builds(PageRow, money, st.floats(4, 90)), min_size=1, max_size=60)


@given(rows, st.floats(1, 150), st.floats(100, 250))
def test_what_is_carried_forward_is_brought_forward_and_ends_in_the_total(
    table: list[PageRow], first: float, rest: float
) -> None:
    pages = divide(table, first, rest)
    assert [row for page in pages for row in page.rows] == table
    assert pages[0].brought is None
    assert pages[-1].carried is None
    for before, after in pairwise(pages):
        assert before.carried == after.brought
        assert before.carried == (before.brought or 0) + sum(r.amount for r in before.rows)
    last = (pages[-1].brought or Decimal(0)) + sum(r.amount for r in pages[-1].rows)
    assert last == sum(row.amount for row in table)


@given(rows, st.floats(1, 150), st.floats(100, 250))
def test_no_page_is_overfull(table: list[PageRow], first: float, rest: float) -> None:
    for number, page in enumerate(divide(table, first, rest)):
        room = first if number == 0 else rest
        assert sum(row.height for row in page.rows) <= room + 1e-6
    assert all(page.rows for page in divide(table, first, rest)[1:])


words = st.text("abcdefgh ijkl mnop", max_size=300)


@given(st.lists(st.tuples(words, words, st.booleans()), min_size=1, max_size=25))
def test_a_row_has_room_for_all_its_lines(texts: list[tuple[str, str, bool]]) -> None:
    paper = PAPERS["A4"]
    entries = [
        Entry("1", title, (detail,), 1, None, Decimal(1), pictured)
        for title, detail, pictured in texts
    ]
    for entry in entries:
        row = shown(entry, paper)
        assert "".join(row.shown.title).replace(" ", "") == entry.title.replace(" ", "")
        lines = len(row.shown.title) + len(row.shown.details)
        assert row.height >= lines * 3.5
    for page in money_table(entries, paper, heading=60):
        assert sum(row.height for row in page.rows) < content_height(paper)


@given(st.dictionaries(st.text(), st.text() | st.integers() | st.lists(st.text())))
def test_a_digest_survives_being_stored_and_notices_a_change(document: dict[str, object]) -> None:
    stored = json.loads(json.dumps(document))
    assert digest(stored) == digest(document)
    assert digest({**document, "total": "0.01"}) != digest({**document, "total": "0.02"})


SAID = Said("Schedule", "", "", "EUR", 1, Decimal("1.00"))
FACES = [PrintedFace("o", "obverse", "obverse", None), PrintedFace("r", "reverse", "reverse", None)]


@given(st.lists(st.lists(words, max_size=16), min_size=1, max_size=12))
def test_a_piece_stands_on_one_page_with_its_faces_and_all_its_words(
    told: list[list[str]],
) -> None:
    pieces = [
        Described(n, f"piece {n}", FACES, [], [(f"field {n}", text) for text in texts])
        for n, texts in enumerate(told)
    ]
    sheets = lay_schedule(SAID, [], pieces, PAPERS["A4"])
    low = PAPERS["A4"].height - MARGIN_BOTTOM + 1e-6
    for n, texts in enumerate(told):
        (sheet,) = [s for s in sheets if any(t.lines == (f"{n}. piece {n}",) for t in s.texts)]
        assert sum(picture.alt.startswith(f"{n}, ") for picture in sheet.pictures) == 2
        named = [t for t in sheet.texts if t.lines == (f"field {n}",)]
        assert len(named) == len(texts)
    for sheet in sheets:
        assert all(t.y + t.height <= low for t in sheet.texts if t.lettering.name == "field")
        assert all(picture.y + picture.size <= low for picture in sheet.pictures)
    printed = "".join("".join(t.lines) for s in sheets for t in s.texts if is_field(t))
    whole = "".join(chain.from_iterable(told))
    assert printed.replace(" ", "") == whole.replace(" ", "")


def is_field(text: Text) -> bool:
    return text.lettering.name == "field"


def test_a_piece_longer_than_a_page_goes_on_overleaf_and_loses_nothing() -> None:
    long = " ".join(f"word{n}" for n in range(4000))
    sheets = lay_schedule(SAID, [], [Described(1, "long", [], [], [("Maker", long)])], A4)
    texts = [t for s in sheets for t in s.texts if is_field(t)]
    assert len(texts) > 1
    assert " ".join(line for text in texts for line in text.lines) == long
    assert all(text.y + text.height <= A4.height - MARGIN_BOTTOM + 1e-6 for text in texts)
