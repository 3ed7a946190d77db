"""Motifs of living things: gull, herring, seal, oyster, and a head in profile.

Made as :mod:`catalogue.demo.struck.harbour` describes; heads and animals look to the left as
modelled, and are struck mirrored when a coin has them look to the right. Inventions of our own.

>>> MOTIFS["seal"].kind
'standing'
"""

from __future__ import annotations

import math
import random

from catalogue.demo.struck.clay import (
    BASE,
    MOTIFS,
    Clay,
    Points,
    curve,
    ellipse,
    motif,
    moved,
    stroke,
)

__all__ = ["MOTIFS"]


@motif("gull")
def gull(plate: Clay) -> None:
    """A gull turning on the wind, wings raised."""
    far = curve([(-0.16, 0.02), (-0.3, -0.18), (-0.42, -0.4), (-0.62, -0.56), (-0.92, -0.6),
                 (-0.8, -0.47), (-0.68, -0.36), (-0.54, -0.16), (-0.34, 0.08), (-0.16, 0.16)],
                steps=8)
    plate.over(plate.mask(far), 0.2, 0.3, 0.1)
    feathers(plate, (-0.6, -0.5), (-0.25, -0.02), ((-0.86, -0.53), (-0.78, -0.44), (-0.7, -0.36),
                                                   (-0.63, -0.27), (-0.57, -0.18), (-0.5, -0.09),
                                                   (-0.43, 0.0)))
    tail = curve([(0.3, 0.14), (0.52, 0.16), (0.78, 0.2), (0.74, 0.29), (0.62, 0.36),
                  (0.42, 0.33), (0.26, 0.28)], steps=7)
    plate.over(plate.mask(tail), 0.22, 0.25, 0.08)
    plate.add(plate.mask(*(part for end in ((0.76, 0.24), (0.7, 0.3), (0.62, 0.34))
                           for part in stroke([(0.34, 0.22), end], 0.018))), -0.16, 0.012)
    body = curve([(-0.52, 0.05), (-0.4, -0.02), (-0.2, -0.01), (0.06, 0.04), (0.36, 0.14),
                  (0.5, 0.22), (0.3, 0.31), (0.02, 0.36), (-0.24, 0.32), (-0.42, 0.2)], steps=8)
    plate.over(plate.mask(body), 0.28, 0.6, 0.3)
    head = plate.mask(ellipse(-0.5, 0.08, 0.135, 0.115, -10))
    plate.over(head, 0.42, 0.45, 0.13)
    bill = curve([(-0.61, 0.04), (-0.74, 0.06), (-0.8, 0.1), (-0.79, 0.135), (-0.73, 0.12),
                  (-0.6, 0.14)], steps=6)
    plate.over(plate.mask(bill), 0.4, 0.3, 0.05)
    plate.add(plate.mask(*stroke([(-0.77, 0.1), (-0.6, 0.095)], 0.016)), -0.22, 0.01)
    plate.add(plate.mask(ellipse(-0.54, 0.055, 0.022, 0.022)), -0.35, 0.012)
    near = curve([(-0.2, 0.08), (-0.06, -0.2), (0.06, -0.46), (0.24, -0.68), (0.62, -0.84),
                  (0.94, -0.8), (0.84, -0.7), (0.74, -0.54), (0.62, -0.36), (0.48, -0.16),
                  (0.32, 0.06), (0.12, 0.2), (-0.1, 0.2)], steps=8)
    plate.over(plate.mask(near), 0.42, 0.45, 0.24)
    feathers(plate, (0.26, -0.56), (0.0, -0.02),
             ((0.9, -0.76), (0.83, -0.68), (0.77, -0.59), (0.71, -0.5), (0.65, -0.41),
              (0.59, -0.32), (0.53, -0.23), (0.46, -0.14), (0.39, -0.05), (0.31, 0.04),
              (0.2, 0.1)))
    covert = curve([(0.22, -0.6), (0.3, -0.42), (0.28, -0.2), (0.16, 0.0), (0.0, 0.1)],
                   closed=False, steps=8)
    plate.add(plate.mask(*stroke(covert, 0.024)), -0.16, 0.014)
    plate.shrink(0.86, 0, 0.21)


