"""Where pages break, against every way to break them."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.printing.breaks import Block, page_breaks

ROOM = 100.0
block = st.builds(
    lambda height, more, gap, size: Block(height, height + more, gap, size),
    st.floats(5, 60), st.floats(0, 20), st.floats(0, 10), st.integers(1, 5),
)  # fmt: skip


def fits(blocks: list[Block], first: float, starts: tuple[int, ...]) -> bool:
    ends = [*starts[1:], len(blocks)]
    for page, (start, end) in enumerate(zip(starts, ends, strict=True)):
        used = blocks[start].opening + sum(b.gap + b.height for b in blocks[start + 1 : end])
        if used > (ROOM if page else first) + 1e-6:
            return False
    return True


def pages_of(blocks: list[Block], starts: tuple[int, ...]) -> list[list[Block]]:
    return [blocks[a:b] for a, b in zip(starts, [*starts[1:], len(blocks)], strict=True)]


def alone(pages: list[list[Block]]) -> tuple[int, int]:
    """How many pages of several hold one thing, and how many one block."""
    if len(pages) == 1:
        return 0, 0
    lone = sum(sum(block.size for block in page) <= 1 for page in pages)
    return lone, sum(len(page) == 1 for page in pages)


@settings(max_examples=150, deadline=None)
@given(st.lists(block, min_size=1, max_size=9), st.floats(80, 100))
def test_no_other_way_has_fewer_pages_or_leaves_less_alone(
    blocks: list[Block], first: float
) -> None:
    found = tuple(page_breaks(blocks, first, ROOM))
    assert fits(blocks, first, found)
    ours = pages_of(blocks, found)
    places = range(1, len(blocks))
    for count in range(len(blocks)):
        for later in combinations(places, count):
            if fits(blocks, first, (0, *later)):
                theirs = pages_of(blocks, (0, *later))
                assert (len(ours), *alone(ours)) <= (len(theirs), *alone(theirs))


def test_a_first_page_too_full_for_anything_is_left_as_it_is() -> None:
    assert page_breaks([Block(30, 30)] * 4, first=20, room=100) == [0, 0, 2]
