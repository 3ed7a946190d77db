"""How likely a measured value is, given what the record says: diameter, mass, thickness, density.

What is computed: probability densities per mm, per g and per g/cm³. The stated model of a
measure (``MODELS``): the piece was struck to the standard with a spread (half the remedy where the
law states one, else ``strike`` of the standard), wore down by one of a few shares (``wear``; a
share below zero is corrosion or a heavy blank), and was read within a half-width. The half-width
counts as the standard deviation of the reading: an error even over it alone would have half-width
÷ √3, but tools are a little off too. Some readings are gross mistakes (``mistaken`` of them),
spread widely round the standard. Shares of wear and of mistakes are common practice, no source; no
grade is inferred from them.

A density from weighing in water is compared with five points spread evenly over the range that a
real piece of the composition may have (``series.measuring.real_density``), each with a spread of
half a hundredth.

A piece that is not in the records has the sizes that coins at large have: the logarithm of the
measure is normal about ``elsewhere`` (from memory of common coins, no source).

>>> near, far = log_density("mass", 5.6, 0.05, np.array([5.67, 5.0]), np.array([np.nan, np.nan]))
>>> bool(near > far + 5)
True
>>> bool(np.isnan(log_density("mass", 5.6, 0.05, np.array([np.nan]), np.array([np.nan]))[0]))
True
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from series.arrays import Floats


@dataclass(frozen=True)
class MeasureModel:
    """``wear``: (share lost, how many of the pieces); shares and spreads are of the standard."""

    wear: tuple[tuple[float, float], ...]
    strike: float
    mistaken: float
    mistake_spread: float
    elsewhere: tuple[float, float]


MODELS: Mapping[str, MeasureModel] = {
    "diameter": MeasureModel(
        wear=((0.0, 0.50), (0.004, 0.30), (0.01, 0.15), (0.02, 0.05)),
        strike=0.0025,
        mistaken=0.03,
        mistake_spread=0.06,
        elsewhere=(math.log(22.0), 0.25),
    ),
    "mass": MeasureModel(
        wear=(
            (-0.01, 0.03),
            (0.0, 0.30),
            (0.006, 0.24),
            (0.015, 0.20),
            (0.03, 0.13),
            (0.055, 0.07),
            (0.10, 0.03),
        ),
        strike=0.01,
        mistaken=0.03,
        mistake_spread=0.15,
        elsewhere=(math.log(5.0), 0.65),
    ),
    "thickness": MeasureModel(
        wear=((0.0, 0.35), (0.03, 0.30), (0.06, 0.20), (0.11, 0.10), (0.18, 0.05)),
        strike=0.035,
        mistaken=0.05,
        mistake_spread=0.25,
        elsewhere=(math.log(1.7), 0.30),
    ),
}
DENSITY_SPREAD = 0.005
DENSITY_MISTAKEN = 0.05
DENSITY_MISTAKE_SPREAD = 0.15
DENSITY_ELSEWHERE = (math.log(8.5), 0.25)
DENSITY_POINTS = 5

_ROOT = math.sqrt(2 * math.pi)


def _normal(value: Floats | float, mean: Floats, spread: Floats) -> Floats:
    density: Floats = np.exp(-0.5 * np.square((value - mean) / spread)) / (spread * _ROOT)
    return density


def density_of_reading(
    measure: str, value: Floats | float, within: float, standard: Floats, remedy: Floats
) -> Floats:
    """Probability density of reading ``value`` off a piece of each ``standard``; nan for nan.

    ``remedy`` is nan where none is stated. Arrays broadcast against each other.
    """
    model = MODELS[measure]
    spread = np.where(np.isnan(remedy), model.strike * standard, remedy / 2)
    spread = np.sqrt(np.square(spread) + within * within)
    total = model.mistaken * _normal(value, standard, model.mistake_spread * standard + within)
    for share, many in model.wear:
        worn = standard * (1 - share)
        total = total + (1 - model.mistaken) * many * _normal(value, worn, spread)
    return total


def log_density(
    measure: str, value: float, within: float, standard: Floats, remedy: Floats
) -> Floats:
    """Natural logarithm of ``density_of_reading``; what is far off is still not impossible."""
    with np.errstate(divide="ignore", invalid="ignore"):
        density = density_of_reading(measure, value, within, standard, remedy)
    found: Floats = np.log(np.maximum(density, TINY))
    found[np.isnan(standard)] = np.nan
    return found


TINY = 1e-12
"""No density counts as less: nothing that a person reads makes a type impossible."""


def log_density_of_metal(value: float | Floats, within: float, low: Floats, high: Floats) -> Floats:
    """The same for a density in g/cm³ against the least and most that a composition allows."""
    total: Floats = DENSITY_MISTAKEN * _normal(
        value, (low + high) / 2, DENSITY_MISTAKE_SPREAD * (low + high) / 2 + within
    )
    for k in range(DENSITY_POINTS):
        point = low + (high - low) * (k + 0.5) / DENSITY_POINTS
        spread = np.sqrt(np.square(DENSITY_SPREAD * point) + within * within)
        total = total + (1 - DENSITY_MISTAKEN) / DENSITY_POINTS * _normal(value, point, spread)
    found: Floats = np.log(np.maximum(total, TINY))
    return found


def log_elsewhere(measure: str, value: float) -> float:
    """Natural logarithm of the density of this reading off a coin that is not in the records.

    >>> log_elsewhere("diameter", 22.0) > log_elsewhere("diameter", 60.0)
    True
    """
    centre, spread = DENSITY_ELSEWHERE if measure == "density" else MODELS[measure].elsewhere
    log = math.log(value)
    density = math.exp(-0.5 * ((log - centre) / spread) ** 2) / (value * spread * _ROOT)
    return math.log(max(density, TINY))
