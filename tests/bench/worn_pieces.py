"""Worn pieces and careless people: a noise model to measure identification by.

What is drawn: a type by the prior, how worn its piece is (one of four grades), who looks at it
(careful or careless, each as often), how far off that person's callipers are; then, for each kind
of evidence, what is written down, or that nothing can be read. ``worn_measures``, ``worn_looks``
and ``worn_letters`` say how. None of it is taken from the likelihoods in ``series.identifying``:
those know no grade that goes through all the evidence, no person, and other noise.

What is computed: the exact probability of everything so drawn given each type, with grade, bias and
person summed out (``Noise.log_likelihood``). With the same prior it gives the posterior that no
one can better who knows the true noise: the yardstick. Of a person who looked and could read
nothing, the yardstick knows so; ``series.identifying`` is told nothing of it.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import worn_looks as looks
from worn_letters import Legends, Years
from worn_measures import (
    BIASES,
    CALLIPER_OFF,
    GRADES,
    Floats,
    Measure,
    Seen,
    Weighed,
    ways_of_measuring,
)

from series.identifying.facts import RankedType
from series.metal.metals import density

GRADE_SHARES = (0.2, 0.35, 0.3, 0.15)
OBSERVERS = ("careful", "careless")
BIAS_SHARES = np.array(CALLIPER_OFF[1]) / 10

GIVEN: Mapping[str, float] = {
    "diameter": 6, "colour": 6, "legend": 6, "mass": 4, "denomination": 4, "year": 4, "motif": 3,
    "country": 3, "magnet": 2, "edge": 2, "thickness": 1.5, "outline": 2, "rings": 1, "hole": 1,
    "script": 1, "sound": 0.5, "panel": 0.3, "density": 0.3,
}  # fmt: skip
"""How readily a collector puts in a kind of evidence."""
LEAST_GIVEN, MOST_GIVEN = 2, 7


@dataclass(frozen=True)
class Piece:
    """A piece of type ``number`` (its place among the facts) and what was seen of it."""

    number: int
    grade: int
    observer: int
    seen: Mapping[str, Seen]

    @property
    def texts(self) -> dict[str, str]:
        """What is put in: fields of ``series.identifying.evidence``."""
        return dict(itertools.chain.from_iterable(each for each in self.seen.values() if each))


class Noise:
    """The noise for these types; ``weights`` is their prior, up to a factor."""

    def __init__(self, facts: Sequence[RankedType], weights: Floats) -> None:
        self.facts = facts
        self.prior = weights / weights.sum()

        def standards(name: str) -> Floats:
            given = (getattr(each, name) for each in facts)
            return np.array([np.nan if each is None else each for each in given], dtype=float)

        builds = [looks.build_of(each) for each in facts]
        ranges = [(density(each) if each else None) or (np.nan, np.nan) for each in builds]
        ways = [ways_of_measuring(each.outline, each.sides or 0) for each in facts]
        self.kinds: dict[str, Measure | Weighed | looks.Table | Legends | Years] = {
            "diameter": Measure("diameter", standards("diameter_mm"), ways),
            "mass": Measure("mass", standards("mass_g")),
            "thickness": Measure("thickness", standards("thickness_mm")),
            "density": Weighed(np.array(ranges, dtype=float)),
            "colour": looks.Table(facts, looks.colours),
            "magnet": looks.Table(facts, looks.magnet),
            "sound": looks.Table(facts, looks.sound),
            "outline": looks.Table(facts, looks.outlines),
            "rings": looks.Table(facts, looks.rings),
            "hole": looks.Table(facts, looks.hole),
            "panel": looks.Table(facts, looks.panel),
            "edge": looks.Table(facts, looks.edges),
            "script": looks.Table(facts, looks.scripts),
            "motif": looks.Table(facts, looks.motifs_among(facts)),
            "country": looks.Table(facts, looks.countries_among(facts)),
            "denomination": looks.Table(facts, looks.denominations_among(facts)),
            "legend": Legends(facts),
            "year": Years(facts),
        }

    def draw(self, lot: random.Random, kinds: Sequence[str], number: int | None = None) -> Piece:
        """One piece (of type ``number``, else by the prior), looked at for each of ``kinds``."""
        if number is None:
            number = lot.choices(range(len(self.facts)), self.prior.tolist())[0]
        grade = lot.choices(range(GRADES), GRADE_SHARES)[0]
        observer = lot.randrange(len(OBSERVERS))
        bias = lot.choices(range(BIASES), BIAS_SHARES[observer].tolist())[0]
        seen = {kind: self.kinds[kind].draw(lot, number, grade, observer, bias) for kind in kinds}
        return Piece(number, grade, observer, seen)

    def log_likelihood(self, seen: Mapping[str, Seen], observer: int | None = None) -> Floats:
        """Natural logarithm of P(seen) for each type; of a known observer, or of either."""
        if observer is None:
            either = [self.log_likelihood(seen, each) for each in range(len(OBSERVERS))]
            both: Floats = np.logaddexp.reduce(either) - np.log(len(OBSERVERS))
            return both
        shares = np.array(GRADE_SHARES)[:, None] * BIAS_SHARES[observer]
        chances = np.repeat(shares[:, :, None], len(self.facts), axis=2)
        for kind, each in seen.items():
            chances = chances * self.kinds[kind].chances(each, observer)
        with np.errstate(divide="ignore"):
            logs: Floats = np.log(chances.sum(axis=(0, 1)))
        return logs

    def posterior(self, seen: Mapping[str, Seen], observer: int | None = None) -> Floats:
        """The exact posterior over the types under this noise."""
        logs = self.log_likelihood(seen, observer)
        logs = np.where(self.prior > 0, np.log(np.maximum(self.prior, 1e-300)) + logs, -np.inf)
        chances = np.exp(logs - logs.max())
        posterior: Floats = chances / chances.sum()
        return posterior


def some_kinds(lot: random.Random) -> list[str]:
    """The kinds of evidence that a collector happens to give of one piece."""
    left, found = dict(GIVEN), []
    for _ in range(lot.randint(LEAST_GIVEN, MOST_GIVEN)):
        found.append(lot.choices([*left], [*left.values()])[0])
        del left[found[-1]]
    return found
