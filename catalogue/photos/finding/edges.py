"""The edge of a coin, ray by ray from its middle.

What is computed: for each ray how far out the edge is, to a part of a pixel: the outermost sharp
step of colour. A soft step to something darker is a shadow and not the edge. Units: pixels, levels
from 0 to 255. Source: none; the numbers were chosen on made scans and on the public photograph of
coins in scikit-image.

>>> picture = np.full((120, 120, 3), 240, np.uint8)
>>> _ = cv2.circle(picture, (60, 60), 40, (90, 110, 120), -1, cv2.LINE_AA)
>>> off = np.abs(picture.astype(np.float32) - 240).max(axis=2)
>>> far = edge_by_rays(picture, off, 60, 60, 39, spread=1)
>>> bool(abs(np.nanmedian(far) - 40.5) < 0.2)
True
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from catalogue.photos.finding.ground import Levels, Pixels

RAYS = 720
TURN: NDArray[np.float64] = np.arange(RAYS) / RAYS * 2 * np.pi
_LARGE = 60  # px of radius from which shadows are told from edges
_NEAR, _FAR = 0.85, 1.15  # of the radius: where the edge is looked for
_OVERLAP = 5  # rays that are smoothed together


def edge_by_rays(
    pixels: Pixels, off: Levels, x: float, y: float, radius: float, spread: float
) -> NDArray[np.float64]:
    """How far out the edge is on each ray of ``TURN``; nan where none is seen.

    ``off`` is how far each pixel is from the ground, ``spread`` the noise of that.
    """
    large = radius > _LARGE
    step = 0.5 if large else 0.2
    out = np.arange(_NEAR * radius, _FAR * radius + 4, step)
    xs = (x + np.outer(np.cos(TURN), out)).astype(np.float32)
    ys = (y + np.outer(np.sin(TURN), out)).astype(np.float32)
    colours = _smooth(_sampled(pixels, xs, ys), 0.7 / step)
    sharp = _steepness(colours, step)
    allowed = sharp > max(1.5, 1.2 * spread)
    if large:
        blurred = cv2.GaussianBlur(colours, (0, 0), sigmaX=3 / step, sigmaY=0.01)
        soft = _steepness(np.asarray(blurred, np.float32), step)
        allowed &= _brighter(colours, max(1, round(2 / step))) | (sharp > 1.7 * soft)
    last = _last_off(_sampled(off, xs, ys), max(8.0, 5 * spread))
    height, width = off.shape
    inside = (xs >= 0) & (xs < width - 1) & (ys >= 0) & (ys < height - 1)
    rows = np.arange(RAYS)
    ends = inside[rows, np.minimum(last + 1, len(out) - 1)] & (last >= 0)
    last = np.where(ends, last, -1)
    wide = round(max(4.0, min(14.0, 0.07 * radius)) / step)
    found = _outermost(sharp, allowed, last, wide, round(3 / step), 0.15 if large else 0.45)
    return np.where(found < 0, np.nan, out[0] + found * step)


def _sampled(picture: Pixels | Levels, xs: Levels, ys: Levels) -> Levels:
    taken = cv2.remap(picture, xs, ys, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(taken, np.float32)


def _smooth(colours: Levels, along: float) -> Levels:
    """Along the rays, and across neighbouring ones, the last of which is beside the first."""
    around = np.concatenate([colours[-_OVERLAP:], colours, colours[:_OVERLAP]])
    smooth = cv2.GaussianBlur(around, (0, 0), sigmaX=along, sigmaY=1.2)
    return np.asarray(smooth[_OVERLAP:-_OVERLAP], np.float32)


def _steepness(colours: NDArray[np.float32], step: float) -> Levels:
    return np.asarray(np.linalg.norm(np.gradient(colours, step, axis=1), axis=2), np.float32)


def _brighter(colours: Levels, two: int) -> NDArray[np.bool_]:
    """Where it is brighter two pixels inward than two pixels outward."""
    light = colours.mean(axis=2)
    padded = np.pad(light, ((0, 0), (two, two)), mode="edge")
    return np.asarray(padded[:, : -2 * two] > padded[:, 2 * two :] + 2)


def _last_off(off: Levels, least: float) -> NDArray[np.intp]:
    """The outermost place of each ray that is not ground; -1 where it runs on, or is nowhere."""
    above = off > least
    last = above.shape[1] - 1 - np.argmax(above[:, ::-1], axis=1)
    return np.where(above.any(axis=1) & ~above[:, -3:].any(axis=1), last, -1)


def _outermost(
    sharp: Levels,
    allowed: NDArray[np.bool_],
    last: NDArray[np.intp],
    inward: int,
    outward: int,
    share: float,
) -> NDArray[np.float64]:
    """Of the peaks near ``last`` the outermost that is not far below the highest; -1 for none."""
    places = np.arange(sharp.shape[1])
    window = (places >= np.maximum(1, last - inward)[:, None]) & (
        places < np.minimum(sharp.shape[1] - 2, last + outward)[:, None]
    )
    window &= (last >= 0)[:, None]
    peak = np.zeros_like(window)
    peak[:, 1:-1] = (sharp[:, 1:-1] >= sharp[:, :-2]) & (sharp[:, 1:-1] > sharp[:, 2:])
    peak &= window
    top = np.where(peak, sharp, 0).max(axis=1)
    good = peak & allowed & (sharp >= share * top[:, None])
    at = good.shape[1] - 1 - np.argmax(good[:, ::-1], axis=1)
    rows = np.arange(len(at))
    at = np.clip(at, 1, sharp.shape[1] - 2)
    before, here, after = (sharp[rows, at + k].astype(np.float64) for k in (-1, 0, 1))
    bend = before - 2 * here + after
    shift = np.where(bend == 0, 0, 0.5 * (before - after) / np.where(bend == 0, 1, bend))
    return np.where(good.any(axis=1), at + shift, -1.0)