def feathers(plate: Clay, wrist: tuple[float, float], root: tuple[float, float],
             tips: tuple[tuple[float, float], ...]) -> None:
    """Grooves between flight feathers, from a line between wrist and root to the tips."""
    grooves: list[Points] = []
    for k, tip in enumerate(tips):
        t = k / max(len(tips) - 1, 1)
        x, y = wrist[0] + (root[0] - wrist[0]) * t, wrist[1] + (root[1] - wrist[1]) * t
        x, y = x + (tip[0] - x) * 0.22, y + (tip[1] - y) * 0.22
        bend = ((x + tip[0]) / 2 + 0.01, (y + tip[1]) / 2 + 0.03)
        grooves += stroke(curve([(x, y), bend, tip], closed=False, steps=5), 0.012, 0.024)
    plate.add(plate.mask(*grooves), -0.22, 0.014)


@motif("herring")
def herring(plate: Clay) -> None:
    """A herring swimming, scale by scale, over two lines of sea."""
    tail = curve([(0.6, 0.0), (0.78, -0.14), (0.97, -0.28), (0.9, -0.1), (0.87, 0.0),
                  (0.9, 0.1), (0.95, 0.24), (0.77, 0.13)], steps=7)
    plate.over(plate.mask(tail), 0.25, 0.3, 0.1)
    rays: list[Points] = []
    for k in range(-4, 5):
        rays += stroke([(0.7, 0.012 * k), (0.93, 0.058 * k)], 0.012)
    plate.add(plate.mask(*rays, within=plate.mask(tail)), -0.18, 0.01)
    fins = [
        curve([(-0.05, -0.2), (0.02, -0.4), (0.12, -0.36), (0.24, -0.2), (0.26, -0.16)], steps=6),
        curve([(0.0, 0.24), (0.08, 0.36), (0.14, 0.34), (0.16, 0.22)], steps=6),
        curve([(0.32, 0.16), (0.42, 0.25), (0.52, 0.2), (0.58, 0.08)], steps=6),
    ]
    plate.over(plate.mask(*fins), 0.25, 0.2, 0.06)
    rays = []
    for x in (-0.0, 0.05, 0.1, 0.15, 0.2):
        rays += stroke([(x, -0.2), (x + 0.03, -0.36 + x * 0.6)], 0.012)
    plate.add(plate.mask(*rays), -0.15, 0.01)
    body = curve([(-0.96, 0.02), (-0.84, -0.09), (-0.6, -0.2), (-0.25, -0.26), (0.1, -0.235),
                  (0.45, -0.12), (0.7, -0.045), (0.72, 0.045), (0.45, 0.13), (0.1, 0.25),
                  (-0.25, 0.28), (-0.6, 0.22), (-0.84, 0.12)], steps=8)
    plate.over(plate.mask(body), 0.3, 0.7, 0.34)
    scales: list[Points] = []
    for row in range(-4, 5):
        for column in range(14):
            x = -0.46 + column * 0.082 + (0.041 if row % 2 else 0)
            thin = 1 - max(0.0, x + 0.1) * 1.05
            y = row * 0.052 * max(thin, 0.25)
            reach = 0.24 * (1 - max(0.0, (x + 0.2)) * 0.95)
            if abs(y) < reach - 0.02 and x < 0.62:
                arc = [(x + 0.035 * math.cos(a), y + 0.04 * max(thin, 0.4) * math.sin(a))
                       for a in (k * math.pi / 8 - math.pi / 2 for k in range(9))]
                scales += stroke(arc, 0.013)
    plate.add(plate.mask(*scales), -0.2, 0.01)
    gill = [(-0.56 + 0.1 * math.cos(a), 0.01 + 0.2 * math.sin(a))
            for a in (k * math.pi / 14 - math.pi / 2 for k in range(15))]
    plate.add(plate.mask(*stroke(gill, 0.01, 0.034, 0.01)), -0.35, 0.018)
    cheek = [(-0.68 + 0.06 * math.cos(a), 0.03 + 0.13 * math.sin(a))
             for a in (k * math.pi / 12 - math.pi / 2 for k in range(13))]
    plate.add(plate.mask(*stroke(cheek, 0.02)), -0.16, 0.014)
    jaw = curve([(-0.95, 0.03), (-0.86, 0.045), (-0.78, 0.09)], closed=False, steps=6)
    plate.add(plate.mask(*stroke(jaw, 0.022)), -0.3, 0.012)
    plate.add(plate.mask(ellipse(-0.77, -0.03, 0.048, 0.048)), -0.28, 0.02)
    plate.over(plate.mask(ellipse(-0.77, -0.03, 0.028, 0.028)), 0.75, 0.2, 0.03)
    fin = curve([(-0.44, 0.12), (-0.3, 0.14), (-0.18, 0.22), (-0.28, 0.22), (-0.42, 0.18)], steps=6)
    plate.add(plate.mask(fin), 0.14, 0.03)
    for row, (y, half) in enumerate(((0.52, 0.62), (0.66, 0.46), (-0.58, 0.5))):
        count = int(half * 40)
        line = [(t / 40, y + 0.024 * math.sin(t / 40 * 18 + row * 2)) for t in range(-count, count)]
        plate.over(plate.mask(*stroke(line, 0.01, 0.042, 0.042, 0.01)), 0.2, 0.25, 0.03)


