"""The density of a piece weighed in air and in water, and how well the scale knows it.

What is computed: density in g/cm³ from two readings in grams, its standard uncertainty and a
95 % range. Two set-ups, one arithmetic (Archimedes): hung on a thread from the scale, the piece
pulls less in water; hung on a thread into a beaker that stands on the scale, it makes the scale
read more. Either way the difference D is the water it displaces, less the air it displaced:

    density = air + (water − air) × reading in air ÷ D

with the density of water at its temperature (``series.measuring.water``) and of air, about
0.0012 g/cm³ in a room (from memory). Without the air the answer would be about 0.1 % too high.

Uncertainty, after the Guide to the Expression of Uncertainty in Measurement (JCGM 100:2008):
each reading is off by at most ``within_g`` either way, all places alike (standard uncertainty
within_g ÷ √3); likewise the zero's drift and the thermometer. The range holds 95 % of such
weighings: so many standard uncertainties of D over the mass, which is where the errors sit,
turned into densities, so that it reaches further up than down. How many, from 1.645 for one such
error to 1.96 for a mixture of many, follows from their kurtosis (``_how_many``). What is not in
it: bubbles, and the pull of the water's surface on the thread (a drop of detergent makes both
small).

>>> fine = Conditions(within_g=0.01, temperature=21)
>>> found = weigh_hanging(7.78, 6.96, fine)
>>> f"{found.density:.2f}, {found.least:.2f} to {found.most:.2f}"
'9.46, 9.29 to 9.63'
>>> f"{weigh_in_beaker(7.78, 0.82, fine).density:.2f}"
'9.46'
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from series.measuring.water import COLDEST, WARMEST, water_density
from series.text.words import number

Number = float | Decimal

AIR = 0.0012
"""Density of the air of a room, g/cm³."""
LEAST_G, MOST_G = 1e-6, 1e6
"""Grams that any scale for coins can show: what lies beyond is a slip of the pen."""
LIGHTEST_METAL, DENSEST_METAL = 2.5, 22.6
"""g/cm³: a little below aluminium, the lightest metal of coins, and osmium, the densest there is
(handbook values, from memory)."""
CAUTIONS = (
    "This authenticates nothing. It gives the density of the whole: tungsten is as dense as "
    "gold (19.3), and a plating, a filling or a mixture can be made to weigh right.",
    "Never weigh in water a piece in a holder, or one whose surface is fragile, patinated, "
    "porous or corroded: water gets in and stays, and changes the surface.",
    "Use distilled water at room temperature with one drop of detergent; shake off bubbles, "
    "let the piece touch neither the wall nor the floor of the glass. Afterwards rinse with "
    "distilled water and dry by dabbing with a soft cloth; never rub.",
    "For a piece of precious metal or of value ask a licensed assay office or a dealer. What "
    "may be sold as gold or silver, and hallmarks, are decided by local law.",
)


class WeighingError(ValueError):
    """Readings that cannot be; the message says what to do."""


@dataclass(frozen=True)
class Conditions:
    """How the two readings were made. Grams and °C.

    ``within_g`` is how far a reading may be off either way, half the last digit at best;
    ``drift_g`` how far the zero may have moved between the two, ``temperature_within`` how far
    the thermometer may be off.
    Raises WeighingError, or ValueError for water outside 0 to 40 °C.
    """

    within_g: Number
    temperature: Number
    temperature_within: Number = 1.0
    drift_g: Number = 0.0

    def __post_init__(self) -> None:
        if not LEAST_G <= float(self.within_g) <= MOST_G:
            raise WeighingError(
                "How finely the scale reads is in grams, more than nothing: write 0.01 for a "
                "scale whose last digit is hundredths."
            )
        if not (0 <= float(self.drift_g) <= MOST_G and 0 <= float(self.temperature_within) < 40):
            raise WeighingError(
                "The drift of the zero, in grams, and how far the thermometer may be off, in °C, "
                "are not below nothing: write 0 if there is none."
            )
        water_density(self.temperature)


@dataclass(frozen=True)
class Weighed:
    """What two readings tell. Densities in g/cm³; ``most`` is infinite where D may be nothing.

    ``uncertainty`` is the standard uncertainty of ``density``; ``least`` to ``most`` is the range
    of 95 %. ``scale_parts`` are the relative standard uncertainties that come from the readings,
    for each gram of ``within_g``; ``other_parts`` those of drift and temperature.
    """

    density: float
    uncertainty: float
    least: float
    most: float
    water_density: float
    within_g: float
    scale_parts: tuple[float, ...]
    other_parts: tuple[float, ...]


def weigh_hanging(
    air_g: Number, water_g: Number, conditions: Conditions, *, holder_g: Number | None = None
) -> Weighed:
    """Density of a piece that pulls ``air_g`` in air and ``water_g`` hanging in water.

    ``holder_g`` is what thread and holder alone read in water, where the scale was not set to
    zero with them in it. Raises WeighingError for readings that cannot be.
    """
    air = _reading_in_air(air_g)
    hung = float(water_g) - float(holder_g or 0)
    if not air - hung >= LEAST_G:
        raise WeighingError(
            f"{number(hung, 4)} g in water is not less than {number(air, 4)} g in air: every "
            "piece weighs less in water. Check which reading is which, and take off the thread and "
            "holder."
        )
    if hung < 0:
        raise WeighingError(
            f"{number(hung, 4)} g in water is below nothing: the piece floats, or the holder was "
            "taken off twice. Set the scale to zero with thread and holder in the water."
        )
    lost = air - hung
    # How the answer moves, relative to itself, with each gram of each reading.
    moves = [hung / (air * lost), 1 / lost]
    return _weighed(air, lost, moves, conditions, with_holder=holder_g is not None)


def weigh_in_beaker(
    air_g: Number, rise_g: Number, conditions: Conditions, *, holder_g: Number | None = None
) -> Weighed:
    """Density of a piece that weighs ``air_g`` and makes a beaker of water read ``rise_g`` more.

    The beaker stands on the scale, set to zero; the piece hangs in the water from something
    that does not stand on it, touching neither wall nor floor. ``holder_g`` is the rise that
    thread and holder make alone, as deep as with the piece.
    Raises WeighingError for readings that cannot be.
    """
    air = _reading_in_air(air_g)
    lost = float(rise_g) - float(holder_g or 0)
    if not lost >= LEAST_G:
        raise WeighingError(
            f"A rise of {number(lost, 4)} g is not above nothing: set the scale to zero with the "
            "beaker of water on it, then hang the whole piece in the water."
        )
    if lost > air:
        raise WeighingError(
            f"A rise of {number(lost, 4)} g is more than the {number(air, 4)} g in air: the "
            "piece floats, or it lies on the floor of the beaker. Let it hang free."
        )
    moves = [1 / air, 1 / lost]
    return _weighed(air, lost, moves, conditions, with_holder=holder_g is not None)


def _reading_in_air(air_g: Number) -> float:
    air = float(air_g)
    if not LEAST_G <= air <= MOST_G:
        raise WeighingError(
            "The reading in air is in grams, more than nothing and no more than a scale can show: "
            "write 7.78."
        )
    return air


def _weighed(
    air: float, lost: float, moves: list[float], conditions: Conditions, *, with_holder: bool
) -> Weighed:
    within = float(conditions.within_g)
    water = water_density(conditions.temperature)
    lift = water - AIR
    warmth = _spread_of_water(float(conditions.temperature), float(conditions.temperature_within))
    moves += [1 / lost] if with_holder else []
    scale_parts = tuple(move / math.sqrt(3) for move in moves)
    other_parts = tuple(
        part / math.sqrt(3) for part in (float(conditions.drift_g) / lost, warmth / lift)
    )
    parts = _parts(scale_parts, other_parts, within)
    reach = _reach(parts)
    ratio = lift * air / lost
    return Weighed(
        density=AIR + ratio,
        uncertainty=ratio * math.hypot(*parts),
        least=AIR + ratio / (1 + reach),
        most=AIR + ratio / (1 - reach) if reach < 1 else math.inf,
        water_density=water,
        within_g=within,
        scale_parts=scale_parts,
        other_parts=other_parts,
    )


def _parts(
    scale_parts: Sequence[float], other_parts: Sequence[float], within: float
) -> tuple[float, ...]:
    return (*(part * within for part in scale_parts), *other_parts)


def _reach(parts: Sequence[float]) -> float:
    """How far 95 % of the sums of such errors lie from nothing, from their standard deviations."""
    total = math.hypot(*parts)
    return _how_many(sum((part / total) ** 4 for part in parts)) * total if total else 0.0


def _how_many(peak: float) -> float:
    """Standard deviations on either side that hold 95 % of a sum of even errors.

    ``peak`` is Σu⁴ ÷ (Σu²)²: 1 for one error (0.95 × √3 = 1.645), 1/2 for two alike (a triangle:
    1.902), near 0 for many (normal: 1.960). The parabola through these three is right to 0.01
    between them: two errors as 2 to 1 make a trapezoid, 1.834 by its own geometry.

    >>> [round(_how_many(peak), 3) for peak in (1, 0.5, 0, 17 / 25)]
    [1.645, 1.902, 1.96, 1.832]
    """
    return 1.96 + 0.083 * peak - 0.398 * peak**2


def _spread_of_water(temperature: float, within: float) -> float:
    """Half the change of the water's density over the thermometer's uncertainty, g/cm³."""
    colder = water_density(max(COLDEST, temperature - within))
    return abs(colder - water_density(min(WARMEST, temperature + within))) / 2


def scale_needed(weighed: Weighed, lower: float, upper: float) -> float | None:
    """How finely, in ± grams, the readings must be known to tell two densities apart.

    The range of 95 % is then no wider than from ``lower`` to ``upper``, two densities in g/cm³.
    None where no scale would do, because drift or temperature alone spoil it.

    >>> coarse = weigh_hanging(7.78, 6.9, Conditions(within_g=0.05, temperature=20))
    >>> f"{scale_needed(coarse, 8.6, 8.86):.4f}"
    '0.0089'
    """
    if not 0 < lower < upper:
        raise ValueError("Two densities are wanted, the lower first.")
    # Both ends of the range, centre ÷ (1 ± r), reach from lower to upper for this r.
    wanted = (upper - lower) / (upper + lower)
    fine, coarse = 0.0, wanted / max(weighed.scale_parts)
    if _reach(weighed.other_parts) >= wanted:
        return None
    for _ in range(60):
        middle = (fine + coarse) / 2
        reach = _reach(_parts(weighed.scale_parts, weighed.other_parts, middle))
        fine, coarse = (middle, coarse) if reach < wanted else (fine, middle)
    return fine


def weighed_words(weighed: Weighed) -> str:
    """The result in a sentence, no finer than it is known; another where no coin can have it.

    >>> weighed_words(weigh_hanging(7.78, 6.96, Conditions(0.01, 21)))
    'Density 9.46 g/cm³, from 9.29 to 9.63 in 95 of 100 such weighings.'
    """
    return " ".join(filter(None, (_density_words(weighed), _doubt_words(weighed))))


def _doubt_words(weighed: Weighed) -> str:
    if weighed.least > DENSEST_METAL:
        return "No metal is as dense as that: check both readings, and hang the whole piece in."
    if weighed.most < LIGHTEST_METAL:
        return "No metal of coins is as light as that: check both readings, and shake off bubbles."
    return ""


def _density_words(weighed: Weighed) -> str:
    if math.isinf(weighed.most):
        return (
            f"Density at least {weighed.least:.1f} g/cm³: the scale is too coarse to say more "
            "of so small a piece."
        )
    places = max(0, min(3, -math.floor(math.log10(weighed.uncertainty))))
    low, mid, high = (
        f"{each:.{places}f}" for each in (weighed.least, weighed.density, weighed.most)
    )
    return f"Density {mid} g/cm³, from {low} to {high} in 95 of 100 such weighings."
