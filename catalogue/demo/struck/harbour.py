"""Motifs of the harbour: lighthouse, net, anchor, tide table, ship, chain, waves.

To add a motif, write one function that models a plate and decorate it with its name::

    @motif("buoy", "standing")
    def buoy(plate: Clay) -> None:
        plate.over(plate.mask(ellipse(0, 0.2, 0.3, 0.4)), level=0.3, swell=0.5, soft=0.3)

Keep inside the circle of radius 1; a standing motif rests on y = BASE. Build from back to
front: big shapes with :meth:`Clay.over`, then detail with :meth:`Clay.add`. No detail finer
than about 0.02 survives at the size of a page. All motifs are inventions of our own.

>>> sorted(name for name in MOTIFS if MOTIFS[name].kind == "ground")
['net', 'waves']
"""

from __future__ import annotations

import math

from catalogue.demo.struck.clay import (
    BASE,
    MOTIFS,
    Clay,
    Point,
    Points,
    box,
    curve,
    ellipse,
    mirrored,
    motif,
    moved,
    stroke,
)
from catalogue.demo.struck.ropes import rope

__all__ = ["MOTIFS"]


def sea(plate: Clay, top: float, rows: int = 3, half: float = 0.9, level: float = 0.12) -> None:
    """Rows of waves from ``top`` down to the base, as thin crests."""
    gap = (BASE - 0.03 - top) / max(rows - 1, 1)
    for row in range(rows):
        y = top + gap * row
        reach = min(half, math.sqrt(max(0.0, 0.95 - y * y)))
        lines = []
        start = -reach + (0.06 if row % 2 else 0)
        x = start
        while x + 0.2 <= reach:
            crest = [(x, y + 0.02), (x + 0.06, y - 0.012), (x + 0.12, y - 0.02),
                     (x + 0.16, y + 0.012), (x + 0.2, y + 0.02)]
            lines += stroke(curve(crest, closed=False, steps=4), 0.012, 0.03, 0.012)
            x += 0.215
        plate.add(plate.mask(*lines), level, 0.02)


@motif("lighthouse", "standing")
def lighthouse(plate: Clay) -> None:
    """A banded lighthouse on a rock in the sea, its light showing to both sides."""
    for side in (-1, 1):
        for low, high in ((-0.02, 0.055), (-0.16, -0.115), (0.13, 0.165)):
            far = {-0.02: 0.72, -0.16: 0.44, 0.13: 0.57}[low]
            beam = [(side * 0.1, -0.655 + low * 0.3), (side * far, -0.655 + low * 1.5),
                    (side * far, -0.655 + high * 1.5), (side * 0.1, -0.655 + high * 0.3)]
            plate.add(plate.mask(beam), 0.2, 0.03)
    sea(plate, 0.4, rows=3)
    rock = curve([(-0.66, BASE), (-0.6, 0.47), (-0.46, 0.4), (-0.4, 0.28), (-0.24, 0.26),
                  (-0.15, 0.17), (0.12, 0.17), (0.26, 0.25), (0.36, 0.24), (0.47, 0.38),
                  (0.62, 0.45), (0.69, BASE)], closed=False, steps=5)
    plate.over(plate.mask(rock), 0.22, 0.25, 0.22)
    for facet, rise in (
        ([(-0.46, 0.42), (-0.36, 0.3), (-0.2, 0.34), (-0.3, 0.6), (-0.5, 0.6)], 0.16),
        ([(-0.18, 0.3), (0.02, 0.26), (0.08, 0.6), (-0.22, 0.6)], 0.2),
        ([(0.1, 0.28), (0.27, 0.3), (0.34, 0.58), (0.14, 0.6)], 0.1),
        ([(0.33, 0.33), (0.45, 0.42), (0.56, 0.6), (0.4, 0.6)], 0.17),
        ([(-0.6, 0.5), (-0.53, 0.47), (-0.52, 0.6), (-0.63, 0.6)], 0.14),
    ):
        plate.add(plate.mask(facet), rise, 0.07)
    tower = [(-0.185, 0.24), (-0.115, -0.5), (0.115, -0.5), (0.185, 0.24)]
    plate.over(plate.mask(tower), 0.36, 0.5, 0.17)
    for top in (-0.36, -0.08, 0.16):
        half, low = 0.13 + (top + 0.5) * 0.095, 0.13 + (top + 0.63) * 0.095
        band = [(-half, top), (half, top), (low, top + 0.12), (-low, top + 0.12)]
        plate.add(plate.mask(band), 0.09, 0.012)
    for y in (-0.19, 0.075):
        plate.add(plate.mask(box(-0.025, y, 0.025, y + 0.06)), -0.3, 0.012)
    plate.over(plate.mask(box(-0.21, -0.56, 0.21, -0.5)), 0.6, 0.3, 0.05)
    rail = [box(-0.2, -0.6, 0.2, -0.585)]
    rail += [box(x / 20 - 0.008, -0.6, x / 20 + 0.008, -0.55) for x in range(-4, 5)]
    plate.add(plate.mask(*rail), 0.3, 0.01)
    plate.over(plate.mask(box(-0.095, -0.75, 0.095, -0.56)), 0.3, 0.4, 0.09)
    plate.add(plate.mask(*(box(x - 0.008, -0.74, x + 0.008, -0.57) for x in (-0.06, 0, 0.06))),
              0.22, 0.01)
    plate.over(plate.mask(curve([(-0.14, -0.745), (-0.1, -0.81), (0, -0.865), (0.1, -0.81),
                                 (0.14, -0.745), (0, -0.735)], steps=6)), 0.5, 0.4, 0.1)
    plate.over(plate.mask(ellipse(0, -0.89, 0.028, 0.028)), 0.6, 0.3, 0.03)