@motif("seal", "standing")
def seal(plate: Clay) -> None:
    """A grey seal hauled out on a skerry, head up."""
    rock = curve([(-0.78, BASE), (-0.7, 0.5), (-0.5, 0.44), (-0.2, 0.47), (0.1, 0.42), (0.4, 0.46),
                  (0.62, 0.4), (0.74, 0.5), (0.78, BASE)], closed=False, steps=6)
    plate.over(plate.mask(rock), 0.2, 0.25, 0.12)
    cracks = [stroke(line, 0.02) for line in (
        [(-0.52, 0.5), (-0.46, 0.6)], [(-0.1, 0.52), (-0.16, 0.61)], [(0.3, 0.5), (0.36, 0.61)],
        [(0.6, 0.48), (0.55, 0.58)])]
    plate.add(plate.mask(*(part for crack in cracks for part in crack)), -0.18, 0.012)
    hind = curve([(0.56, 0.3), (0.7, 0.2), (0.88, 0.02), (0.9, 0.16), (0.8, 0.26), (0.9, 0.26),
                  (0.84, 0.36), (0.66, 0.42)], steps=7)
    plate.over(plate.mask(hind), 0.3, 0.3, 0.08)
    plate.add(plate.mask(*stroke([(0.68, 0.28), (0.86, 0.1)], 0.016),
                         *stroke([(0.7, 0.32), (0.85, 0.3)], 0.016)), -0.2, 0.012)
    body = curve([(-0.52, -0.5), (-0.36, -0.56), (-0.22, -0.46), (-0.14, -0.26), (0.02, -0.1),
                  (0.26, 0.0), (0.5, 0.14), (0.68, 0.3), (0.66, 0.4), (0.4, 0.46), (0.0, 0.48),
                  (-0.34, 0.46), (-0.5, 0.32), (-0.55, 0.06), (-0.5, -0.16), (-0.53, -0.28)],
                 steps=8)
    plate.over(plate.mask(body), 0.28, 0.75, 0.5)
    plate.bulge(-0.3, 0.05, 0.26, 0.36, 0.12)
    snout = curve([(-0.46, -0.46), (-0.6, -0.45), (-0.71, -0.38), (-0.73, -0.3), (-0.66, -0.24),
                   (-0.54, -0.23), (-0.42, -0.28)], steps=7)
    plate.over(plate.mask(snout), 0.55, 0.3, 0.1)
    plate.bulge(-0.44, -0.38, 0.2, 0.17, 0.16)
    plate.add(plate.mask(ellipse(-0.475, -0.43, 0.035, 0.03)), -0.42, 0.014)
    plate.add(plate.mask(ellipse(-0.7, -0.37, 0.028, 0.022)), -0.34, 0.012)
    plate.add(plate.mask(*stroke(curve([(-0.71, -0.3), (-0.63, -0.29), (-0.56, -0.31)],
                                       closed=False), 0.018)), -0.3, 0.012)
    whiskers: list[Points] = []
    for x, y in ((-0.86, -0.24), (-0.82, -0.18), (-0.76, -0.13)):
        whiskers += stroke(curve([(-0.64, -0.3), ((x - 0.64) / 2, (y - 0.28) / 2), (x, y)],
                                 closed=False, steps=5), 0.018, 0.008)
    plate.add(plate.mask(*whiskers), 0.2, 0.012)
    flipper = curve([(-0.34, 0.16), (-0.22, 0.14), (-0.16, 0.26), (-0.22, 0.42), (-0.4, 0.53),
                     (-0.58, 0.53), (-0.44, 0.42), (-0.38, 0.3)], steps=7)
    plate.over(plate.mask(flipper), 0.72, 0.25, 0.08)
    plate.add(plate.mask(*(part for end in ((-0.52, 0.5), (-0.44, 0.5), (-0.36, 0.47))
                           for part in stroke([(-0.28, 0.32), end], 0.014))), -0.2, 0.012)
    dice = random.Random(7)
    spots: list[Points] = []
    for _ in range(120):
        x, y = dice.uniform(-0.42, 0.56), dice.uniform(-0.3, 0.34)
        if y > 0.5 * x - 0.02 and y < 0.34 and not (x < -0.1 and y > 0.08) and len(spots) < 26:
            spots.append(ellipse(x, y, dice.uniform(0.014, 0.028), 0.016, 30))
    plate.add(plate.mask(*spots), -0.12, 0.014)


