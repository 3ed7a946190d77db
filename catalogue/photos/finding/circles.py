"""A circle through the points of an edge of which some are wrong.

What is computed: the circle that most points lie on, and how closely. Points that lie outside it
count against it, since nothing but dust is sharp outside a coin, while a coin is full of sharp
lines inside its edge. Units: those of the points. Source: consensus of samples (Fischler and
Bolles, Communications of the ACM 24(6), 1981), then least squares with Tukey's weights; from
memory.

>>> turn = np.linspace(0, 2 * np.pi, 90, endpoint=False)
>>> x, y = 50 + 20 * np.cos(turn), 40 + 20 * np.sin(turn)
>>> x[:30] = 50 + 14 * np.cos(turn[:30])
>>> y[:30] = 40 + 14 * np.sin(turn[:30])
>>> found = circle_through(x, y)
>>> round(found.x, 1), round(found.y, 1), round(found.radius, 1), round(found.share, 2)
(50.0, 40.0, 20.0, 0.67)
"""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_AGAINST = 0.3  # what a point outside counts against a circle
_LEAST_SPREAD = 0.05
_STARTS = 60


class Circle(NamedTuple):
    """``spread``: the standard deviation of the points on it; ``share`` of all that are."""

    x: float
    y: float
    radius: float
    spread: float = 0.0
    share: float = 1.0


def circle_through(x: Floats, y: Floats) -> Circle:
    """The circle of at least three points, in their order around it."""
    middle_x, middle_y = float(x.mean()), float(y.mean())
    x, y = x - middle_x, y - middle_y
    first = _least_squares(x, y, np.ones(len(x)))
    near = 0.5 + 0.0015 * first.radius
    circle = _most_agreed(x, y, first, near)
    weights = np.ones(len(x))
    for _round in range(15):
        off = np.hypot(x - circle.x, y - circle.y) - circle.radius
        weights = np.clip(1 - (off / (3 * near)) ** 2, 0, None) ** 2
        if weights.sum() < 8:
            break
        circle = _least_squares(x, y, weights)
        near = max(0.15, min(near, 1.8 * float(np.median(np.abs(off[weights > 0])))))
    off = np.hypot(x - circle.x, y - circle.y) - circle.radius
    on = weights > 0.1
    spread = 1.4826 * float(np.median(np.abs(off[on]))) if on.any() else math.inf
    return Circle(
        circle.x + middle_x,
        circle.y + middle_y,
        circle.radius,
        max(_LEAST_SPREAD, spread),
        float(on.mean()),
    )


def _most_agreed(x: Floats, y: Floats, first: Circle, near: float) -> Circle:
    """The best of circles through three points, spread over a third of a turn or less."""
    best, agreed = first, _agreement(x, y, first, near)
    count = len(x)
    for span in (count // 3, count // 5, count // 7):
        for start in range(0, count, max(1, count // _STARTS)):
            three = np.array([start, start + span, start + 2 * span]) % count
            circle = _through_three(x[three], y[three])
            if circle is not None and (now := _agreement(x, y, circle, near)) > agreed:
                best, agreed = circle, now
    return best


def _agreement(x: Floats, y: Floats, circle: Circle, near: float) -> float:
    off = np.hypot(x - circle.x, y - circle.y) - circle.radius
    return float((np.abs(off) < near).sum() - _AGAINST * (off >= near).sum())


def _least_squares(x: Floats, y: Floats, weights: Floats) -> Circle:
    root = np.sqrt(weights)
    terms = np.stack([x, y, np.ones_like(x)], axis=1) * root[:, None]
    a, b, c = np.linalg.lstsq(terms, (x * x + y * y) * root, rcond=None)[0]
    radius = math.sqrt(max(1e-6, c + (a * a + b * b) / 4))
    return Circle(float(a / 2), float(b / 2), radius)


def _through_three(x: Floats, y: Floats) -> Circle | None:
    twice = 2 * (x[0] * (y[1] - y[2]) + x[1] * (y[2] - y[0]) + x[2] * (y[0] - y[1]))
    if abs(twice) < 1e-9:
        return None
    square = x * x + y * y
    at_x = float(square @ np.array([y[1] - y[2], y[2] - y[0], y[0] - y[1]])) / twice
    at_y = float(square @ np.array([x[2] - x[1], x[0] - x[2], x[1] - x[0]])) / twice
    return Circle(at_x, at_y, math.hypot(x[0] - at_x, y[0] - at_y))
