"""Both faces of a described coin: legends along the rim, and one scale."""

from __future__ import annotations

import math
import re
from xml.etree import ElementTree

import pytest

from series.picture.drawing import Drawn
from series.picture.faces import two_faces


def drawn(legend: str = "", diameter: float = 20) -> ElementTree.Element:
    return ElementTree.fromstring(two_faces(Drawn(diameter), ("H", legend), ("25", ""), "coin"))


def legend_of(root: ElementTree.Element) -> tuple[list[float], float]:
    """Of the path of a legend: start, radius and end; and the size of its letters."""
    (path,) = [e for e in root.iter("path") if e.get("id")]
    (text,) = [e for e in root.iter("text") if e.find("textPath") is not None]
    x, y, r, _r, u, v = map(float, re.findall(r"-?\d+\.\d+|-?\d{2,}", path.attrib["d"]))
    return [x, y, r, u, v], float(text.attrib["font-size"])


def test_a_legend_runs_round_the_middle_between_the_numeral_and_the_rim() -> None:
    (x, y, r, u, v), size = legend_of(drawn("HALVERN"))
    assert 0.3 * 20 < r < r + size < 0.465 * 20  # the foot of the rim
    assert math.hypot(x, y) == pytest.approx(r, abs=0.002)
    assert (u, v) == (-x, y)


def test_a_legend_leaves_a_gap_below_in_which_it_begins_and_ends() -> None:
    """It runs over 300 degrees of the circle, from the lower left to the lower right."""
    (x, y, r, _u, _v), _size = legend_of(drawn("HALVERN"))
    assert (x, y) == pytest.approx((-r * 0.5, r * math.sqrt(3) / 2), abs=0.002)


@pytest.mark.parametrize("length", [7, 40, 90])
def test_a_long_legend_is_set_just_so_small_that_it_fits_its_arc(length: int) -> None:
    (_x, _y, r, _u, _v), size = legend_of(drawn("A" * length))
    taken = 0.64 * size * length / (math.radians(300) * r)  # a capital, measured by eye
    assert taken <= 1.001
    assert size == 0.075 * 20 or taken > 0.98


@pytest.mark.parametrize(("diameter", "width"), [(15, 69.6), (30, 69.6), (60, 133.2)])
def test_all_coins_but_the_widest_are_shown_at_one_scale(diameter: float, width: float) -> None:
    assert drawn(diameter=diameter).attrib["viewBox"].split()[2] == str(width)


def test_both_faces_stand_side_by_side_within_the_picture() -> None:
    root = drawn(diameter=60)
    _x, _y, width, height = map(float, root.attrib["viewBox"].split())
    faces = [e.attrib["transform"] for e in root if "transform" in e.attrib]
    places = [list(map(float, re.findall(r"[\d.]+", at))) for at in faces]
    (left, top), (right, also_top) = places
    assert left - 30 > 0
    assert left + 30 < right - 30
    assert right + 30 < width
    assert top == also_top
    assert top + 30 < height