@motif("oyster")
def oyster(plate: Clay) -> None:
    """An open oyster with its pearl."""
    back = curve([(-0.1, 0.66), (-0.42, 0.52), (-0.72, 0.2), (-0.84, -0.2), (-0.7, -0.58),
                  (-0.36, -0.82), (0.04, -0.88), (0.46, -0.78), (0.76, -0.5), (0.84, -0.12),
                  (0.7, 0.26), (0.4, 0.54), (0.12, 0.66)], steps=8)
    plate.over(plate.mask(back), 0.22, 0.3, 0.12)
    for k in range(1, 8):
        size = 1 - k * 0.045
        ring = []
        for i, (x, y) in enumerate(back):
            a = 2 * math.pi * i / len(back)
            ruffle = 1 + 0.011 * math.sin(7 * a + 1.9 * k) + 0.008 * math.sin(17 * a + 2.6 * k)
            ring.append((x * size * ruffle, 0.62 + (y - 0.62) * size * ruffle))
        plate.over(plate.mask(ring), 0.24 + 0.045 * k, 0.2, 0.07)
    hollow = moved(back, 0.0, 0.2, 0.62)
    plate.over(plate.mask(hollow), 0.62)
    plate.over(plate.mask(moved(hollow, 0, 0.01, 0.965)), 0.5, -0.4, 0.4)
    flesh = []
    for k in range(120):
        a = 2 * math.pi * k / 120
        r = 1 + 0.03 * math.sin(11 * a) + 0.03 * math.sin(4 * a + 1)
        flesh.append((0.02 + 0.35 * r * math.cos(a), 0.02 + 0.31 * r * math.sin(a)))
    plate.add(plate.mask(flesh), 0.2, 0.08)
    plate.over(plate.mask(ellipse(0.06, 0.02, 0.185, 0.185)), 0.34, 0.66, 0.2)
    lip = curve([(-0.3, 0.62), (-0.16, 0.7), (0, 0.74), (0.2, 0.7), (0.32, 0.6), (0.16, 0.6),
                 (0, 0.62), (-0.14, 0.6)], steps=7)
    plate.over(plate.mask(lip), 0.5, 0.3, 0.06)


