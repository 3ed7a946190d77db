from __future__ import annotations

import math

import pytest

from series.picture.outlines import OUTLINES, outline_arcs, outline_area, outline_points, panel


@pytest.mark.parametrize("outline", OUTLINES)
@pytest.mark.parametrize("sides", [0, 3, 7, 12])
def test_the_area_is_that_of_the_polygon_through_its_points(outline: str, sides: int) -> None:
    """The surveyor's rule over finely spaced points, which lie on the outline."""
    points = outline_points(outline, 20, sides, 0.005)
    following = [*points[1:], points[0]]
    twice = sum(x * v - u * y for (x, y), (u, v) in zip(points, following, strict=True))
    assert outline_area(outline, 20, sides) == pytest.approx(twice / 2, rel=1e-6)


def test_the_area_of_a_curve_of_equal_width_is_between_triangle_and_circle() -> None:
    """Of all curves of one width the Reuleaux triangle has the least area, (π − √3) ÷ 2 of the
    square of the width (Blaschke and Lebesgue), the circle the most."""
    area = outline_area("curved", 1, 3)
    assert (math.pi - math.sqrt(3)) / 2 < area < math.pi / 4


def reach(outline: str, sides: int) -> dict[float, float]:
    """How far the outline of a piece 2 mm wide is from its middle, by the angle."""
    points = outline_points(outline, 2.0, sides, spacing=0.002)
    return {math.atan2(y, x): math.hypot(x, y) for x, y in points}


@pytest.mark.parametrize("outline", ["polygon", "curved"])
@pytest.mark.parametrize("sides", [5, 7, 8, 9, 12])
def test_an_odd_number_of_sides_has_a_corner_on_top_and_an_even_one_a_side(
    outline: str, sides: int
) -> None:
    """As such pieces are shown with their faces upright: common practice, no source."""
    found = reach(outline, sides)
    top = min(found, key=lambda angle: abs(angle + math.pi / 2))
    far, near = max(found.values()), min(found.values())
    assert found[top] == pytest.approx(far if sides % 2 else near, abs=(far - near) / 50)


@pytest.mark.parametrize("sides", [8, 12, 20])
def test_scallops_are_shallow_but_seen(sides: int) -> None:
    """Between two of them the outline comes in by a sixth of a scallop's width (2π ÷ n) at most,
    and by hardly less (chosen by eye, no source)."""
    found = reach("scalloped", sides).values()
    assert 0.4 < (1 - min(found)) * sides < 0.5
    assert max(found) == pytest.approx(1)


@pytest.mark.parametrize("outline", ["polygon", "curved", "notched", "scalloped"])
def test_too_few_sides_are_none_stated(outline: str) -> None:
    assert outline_arcs(outline, 20.0, 2) == outline_arcs(outline, 20.0, 0)
    assert outline_arcs(outline, 20.0, 3) != outline_arcs(outline, 20.0, 0)


@pytest.mark.parametrize("sides", [3, 5, 8, 12])
def test_a_polygon_is_a_smaller_one_with_sharp_corners_and_a_rounded_edge_about_it(
    sides: int,
) -> None:
    """Its area by Steiner's formula: that of the smaller one, its length times the edge, and a
    circle of the edge's radius (J. Steiner, Über parallele Flächen, 1840; from memory)."""
    edge = outline_arcs("polygon", 2, sides)[0].r
    inner, step = 1 - edge, 2 * math.pi / sides
    sharp = sides / 2 * math.sin(step) * inner**2
    length = 2 * sides * math.sin(step / 2) * inner
    assert 0 < edge < 0.1
    whole = sharp + length * edge + math.pi * edge**2
    assert outline_area("polygon", 2, sides) == pytest.approx(whole)


@pytest.mark.parametrize(
    ("words", "sides"),
    [
        ("triangular", 3), ("five-sided", 5), ("pentagonal", 5), ("hexagonal", 6),
        ("heptagonal", 7), ("octagonal", 8), ("decagonal", 10), ("a dodecagon", 12),
    ],
)  # fmt: skip
def test_a_panel_has_as_many_sides_as_its_word_says(words: str, sides: int) -> None:
    """Greek numerals, as polygons are named: common practice, no source."""
    assert panel(words) == ("polygon", sides)
