"""Which compositions a measured range of density agrees with, and when it cannot tell.

What is computed: for a range of density in g/cm³ and compositions in the notation of
``series.metal.compositions``, which agree (the range meets what a real piece of that composition
may have, ``series.measuring.real_density``), which do not, and of which nothing is known. Of a
weighing (``series.measuring.weighing``) also which of those that agree a finer scale could tell
apart, and how fine it must be. Agreement is no proof: it says what is not ruled out.

>>> from series.measuring.weighing import Conditions, weigh_hanging
>>> found = weigh_hanging(7.78, 6.96, Conditions(within_g=0.05, temperature=21))
>>> told = agreement(found.least, found.most, ["silver 800", "gold 22 carat", "Cu75Ni25"])
>>> [each.composition for each in told.agree], [each.composition for each in told.disagree]
(['Cu75Ni25', 'silver 800'], ['gold 22 carat'])
>>> too_coarse_words(too_coarse(found, told)[0])
'The scale is too coarse to tell “Cu75Ni25” from “silver 800”: read to ± 0.02 g it could.'
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations

from series.measuring.real_density import real_density
from series.measuring.weighing import Weighed, scale_needed
from series.metal.compositions import build_of


@dataclass(frozen=True)
class DensityOf:
    """A composition with the least and most density of a real piece, g/cm³."""

    composition: str
    least: float
    most: float


@dataclass(frozen=True)
class Agreement:
    """Compositions by the lower end of their density; ``unknown`` have none."""

    agree: tuple[DensityOf, ...]
    disagree: tuple[DensityOf, ...]
    unknown: tuple[str, ...]


def agreement(least: float, most: float, compositions: Iterable[str]) -> Agreement:
    """Sort compositions by whether a density between least and most, g/cm³, can be theirs."""
    if not 0 < least <= most:
        raise ValueError("A density lies above nothing, its least before its most.")
    known: list[DensityOf] = []
    unknown: list[str] = []
    for composition in dict.fromkeys(compositions):
        build = build_of(composition)
        found = real_density(build) if build else None
        if found is None:
            unknown.append(composition)
        else:
            known.append(DensityOf(composition, *found))
    known.sort(key=lambda each: (each.least, each.most, each.composition))
    agree = tuple(each for each in known if each.least <= most and least <= each.most)
    return Agreement(agree, tuple(each for each in known if each not in agree), tuple(unknown))


@dataclass(frozen=True)
class TooCoarse:
    """Two compositions that both agree, though their densities differ.

    ``within_g`` is how finely, in ± grams, readings would have to be known to rule one out;
    None where no scale would do with this drift and thermometer.
    """

    lighter: str
    denser: str
    within_g: float | None


def too_coarse(weighed: Weighed, told: Agreement) -> tuple[TooCoarse, ...]:
    """The pairs that agree though their densities do not meet, the easiest to tell first."""
    pairs = [
        TooCoarse(one.composition, other.composition, scale_needed(weighed, one.most, other.least))
        for one, other in combinations(told.agree, 2)
        if one.most < other.least
    ]
    return tuple(sorted(pairs, key=lambda pair: -(pair.within_g or 0)))


def agreement_words(told: Agreement) -> str:
    """What agrees and what does not, in a sentence or two.

    >>> agreement_words(agreement(10.2, 10.5, ["silver 900", "Cu75Ni25", "gold 22 carat"]))
    'Agrees with “silver 900”. Does not agree with “Cu75Ni25”, “gold 22 carat”.'
    >>> agreement_words(agreement(1.0, 1.1, ["Zn"]))
    'Agrees with none. Does not agree with “Zn”.'
    """
    said = [f"Agrees with {_quoted(each.composition for each in told.agree) or 'none'}."]
    if told.disagree:
        said.append(f"Does not agree with {_quoted(e.composition for e in told.disagree)}.")
    if told.unknown:
        said.append(f"No density is known of {_quoted(told.unknown)}.")
    return " ".join(said)


def _quoted(compositions: Iterable[str]) -> str:
    return ", ".join(f"“{each}”" for each in compositions)


def too_coarse_words(pair: TooCoarse) -> str:
    """What the scale cannot tell, in a sentence."""
    said = f"The scale is too coarse to tell “{pair.lighter}” from “{pair.denser}”"
    if pair.within_g is None:
        return f"{said}, and a finer one would not help: keep the zero and the temperature steady."
    return f"{said}: read to ± {_down_to_one_figure(pair.within_g)} g it could."


def _down_to_one_figure(value: float) -> str:
    places = -math.floor(math.log10(value))
    step = 10.0**-places
    return f"{math.floor(value / step + 1e-9) * step:.{max(0, places)}f}"