@motif("head")
def head(plate: Clay) -> None:
    """A woman's head in profile: Halvern herself, crowned with coral."""
    bust = curve([(-0.2, 0.42), (-0.24, 0.6), (-0.42, 0.74), (-0.56, 0.82), (-0.3, 0.9),
                  (0.0, 0.9), (0.34, 0.82), (0.56, 0.68), (0.42, 0.52), (0.32, 0.3), (0.3, 0.0),
                  (0.0, 0.1)], steps=8)
    plate.over(plate.mask(bust), 0.22, 0.5, 0.4)
    plate.bulge(0.08, 0.42, 0.2, 0.5, 0.12)
    hair_back = curve([(-0.26, -0.74), (-0.02, -0.86), (0.28, -0.8), (0.5, -0.6), (0.58, -0.32),
                       (0.54, -0.06), (0.42, 0.14), (0.24, 0.2), (0.08, 0.0), (0.0, -0.3)], steps=8)
    plate.over(plate.mask(hair_back), 0.34, 0.55, 0.34)
    bun = plate.mask(ellipse(0.54, 0.06, 0.2, 0.17, 30))
    plate.over(bun, 0.4, 0.45, 0.16)
    face = curve([(-0.3, -0.72), (-0.4, -0.56), (-0.44, -0.42), (-0.455, -0.33), (-0.445, -0.28),
                  (-0.5, -0.18), (-0.575, -0.07), (-0.59, -0.035), (-0.55, -0.005),
                  (-0.495, 0.005), (-0.49, 0.03), (-0.53, 0.075), (-0.535, 0.1), (-0.5, 0.13),
                  (-0.525, 0.165), (-0.51, 0.2), (-0.475, 0.225), (-0.49, 0.27), (-0.48, 0.345),
                  (-0.42, 0.4), (-0.32, 0.41), (-0.2, 0.37), (-0.04, 0.3), (0.1, 0.18),
                  (0.16, 0.0), (0.12, -0.3), (-0.04, -0.62)], steps=6)
    plate.over(plate.mask(face), 0.42, 0.5, 0.34)
    brow = curve([(-0.44, -0.31), (-0.36, -0.335), (-0.27, -0.3)], closed=False, steps=6)
    plate.add(plate.mask(*stroke(brow, 0.02, 0.045, 0.02)), 0.12, 0.02)
    socket = curve([(-0.43, -0.27), (-0.34, -0.29), (-0.26, -0.25), (-0.3, -0.17), (-0.4, -0.18)],
                   steps=6)
    plate.add(plate.mask(socket), -0.16, 0.05)
    eye = curve([(-0.41, -0.225), (-0.365, -0.255), (-0.3, -0.22), (-0.36, -0.195)], steps=6)
    plate.add(plate.mask(eye), 0.17, 0.03)
    plate.add(plate.mask(ellipse(-0.378, -0.224, 0.018, 0.022)), -0.14, 0.01)
    lid = curve([(-0.42, -0.23), (-0.365, -0.27), (-0.29, -0.225)], closed=False, steps=6)
    plate.add(plate.mask(*stroke(lid, 0.022)), 0.12, 0.012)
    wing = curve([(-0.5, -0.06), (-0.455, -0.055), (-0.44, -0.015), (-0.48, 0.005)], closed=False,
                 steps=6)
    plate.add(plate.mask(*stroke(wing, 0.02)), -0.16, 0.014)
    plate.add(plate.mask(*stroke([(-0.53, 0.125), (-0.45, 0.12), (-0.41, 0.135)], 0.02)),
              -0.2, 0.014)
    plate.bulge(-0.24, -0.02, 0.22, 0.24, 0.1)
    plate.bulge(-0.44, 0.3, 0.12, 0.12, 0.08)
    plate.bulge(-0.3, -0.45, 0.2, 0.2, 0.06)
    plate.bulge(-0.4, 0.12, 0.14, 0.12, 0.05)
    jaw = curve([(-0.36, 0.4), (-0.16, 0.36), (0.02, 0.26), (0.12, 0.1)], closed=False, steps=6)
    plate.add(plate.mask(*stroke(jaw, 0.02, 0.04, 0.03)), -0.14, 0.03)
    ear_lobe = curve([(0.0, -0.2), (0.08, -0.24), (0.13, -0.16), (0.1, -0.04), (0.04, 0.04),
                      (0.0, -0.02)], steps=6)
    plate.over(plate.mask(ear_lobe), 0.72, 0.2, 0.05)
    plate.add(plate.mask(*stroke(curve([(0.03, -0.17), (0.08, -0.16), (0.06, -0.05)],
                                       closed=False), 0.022)), -0.2, 0.014)
    plate.over(plate.mask(ellipse(0.045, 0.08, 0.03, 0.04)), 0.7, 0.25, 0.03)
    front_hair = curve([(-0.36, -0.62), (-0.24, -0.78), (0.0, -0.86), (0.2, -0.76), (0.3, -0.5),
                        (0.28, -0.24), (0.2, -0.1), (0.14, -0.24), (0.02, -0.26), (-0.08, -0.22),
                        (-0.16, -0.32), (-0.22, -0.44)], steps=8)
    plate.over(plate.mask(front_hair), 0.52, 0.42, 0.18)
    _waves_of_hair(plate)
    _coral_crown(plate)


