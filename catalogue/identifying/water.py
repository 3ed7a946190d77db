"""A weighing in water as the page asks for it, and what it tells of the metal."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from django.utils.translation import gettext as _

from series.identifying.evidence import Measured
from series.measuring.agreement import (
    Agreement,
    TooCoarse,
    agreement,
    too_coarse,
    too_coarse_words,
)
from series.measuring.weighing import (
    DENSEST_METAL,
    LIGHTEST_METAL,
    Conditions,
    Weighed,
    WeighingError,
    weigh_hanging,
    weigh_in_beaker,
    weighed_words,
)
from series.metal.material import described
from series.types.queries import compositions_in_records

ROOM, ROOM_WITHIN = 20.0, 3.0
"""The temperature taken where none is said, and how far it may be off, °C."""
MEASURED_WITHIN = 1.0
MOST_LISTED = 12
MOST_PAIRS = 3


@dataclass(frozen=True)
class Water:
    """What a weighing told; lists of compositions as they stand in the records."""

    weighed: Weighed
    mass: Measured
    told: Agreement
    pairs: tuple[TooCoarse, ...]

    @property
    def words(self) -> str:
        return weighed_words(self.weighed)

    @property
    def density(self) -> float | None:
        """In g/cm³; None where the scale is too coarse to say, or no coin can have it."""
        known = not math.isinf(self.weighed.most) and not self.impossible
        return self.weighed.density if known else None

    @property
    def impossible(self) -> str:
        """Where no coin can have the density, what else may be meant; "" where one may."""
        if self.weighed.most < LIGHTEST_METAL:
            return _("If it hung in a beaker that stands on the scale, say so under “It hangs”.")
        if self.weighed.least > DENSEST_METAL:
            return _("If it hung from the scale itself, say so under “It hangs”.")
        return ""

    def as_evidence(self) -> dict[str, str]:
        """The density and half its range of 95 %, as fields of the evidence."""
        half = (self.weighed.most - self.weighed.least) / 2
        return {
            "density": f"{self.weighed.density:.3f}",
            "density_within": f"{min(half, self.weighed.density / 2.01):.3f}",
        }

    @property
    def agreeing(self) -> list[str]:
        """In plain words, each once; at most ``MOST_LISTED``."""
        return metals_named(self.told)[:MOST_LISTED]

    @property
    def more_agreeing(self) -> int:
        return max(0, len(metals_named(self.told)) - MOST_LISTED)

    @property
    def coarse(self) -> list[str]:
        named = (
            replace(pair, lighter=_named(pair.lighter), denser=_named(pair.denser))
            for pair in self.pairs
        )
        return list(dict.fromkeys(too_coarse_words(pair) for pair in named))


def metals_named(told: Agreement) -> list[str]:
    """The metals that agree, in plain words, each once."""
    return list(dict.fromkeys(_named(each.composition) for each in told.agree))


def _named(composition: str) -> str:
    return described(composition) or composition


def weigh(texts: Mapping[str, str], mass: Measured | None) -> tuple[Water | None, dict[str, str]]:
    """The weighing that the texts describe, if any, and what is wrong with them by field.

    Runs one query, and only where both readings can be read.
    """
    if not texts.get("water"):
        return None, {}
    wrong: dict[str, str] = {}
    reading = _number(texts["water"])
    if reading is None:
        wrong["water"] = _("Write what the scale reads in grams, such as 6.96.")
    if mass is None:
        wrong["water"] = _("Weigh it in air too, and write that under “Mass”: both are needed.")
    temperature, spread = ROOM, ROOM_WITHIN
    if said := texts.get("temperature"):
        spread = MEASURED_WITHIN
        found = _number(said)
        if found is None or not 0 <= found <= 40:
            wrong["temperature"] = _("Write the temperature of the water in °C, from 0 to 40.")
        else:
            temperature = found
    if wrong or reading is None or mass is None:
        return None, wrong
    try:
        weighed = _weighed(texts.get("water_how", ""), mass, reading, temperature, spread)
    except WeighingError as error:
        return None, {"water": str(error)}
    return _told(weighed, mass), {}


def _weighed(how: str, mass: Measured, reading: float, at: float, spread: float) -> Weighed:
    conditions = Conditions(within_g=mass.within, temperature=at, temperature_within=spread)
    if how == "beaker":
        return weigh_in_beaker(mass.value, reading, conditions)
    return weigh_hanging(mass.value, reading, conditions)


def _told(weighed: Weighed, mass: Measured) -> Water:
    told = agreement(weighed.least, weighed.most, compositions_in_records())
    # Of many that agree, the lightest and the densest are the easiest to tell apart.
    half = MOST_LISTED // 2
    some = told.agree if len(told.agree) <= 2 * half else told.agree[:half] + told.agree[-half:]
    pairs = too_coarse(weighed, Agreement(some, (), ()))[:MOST_PAIRS]
    return Water(weighed, mass, told, pairs)


def _number(text: str) -> float | None:
    plain = text.casefold().replace(",", ".").removesuffix("g").removesuffix("°c").strip()
    try:
        found = float(plain)
    except ValueError:
        return None
    return found if math.isfinite(found) else None
