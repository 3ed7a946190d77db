"""The ground that coins lie on, and what is not ground.

What is computed: the colour of the ground everywhere, as a surface of the second degree in the
place, fitted to what lies near the margins and then to all that is like it, so that a light that
falls off does no harm; and how far each pixel is from it. Units: pixels, levels from 0 to 255.
Source: least squares with outliers left out, a textbook method; the numbers were chosen on made
scans and on the public photograph of coins in scikit-image.

>>> flat = np.full((60, 80, 3), 200, np.uint8)
>>> flat[20:40, 30:50] = 90
>>> ground = ground_of(flat)
>>> off = ground.difference(flat)
>>> float(off[5, 5]) < 1, round(float(off[30, 40]))
(True, 110)
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

Pixels = NDArray[np.uint8]
Levels = NDArray[np.float32]

_LOOKED_AT = 200  # px of the longest side
_MARGIN = 0.03  # of the longest side
_ROUNDS = 12
_LEAST = 60  # pixels of ground without which the last fit stands


@dataclass(frozen=True)
class Ground:
    """``surface``: six terms for each colour; ``spread``: the standard deviation of its noise."""

    surface: NDArray[np.float64]
    spread: float
    width: int
    height: int

    def difference(self, pixels: Pixels, left: int = 0, top: int = 0) -> Levels:
        """How far each pixel is from the ground, in the colour that differs most.

        ``pixels`` may be a part of the whole, which begins at ``left`` and ``top``; the whole may
        have another size than the ground was read at.
        """
        height, width = pixels.shape[:2]
        terms = _terms(width, height, left, top, self.width, self.height)
        under = (terms @ self.surface).astype(np.float32)
        off: Levels = np.abs(pixels.astype(np.float32) - under).max(axis=2)
        return off

    def of_size(self, width: int, height: int) -> Ground:
        """The same ground under a picture that was made smaller or larger."""
        return Ground(self.surface, self.spread, width, height)


def ground_of(pixels: Pixels) -> Ground:
    """The ground of a picture in which most of the margin is ground."""
    height, width = pixels.shape[:2]
    smaller = min(1.0, _LOOKED_AT / max(height, width))
    size = max(8, round(width * smaller)), max(8, round(height * smaller))
    small = cv2.resize(pixels, size, interpolation=cv2.INTER_AREA).astype(np.float64)
    terms = _terms(size[0], size[1], 0, 0, *size).reshape(-1, 6)
    levels = small.reshape(-1, 3)
    taken = _margin(size[0], size[1])
    surface: NDArray[np.float64] = np.zeros((6, 3))
    spread = 1.0
    for _round in range(_ROUNDS):
        surface = np.asarray(np.linalg.lstsq(terms[taken], levels[taken], rcond=None)[0])
        off = np.abs(levels - terms @ surface).max(axis=1)
        spread = 1.4826 * float(np.median(off[taken])) + 0.7
        like = off < 3 * spread
        if like.sum() < _LEAST or bool((like == taken).all()):
            break
        taken = like
    return Ground(surface, spread, width, height)


def _margin(width: int, height: int) -> NDArray[np.bool_]:
    deep = max(2, round(_MARGIN * max(width, height)))
    margin = np.ones((height, width), bool)
    margin[deep:-deep, deep:-deep] = False
    return margin.reshape(-1)


def _terms(
    width: int, height: int, left: int, top: int, whole_width: int, whole_height: int
) -> NDArray[np.float64]:
    y, x = np.mgrid[top : top + height, left : left + width].astype(np.float64)
    x = x / max(1, whole_width - 1) * 2 - 1
    y = y / max(1, whole_height - 1) * 2 - 1
    return np.stack([np.ones_like(x), x, y, x * x, x * y, y * y], axis=-1)
