"""Motifs that stand for something: a compass star, and the arms of Halvern.

Made as :mod:`catalogue.demo.struck.harbour` describes. Inventions of our own.

>>> MOTIFS["arms"].kind
'figure'
"""

from __future__ import annotations

import math

from catalogue.demo.struck.clay import (
    MOTIFS,
    Clay,
    box,
    curve,
    ellipse,
    mirrored,
    motif,
    moved,
    stroke,
)

__all__ = ["MOTIFS"]


@motif("star")
def compass_star(plate: Clay) -> None:
    """A compass star of sixteen points, each cut to a ridge, on a ring of degrees."""
    plate.over(plate.mask(ellipse(0, 0, 0.78, 0.78), holes=[ellipse(0, 0, 0.74, 0.74)]),
               0.3, 0.15, 0.02)
    plate.over(plate.mask(ellipse(0, 0, 0.63, 0.63), holes=[ellipse(0, 0, 0.61, 0.61)]),
               0.25, 0.1, 0.01)
    ticks = []
    for k in range(64):
        a = math.pi * 2 * k / 64
        inner = 0.66 if k % 4 else 0.63
        ticks += stroke([(inner * math.cos(a), inner * math.sin(a)),
                         (0.72 * math.cos(a), 0.72 * math.sin(a))], 0.012)
    plate.add(plate.mask(*ticks), 0.2, 0.01)
    for turns, long, waist, level in (
        ((22.5, 67.5, 112.5, 157.5, 202.5, 247.5, 292.5, 337.5), 0.6, 0.13, 0.1),
        ((45, 135, 225, 315), 0.74, 0.19, 0.2),
        ((0, 90, 180, 270), 0.97, 0.22, 0.34),
    ):
        for turn in turns:
            shoulder = waist * math.tan(math.radians(22.5))
            for side, drop in ((-1, 0.0), (1, -0.26)):
                half = [(0.0, 0.0), (side * shoulder * 1.9, -waist * 0.9), (0.0, -long)]
                plate.over(plate.mask(moved(half, 0, 0, 1, turn)), level + 0.42 + drop, 0.18, 0.08)
    plate.over(plate.mask(ellipse(0, 0, 0.1, 0.1)), 0.6, 0.4, 0.1)
    plate.add(plate.mask(ellipse(0, 0, 0.045, 0.045)), -0.3, 0.02)


@motif("arms")
def arms(plate: Clay) -> None:
    """The arms of Halvern: a tower over three waves, under a crown of coral."""
    shield = curve([(-0.58, -0.4), (0, -0.44), (0.58, -0.4)], closed=False, steps=8)
    shield += curve([(0.58, -0.4), (0.6, 0.1), (0.42, 0.58), (0, 0.9)], closed=False, steps=8)
    shield += mirrored(reversed(shield[8:]))
    plate.over(plate.mask(shield), 0.62, 0.2, 0.05)
    inner = moved([(x, y - 0.1) for x, y in shield], 0, 0.1, 0.88)
    plate.over(plate.mask(inner), 0.18)
    ground = plate.mask(inner)
    tower = [(-0.17, 0.27), (-0.14, -0.08), (0.14, -0.08), (0.17, 0.27)]
    plate.over(plate.mask(tower), 0.4, 0.4, 0.14)
    teeth = [box(x - 0.045, -0.25, x + 0.045, -0.13) for x in (-0.155, 0, 0.155)]
    plate.over(plate.mask(box(-0.2, -0.16, 0.2, -0.06), *teeth), 0.6, 0.25, 0.05)
    plate.add(plate.mask(box(-0.05, 0.12, 0.05, 0.27), ellipse(0, 0.12, 0.05, 0.05)), -0.45, 0.015)
    plate.add(plate.mask(box(-0.1, 0.0, -0.07, 0.07), box(0.07, 0.0, 0.1, 0.07)), -0.3, 0.012)
    for row, y in enumerate((0.34, 0.49, 0.64)):
        line = [(t / 40, y + 0.03 * math.sin(t / 40 * 15 + row * 3.14)) for t in range(-26, 27)]
        plate.over(plate.mask(*stroke(line, 0.075), within=ground), 0.48, 0.3, 0.035)
    band = curve([(-0.46, -0.5), (0, -0.55), (0.46, -0.5), (0.46, -0.58), (0, -0.63),
                  (-0.46, -0.58)], steps=8)
    for x, high in ((-0.4, 0.2), (-0.2, 0.27), (0.0, 0.32), (0.2, 0.27), (0.4, 0.2)):
        y = -0.57 - 0.04 * (1 - abs(x) / 0.4)
        branch = stroke([(x, y), (x * 1.1, y - high)], 0.06, 0.045)
        branch += stroke([(x, y - high * 0.45), (x * 1.1 - 0.07, y - high * 0.85)], 0.045, 0.035)
        branch += stroke([(x, y - high * 0.35), (x * 1.1 + 0.07, y - high * 0.75)], 0.045, 0.035)
        tips = [ellipse(x * 1.1, y - high, 0.038, 0.038),
                ellipse(x * 1.1 - 0.07, y - high * 0.85, 0.03, 0.03),
                ellipse(x * 1.1 + 0.07, y - high * 0.75, 0.03, 0.03)]
        plate.over(plate.mask(*branch, *tips), 0.4, 0.4, 0.04)
    plate.over(plate.mask(band), 0.55, 0.3, 0.05)
    plate.add(plate.mask(*(ellipse(x, -0.545 - 0.045 * (1 - abs(x) / 0.4), 0.022, 0.022)
                           for x in (-0.3, -0.15, 0, 0.15, 0.3))), 0.25, 0.02)
