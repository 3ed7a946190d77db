"""Model a low relief as a height map, the way an engraver builds up a plaster.

A :class:`Clay` is a square plate, x to the right and y downwards from -1 to 1; its ``height``
is an array (``SIZE`` × ``SIZE``, float32) of about 0 (the field) to 1 (the highest point).
Shapes are lists of points; :meth:`Clay.over` lays one on top of what is there, :meth:`Clay.add`
swells or grooves what is there. A motif is a function that models one plate; :func:`motif`
enters it in :data:`MOTIFS` under its name, and :func:`model` returns its height map, made once.

The heights are made for the eye; nothing here is measured, no source.

>>> plate = Clay()
>>> plate.over(plate.mask(ellipse(0, 0, 0.5, 0.5)), level=0.2, swell=0.8, soft=0.5)
>>> bool(plate.height[SIZE // 2, SIZE // 2] > 0.7), float(plate.height[0, 0])
(True, 0.0)
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

SIZE = 448
FINER = 3  # masks are drawn so many times finer, for smooth edges
BASE = 0.62  # where a standing motif meets the ground, and the exergue line runs

Array = NDArray[np.floating[Any]]  # float32 throughout
Point = tuple[float, float]
Points = list[Point]


class Mask(NamedTuple):
    """How much of each pixel a shape covers (0 to 1), from row ``top`` and column ``left``."""

    top: int
    left: int
    cover: Array


@dataclass(frozen=True)
class Motif:
    """An entry of the registry: what it is called, how it may be used, who models it.

    ``kind`` is "standing" (rests on the exergue line at y = BASE), "figure" (fills the circle
    of radius 1), "ground" (a pattern a numeral can lie on) or "wreath" (encloses a numeral).
    """

    name: str
    kind: str
    carve: Callable[[Clay], None]


MOTIFS: dict[str, Motif] = {}


def motif(
    name: str, kind: str = "figure"
) -> Callable[[Callable[[Clay], None]], Callable[[Clay], None]]:
    """Enter the decorated function, which models a plate, in the registry of motifs."""

    def enter(carve: Callable[[Clay], None]) -> Callable[[Clay], None]:
        MOTIFS[name] = Motif(name, kind, carve)
        return carve

    return enter


@cache
def model(name: str) -> Array:
    """The height map of a motif; raises KeyError when there is none of that name."""
    plate = Clay()
    MOTIFS[name].carve(plate)
    plate.height.setflags(write=False)
    return plate.height


def ellipse(cx: float, cy: float, rx: float, ry: float, turn: float = 0.0) -> Points:
    """Points of an ellipse; ``turn`` in degrees, clockwise."""
    c, s = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    steps = 48
    around = [
        (rx * math.cos(2 * math.pi * k / steps), ry * math.sin(2 * math.pi * k / steps))
        for k in range(steps)
    ]
    return [(cx + x * c - y * s, cy + x * s + y * c) for x, y in around]


def box(left: float, top: float, right: float, bottom: float) -> Points:
    return [(left, top), (right, top), (right, bottom), (left, bottom)]


def curve(points: Sequence[Point], closed: bool = True, steps: int = 10) -> Points:
    """A smooth curve through the points (Catmull–Rom)."""
    p = list(points)
    p = [p[-1], *p, p[0], p[1]] if closed else [p[0], *p, p[-1]]
    out: Points = []
    for a, b, c, d in zip(p, p[1:], p[2:], p[3:], strict=False):
        for k in range(steps):
            t = k / steps
            out.append(
                (
                    _through(a[0], b[0], c[0], d[0], t),
                    _through(a[1], b[1], c[1], d[1], t),
                )
            )
    return out if closed else [*out, points[-1]]


def _through(a: float, b: float, c: float, d: float, t: float) -> float:
    return 0.5 * (
        2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t * t + (3 * b - a - 3 * c + d) * t**3
    )


def mirrored(points: Iterable[Point]) -> Points:
    """The same points left to right."""
    return [(-x, y) for x, y in points]


def moved(
    points: Iterable[Point], dx: float, dy: float, scale: float = 1.0, turn: float = 0.0
) -> Points:
    """Points scaled, turned (degrees, clockwise) and moved, in this order."""
    c, s = scale * math.cos(math.radians(turn)), scale * math.sin(math.radians(turn))
    return [(dx + x * c - y * s, dy + x * s + y * c) for x, y in points]


def stroke(points: Sequence[Point], *widths: float, ends: bool = True) -> list[Points]:
    """Shapes that make up a line; widths are spread evenly along it. The ends are round,
    or cut off square without ``ends``."""
    parts: list[Points] = []
    last = len(points) - 1
    radii = []
    for k in range(len(points)):
        at = k / max(last, 1) * (len(widths) - 1)
        low = min(int(at), max(len(widths) - 2, 0))
        high = min(low + 1, len(widths) - 1)
        radii.append((widths[low] + (widths[high] - widths[low]) * (at - low)) / 2)
    for (ax, ay), (bx, by), ra, rb in zip(points, points[1:], radii, radii[1:], strict=False):
        length = math.hypot(bx - ax, by - ay) or 1.0
        nx, ny = -(by - ay) / length, (bx - ax) / length
        parts.append(
            [
                (ax + nx * ra, ay + ny * ra),
                (bx + nx * rb, by + ny * rb),
                (bx - nx * rb, by - ny * rb),
                (ax - nx * ra, ay - ny * ra),
            ]
        )
    joints = list(zip(points, radii, strict=True))
    for (x, y), r in joints if ends else joints[1:-1]:
        parts.append(
            [
                (x + r * math.cos(k * math.pi / 6), y + r * math.sin(k * math.pi / 6))
                for k in range(12)
            ]
        )
    return parts


def blurred(values: Array, radius: float) -> Array:
    """A soft blur, taking what lies beyond the edge as 0: two passes of a running mean
    ``2 × radius + 1`` pixels wide."""
    r = max(1, round(radius))
    if r == 1:
        return _mean3(_mean3(values))
    return _mean(_mean(_mean(_mean(values, r).T, r), r).T, r)


def _mean(values: Array, r: int) -> Array:
    """Running mean of ``2 r + 1`` down the columns."""
    n, width = values.shape[0], 2 * r + 1
    total = np.zeros((n + width, values.shape[1]), np.float32)
    np.cumsum(values, axis=0, out=total[r + 1 : n + r + 1])
    total[n + r + 1 :] = total[n + r]
    out = total[width:] - total[:n]
    out *= np.float32(1 / width)
    return out


def _mean3(values: Array) -> Array:
    """Mean of the three by three pixels about each."""
    rows = values.copy()
    rows[1:] += values[:-1]
    rows[:-1] += values[1:]
    out = rows.copy()
    out[:, 1:] += rows[:, :-1]
    out[:, :-1] += rows[:, 1:]
    out *= np.float32(1 / 9)
    return out


def dome(cover: Array, radius: float) -> Array:
    """Swell a flat shape: 0 at its edge, rising to 1 about ``radius`` pixels inside."""
    out = np.zeros_like(cover)
    for share in (1.0, 0.5, 0.25):
        out += np.clip(1.6 * blurred(cover, radius * share) - 0.6, 0, 1)
    return cover * out / 3


class Clay:
    """A square plate to model on; see the module's docstring."""

    def __init__(self) -> None:
        self.height: Array = np.zeros((SIZE, SIZE), np.float32)

    def mask(
        self, *shapes: Points, holes: Sequence[Points] = (), within: Mask | None = None
    ) -> Mask:
        """What the shapes cover together, less the holes, and only inside ``within`` if given."""
        xs = [x for shape in shapes for x, _ in shape]
        ys = [y for shape in shapes for _, y in shape]
        left, top = self._pixel(min(xs)) - 2, self._pixel(min(ys)) - 2
        right, bottom = self._pixel(max(xs)) + 3, self._pixel(max(ys)) + 3
        left, top = min(max(left, 0), SIZE - 1), min(max(top, 0), SIZE - 1)
        right, bottom = max(min(right, SIZE), left + 1), max(min(bottom, SIZE), top + 1)
        image = Image.new("L", ((right - left) * FINER, (bottom - top) * FINER))
        draw = ImageDraw.Draw(image)
        for ink, group in ((255, shapes), (0, holes)):
            for shape in group:
                draw.polygon(
                    [
                        (((x + 1) / 2 * SIZE - left) * FINER, ((y + 1) / 2 * SIZE - top) * FINER)
                        for x, y in shape
                    ],
                    fill=ink,
                )
        cover: Array = np.asarray(image.reduce(FINER), np.float32) / np.float32(255)
        if within is not None:
            cover = self._meet(Mask(top, left, cover), within)
        return Mask(top, left, cover)

    def over(
        self,
        mask: Mask,
        level: float,
        swell: float = 0.0,
        soft: float = 0.1,
        within: Mask | None = None,
    ) -> None:
        """Lay a shape on top: its edge at ``level``, its middle ``swell`` higher.

        ``soft`` is how far in from the edge it keeps rising, in the plate's units. Only the
        part ``within`` another mask is laid, if one is given.
        """
        part = self._under(mask)
        raised = np.full_like(part, level)
        if swell:
            raised += swell * dome(mask.cover, soft * SIZE / 2)
        cover = mask.cover if within is None else self._meet(mask, within)
        part += cover * (raised - part)

    def add(self, mask: Mask, swell: float, soft: float = 0.02) -> None:
        """Swell what is there by ``swell`` (a groove when negative), softly from the edge."""
        part = self._under(mask)
        part += swell * dome(mask.cover, soft * SIZE / 2)

    def bulge(self, cx: float, cy: float, rx: float, ry: float, rise: float) -> None:
        """A round swelling without an edge (a hollow when ``rise`` is negative)."""
        top, bottom = max(self._pixel(cy - ry), 0), min(self._pixel(cy + ry) + 1, SIZE)
        left, right = max(self._pixel(cx - rx), 0), min(self._pixel(cx + rx) + 1, SIZE)
        along = (np.arange(SIZE, dtype=np.float32) + 0.5) / SIZE * 2 - 1
        away = ((along[left:right] - cx) / rx) ** 2 + ((along[top:bottom, None] - cy) / ry) ** 2
        self.height[top:bottom, left:right] += rise * np.clip(1 - away, 0, 1) ** 2

    def shrink(self, scale: float, dx: float = 0.0, dy: float = 0.0) -> None:
        """Scale the whole model about the middle, then move it."""
        turned = Image.fromarray(self.height).transform(
            (SIZE, SIZE),
            Image.Transform.AFFINE,
            (
                1 / scale,
                0,
                (SIZE / 2) * (1 - (1 + dx) / scale),
                0,
                1 / scale,
                (SIZE / 2) * (1 - (1 + dy) / scale),
            ),
            Image.Resampling.BICUBIC,
        )
        self.height = np.array(turned)

    @staticmethod
    def _meet(mask: Mask, other: Mask) -> Array:
        """The cover of one mask times that of another, on the first one's pixels."""
        whole = np.zeros((SIZE, SIZE), np.float32)
        h, w = other.cover.shape
        whole[other.top : other.top + h, other.left : other.left + w] = other.cover
        h, w = mask.cover.shape
        return mask.cover * whole[mask.top : mask.top + h, mask.left : mask.left + w]

    def _under(self, mask: Mask) -> Array:
        h, w = mask.cover.shape
        return self.height[mask.top : mask.top + h, mask.left : mask.left + w]

    @staticmethod
    def _pixel(value: float) -> int:
        return math.floor((value + 1) / 2 * SIZE)
