"""All types in columns, so that evidence is weighed against each of them at once.

What is computed: numpy arrays with an entry for each type, in the order given: measures in mm and
g (nan where not recorded), the number of a row of chances for what falls into classes (-1 where not
recorded), and for texts the numbers of the distinct texts. Texts that many types share are kept
once. The parts of a type that are lists (issues, motifs) lie end to end in one array, with the
place where each type's begin.

>>> facts = [RankedType(7, "a", "1 c", "Halvern", diameter_mm=18.0), RankedType(9, "b", "2", "X")]
>>> table = TypeTable.of(facts)
>>> len(table), table.ids.tolist(), table.standards["diameter"].value_of(0)
(2, [7, 9], 18.0)
"""

from __future__ import annotations

import math
from array import array
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from series.arrays import Floats, Ints, Mask
from series.coded import Coded, Coding, Listed
from series.identifying.classes import (
    Chances,
    hole_chances,
    matrix,
    outline_chances,
    panel_chances,
    rings_chances,
)
from series.identifying.columns import Classed, Standards
from series.identifying.evidence import CHOICES
from series.identifying.facts import RankedIssue, RankedType
from series.identifying.readings import denomination_words, words_of
from series.legends.index import LegendIndex
from series.measuring.edges import edge_chances
from series.measuring.real_density import real_density
from series.measuring.signs import colour_chances, magnet_chances, sound_chances
from series.metal.compositions import Build, build_of
from series.picture.outlines import panel
from series.text.words import years_text

WEIGHT = {"circulating": 1.0, "commemorative": 0.5, "pattern": 0.02}
"""How often a type of each purpose comes to hand, against a circulating one; no source."""
UNCOMMON_ISSUE = 0.05
"""The same for an issue that hardly circulated (proofs, sets only), against one that did."""
MOST_YEARS = 200
"""A type whose issues are not recorded may bear any of its years, if they are not more."""


@dataclass(frozen=True)
class TypeTable:
    """See the module. ``standards`` holds diameter, mass and thickness; ``metal_low`` and
    ``metal_high`` the density in g/cm³ of each row of ``metal``; ``spans`` the years in words;
    ``issues`` the dates (``Dated``) of each type's; ``every`` the number of each type itself, where
    each has a row of its own; ``numbers`` the number of each by its id.
    """

    ids: NDArray[np.int64]
    keys: list[str]
    labels: list[str]
    spans: list[str]
    weights: Floats
    everyones: Mask
    standards: dict[str, Standards]
    metal: Ints
    metal_low: Floats
    metal_high: Floats
    sides: NDArray[np.int16]
    classed: dict[str, Classed]
    country: Coded
    denomination: Coded
    script: Coded
    motifs: Listed
    issues: Listed
    issue_ids: NDArray[np.int64]
    issue_label: Coded
    issue_weights: Floats
    legends: LegendIndex

    def __len__(self) -> int:
        return len(self.ids)

    @property
    def not_everyones(self) -> NDArray[np.int64]:
        """Ids of the types that not every member may see."""
        return self.ids[~self.everyones]

    @cached_property
    def every(self) -> Ints:
        return np.arange(len(self), dtype=np.int32)

    @cached_property
    def numbers(self) -> dict[int, int]:
        return {type_id: number for number, type_id in enumerate(self.ids.tolist())}

    @cached_property
    def denomination_words(self) -> list[tuple[str, ...]]:
        return [denomination_words(name) for name in self.denomination.things]

    @cached_property
    def motif_words(self) -> list[tuple[str, ...]]:
        return [words_of(name) for name in self.motifs.things]

    @cached_property
    def has_sides(self) -> Mask:
        """Whether the outline is one whose sides, scallops or indentations can be counted."""
        outline = self.classed["outline"]
        round_one = np.array([each in ("round", "square") for each in outline.things] + [True])
        found: Mask = ~round_one[outline.rows]
        return found

    @classmethod
    def of(cls, facts: Iterable[RankedType]) -> TypeTable:
        """The table of these types; reads them once, one after the other."""
        return _Builder().read(facts).table()


