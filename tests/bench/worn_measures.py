"""Measuring a worn piece: the noise that the benches draw from, with its exact probabilities.

Part of ``worn_pieces.py``, which says what for. Lengths in mm, masses in g, densities in g/cm³.
All shares and spreads are invented for the benches, and are of another make than those in
``series.identifying``: a piece is struck within a flat band about its standard, loses a share that
is gamma-distributed with a mean that goes with its grade, and is read by a tool that is off by one
of a handful of amounts and rounds to its step. A person may state how finely they read, or not.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Seen = tuple[tuple[str, str], ...] | None
"""What was written down: fields with texts; None where nothing could be read."""

GRADES = 4
CALLIPER_OFF = (
    (-0.3, -0.1, -0.05, 0.0, 0.05, 0.1, 0.3),
    ((0, 0, 2, 6, 2, 0, 0), (1, 2, 0, 4, 0, 2, 1)),
)
"""How far callipers are off, and how many of careful and careless people's in ten are."""
BIASES = len(CALLIPER_OFF[0])


@dataclass(frozen=True)
class Tool:
    """``share`` of an observer's readings are made with it; ``off``: (amount, share) of errors."""

    share: float
    step: float
    decimals: int
    within: str = ""
    off: tuple[tuple[float, float], ...] = ((0.0, 1.0),)
    calliper: bool = False


@dataclass(frozen=True)
class MeasureNoise:
    struck: float
    lost: tuple[float, ...]
    tools: tuple[tuple[Tool, ...], tuple[Tool, ...]]


def _slips(amount: float, share: float) -> tuple[tuple[float, float], ...]:
    return ((0.0, 1 - share), (amount, share / 2), (-amount, share / 2))


_PARALLAX = ((0.0, 0.6), (0.5, 0.15), (-0.5, 0.15), (1.0, 0.05), (-1.0, 0.05))
_UNZEROED = ((0.0, 0.86), (0.1, 0.04), (-0.1, 0.04), (0.5, 0.02), (1.0, 0.02), (-1.0, 0.02))
_ZEROED = ((0.0, 0.97), (0.02, 0.01), (-0.02, 0.01), (1.0, 0.005), (-1.0, 0.005))

MEASURES = {
    "diameter": MeasureNoise(
        0.003,
        (0.001, 0.003, 0.007, 0.014),
        (
            (
                Tool(0.3, 0.01, 2, off=_slips(1.0, 0.01), calliper=True),
                Tool(0.6, 0.1, 1, off=_slips(1.0, 0.01), calliper=True),
                Tool(0.1, 0.5, 1, "0.5", off=_PARALLAX),
            ),
            (
                Tool(0.45, 0.1, 1, off=_slips(1.0, 0.04), calliper=True),
                Tool(0.3, 0.5, 1, off=_PARALLAX),
                Tool(0.25, 1.0, 0, off=_PARALLAX),
            ),
        ),
    ),
    "mass": MeasureNoise(
        0.012,
        (0.002, 0.012, 0.03, 0.06),
        (
            (
                Tool(0.5, 0.01, 2, off=_ZEROED),
                Tool(0.45, 0.1, 1, off=_ZEROED),
                Tool(0.05, 0.5, 1, "0.25", off=_ZEROED),
            ),
            (
                Tool(0.2, 0.01, 2, off=_UNZEROED),
                Tool(0.6, 0.1, 1, off=_UNZEROED),
                Tool(0.2, 0.5, 1, off=_UNZEROED),
            ),
        ),
    ),
    "thickness": MeasureNoise(
        0.03,
        (0.01, 0.03, 0.06, 0.12),
        (
            (
                Tool(0.5, 0.01, 2, off=_slips(0.5, 0.01), calliper=True),
                Tool(0.5, 0.1, 1, off=_slips(0.5, 0.01), calliper=True),
            ),
            (Tool(1.0, 0.1, 1, off=_slips(0.5, 0.04), calliper=True),),
        ),
    ),
}


def worn_cdf(x: Floats, struck: float, lost: float) -> Floats:
    """P(U − W ≤ x): U flat from −struck to struck, W gamma with shape 2 and mean ``lost``."""
    scale = lost / 2

    def integral(y: Floats) -> Floats:  # of the gamma's distribution function, from 0 to y
        y = np.maximum(y, 0.0)
        tail = np.exp(-y / scale)
        found: Floats = y - scale * (2 - tail * (2 + y / scale))
        return found

    found: Floats = 1 - (integral(struck - x) - integral(-struck - x)) / (2 * struck)
    return found


Ways = list[tuple[float, float]]
"""Ways of measuring a shape: (size over that of the record, share)."""


def ways_of_measuring(outline: str, sides: int) -> Ways:
    """Across corners or flats, across or along a square, over or between the scallops."""
    if outline == "square":
        return [(1.0, 0.85), (math.sqrt(2), 0.15)]
    if outline == "polygon" and sides and sides % 2 == 0:
        return [(1.0, 0.8), (math.cos(math.pi / sides), 0.2)]
    if outline in ("scalloped", "notched"):
        return [(1.0, 0.85), (0.97, 0.15)]
    return [(1.0, 1.0)]