@motif("net", "ground")
def net(plate: Clay) -> None:
    """A fishing net hung across the whole field, knotted, sagging a little."""

    def hung(u: float, v: float) -> Point:
        return u + 0.03 * math.sin(3 * v), v + 0.07 * math.cos(1.6 * u) - 0.03

    field = plate.mask(ellipse(0, 0, 0.97, 0.97))
    gap = 0.2
    cords: list[Points] = []
    knots: list[Points] = []
    for k in range(-12, 13):
        for lean in (-1, 1):
            line = [hung(k * gap + lean * t / 20, t / 20) for t in range(-24, 25)]
            cords += stroke(line, 0.03)
    for i in range(-12, 13):
        for j in range(-12, 13):
            x, y = hung((i + j) * gap / 2, (i - j) * gap / 2)
            if math.hypot(x, y) < 1.05:
                knots.append(ellipse(x, y, 0.036, 0.036))
    plate.add(plate.mask(*cords, within=field), 0.5, 0.022)
    plate.over(plate.mask(*knots, within=field), 0.45, 0.4, 0.04)


@motif("waves", "ground")
def waves(plate: Clay) -> None:
    """Long swells over the whole field."""
    field = plate.mask(ellipse(0, 0, 0.97, 0.97))
    lines: list[Points] = []
    for row in range(-7, 8):
        y = row * 0.14
        line = [(t / 30, y + 0.04 * math.sin(t / 30 * 9 + row * 1.57)) for t in range(-30, 31)]
        lines += stroke(line, 0.045)
    plate.add(plate.mask(*lines, within=field), 0.6, 0.04)


@motif("anchor")
def anchor(plate: Clay) -> None:
    """An anchor with a cable wound about its shank."""
    ring = plate.mask(ellipse(0, -0.74, 0.15, 0.15), holes=[ellipse(0, -0.74, 0.095, 0.095)])
    plate.over(ring, 0.35, 0.4, 0.035)
    stock = [(-0.5, -0.5), (-0.47, -0.55), (0, -0.535), (0.47, -0.55), (0.5, -0.5),
             (0.47, -0.45), (0, -0.435), (-0.47, -0.45)]
    plate.over(plate.mask(stock), 0.4, 0.4, 0.06)
    for x in (-0.49, 0.49):
        plate.over(plate.mask(ellipse(x, -0.5, 0.06, 0.06)), 0.5, 0.35, 0.06)
    shank = [(-0.06, -0.62), (0.06, -0.62), (0.085, 0.72), (-0.085, 0.72)]
    arms = [(-0.1, 0.86), (0, 0.93), (0.1, 0.86)]
    left = curve([(-0.62, 0.3), (-0.52, 0.55), (-0.3, 0.72), (0, 0.78), (0, 0.93),
                  (-0.33, 0.86), (-0.6, 0.63)], steps=8)
    plate.over(plate.mask(left, mirrored(left), arms), 0.38, 0.42, 0.09)
    fluke = [(-0.82, 0.5), (-0.7, 0.16), (-0.42, 0.42), (-0.56, 0.45)]
    plate.over(plate.mask(fluke, mirrored(fluke)), 0.45, 0.4, 0.1)
    plate.over(plate.mask(shank), 0.45, 0.45, 0.08)
    turns = [-0.5 * math.pi + 4 * math.pi * k / 120 for k in range(121)]
    wound = [(0.21 * math.sin(a), -0.36 + 0.9 * k / 120) for k, a in enumerate(turns)]
    behind = [abs(x) < 0.075 and math.cos(a) < 0
              for (x, _), a in zip(wound, turns, strict=True)]
    tail = curve([wound[-1], (-0.3, 0.62), (-0.42, 0.6), (-0.46, 0.46)], closed=False, steps=12)
    head = curve([(0.08, -0.66), (-0.1, -0.62), (-0.25, -0.5), wound[0]], closed=False, steps=12)
    line = [*head[:-1], *wound, *tail[1:]]
    covered = [False] * (len(head) - 1) + behind + [False] * (len(tail) - 1)
    rope(plate, line, 0.07, 0.52, covered)