def _waves_of_hair(plate: Clay) -> None:
    locks: list[Points] = []
    for k in range(8):
        t = k / 7
        start = (-0.32 + 0.36 * t, -0.6 - 0.19 * math.sin(math.pi * (0.15 + 0.5 * t)))
        bend = (0.0 + 0.26 * t, -0.42 - 0.12 * t)
        end = (0.14 + 0.34 * t, -0.16 + 0.1 * t - 0.2 * t * t)
        locks += stroke(curve([start, bend, end], closed=False, steps=8), 0.012, 0.03, 0.014)
    for k in range(7):
        t = k / 6
        locks += stroke(curve([(0.2 + 0.32 * t, -0.5 + 0.1 * t), (0.3 + 0.24 * t, -0.14),
                               (0.3 + 0.22 * t, 0.1)], closed=False, steps=8), 0.012, 0.026, 0.014)
    for k in range(7):
        t = k / 6
        lock = [(-0.28 + 0.1 * t, -0.7 - 0.03 * t), (0.05 + 0.2 * t, -0.82 + 0.2 * t),
                (0.3 + 0.2 * t, -0.62 + 0.34 * t)]
        locks += stroke(curve(lock, closed=False, steps=8), 0.01, 0.024, 0.012)
    plate.add(plate.mask(*locks), -0.2, 0.016)
    rolls: list[Points] = []
    for k in range(4):
        size = 0.155 - 0.04 * k
        turn = [(0.54 + size * math.cos(a), 0.06 + size * 0.82 * math.sin(a))
                for a in (0.5 + i * 0.3 for i in range(16))]
        rolls += stroke(turn, 0.012, 0.024, 0.012)
    plate.add(plate.mask(*rolls), -0.22, 0.014)


def _coral_crown(plate: Clay) -> None:
    band = curve([(-0.37, -0.56), (-0.2, -0.62), (0.02, -0.6), (0.26, -0.48), (0.48, -0.26),
                  (0.55, -0.12)], closed=False, steps=8)
    for k in range(3, len(band) - 4, 4):
        (x, y), (nx, ny) = band[k], band[k + 1]
        up = math.atan2(ny - y, nx - x) - math.pi / 2
        for lean, long in ((-0.55, 0.13), (0.0, 0.2), (0.5, 0.14)):
            tip = (x + long * math.cos(up + lean), y + long * math.sin(up + lean))
            plate.over(plate.mask(*stroke([(x, y), tip], 0.05, 0.034),
                                  ellipse(*tip, 0.03, 0.03)), 0.72, 0.25, 0.03)
    plate.over(plate.mask(*stroke(band, 0.06)), 0.85, 0.15, 0.03)
