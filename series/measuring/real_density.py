"""The density that a real piece of a composition may have, to compare with one that was measured.

What is computed: a least and a most density in g/cm³ at 20 °C for a build. ``series.metal.metals``
takes volumes to add, which is near enough for silver, gold, bronze and copper-nickel; but zinc
and aluminium dissolved in copper take less room than they do alone (brass of 30 % zinc is
8.53, not 8.32), and austenitic steel packs closer than iron. So the range reaches from volumes
that add to volumes as dissolved, and by 1 % beyond at both ends for pores, other elements and
handbooks that differ.

Sources: the room that zinc, aluminium and iron take when dissolved is worked back from handbook
densities of wrought alloys, from memory: Cu70Zn30 8.53, Cu85Zn15 8.75, Cu90Zn10 8.80, Cu95Al5
8.17, Cu92Al8 7.78, steel with 18 % chromium and 9 % nickel 7.93 g/cm³. The slack of 1 % is
common practice, no source.

>>> from series.metal.compositions import parse_composition
>>> "{:.2f} to {:.2f}".format(*real_density(parse_composition("Cu70Zn30")))
'8.24 to 8.61'
>>> "{:.2f} to {:.2f}".format(*real_density(parse_composition("Cu75Ni25")))
'8.86 to 9.03'
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from series.metal.alloys import Alloy
from series.metal.compositions import Build
from series.metal.elements import DENSITY
from series.metal.metals import density, sum_over

SLACK = 0.01
"""How far a real piece may lie beyond the range, of one; common practice, no source."""

_IN_COPPER = {"Zn": Fraction("7.65"), "Al": Fraction("3.07")}
_IRON_IN_AUSTENITE = Fraction("8.03")


@lru_cache(maxsize=8192)
def real_density(build: Build) -> tuple[float, float] | None:
    """Least and most density in g/cm³ of a real piece; None where a material is not known."""
    adding = density(build)
    dissolved = sum_over(build, lambda alloy, symbol: 1 / _as_dissolved(alloy, symbol))
    if adding is None or dissolved is None:
        return None
    least = min(adding[0], float(1 / dissolved[1]))
    most = max(adding[1], float(1 / dissolved[0]))
    return least * (1 - SLACK), most * (1 + SLACK)


def _as_dissolved(alloy: Alloy, symbol: str) -> Fraction:
    if symbol in _IN_COPPER and alloy.share("Cu")[1] >= Fraction(1, 2):
        return _IN_COPPER[symbol]
    if symbol == "Fe" and alloy.share("Cr")[1] >= Fraction("0.105"):
        nickel, manganese = alloy.share("Ni")[1], alloy.share("Mn")[1]
        if nickel >= Fraction("0.08") or manganese >= Fraction("0.05"):
            return _IRON_IN_AUSTENITE
    return Fraction(str(DENSITY[symbol]))