@motif("tide table", "standing")
def tide_table(plate: Clay) -> None:
    """Columns as high as the tide of each hour, the moon above, the sea at their feet."""
    count = 11
    for k in range(count):
        x = (k - (count - 1) / 2) * 0.135
        tide = 0.34 + 0.3 * math.cos(2 * math.pi * (k - 2) / 7.2)
        top = 0.36 - tide
        column = box(x - 0.047, top, x + 0.047, 0.4)
        plate.over(plate.mask(column), 0.35, 0.35, 0.045)
        capital = box(x - 0.058, top - 0.035, x + 0.058, top + 0.012)
        plate.over(plate.mask(capital), 0.55, 0.25, 0.03)
    crest = [(x, -0.06 - 0.3 * math.cos(2 * math.pi * (x / 0.135 + 3) / 7.2))
             for x in (-0.8 + t * 0.02 for t in range(81))]
    plate.add(plate.mask(*stroke(crest, 0.012, 0.034, 0.034, 0.012)), 0.5, 0.02)
    moon = plate.mask(ellipse(0.08, -0.66, 0.2, 0.2), holes=[ellipse(0.17, -0.7, 0.17, 0.17)])
    plate.over(moon, 0.4, 0.45, 0.08)
    for row, y in enumerate((0.4, 0.49, 0.575)):
        line = [(t / 40, y + 0.024 * math.sin(t / 40 * 20 + row * 2)) for t in range(-33, 34)]
        plate.over(plate.mask(*stroke(line, 0.02, 0.055, 0.055, 0.02)), 0.38, 0.3, 0.03)
    plate.shrink(0.95, 0, BASE * 0.05)


@motif("ship", "standing")
def ship(plate: Clay) -> None:
    """A three-masted ship under full sail to the left, pennants flying."""
    sea(plate, 0.5, rows=2, level=0.16)
    rig = stroke([(-0.56, 0.23), (-0.86, -0.04)], 0.035, 0.018)
    for x, top in ((-0.36, -0.68), (0.04, -0.88), (0.42, -0.62)):
        rig += stroke([(x, 0.3), (x + 0.02, top)], 0.042, 0.02)
    for a, b in (((-0.84, -0.02), (-0.35, -0.6)), ((0.7, 0.2), (0.43, -0.56)),
                 ((-0.36, -0.62), (0.04, -0.82)), ((0.04, -0.82), (0.43, -0.58))):
        rig += stroke([a, b], 0.011)
    plate.over(plate.mask(*rig), 0.28, 0.18, 0.02)
    for x, widths, tops in (
        (-0.36, (0.3, 0.26, 0.2), (-0.06, -0.33, -0.56)),
        (0.05, (0.36, 0.31, 0.24), (-0.09, -0.42, -0.7)),
        (0.43, (0.25, 0.21, 0.16), (-0.06, -0.3, -0.5)),
    ):
        for width, top, bottom in zip(widths, tops, (0.19, tops[0] - 0.03, tops[1] - 0.03),
                                      strict=True):
            half, foot, bulge = width / 2 * 0.88, width / 2 * 1.08, -0.055
            sail = [(x - half, top), (x, top + 0.012), (x + half, top)]
            sail += curve([(x + half, top), (x + half + bulge * 0.4, (top + bottom) / 2),
                           (x + foot, bottom)], closed=False, steps=5)
            sail += curve([(x + foot, bottom), (x + bulge * 0.3, bottom - 0.05),
                           (x - foot, bottom)], closed=False, steps=5)
            sail += curve([(x - foot, bottom), (x - half + bulge, (top + bottom) / 2),
                           (x - half, top)], closed=False, steps=5)
            plate.over(plate.mask(sail), 0.3, 0.6, 0.16)
            plate.over(plate.mask(*stroke([(x - half - 0.025, top), (x + half + 0.025, top)],
                                          0.026)), 0.62, 0.2, 0.02)
    for jib in ([(-0.8, -0.06), (-0.44, -0.5), (-0.5, 0.1)], [(-0.66, 0.06), (-0.4, -0.2),
                                                              (-0.46, 0.18)]):
        plate.over(plate.mask(jib), 0.3, 0.3, 0.08)
    for x, y, long in ((-0.34, -0.68, 0.2), (0.06, -0.88, 0.26), (0.44, -0.62, 0.18)):
        pennant = curve([(x, y), (x + long * 0.4, y + 0.0), (x + long, y + 0.06),
                         (x + long * 0.5, y + 0.07), (x, y + 0.06)], steps=5)
        plate.over(plate.mask(pennant), 0.32, 0.25, 0.04)
    hull = curve([(-0.68, 0.2), (-0.58, 0.24), (-0.2, 0.29), (0.3, 0.28), (0.6, 0.21),
                  (0.74, 0.12)], closed=False, steps=6)
    hull += curve([(0.74, 0.12), (0.7, 0.34), (0.6, 0.5), (0.3, 0.54), (-0.3, 0.54),
                   (-0.5, 0.5), (-0.62, 0.36), (-0.68, 0.2)], closed=False, steps=6)
    plate.over(plate.mask(hull), 0.4, 0.55, 0.16)
    for drop, swell in ((0.075, 0.2), (0.15, 0.14)):
        wale = curve([(-0.62, 0.215 + drop), (-0.2, 0.29 + drop), (0.3, 0.28 + drop),
                      (0.68, 0.16 + drop)], closed=False, steps=8)
        plate.add(plate.mask(*stroke(wale, 0.026)), swell, 0.02)
    ports = [box(x - 0.018, y, x + 0.018, y + 0.034) for x, y in
             ((-0.42, 0.305), (-0.28, 0.322), (-0.14, 0.333), (0, 0.337), (0.14, 0.334),
              (0.28, 0.325), (0.42, 0.306), (0.54, 0.275))]
    plate.add(plate.mask(*ports), -0.35, 0.012)
    foam = []
    for k in range(8):
        x = -0.74 + k * 0.19
        foam += stroke(curve([(x, 0.56), (x + 0.08, 0.505), (x + 0.14, 0.52), (x + 0.2, 0.56)],
                             closed=False, steps=5), 0.02, 0.05, 0.02)
    plate.over(plate.mask(*foam), 0.42, 0.25, 0.03)


