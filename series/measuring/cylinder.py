"""The density that mass, diameter and thickness imply.

What is computed: a range of density in g/cm³ from grams and millimetres. The thickness that a
calliper finds is that of the rim, so a round, rimmed modern coin fills only 0.82 to 0.92 of its
cylinder (common practice, no source; the euro pieces of Regulation (EU) No 729/2014, Annex I,
lie in it). It is a habit, not a bound: by published measures the United States dime fills 0.75,
and a scalloped, dished or rimless piece can lie outside either way, hence ``WIDE_FILL``. The
outline's own area is used for pieces that are not round (``series.picture.outlines``) and a hole is
taken off. How finely each measure was read (± so much, all places alike) is carried as two
standard uncertainties.

>>> fifty_cent = implied_density(
...     Read(7.80, 0.005), Read(24.25, 0.05), Read(2.38, 0.02)
... )
>>> f"{fifty_cent.cylinder:.2f}: {fifty_cent.least:.2f} to {fifty_cent.most:.2f}"
'7.10: 7.63 to 8.75'
>>> implied_words(fifty_cent)
'7.6 to 8.8 g/cm³, if it fills 0.82 to 0.92 of its cylinder as a round, rimmed coin does'
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal

from series.picture.outlines import outline_area

FILL = (0.82, 0.92)
"""Share of the cylinder of its rim that a round, rimmed modern coin fills."""
WIDE_FILL = (0.74, 0.98)
"""What nearly every piece fills, thin-fielded, worn or rimless; common practice, no source."""
COVERS = 2.0
"""Standard uncertainties of the measures on either side."""

OUTSIDE_THE_RULE = (
    "A scalloped, dished or rimless piece can lie outside this range, and so can a worn one: the "
    "rim wears first."
)


@dataclass(frozen=True)
class Read:
    """A figure and how far it may be off either way, in the same unit."""

    value: float | Decimal
    within: float | Decimal = 0.0

    @property
    def relative(self) -> float:
        """Standard uncertainty over the value, all places within alike."""
        return float(self.within) / float(self.value) / math.sqrt(3)


@dataclass(frozen=True)
class ImpliedDensity:
    """Densities in g/cm³: over the full cylinder, and from least to most through the fill."""

    cylinder: float
    least: float
    most: float
    fill: tuple[float, float]


def implied_density(
    mass_g: Read,
    diameter_mm: Read,
    thickness_mm: Read,
    *,
    outline: str = "round",
    sides: int = 0,
    hole: str = "",
    hole_mm: float | Decimal = 0.0,
    fill: tuple[float, float] = FILL,
) -> ImpliedDensity:
    """The range of density of a piece of this mass and size.

    ``outline``, ``sides`` and ``hole`` are those of ``series.picture.outlines``; ``hole_mm`` is the
    diameter of a round hole, the side of a square one; ``fill`` is FILL or WIDE_FILL.
    Raises ValueError for a measure that is not above nothing or a hole wider than the piece.
    """
    for name, read in (("mass", mass_g), ("diameter", diameter_mm), ("thickness", thickness_mm)):
        if not (float(read.value) > 0 and 0 <= float(read.within) < float(read.value)):
            raise ValueError(
                f"The {name} must be above nothing and known to less than itself, "
                f"not {read.value} ± {read.within}."
            )
    whole = outline_area(outline, float(diameter_mm.value), sides)
    open_area = outline_area(hole, float(hole_mm)) if hole and hole_mm else 0.0
    if open_area >= whole:
        raise ValueError(f"A hole of {hole_mm} mm leaves nothing of the piece: measure it again.")
    area = whole - open_area
    cylinder = float(mass_g.value) / (area * float(thickness_mm.value) / 1000)
    # The area grows as the square of the diameter; a hole stays as it is.
    size = 2 * diameter_mm.relative * whole / area
    reach = COVERS * math.hypot(mass_g.relative, size, thickness_mm.relative)
    least, most = cylinder / (1 + reach) / fill[1], cylinder * (1 + reach) / fill[0]
    return ImpliedDensity(cylinder, least, most, fill)


def implied_words(found: ImpliedDensity) -> str:
    """The range in words, to a tenth, rounded outwards."""
    low, high = math.floor(found.least * 10) / 10, math.ceil(found.most * 10) / 10
    said = f"{low:.1f} to {high:.1f} g/cm³, if it fills {found.fill[0]} to {found.fill[1]}"
    who = "a round, rimmed coin does" if found.fill == FILL else "nearly every struck piece does"
    return f"{said} of its cylinder as {who}"