class _Builder:
    """Gathers types one by one, then lays them out in arrays."""

    def __init__(self) -> None:
        self.ids = array("q")
        self.keys: list[str] = []
        self.labels: list[str] = []
        self.spans: list[str] = []
        self.weights, self.everyones = array("d"), array("b")
        self.measures = {name: array("d") for name in ("diameter", "mass", "thickness")}
        self.sides = array("h")
        self.classes = {kind: Coding() for kind in CHOICES}
        self.compositions = Coding()
        self.country, self.denomination, self.script = Coding(), Coding(), Coding()
        self.motifs, self.issues, self.legends = Coding(), Coding(), Coding()
        self.issue_ids, self.issue_weights = array("q"), array("d")
        self.issue_label = Coding()

    def read(self, facts: Iterable[RankedType]) -> _Builder:
        for each in facts:
            self.add(each)
        return self

    def add(self, facts: RankedType) -> None:
        self.ids.append(facts.id)
        self.keys.append(facts.key)
        self.labels.append(facts.label)
        self.spans.append(years_text(facts.first_year, facts.last_year))
        self.weights.append(WEIGHT.get(facts.purpose, 1.0))
        self.everyones.append(facts.everyones)
        none = math.nan
        width = _second_width(facts)
        self.measures["diameter"].extend((_number(facts.diameter_mm), none, width))
        self.measures["mass"].extend((_number(facts.mass_g), _number(facts.remedy_g), none))
        self.measures["thickness"].extend((_number(facts.thickness_mm), none, none))
        self.sides.append(facts.sides or -1)
        self._add_classes(facts)
        self.country.add((facts.country, facts.countries, facts.related))
        self.denomination.add(facts.denomination)
        self.script.add(tuple(sorted({each.script for each in facts.legends})))
        self.motifs.add_list(facts.motifs)
        self._add_issues(facts)
        self.legends.add_list(facts.legends)

    def _add_classes(self, facts: RankedType) -> None:
        self.compositions.add(facts.composition or None)
        build = build_of(facts.composition)
        rings = None
        if build is not None:
            rings = "ring and centre" if build.kind == "ring and centre" else "one metal"
        if facts.ring_mm:
            rings = "ring and centre"
        recorded = {
            "colour": facts.composition or None,
            "magnet": facts.composition or None,
            "sound": facts.composition or None,
            "outline": facts.outline or None,
            "rings": rings,
            "hole": facts.hole,
            "panel": panel(facts.panel)[0],
            "edge": facts.edge or None,
        }
        for kind, what in recorded.items():
            self.classes[kind].add(what)

    def _add_issues(self, facts: RankedType) -> None:
        issues = facts.issues or _issues_by_years(facts)
        total = sum(1.0 if each.common else UNCOMMON_ISSUE for each in issues)
        for each in issues:
            self.issue_ids.append(each.id)
            self.issue_label.add(each.label)
            self.issue_weights.append((1.0 if each.common else UNCOMMON_ISSUE) / total)
        self.issues.add_list(
            (each.shown, each.calendar, each.struck_from, each.struck_to) for each in issues
        )

    def table(self) -> TypeTable:
        lows, highs = self._densities()
        legends = self.legends.listed()
        self.legends = Coding()  # what is large goes first
        return TypeTable(
            ids=np.array(self.ids, np.int64),
            keys=self.keys,
            labels=self.labels,
            spans=self.spans,
            weights=np.array(self.weights, np.float64),
            everyones=np.array(self.everyones, np.bool_),
            standards={name: Standards.of(each) for name, each in self.measures.items()},
            metal=np.array(self.compositions.rows, np.int32),
            metal_low=lows,
            metal_high=highs,
            sides=np.array(self.sides, np.int16),
            classed={kind: self._classed(kind) for kind in CHOICES},
            country=self.country.coded(),
            denomination=self.denomination.coded(),
            script=self.script.coded(),
            motifs=self.motifs.listed(),
            issues=self.issues.listed(),
            issue_ids=np.array(self.issue_ids, np.int64),
            issue_label=self.issue_label.coded(),
            issue_weights=np.array(self.issue_weights, np.float64),
            legends=LegendIndex.of_listed(legends),
        )

    def _densities(self) -> tuple[Floats, Floats]:
        """Least and most density of each composition, and nan at the end for none."""
        builds = [build_of(each) for each in self.compositions.numbers]
        found = [
            (real_density(build) if build else None) or (math.nan, math.nan) for build in builds
        ]
        both = np.array([*found, (math.nan, math.nan)], np.float64)
        return both[:, 0], both[:, 1]

    def _classed(self, kind: str) -> Classed:
        coded = self.classes[kind].coded()
        chances = [*map(_CHANCES[kind], coded.things), None]
        return Classed(coded.things, coded.rows, CHOICES[kind], matrix(chances, CHOICES[kind]))


def _number(value: float | None) -> float:
    """A measure, or nan where none is recorded; nothing at all is no measure."""
    return float(value) if value else math.nan


def _second_width(facts: RankedType) -> float:
    """The width across the flats, or the diagonal of a square, in mm; nan where there is none."""
    if not facts.diameter_mm:
        return math.nan
    if facts.outline == "square":
        return facts.diameter_mm * (0.8 * math.sqrt(2) + 0.2)
    if facts.outline == "polygon" and facts.sides:
        flat = math.cos(math.pi / facts.sides)
        return facts.diameter_mm * (flat if facts.sides % 2 == 0 else (1 + flat) / 2)
    return math.nan


def _issues_by_years(facts: RankedType) -> tuple[RankedIssue, ...]:
    """A type without recorded issues may bear each of its years."""
    first, last = facts.first_year, facts.last_year
    if first is None or last is None or not 0 <= last - first < MOST_YEARS:
        return ()
    return tuple(RankedIssue(0, str(y), str(y), "civil", y, y) for y in range(first, last + 1))


def _of_build(chances: Callable[[Build], Chances | None]) -> Callable[[str], Chances | None]:
    def of(composition: str) -> Chances | None:
        build = build_of(composition)
        return chances(build) if build is not None else None

    return of


_CHANCES: dict[str, Callable[[Any], Chances | None]] = {
    "colour": _of_build(colour_chances),
    "magnet": _of_build(magnet_chances),
    "sound": _of_build(sound_chances),
    "outline": outline_chances,
    "rings": rings_chances,
    "hole": hole_chances,
    "panel": panel_chances,
    "edge": edge_chances,
}
