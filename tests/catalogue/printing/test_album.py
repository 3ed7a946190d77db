from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.printing.album import AlbumRow, Measures, Pocket, lay_album
from catalogue.printing.furniture import Margins
from catalogue.printing.geometry import PAPERS, Circle, Page, SheetProblem, Text
from tests.placed import overlapping, places

M = Margins()
words = st.text("abcdefghäöłЖ 0123456789-", min_size=1, max_size=30)


@st.composite
def rows(draw: st.DrawFn) -> list[AlbumRow]:
    """Rows of pockets whose keys are unique."""
    number = iter(range(10_000))
    pocket = st.builds(
        Pocket,
        key=st.builds(lambda: str(next(number))),
        width=st.floats(8, 90),
        label=st.lists(words, max_size=3).map(tuple),
        held=st.booleans(),
    )
    row = st.builds(AlbumRow, words, words, st.lists(pocket, max_size=25).map(tuple))
    return draw(st.lists(row, max_size=6))


papers = st.sampled_from([*PAPERS.values(), PAPERS["A4"].turned()])
stories = st.lists(st.lists(words, max_size=40).map(" ".join), max_size=3)


def pockets(found: list[AlbumRow]) -> list[Pocket]:
    return [pocket for row in found for pocket in row.pockets]


@settings(max_examples=80, deadline=None)
@given(rows(), papers, stories)
def test_every_coin_is_drawn_once_in_order_and_true_to_scale(found, paper, story) -> None:
    circles = [c for p in lay_album("T", found, paper=paper, story=story) for c in p.circles]
    assert [(c.key, 2 * c.r) for c in circles] == [(p.key, p.width) for p in pockets(found)]
    assert [c.look == "held" for c in circles] == [p.held for p in pockets(found)]


@settings(max_examples=80, deadline=None)
@given(rows(), papers, stories)
def test_nothing_overlaps(found, paper, story) -> None:
    for page in lay_album("T", found, paper=paper, story=story, subtitle="of Halvern"):
        assert not overlapping(page)


@settings(max_examples=80, deadline=None)
@given(rows(), papers, stories)
def test_everything_lies_inside_the_printable_area(found, paper, story) -> None:
    for page in lay_album("T", found, paper=paper, story=story):
        for left, top, right, bottom in places(page):
            assert left >= M.left - 1e-6
            assert top >= M.top - 1e-6
            assert right <= paper.width - M.right + 1e-6
            assert bottom <= paper.height - 5
        for circle in page.circles:
            assert circle.cy + circle.r <= paper.height - M.bottom + 1e-6


def lines_of(page: Page) -> dict[float, list[Circle]]:
    """The circles of a page by the height of their middles."""
    found: dict[float, list[Circle]] = {}
    for circle in page.circles:
        found.setdefault(round(circle.cy, 6), []).append(circle)
    return found


@settings(max_examples=80, deadline=None)
@given(rows(), papers)
def test_labels_of_a_line_begin_at_one_height_right_under_its_tallest_pocket(found, paper) -> None:
    measures = Measures()
    labelled = {p.key for p in pockets(found) if any(line.split() for line in p.label)}
    seen = set()
    for page in lay_album("T", found, paper=paper):
        labels = {t.key: t for t in page.texts if t.lettering.name.startswith("pocket")}
        for middle, line in lines_of(page).items():
            tallest = max(circle.r for circle in line)
            below = middle + tallest + measures.clearance / 2 + measures.label_gap
            for circle in line:
                if circle.key in labelled:
                    label = labels[circle.key]
                    seen.add(circle.key)
                    assert label.y == pytest.approx(below)
                    assert label.x + label.width / 2 == pytest.approx(circle.cx)
    assert seen == labelled


@settings(max_examples=80, deadline=None)
@given(rows(), papers)
def test_all_rows_stand_on_one_grid(found, paper) -> None:
    """Every middle lies in the middle of a column, or of a whole number of columns together."""
    circles = [c for page in lay_album("T", found, paper=paper) for c in page.circles]
    left, room = M.left + 36, paper.width - M.right - M.left - 36
    pitches = [(room + 4) / columns for columns in range(1, 21)]

    def on(pitch: float, cx: float) -> bool:
        halves = 2 * (cx - left + 2) / pitch
        return abs(halves - round(halves)) < 1e-3

    assert any(all(on(pitch, circle.cx) for circle in circles) for pitch in pitches)


@settings(max_examples=80, deadline=None)
@given(rows(), papers)
def test_a_row_of_several_lines_leaves_no_pocket_alone(found, paper) -> None:
    """Unless not even three fit a line, or all lines hold one."""
    row_of = {pocket.key: number for number, row in enumerate(found) for pocket in row.pockets}
    lines: dict[int, list[int]] = {}
    for page in lay_album("T", found, paper=paper):
        for line in lines_of(page).values():
            lines.setdefault(row_of[line[0].key], []).append(len(line))
    for counts in lines.values():
        assert len(counts) == 1 or counts[-1] > 1 or max(counts) < 3
        assert max(counts) - min(counts[:-1] or counts) <= 1


@settings(max_examples=80, deadline=None)
@given(st.integers(1, 400), st.integers(1, 9), st.floats(10, 60))
def test_no_page_holds_a_lone_pocket_or_line_where_another_could_share_it(
    count: int, kinds: int, width: float
) -> None:
    """Each page of a run of like rows has room for three lines of pockets at the least."""
    found = [
        AlbumRow(
            f"{kind} tinne",
            "",
            tuple(Pocket(f"{kind}/{n}", width, (str(n),)) for n in range(count)),
        )
        for kind in range(kinds)
    ]
    pages = lay_album("T", found)
    for page in pages if len(pages) > 1 else ():
        assert len(page.circles) > 1
        assert len(lines_of(page)) > 1


