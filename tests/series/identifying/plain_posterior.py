"""The posterior of the ranking written down plainly: loops, one number at a time.

The likelihoods here are written from what the modules state (measures, readings, weighing), with
their stated figures as the only thing taken over. Tables of what is called what (outline, hole,
colour, magnet, edge …) are figures too; their sums have tests of their own. What a date may mean is
read by ``series.years``. Legends are left to ``tests/series/legends/test_exact_chances.py``.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from series.identifying import classes, measures, readings, table, weighing
from series.identifying.evidence import CHOICES, Evidence
from series.identifying.facts import RankedIssue, RankedType
from series.measuring.edges import edge_chances
from series.measuring.real_density import real_density
from series.measuring.signs import colour_chances, magnet_chances, sound_chances
from series.metal.compositions import parse_composition
from series.years.readings import read_year

Chance = float | None
"""Of one type; None where its record says nothing."""


def normal(value: float, mean: float, spread: float) -> float:
    return math.exp(-(((value - mean) / spread) ** 2) / 2) / (spread * math.sqrt(2 * math.pi))


def reading_off(
    measure: str, value: float, within: float, standard: float, remedy: Chance
) -> float:
    """Struck to the standard, worn by one of some shares, read within; or grossly mistaken."""
    model = measures.MODELS[measure]
    struck = model.strike * standard if remedy is None else remedy / 2
    spread = math.hypot(struck, within)
    worn = sum(many * normal(value, standard * (1 - lost), spread) for lost, many in model.wear)
    mistake = normal(value, standard, model.mistake_spread * standard + within)
    total = (1 - model.mistaken) * worn + model.mistaken * mistake
    return max(total, measures.TINY)


def of_diameter(facts: RankedType, evidence: Evidence) -> Chance:
    read = evidence.diameter
    assert read is not None
    if facts.diameter_mm is None:
        return None
    whole = reading_off("diameter", read.value, read.within, facts.diameter_mm, None)
    if facts.outline == "square":  # corners are a little rounded
        across = facts.diameter_mm * (1 + 0.8 * (math.sqrt(2) - 1))
    elif facts.outline == "polygon" and facts.sides:
        flats = facts.diameter_mm * math.cos(math.pi / facts.sides)
        across = flats if facts.sides % 2 == 0 else (facts.diameter_mm + flats) / 2
    else:
        return whole
    other = reading_off("diameter", read.value, read.within, across, None)
    return (1 - weighing.SECOND_WIDTH) * whole + weighing.SECOND_WIDTH * other


def of_mass(facts: RankedType, evidence: Evidence) -> Chance:
    read = evidence.mass
    assert read is not None
    if facts.mass_g is None:
        return None
    return reading_off("mass", read.value, read.within, facts.mass_g, facts.remedy_g)


def of_thickness(facts: RankedType, evidence: Evidence) -> Chance:
    read = evidence.thickness
    assert read is not None
    if facts.thickness_mm is None:
        return None
    return reading_off("thickness", read.value, read.within, facts.thickness_mm, None)


def of_density(facts: RankedType, evidence: Evidence) -> Chance:
    read = evidence.density
    assert read is not None
    found = real_density(parse_composition(facts.composition)) if facts.composition else None
    if found is None:
        return None
    low, high = found
    middle, many = (low + high) / 2, measures.DENSITY_POINTS
    points = [low + (high - low) * (2 * k + 1) / (2 * many) for k in range(many)]
    true = sum(
        normal(read.value, point, math.hypot(measures.DENSITY_SPREAD * point, read.within))
        for point in points
    )
    wide = measures.DENSITY_MISTAKE_SPREAD * middle + read.within
    mistaken = measures.DENSITY_MISTAKEN
    total = (1 - mistaken) * true / many + mistaken * normal(read.value, middle, wide)
    return max(total, measures.TINY)


def named(chances: Mapping[str, float] | None, seen: str) -> Chance:
    return None if chances is None else chances[seen]


def of_metal(
    how: Callable[..., Mapping[str, float] | None], facts: RankedType, seen: str
) -> Chance:
    return named(how(parse_composition(facts.composition)) if facts.composition else None, seen)


def of_rings(facts: RankedType, evidence: Evidence) -> Chance:
    if not facts.composition and not facts.ring_mm:
        return None
    two = facts.ring_mm or parse_composition(facts.composition).kind == "ring and centre"
    return classes.rings_chances("ring and centre" if two else "one metal")[evidence.rings]


def of_sides(facts: RankedType, said: int) -> Chance:
    if facts.outline in ("round", "square"):
        return 1 / classes.SIDES_COUNTED
    if facts.sides is None:
        return None
    off = abs(facts.sides - said)
    if off == 0:
        return classes.SIDES_RIGHT
    if off == 1:
        return classes.SIDES_ONE_OFF
    rest = 1 - classes.SIDES_RIGHT - 2 * classes.SIDES_ONE_OFF
    return rest / (classes.SIDES_COUNTED - 3)


def of_date(issue: RankedIssue, said: str) -> float:
    """Western figures: each right or one of nine others; or the civil year instead."""
    digits = issue.shown.translate({0x660 + k: str(k) for k in range(10)})
    chance = readings.DATE_FLOOR
    if len(digits) == len(said):
        product = 1.0
        for read, true in zip(said, digits, strict=True):
            if read != "?":
                right = readings.DIGIT_RIGHT
                product *= right if read == true else (1 - right) / 9
        chance = max(chance, product)
    years = {
        year
        for each in read_year(said)
        if each.calendar in ("civil", "julian")
        for year in range(each.civil_from, each.civil_to + 1)
    }
    assert issue.struck_from is not None
    assert issue.struck_to is not None
    if years & set(range(issue.struck_from, issue.struck_to + 1)):
        chance = max(chance, readings.CONVERTED)
    return chance


def of_year(facts: RankedType, evidence: Evidence) -> Chance:
    if not facts.issues:
        return None
    weights = [1.0 if each.common else table.UNCOMMON_ISSUE for each in facts.issues]
    chances = [of_date(each, evidence.year) for each in facts.issues]
    total = sum(w * c for w, c in zip(weights, chances, strict=True)) / sum(weights)
    return max(total, measures.TINY)


def others(most: int, known: int) -> int:
    return max(readings.FEWEST_OTHERS, min(most, known - 1))


def value_words(name: str) -> list[str]:
    """Words of our names of values; all of these have their number as a word of its own."""
    return name.split()


def of_denomination(facts: RankedType, evidence: Evidence, every: Sequence[RankedType]) -> Chance:
    known = {word for each in every for word in value_words(each.denomination)}
    wrong = (1 - readings.VALUE_RIGHT) / others(readings.OTHER_WORDS, len(known))
    words = value_words(facts.denomination)
    chance = 1.0
    for said in evidence.denomination.split():
        chance *= readings.VALUE_RIGHT / len(words) if said in words else wrong
    return chance


def of_script(facts: RankedType, evidence: Evidence) -> Chance:
    scripts = {each.script for each in facts.legends}
    if not scripts:
        return None
    if evidence.script in scripts:
        return readings.SCRIPT_RIGHT / len(scripts)
    return (1 - readings.SCRIPT_RIGHT) / readings.OTHER_SCRIPTS


def of_motif(facts: RankedType, evidence: Evidence, every: Sequence[RankedType]) -> Chance:
    if not facts.motifs:
        return None
    known = {motif for each in every for motif in each.motifs}
    chance = 1.0
    for said in evidence.motifs:
        if any(said in motif.split() for motif in facts.motifs):
            chance *= readings.MOTIF_RIGHT / len(facts.motifs)
        else:
            chance *= (1 - readings.MOTIF_RIGHT) / others(readings.OTHER_MOTIFS, len(known))
    return chance


def of_country(facts: RankedType, evidence: Evidence, every: Sequence[RankedType]) -> Chance:
    if set(evidence.countries) & set(facts.countries):
        return readings.COUNTRY_RIGHT
    known = {each.countries for each in every}
    return (1 - readings.COUNTRY_RIGHT) / others(readings.OTHER_COUNTRIES, len(known))


def likelihoods(kind: str, evidence: Evidence, every: Sequence[RankedType]) -> list[Chance]:
    seen = getattr(evidence, kind, "")
    one: dict[str, Callable[[RankedType], Chance]] = {
        "diameter": lambda each: of_diameter(each, evidence),
        "mass": lambda each: of_mass(each, evidence),
        "thickness": lambda each: of_thickness(each, evidence),
        "density": lambda each: of_density(each, evidence),
        "colour": lambda each: of_metal(colour_chances, each, seen),
        "magnet": lambda each: of_metal(magnet_chances, each, seen),
        "sound": lambda each: of_metal(sound_chances, each, seen),
        "outline": lambda each: classes.outline_chances(each.outline)[seen] if seen else 1.0,
        "rings": lambda each: of_rings(each, evidence),
        "hole": lambda each: classes.hole_chances(each.hole)[seen],
        "panel": lambda each: classes.panel_chances(each.panel)[seen],
        "edge": lambda each: named(edge_chances(each.edge) if each.edge else None, seen),
        "year": lambda each: of_year(each, evidence),
        "denomination": lambda each: of_denomination(each, evidence, every),
        "script": lambda each: of_script(each, evidence),
        "motif": lambda each: of_motif(each, evidence, every),
        "country": lambda each: of_country(each, evidence, every),
    }
    found = [one[kind](each) for each in every]
    if kind == "outline" and evidence.sides is not None:
        counted = [of_sides(each, evidence.sides) for each in every]
        known = [
            (c, table.WEIGHT[e.purpose])
            for c, e in zip(counted, every, strict=True)
            if c is not None
        ]
        mean = sum(chance * weight for chance, weight in known) / sum(w for _, w in known)
        pairs = zip(found, counted, strict=True)
        found = [a * (mean if b is None else b) for a, b in pairs if a is not None]
    return found


def of_anything(kind: str, evidence: Evidence) -> float:
    """A coin that is not in the records: the sizes coins have, any class, any word."""
    if kind in ("diameter", "mass", "thickness", "density"):
        value = getattr(evidence, kind).value
        model = measures.MODELS.get(kind)
        centre, spread = model.elsewhere if model else measures.DENSITY_ELSEWHERE
        return normal(math.log(value), centre, spread) / value
    if kind in CHOICES:
        sides = classes.SIDES_COUNTED if kind == "outline" and evidence.sides else 1
        return 1 / (len(CHOICES[kind]) if getattr(evidence, kind) else 1) / sides
    if kind == "year":
        years = {
            year
            for each in read_year(evidence.year)
            for year in range(each.civil_from, each.civil_to + 1)
        }
        return min(1.0, len(years) / readings.YEARS_ELSEWHERE)
    most = {
        "denomination": readings.OTHER_WORDS ** len(evidence.denomination.split()),
        "script": readings.OTHER_SCRIPTS,
        "motif": readings.OTHER_MOTIFS ** len(evidence.motifs),
        "country": readings.OTHER_COUNTRIES,
    }
    return 1 / most[kind]


def plainly(
    every: Sequence[RankedType],
    evidence: Evidence,
    none_prior: float = weighing.PRIOR_NONE,
    eligible: Sequence[bool] | None = None,
) -> tuple[list[float], float]:
    """Prior × product of likelihoods, summing to one with none of these."""
    weights = [table.WEIGHT[each.purpose] for each in every]
    if eligible is not None:
        weights = [w * e for w, e in zip(weights, eligible, strict=True)]
    whole = sum(weights)
    logs = [math.log((1 - none_prior) * w / whole) if w else -math.inf for w in weights]
    none = math.log(none_prior)
    for kind in evidence.given:
        found = likelihoods(kind, evidence, every)
        known = [(w, c) for w, c in zip(weights, found, strict=True) if c is not None and w]
        if not known:
            continue
        mean = sum(w * c for w, c in known) / sum(w for w, _ in known)
        logs = [a + math.log(mean if c is None else c) for a, c in zip(logs, found, strict=True)]
        elsewhere = of_anything(kind, evidence)
        if kind in ("diameter", "mass", "thickness", "density", "year"):
            none += math.log(elsewhere)
        else:
            like = weighing.ELSEWHERE_LIKE_RECORDS
            none += math.log(like * mean + (1 - like) * elsewhere)
    top = max(none, *logs)
    chances = [math.exp(each - top) for each in logs]
    total = sum(chances) + math.exp(none - top)
    return [each / total for each in chances], math.exp(none - top) / total
