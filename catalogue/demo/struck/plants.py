"""Motifs of plants, and of coral: a spray of it, ears of barley, and wreaths of both.

Made as :mod:`catalogue.demo.struck.harbour` describes. Inventions of our own.

>>> sorted(name for name in MOTIFS if MOTIFS[name].kind == "wreath")
['barley wreath', 'coral wreath']
"""

from __future__ import annotations

import math
import random

from catalogue.demo.struck.clay import (
    BASE,
    MOTIFS,
    Clay,
    Points,
    box,
    curve,
    ellipse,
    mirrored,
    motif,
    moved,
    stroke,
)

__all__ = ["MOTIFS"]


@motif("coral wreath", "wreath")
def coral_wreath(plate: Clay) -> None:
    """Two sprays of coral bound at the foot, as the old kings of Halvern wore them."""
    dice = random.Random(1873)
    back: list[Points] = []
    front: list[Points] = []
    radius = 0.79
    for k in range(13):
        a = math.radians(82 - k * 12.2)
        x, y = radius * math.cos(a), radius * math.sin(a)
        for side in (-1, 1):
            lean = a - side * math.radians(dice.uniform(42, 58)) if side > 0 else a + math.radians(
                180 + dice.uniform(42, 58))
            long = dice.uniform(0.15, 0.19) * (1 - k * 0.02)
            tip = (x + long * math.cos(lean), y + long * math.sin(lean))
            mid = (x + 0.55 * long * math.cos(lean), y + 0.55 * long * math.sin(lean))
            back += stroke([(x, y), tip], 0.062, 0.042)
            back.append(ellipse(*tip, 0.037, 0.037))
            for fork in (-50, 45):
                turned = lean + math.radians(fork)
                end = (mid[0] + 0.4 * long * math.cos(turned),
                       mid[1] + 0.4 * long * math.sin(turned))
                front += stroke([mid, end], 0.04, 0.032)
                front.append(ellipse(*end, 0.028, 0.028))
    stem = [(radius * math.cos(a), radius * math.sin(a))
            for a in (math.radians(100 - t * 3) for t in range(54))]
    for parts, level in ((back, 0.3), (front, 0.42), (stroke(stem, 0.085, 0.05), 0.45)):
        both = [*parts, *(mirrored(part) for part in parts)]
        plate.over(plate.mask(*both), level, 0.4, 0.035)
    knots = box(-0.06, 0.7, 0.06, 0.88)
    plate.over(plate.mask(knots), 0.6, 0.3, 0.05)
    for side in (-1, 1):
        loop = curve([(0, 0.8), (side * 0.16, 0.68), (side * 0.22, 0.76), (side * 0.14, 0.84)],
                     steps=6)
        plate.over(plate.mask(loop), 0.55, 0.3, 0.05)
    plate.over(plate.mask(ellipse(0, 0.79, 0.06, 0.06)), 0.7, 0.3, 0.05)


def ear(plate: Clay, line: Points, size: float) -> None:
    """An ear of barley along a line from its stalk to its top, with long awns."""
    grains: list[Points] = []
    awns: list[Points] = []
    start = len(line) // 3
    count = 10
    for k in range(count):
        at = start + round(k * (len(line) - 2 - start) / count)
        (x, y), (nx, ny) = line[at], line[at + 1]
        along = math.atan2(ny - y, nx - x)
        for side in (-1, 1):
            lean = along + side * 0.5
            gx, gy = x + size * 0.55 * math.cos(lean), y + size * 0.55 * math.sin(lean)
            grain = curve([(-size * 0.62, 0), (-size * 0.1, -size * 0.27), (size * 0.62, 0),
                           (-size * 0.1, size * 0.27)], steps=6)
            grains.append(moved(grain, gx, gy, 1, math.degrees(along + side * 0.34)))
            tip = along + side * 0.3
            long = size * (2.9 - 0.12 * k)
            awns += stroke(curve([(gx, gy), (gx + 0.5 * long * math.cos(tip),
                                             gy + 0.5 * long * math.sin(tip)),
                                  (gx + long * math.cos(along + side * 0.2),
                                   gy + long * math.sin(along + side * 0.2))],
                                 closed=False, steps=4), 0.016, 0.008)
    x, y = line[-1]
    along = math.atan2(y - line[-2][1], x - line[-2][0])
    plate.add(plate.mask(*awns), 0.34, 0.012)
    plate.over(plate.mask(*stroke(line, 0.045, 0.03)), 0.3, 0.3, 0.025)
    for grain in grains:
        plate.over(plate.mask(grain), 0.34, 0.5, size * 0.25)
    top = curve([(-size * 0.6, 0), (0, -size * 0.26), (size * 0.6, 0), (0, size * 0.26)], steps=6)
    plate.over(plate.mask(moved(top, x, y, 1, math.degrees(along))), 0.4, 0.5, size * 0.25)


@motif("barley", "standing")
def barley(plate: Clay) -> None:
    """Three ears of barley bound with a band, two leaning."""
    for side in (-1, 1):
        leaf = curve([(side * 0.04, 0.42), (side * 0.3, 0.22), (side * 0.62, 0.24),
                      (side * 0.78, 0.4), (side * 0.52, 0.32), (side * 0.24, 0.36)], steps=7)
        plate.over(plate.mask(leaf), 0.22, 0.3, 0.06)
        rib = curve([(side * 0.06, 0.42), (side * 0.3, 0.29), (side * 0.6, 0.28)], closed=False)
        plate.add(plate.mask(*stroke(rib, 0.016)), -0.15, 0.012)
        ear(plate, curve([(side * 0.05, BASE), (side * 0.1, 0.3), (side * 0.3, -0.1),
                          (side * 0.58, -0.42)], closed=False, steps=14), 0.125)
    ear(plate, curve([(0, BASE), (0, 0.25), (0, -0.2), (0, -0.6)], closed=False, steps=14), 0.135)
    plate.over(plate.mask(box(-0.13, 0.36, 0.13, 0.46)), 0.6, 0.25, 0.04)
    plate.add(plate.mask(box(-0.12, 0.4, 0.12, 0.414)), -0.2, 0.01)


@motif("barley wreath", "wreath")
def barley_wreath(plate: Clay) -> None:
    """Two ears of barley curving up on either side."""
    for side in (-1, 1):
        arc = [(side * 0.8 * math.sin(math.radians(a)), 0.8 * math.cos(math.radians(a)))
               for a in range(-6, 128, 3)]
        for at in (6, 12):
            x, y = arc[at]
            tip = arc[at + 9]
            leaf = curve([(x, y), ((x + tip[0]) / 2 - side * 0.16, (y + tip[1]) / 2 - 0.12),
                          (tip[0] - side * 0.17, tip[1] - 0.1),
                          ((x + tip[0]) / 2 - side * 0.06, (y + tip[1]) / 2 - 0.04)], steps=6)
            if at == 6:
                plate.over(plate.mask(leaf), 0.25, 0.3, 0.05)
        ear(plate, arc, 0.115)
    plate.over(plate.mask(ellipse(0, 0.8, 0.075, 0.06)), 0.6, 0.3, 0.05)