@settings(max_examples=80, deadline=None)
@given(rows(), papers)
def test_pockets_keep_their_clearance(found, paper) -> None:
    clearance = Measures().clearance
    for page in lay_album("T", found, paper=paper):
        for number, one in enumerate(page.circles):
            for two in page.circles[number + 1 :]:
                between = math.hypot(one.cx - two.cx, one.cy - two.cy) - one.r - two.r
                assert between >= clearance - 1e-6


@settings(max_examples=60, deadline=None)
@given(rows(), papers)
def test_each_page_with_coins_names_their_row_to_their_left(found, paper) -> None:
    row_of = {pocket.key: row for row in found for pocket in row.pockets}
    for page in lay_album("T", found, paper=paper):
        headings = [t.key for t in page.texts if t.lettering.name == "row-heading"]
        named = {row_of[c.key].heading for c in page.circles}
        assert {heading for heading in named if heading.strip()} <= set(headings)


def quarters(count: int, width: float = 24.25) -> AlbumRow:
    return AlbumRow("25 cents", "", tuple(Pocket(str(n), width, (str(n),)) for n in range(count)))


def page_of(circle: str, pages: tuple[Page, ...]) -> Page:
    return next(page for page in pages if any(c.key == circle for c in page.circles))


def heading(page: Page) -> list[Text]:
    return [text for text in page.texts if text.lettering.name.startswith("row-")]


def test_a_row_that_goes_on_overleaf_repeats_its_heading_as_continued() -> None:
    pages = lay_album("T", [quarters(50)])
    assert len(pages) == 2
    assert [text.lines for text in heading(pages[1])] == [("25 cents",), ("continued",)]
    assert [text.tag for page in pages for text in heading(page)] == ["h2", "p", "p"]


def test_coins_of_a_line_have_their_middles_on_one_line() -> None:
    mixed = AlbumRow("Set", "", (Pocket("a", 16, ("a",)), Pocket("b", 32, ("b",))))
    (page,) = lay_album("T", [mixed])
    assert page.circles[0].cy == pytest.approx(page.circles[1].cy)


def test_a_row_without_pockets_leaves_no_heading() -> None:
    (page,) = lay_album("T", [quarters(2), AlbumRow("50 cents", "none")])
    assert [text.lines for text in heading(page)] == [("25 cents",)]


def test_a_last_line_of_one_pocket_is_evened_out_with_the_lines_before() -> None:
    (page,) = lay_album("T", [quarters(9)])
    assert [len(line) for line in lines_of(page).values()] == [3, 3, 3]


def test_a_line_goes_overleaf_rather_than_leave_the_last_one_alone_there() -> None:
    """Seven lines fit the first page; the eighth takes the seventh along."""
    pages = lay_album("T", [quarters(32)])
    assert [len(lines_of(page)) for page in pages] == [6, 2]


def test_a_later_page_says_what_it_shows() -> None:
    made = [
        AlbumRow(
            f"{n} cents",
            "",
            tuple(Pocket(f"{n}/{y}", 24, (str(y),), year=y) for y in range(1990, 2010)),
        )
        for n in (10, 25)
    ]
    _first, second = lay_album("T", made)
    notes = [text.lines for text in second.texts if text.key == "running-note"]
    assert notes == [("25 cents, 2000–2009",)]


def test_every_page_has_its_number_and_the_rule() -> None:
    pages = lay_album("T", [quarters(60)])
    numbers = [t.lines[0] for page in pages for t in page.texts if t.key == "page"]
    assert numbers == ["page 1 of 3", "page 2 of 3", "page 3 of 3"]
    for page in pages:
        assert any(line.look == "rule" and line.x2 - line.x1 == 50 for line in page.lines)


def test_a_story_longer_than_a_page_goes_on_overleaf_whole() -> None:
    story = " ".join(f"word{n}" for n in range(1500))
    pages = lay_album("T", [quarters(1)], story=[story])
    told = [line for page in pages for t in page.texts if t.key == "story" for line in t.lines]
    assert " ".join(told) == story
    assert len(pages) > 1
    assert page_of("0", pages).number == len(pages)


@pytest.mark.parametrize(
    ("width", "paper", "sentence"),
    [
        (150, "A4", r"“25 cents 0” needs a pocket 151 mm wide; a row on A4 has room for 141 mm"),
        (150, "Letter", r"a row on Letter has room for 146\.9 mm"),
        (0, "A4", r"“25 cents 0” has no diameter on record"),
        (math.nan, "A4", r"no diameter on record"),
    ],
)
def test_a_coin_that_cannot_be_drawn_is_named(width: float, paper: str, sentence: str) -> None:
    with pytest.raises(SheetProblem, match=sentence):
        lay_album("T", [quarters(1, width)], paper=PAPERS[paper])


def test_a_label_higher_than_the_page_is_named() -> None:
    tall = AlbumRow("5 marl", "", (Pocket("a", 20, ("1952", *["word"] * 90)),))
    with pytest.raises(SheetProblem, match="“5 marl 1952” with its label does not fit the height"):
        lay_album("T", [tall])


def test_a_coin_as_wide_as_the_row_still_fits() -> None:
    (page,) = lay_album("T", [quarters(1, 140)])
    assert page.circles == [Circle("0", 18 + 36 + 70.5, page.circles[0].cy, 70.0)]
