"""The density of water from its temperature.

What is computed: the density in g/cm³ of clean, air-free water at 101.325 kPa, from 0 to 40 °C.
Source: M. Tanaka, G. Girard, R. Davis, A. Peuto and N. Bignell, Recommended table for the density
of water between 0 °C and 40 °C based on recent experimental reports, Metrologia 38 (2001)
301–309, the formula that the CIPM recommends; its constants are from memory and are compared
with IAPWS-95 in tests/outside/test_water.py. The paper's own uncertainty is below 1 part in a
million (from memory); water with air in it is lighter by at most 5 parts in a million, tap water
heavier by up to some hundred.

>>> f"{water_density(20):.6f}", f"{water_density(3.983035):.6f}"
('0.998207', '0.999975')
"""

from __future__ import annotations

from decimal import Decimal

COLDEST, WARMEST = 0, 40
"""The temperatures of the formula, °C."""
UNCERTAINTY = 1e-6
"""Standard uncertainty of the formula in g/cm³ for clean water, rounded up."""


def water_density(temperature: float | Decimal) -> float:
    """Density in g/cm³ at a temperature in °C; ValueError outside 0 to 40 °C.

    >>> water_density(60)
    Traceback (most recent call last):
    ValueError: Water of 60 °C is outside 0 to 40 °C: let it come to the room's temperature.
    """
    t = float(temperature)
    if not COLDEST <= t <= WARMEST:
        raise ValueError(
            f"Water of {temperature} °C is outside {COLDEST} to {WARMEST} °C: let it come to the "
            "room's temperature."
        )
    drop = (t - 3.983035) ** 2 * (t + 301.797) / (522528.9 * (t + 69.34881))
    return 0.999974950 * (1 - drop)
