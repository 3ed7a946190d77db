"""One scale through a talk, and places by the clock, as plain geometry tells them."""

from __future__ import annotations

import math
import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.talks.shown import Light, ShownFace
from catalogue.talks.stage import face_svg, ring_place, rule_svg

widths = st.floats(8, 60)
SHAPES = [("round", 0), ("square", 0), ("polygon", 7), ("curved", 7), ("scalloped", 12)]


def _parsed(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def _box(svg: str) -> list[float]:
    return [float(part) for part in _parsed(svg).attrib["viewBox"].split()]


@given(widths, widths)
def test_coins_of_all_sizes_stand_in_one_box_each_as_wide_as_it_is(a: float, b: float) -> None:
    widest = max(a, b)
    faces = [face_svg(ShownFace("obverse", "", w, src="x.webp"), widest) for w in (a, b)]
    assert _box(faces[0]) == _box(faces[1])
    assert _box(faces[0])[2] >= widest
    for width, svg in zip((a, b), faces, strict=True):
        image = _parsed(svg).find("image")
        assert image is not None
        assert float(image.attrib["width"]) == pytest.approx(width, abs=1e-3)
        assert float(image.attrib["x"]) == pytest.approx(-width / 2, abs=1e-3)


@given(widths)
def test_the_rule_is_ten_millimetres_in_a_box_as_wide_as_a_face(widest: float) -> None:
    rule = rule_svg(widest)
    assert _box(rule)[2] == _box(face_svg(ShownFace("obverse", "", widest), widest))[2]
    assert re.search(r"0v0\.5h10v-0\.5", rule)


@pytest.mark.parametrize(
    ("clock", "right", "down"), [(12.0, 0, -1), (3.0, 1, 0), (6.0, 0, 1), (9.0, -1, 0)]
)
def test_a_light_stands_where_the_clock_says(clock: float, right: int, down: int) -> None:
    assert ring_place(Light("obverse", clock, 50), 20.0) == pytest.approx((5 * right, 5 * down))


@given(st.floats(1, 12.99), st.integers(0, 100), widths)
def test_a_light_is_as_far_from_the_middle_as_it_says(
    clock: float, radius: int, width: float
) -> None:
    x, y = ring_place(Light("obverse", clock, radius), width)
    assert math.hypot(x, y) == pytest.approx(radius / 100 * width / 2, abs=2e-3)


def test_only_the_lights_of_its_own_side_are_on_a_face_and_keep_their_numbers() -> None:
    lights = list(enumerate([Light("obverse", 3), Light("reverse", 6), Light("reverse", 9)]))
    svg = face_svg(ShownFace("reverse", "", 20), 30, lights=lights)
    rings = _parsed(svg).findall("circle[@class='light']")
    assert [ring.attrib["data-light"] for ring in rings] == ["1", "2"]


def test_what_is_not_held_is_faint_within_a_dashed_outline() -> None:
    held = face_svg(ShownFace("obverse", "", 20, src="x"), 30)
    missing = face_svg(ShownFace("obverse", "", 20, src="x"), 30, held=False)
    assert "not-held" not in held
    assert _parsed(missing).find("g[@class='faint']/image") is not None
    assert _parsed(missing).find("path[@class='not-held']") is not None


def test_an_untrimmed_photograph_fills_the_box_and_nothing_is_ringed_on_it() -> None:
    face = ShownFace("obverse", "", 20, src="x", trimmed=False)
    svg = face_svg(face, 30, lights=[(0, Light("obverse", 3))])
    image = _parsed(svg).find("image")
    assert image is not None
    assert float(image.attrib["width"]) == _box(svg)[2]
    assert "circle" not in svg
    assert _parsed(svg).attrib["data-closer"] == _parsed(svg).attrib["viewBox"]


@pytest.mark.parametrize(("outline", "sides"), SHAPES)
def test_closer_shows_the_whole_coin_alone(outline: str, sides: int) -> None:
    svg = face_svg(ShownFace("obverse", "", 20, src="x", outline=outline, sides=sides), 30)
    image = _parsed(svg).find("image")
    assert image is not None
    assert float(_parsed(svg).attrib["data-closer"].split()[2]) >= float(image.attrib["width"])


def test_words_of_records_cannot_end_an_attribute() -> None:
    face = ShownFace("obverse", '"><script>', 20, src='"onload="')
    svg = face_svg(face, 30, lights=[(0, Light("obverse", 3, words='"><b>'))])
    assert _parsed(svg).attrib["aria-label"] == '"><script>'
    assert "<script" not in svg
    assert "<b>" not in svg
