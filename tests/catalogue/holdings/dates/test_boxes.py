"""The dates of a type as small boxes: their states, and where they stand."""

from __future__ import annotations

import re
from itertools import pairwise, permutations
from xml.etree import ElementTree

import pytest

from catalogue.holdings.dates.boxes import MOST, PER_ROW, DateBox, date_boxes, drawn, tally


def boxes(count: int, state: str = "held") -> list[DateBox]:
    return [DateBox(str(1900 + number), state) for number in range(count)]


def shapes(svg: str) -> tuple[float, float, list[tuple[float, float, float, float]]]:
    """Width and height of the drawing, and the left, top, right and bottom of each shape."""
    root = ElementTree.fromstring(svg)
    assert root.get("viewBox") == f"0 0 {root.get('width')} {root.get('height')}"
    found = []
    for shape in root.iter("rect"):
        x, y, wide, high = (float(shape.get(n, "")) for n in ("x", "y", "width", "height"))
        found.append((x, y, x + wide, y + high))
    for path in root.iter("path"):
        x, y, wide = map(float, re.findall(r"[\d.]+", path.get("d", "")))
        found.append((x, y, x + wide, y))
    return float(root.get("width", "")), float(root.get("height", "")), found


STATES = {
    "not_struck": ("not_struck", False),
    "not_recorded": ("not_recorded", False),
    "missing": ("struck", False),
    "held": ("struck", True),
}
"""What is known of an issue, by the state it gives its date; the one that says most is last."""


@pytest.mark.parametrize("states", list(permutations(STATES, 2)))
def test_of_one_date_the_state_that_says_most_is_shown(states: tuple[str, str]) -> None:
    found = date_boxes(("1931", *STATES[state]) for state in states)
    assert found == [DateBox("1931", max(states, key=list(STATES).index))]


def test_held_of_those_that_were_struck() -> None:
    some = [*boxes(3), *boxes(2, "missing"), *boxes(4, "not_struck"), *boxes(5, "not_recorded")]
    assert tally(some) == (3, 5)


@pytest.mark.parametrize("count", [1, 2, PER_ROW, PER_ROW + 1, MOST])
@pytest.mark.parametrize("per_row", [PER_ROW, 7])
def test_boxes_stand_apart_in_rows_and_fill_the_drawing(count: int, per_row: int) -> None:
    width, height, found = shapes(drawn(boxes(count), "dates", per_row))
    assert len(found) == len(set(found)) == count
    assert (min(x for x, *_ in found), min(y for _, y, *_ in found)) == (0.5, 0.5)
    assert max(right for *_, right, _ in found) == width - 0.5
    assert max(bottom for *_, bottom in found) == height - 0.5
    assert len({y for _, y, *_ in found}) == -(-count // per_row)
    for one, other in pairwise(found):
        assert other[0] - one[2] == 3 or (other[0] == 0.5 and other[1] - one[3] == 4)


def test_a_date_that_was_not_struck_is_a_dash_in_the_middle_of_its_box() -> None:
    ((left, top, right, bottom),) = shapes(drawn(boxes(1), "dates"))[2]
    ((start, at, end, _),) = shapes(drawn(boxes(1, "not_struck"), "dates"))[2]
    assert ((start + end) / 2, at) == ((left + right) / 2, (top + bottom) / 2)
    assert left < start < end < right


def test_many_dates_are_a_bar_as_long_as_the_share_that_is_held() -> None:
    many = [*boxes(MOST - 9), *boxes(10, "missing")]
    svg = drawn(many, "dates")
    width, height, (whole, held) = shapes(svg)
    assert f">{MOST - 9}/{MOST + 1}</text>" in svg
    assert (held[2] - held[0]) / (whole[2] - whole[0]) == pytest.approx(39 / 49, abs=0.001)
    room = 6 + 8 * len(f"{MOST - 9}/{MOST + 1}")  # a gap, and 8 pixels for each figure
    assert width == whole[2] - whole[0] + room
    assert whole[1] == held[1] == 0.5
    assert 0 < height - whole[3] < 2


def test_a_bar_of_dates_that_were_never_struck_is_empty() -> None:
    *_, (_, held) = shapes(drawn(boxes(MOST + 1, "not_struck"), "dates"))
    assert held[2] == held[0]


def test_what_is_written_is_no_markup() -> None:
    svg = drawn([DateBox("<1931>", "held")], '"all" & none')
    assert ElementTree.fromstring(svg).get("aria-label") == '"all" & none'
    assert ElementTree.fromstring(svg).findtext(".//title") == "<1931>"
