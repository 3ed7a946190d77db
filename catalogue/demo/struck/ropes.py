"""Rope for motifs: laid along a line of points, the strands cut across it; and a knot of it.

>>> at, cut = strands([(0.0, 0.0), (0.1, 0.0), (0.2, 0.0)], width=0.2)[0]
>>> at, len(cut) > 0
(1, True)
>>> MOTIFS["knot"].kind
'figure'
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np

from catalogue.demo.struck.clay import MOTIFS, Clay, Points, motif, stroke

__all__ = ["MOTIFS"]


def rope(plate: Clay, line: Points, width: float, level: float,
         covered: list[bool] | None = None) -> None:
    """A laid rope along evenly spaced points, not shown where it is covered."""
    shown = [k for k in range(len(line)) if not (covered and covered[k])]
    runs: list[list[int]] = []
    for k in shown:
        if runs and runs[-1][-1] == k - 1:
            runs[-1].append(k)
        else:
            runs.append([k])
    for run in runs:
        part = [line[k] for k in run]
        plate.over(plate.mask(*stroke(part, width)), level, 0.35, width / 2)
        cuts = [shape for _, cut in strands(part, width) for shape in cut]
        if cuts:
            plate.add(plate.mask(*cuts), -0.28, 0.014)


def strands(line: Points, width: float) -> list[tuple[int, list[Points]]]:
    """Slanting cuts across a rope, one about every 0.6 of its width, and at which point each."""
    cuts: list[tuple[int, list[Points]]] = []
    walked = 0.0
    for k, ((ax, ay), (bx, by)) in enumerate(pairwise(line)):
        step = math.hypot(bx - ax, by - ay)
        walked += step
        if walked < 0.6 * width or step == 0:
            continue
        walked = 0.0
        tx, ty = (bx - ax) / step * width * 0.36, (by - ay) / step * width * 0.36
        nx, ny = ty * 1.45, -tx * 1.45
        cut = stroke([(bx - tx + nx, by - ty + ny), (bx + tx - nx, by + ty - ny)], 0.02)
        cuts.append((k, cut))
    return cuts


@motif("knot")
def knot(plate: Clay) -> None:
    """A seaman's turk's head: one endless rope, over and under itself by turns."""
    count = 960
    at = np.linspace(0, 6 * math.pi, count, endpoint=False)
    radius = 0.6 + 0.29 * np.cos(at * 4 / 3)  # four bights met on three turns about the middle
    line = [(float(r * math.cos(a)), float(r * math.sin(a)))
            for r, a in zip(radius, at, strict=True)]
    width = 0.16
    ring = plate.mask(*stroke([*line, line[0]], width))
    cuts = strands([*line, *line[:20]], width)
    plate.over(ring, 0.3, 0.4, width / 2)
    plate.add(plate.mask(*(shape for _, cut in cuts for shape in cut)), -0.28, 0.014)
    above = np.sin(at * 8 / 3) > 0
    for start in (k for k in range(count) if above[k] and not above[k - 1]):
        longer = [line[(start + k) % count] for k in range(-20, count // 8 + 20)]
        run = longer[20:-20]
        middle = run[len(run) // 4 : -len(run) // 4]
        plate.over(plate.mask(*stroke(middle, width * 1.34)), 0.05)
        here = plate.mask(*stroke(run, width, ends=False))
        plate.over(plate.mask(*stroke(longer, width)), 0.3, 0.4, width / 2, within=here)
        own = [shape for k, cut in cuts for shape in cut
               if (k - start + 20) % count < len(longer)]
        plate.add(plate.mask(*own, within=here), -0.28, 0.014)
