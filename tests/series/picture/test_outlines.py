from __future__ import annotations

import math

import pytest

from series.picture.outlines import OUTLINES, outline_area, outline_points


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