class Measure:
    """Diameter, mass or thickness of all types; nan where the record does not say."""

    def __init__(self, name: str, standard: Floats, ways: list[Ways] | None = None) -> None:
        self.name, self.standard = name, standard
        self.noise = MEASURES[name]
        self.ways = ways or [[(1.0, 1.0)]] * len(standard)
        self.known = np.flatnonzero(~np.isnan(standard))
        most = max(len(each) for each in self.ways)
        padded = [[*each, *[(1.0, 0.0)] * (most - len(each))] for each in self.ways]
        self._factors = np.array(padded).transpose(1, 2, 0)  # way, (factor, share), type

    def draw(self, lot: random.Random, number: int, grade: int, observer: int, bias: int) -> Seen:
        if math.isnan(self.standard[number]):  # a piece like another type's
            number = int(lot.choice(self.known))
        standard, noise = self.standard[number], self.noise
        factor = _picked(lot, self.ways[number])
        tools = noise.tools[observer]
        tool = lot.choices(tools, [each.share for each in tools])[0]
        lost = noise.lost[grade]
        share = lot.uniform(-noise.struck, noise.struck) - lot.gammavariate(2, lost / 2)
        off = _picked(lot, tool.off) + (CALLIPER_OFF[0][bias] if tool.calliper else 0.0)
        steps = math.floor((standard * factor * (1 + share) + off) / tool.step + 0.5)
        return None if steps < 1 else self._written(steps, tool)

    def _written(self, steps: int, tool: Tool) -> Seen:
        found = ((self.name, f"{steps * tool.step:.{tool.decimals}f}"),)
        return (*found, (f"{self.name}_within", tool.within)) if tool.within else found

    def chances(self, seen: Seen, observer: int) -> Floats:
        """P(seen) by grade, bias of the calliper and type."""
        total = np.zeros((GRADES, BIASES, len(self.standard)))
        for tool in self.noise.tools[observer]:
            if seen is None:
                total += tool.share * self._between(-math.inf, tool.step / 2, tool)
                continue
            steps = round(float(seen[0][1]) / tool.step)
            if seen == self._written(steps, tool):
                low, high = (steps - 0.5) * tool.step, (steps + 0.5) * tool.step
                total += tool.share * self._between(low, high, tool)
        return filled(total)

    def _between(self, low: float, high: float, tool: Tool) -> Floats:
        total = np.zeros((GRADES, BIASES, len(self.standard)))
        biases = np.array(CALLIPER_OFF[0] if tool.calliper else [0.0])[:, None]
        for factor, share in self._factors:
            size = self.standard * factor
            for off, many in tool.off:
                for grade in range(GRADES):
                    ends = [(end - off - biases) / size - 1 for end in (high, low)]
                    lost = self.noise.lost[grade]
                    upper, lower = (
                        np.clip(worn_cdf(np.maximum(end, -9.0), self.noise.struck, lost), 0, 1)
                        for end in ends
                    )
                    total[grade] += share * many * np.maximum(upper - lower, 0)
        return total


class Weighed:
    """Density from weighing in water; (low, high) of each type's composition, nan if unknown."""

    POINTS = ((0.0, 0.25), (0.5, 0.5), (1.0, 0.25))
    PORES = 0.995
    SPREAD = (0.05, 0.12)
    WITHIN = ("0.05", "")

    def __init__(self, ranges: Floats) -> None:
        self.low, self.high = ranges.T
        self.known = np.flatnonzero(~np.isnan(self.low))

    def draw(self, lot: random.Random, number: int, grade: int, observer: int, bias: int) -> Seen:
        if math.isnan(self.low[number]):
            number = int(lot.choice(self.known))
        low, high = self.low[number], self.high[number]
        true = self.PORES * (low + (high - low) * _picked(lot, self.POINTS))
        spread = self.SPREAD[observer]
        error = lot.expovariate(1 / spread) * lot.choice((-1, 1))
        return self._written(math.floor((true + error) * 10 + 0.5), observer)

    def _written(self, tenths: int, observer: int) -> Seen:
        found = (("density", f"{tenths / 10:.1f}"),)
        within = self.WITHIN[observer]
        return (*found, ("density_within", within)) if within else found

    def chances(self, seen: Seen, observer: int) -> Floats:
        total = np.zeros((GRADES, BIASES, len(self.low)))
        if seen is None:
            return total
        tenths = round(float(seen[0][1]) * 10)
        if seen != self._written(tenths, observer):
            return total
        for place, share in self.POINTS:
            true = self.PORES * (self.low + (self.high - self.low) * place)
            upper, lower = (
                _laplace_cdf((tenths / 10 + half - true) / self.SPREAD[observer])
                for half in (0.05, -0.05)
            )
            total += share * (upper - lower)
        return filled(total)


def _laplace_cdf(x: Floats) -> Floats:
    found: Floats = np.where(x < 0, 0.5 * np.exp(-np.abs(x)), 1 - 0.5 * np.exp(-np.abs(x)))
    return found


def _picked(lot: random.Random, among: Ways | tuple[tuple[float, float], ...]) -> float:
    return lot.choices([each[0] for each in among], [each[1] for each in among])[0]


def filled(chances: Floats) -> Floats:
    """What is not recorded of a type is that of another one, taken at random."""
    unknown = np.isnan(chances)
    if unknown.any():
        mean = np.nanmean(chances, axis=-1, keepdims=True)
        chances = np.where(unknown, mean, chances)
    return chances