@motif("chain", "standing")
def harbour_chain(plate: Clay) -> None:
    """Two harbour towers, and the chain between them that closed the port of Halvern."""
    sea(plate, 0.36, rows=3, half=0.55)
    for side in (-1, 1):
        x = side * 0.62
        wall = [(x - 0.17, BASE), (x - 0.145, -0.38), (x + 0.145, -0.38), (x + 0.17, BASE)]
        plate.over(plate.mask(wall), 0.4, 0.5, 0.17)
        courses = []
        for k in range(9):
            y = -0.28 + k * 0.1
            courses.append(box(x - 0.2, y, x + 0.2, y + 0.013))
            for j in range(-2, 3):
                joint = x + j * 0.09 + (0.045 if k % 2 else 0)
                courses.append(box(joint - 0.006, y, joint + 0.006, y + 0.1))
        plate.add(plate.mask(*courses, within=plate.mask(wall)), -0.16, 0.01)
        top = box(x - 0.19, -0.47, x + 0.19, -0.36)
        teeth = [box(tooth - 0.04, -0.57, tooth + 0.04, -0.45)
                 for tooth in (x - 0.143, x, x + 0.143)]
        plate.over(plate.mask(top, *teeth), 0.55, 0.3, 0.05)
        slit = box(x - 0.02, -0.2, x + 0.02, -0.02)
        arch = box(x - 0.07, 0.4, x + 0.07, BASE)
        plate.add(plate.mask(slit, arch, ellipse(x, 0.4, 0.07, 0.07)), -0.4, 0.015)
        roof = [(x - 0.13, -0.46), (x, -0.74), (x + 0.13, -0.46)]
        plate.over(plate.mask(roof), 0.35, 0.3, 0.1)
        plate.over(plate.mask(top, *teeth), 0.55, 0.3, 0.05)
        flag = [(x, -0.9), (x + 0.16, -0.86), (x, -0.8)]
        plate.over(plate.mask(*stroke([(x, -0.7), (x, -0.9)], 0.02), flag), 0.35, 0.2, 0.03)
    for k in range(9):
        t = (k + 0.5) / 9
        x = -0.47 + 0.94 * t
        y = 0.02 + 0.3 * (1 - (2 * t - 1) ** 2) - 0.1
        slope = math.degrees(math.atan2(-0.6 * 2 * (2 * t - 1) / 0.94, 1.0))
        if k % 2 == 0:
            link = plate.mask(moved(ellipse(0, 0, 0.085, 0.058), x, y, 1, slope),
                              holes=[moved(ellipse(0, 0, 0.046, 0.02), x, y, 1, slope)])
        else:
            link = plate.mask(moved(ellipse(0, 0, 0.085, 0.026), x, y, 1, slope))
        plate.over(link, 0.5, 0.45, 0.035)
    plate.shrink(0.86, 0, BASE * 0.14)
