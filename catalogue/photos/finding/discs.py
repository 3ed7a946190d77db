"""Where coins lie: one disc a coin, also where two touch.

What is computed: from how far each pixel is from the ground, the discs that fit into what is not
ground, the largest first, none within another. A line of dust or a scratch holds no disc. Units:
pixels of the picture that was given. Source: the distance transform, as the library OpenCV computes
it; the numbers were chosen on made scans and on the public photograph of coins in scikit-image.

>>> off = np.zeros((90, 160), np.float32)
>>> _ = cv2.circle(off, (40, 45), 25, 100, -1), cv2.circle(off, (91, 45), 25, 100, -1)
>>> [(round(d.x), round(d.y)) for d in discs(off, spread=2)]
[(40, 45), (91, 45)]
"""

from __future__ import annotations

import math
from typing import NamedTuple

import cv2
import numpy as np
from numpy.typing import NDArray

from catalogue.photos.finding.ground import Levels

SMALLEST = 0.012
"""The least radius of a coin, of the longest side of the picture."""
_SURELY, _MAYBE = 6.0, 3.0  # times the noise of the ground
_HAIR = 0.006  # of the longest side: what is closed, and what is too thin to be a coin
_APART = 0.9  # of the two radii


class Disc(NamedTuple):
    x: float
    y: float
    radius: float


def discs(off: Levels, spread: float) -> list[Disc]:
    """A disc for each coin, the largest first."""
    mask = _filled(np.asarray(cv2.GaussianBlur(off, (0, 0), 1), np.float32), spread)
    longest = max(mask.shape)
    depth = cv2.distanceTransform(mask, cv2.DIST_L2, 5)
    least = max(3.0, SMALLEST * longest)
    near = max(3, round(least / 2)) | 1
    highest = cv2.dilate(depth, np.ones((near, near), np.uint8))
    ys, xs = np.nonzero((depth >= highest) & (depth >= least))
    found: list[Disc] = []
    for at in np.argsort(-depth[ys, xs], kind="stable"):
        disc = Disc(float(xs[at]), float(ys[at]), float(depth[ys[at], xs[at]]))
        if all(
            math.hypot(disc.x - other.x, disc.y - other.y) > _APART * (disc.radius + other.radius)
            for other in found
        ):
            found.append(disc)
    return found


def _filled(off: Levels, spread: float) -> NDArray[np.uint8]:
    """What is not ground, without holes, scratches and dust."""
    maybe = (off > _MAYBE * spread).astype(np.uint8)
    count, parts = cv2.connectedComponents(maybe)
    kept = np.zeros(count, bool)
    kept[np.unique(parts[off > _SURELY * spread])] = True
    kept[0] = False
    hair = max(3, round(_HAIR * max(off.shape))) | 1
    brush = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (hair, hair))
    mask = cv2.morphologyEx(kept[parts].astype(np.uint8), cv2.MORPH_CLOSE, brush)
    outer, _tree = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    filled: NDArray[np.uint8] = np.zeros_like(mask)
    cv2.drawContours(filled, outer, -1, 1, -1)
    opened = cv2.morphologyEx(filled, cv2.MORPH_OPEN, brush)
    return np.asarray(opened, np.uint8)
