"""Looking at a worn piece: what people call what they see, with its exact probabilities.

Part of ``worn_pieces.py``, which says what for. Every kind here has a finite list of answers, so
its noise is a table: by observer, grade and type the chance of each answer. The shares are
invented for the benches, and go with grade and observer, as those of ``series`` do not.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Mapping, Sequence

import numpy as np
from worn_measures import GRADES, Floats, Seen, filled

from series.identifying.facts import RankedType
from series.measuring.edges import edge_kinds
from series.metal.alloys import CompositionError
from series.metal.compositions import Build, parse_composition
from series.metal.metals import colour, metal_name
from series.picture.outlines import panel as outline_of_panel

Chances = Mapping[Seen, float]
CAREFUL, CARELESS = 0, 1


class Table:
    """One kind of evidence of which the answers can be listed."""

    def __init__(
        self,
        facts: Sequence[RankedType],
        answers: Callable[[RankedType, int, int], Chances | None],
    ) -> None:
        rows = [
            [[answers(each, grade, observer) for each in facts] for grade in range(GRADES)]
            for observer in (CAREFUL, CARELESS)
        ]
        self.answers: list[Seen] = sorted(
            {seen for by in rows for row in by for found in row if found for seen in found},
            key=lambda seen: seen or (),
        )
        self._number = {seen: number for number, seen in enumerate(self.answers)}
        self.table = np.zeros((2, GRADES, len(facts), len(self.answers)))
        for observer, by in enumerate(rows):
            for grade, row in enumerate(by):
                for at, found in enumerate(row):
                    if found is None:
                        self.table[observer, grade, at] = np.nan
                        continue
                    for seen, chance in found.items():
                        self.table[observer, grade, at, self._number[seen]] += chance
        self.table = filled(self.table.swapaxes(2, 3)).swapaxes(2, 3)

    def draw(self, lot: random.Random, number: int, grade: int, observer: int, bias: int) -> Seen:
        return lot.choices(self.answers, self.table[observer, grade, number].tolist())[0]

    def chances(self, seen: Seen, observer: int) -> Floats:
        """P(seen) by grade, (any) bias and type."""
        number = self._number.get(seen)
        if number is None:
            return np.zeros((GRADES, 1, self.table.shape[2]))
        found: Floats = self.table[observer, :, None, :, number]
        return found


def _named(field: str, chances: Mapping[str, float]) -> Chances:
    return {((field, name),): chance for name, chance in chances.items() if chance}


def _mixed(*parts: tuple[float, Mapping[str, float]]) -> dict[str, float]:
    total: dict[str, float] = {}
    for share, chances in parts:
        for name, chance in chances.items():
            total[name] = total.get(name, 0.0) + share * chance
    return total


def build_of(facts: RankedType) -> Build | None:
    try:
        return parse_composition(facts.composition) if facts.composition else None
    except CompositionError:
        return None


# Colour: toning by grade, then a name by the person.

_TONED = {
    "copper-red": (0.15, 0.5, 0.7, 0.8),
    "yellow": (0.03, 0.12, 0.25, 0.35),
    "white": (0.02, 0.06, 0.12, 0.2),
    "silver": (0.1, 0.3, 0.4, 0.5),
    "grey": (0.05, 0.15, 0.3, 0.4),
    "gold": (0.0, 0.01, 0.02, 0.03),
    "two-colour": (0.0, 0.03, 0.08, 0.15),
}
_TONES: Mapping[str, Mapping[str, float]] = {
    "copper-red": {"brown": 0.85, "black": 0.15},
    "yellow": {"brown": 0.8, "black": 0.2},
    "white": {"grey": 0.8, "black": 0.2},
    "silver": {"grey": 0.55, "black": 0.45},
    "grey": {"black": 0.5, "brown": 0.3, "white": 0.2},
    "gold": {"yellow": 1.0},
    "two-colour": {"yellow": 0.5, "white": 0.5},
}
_MISNAMED: Mapping[str, Mapping[str, float]] = {
    "copper-red": {"brown": 0.5, "yellow": 0.3, "gold": 0.2},
    "yellow": {"gold": 0.7, "brown": 0.2, "copper-red": 0.1},
    "white": {"grey": 0.95, "yellow": 0.05},
    "grey": {"white": 0.9, "black": 0.1},
    "gold": {"yellow": 1.0},
    "two-colour": {"yellow": 0.4, "white": 0.4, "gold": 0.2},
}
_MISNAMING = {
    "copper-red": (0.06, 0.15),
    "yellow": (0.15, 0.35),
    "white": (0.15, 0.3),
    "grey": (0.15, 0.35),
    "gold": (0.08, 0.2),
    "two-colour": (0.01, 0.06),
}


def colours(facts: RankedType, grade: int, observer: int) -> Chances | None:
    build = build_of(facts)
    base = colour(build) if build else ""
    if build is None or not base:
        return None
    way = "silver" if base == "white" and "silver" in metal_name(build) else base
    toned, astray = _TONED[way][grade], _MISNAMING[base][observer]
    return _named(
        "colour",
        _mixed(
            (toned, _TONES[way]),
            ((1 - toned) * (1 - astray), {base: 1.0}),
            ((1 - toned) * astray, _MISNAMED[base]),
        ),
    )


# Magnet and sound: what the metal does, then what the person makes of it.

_PULLS: Mapping[str, tuple[Mapping[str, float], Mapping[str, float]]] = {
    "none": (
        {"none": 0.985, "weak": 0.01, "strong": 0.005},
        {"none": 0.93, "weak": 0.05, "strong": 0.015, "centre only": 0.005},
    ),
    "strong": (
        {"strong": 0.93, "weak": 0.06, "none": 0.01},
        {"strong": 0.8, "weak": 0.14, "none": 0.06},
    ),
    "centre only": (
        {"centre only": 0.6, "weak": 0.3, "none": 0.08, "strong": 0.02},
        {"centre only": 0.25, "weak": 0.5, "none": 0.2, "strong": 0.05},
    ),
}


def pull(build: Build) -> str:
    name = metal_name(build)
    if build.kind == "ring and centre":
        inner = [part.material for part in build.parts if part.role == "centre"]
        layered = any(isinstance(each, Build) and "nickel" in name_of_core(each) for each in inner)
        return "centre only" if layered else "none"
    if "stainless" in name:
        return "none"
    return "strong" if name in ("nickel", "iron", "steel") or name.endswith(" steel") else "none"


def name_of_core(build: Build) -> str:
    """The metal of the middle layer, or of what is under a plating."""
    middle = build.parts[len(build.parts) // 2 if build.kind == "layered" else 0]
    return metal_name(Build("solid", (middle,)))


def magnet(facts: RankedType, grade: int, observer: int) -> Chances | None:
    build = build_of(facts)
    return _named("magnet", _PULLS[pull(build)][observer]) if build else None


_RINGS_OUT = (
    {"long ring": 0.75, "short ring": 0.2, "dull": 0.05},
    {"long ring": 0.5, "short ring": 0.35, "dull": 0.15},
)
_DULL = (
    {"long ring": 0.05, "short ring": 0.35, "dull": 0.6},
    {"long ring": 0.1, "short ring": 0.45, "dull": 0.45},
)
_BETWEEN = (
    {"long ring": 0.25, "short ring": 0.6, "dull": 0.15},
    {"long ring": 0.25, "short ring": 0.5, "dull": 0.25},
)


def sound(facts: RankedType, grade: int, observer: int) -> Chances | None:
    build = build_of(facts)
    if build is None:
        return None
    name = metal_name(build)
    table = _BETWEEN
    if name.startswith(("silver", "gold")):
        table = _RINGS_OUT
    elif name in ("zinc", "lead", "tin") or build.kind != "solid":
        table = _DULL
    return _named("sound", table[observer])


# Shape.

COUNTED = 0.6
_COUNTS = ((0, 0.8), (1, 0.08), (-1, 0.08), (2, 0.02), (-2, 0.02))
_SAID: Mapping[str, Mapping[str, float]] = {
    "round": {"polygon": 0.4, "scalloped": 0.4, "notched": 0.2},
    "polygon": {"round": 0.7, "curved": 0.2, "scalloped": 0.1},
    "curved": {"polygon": 0.9, "round": 0.1},
    "scalloped": {"round": 0.4, "notched": 0.4, "polygon": 0.2},
    "notched": {"round": 0.5, "scalloped": 0.4, "polygon": 0.1},
    "square": {"polygon": 0.8, "curved": 0.2},
}
_WRONG_SHAPE = {
    "round": (0.004, 0.02), "polygon": (0.05, 0.15), "curved": (0.25, 0.5),
    "scalloped": (0.05, 0.15), "notched": (0.1, 0.25), "square": (0.01, 0.05),
}  # fmt: skip


def outlines(facts: RankedType, grade: int, observer: int) -> Chances | None:
    wrong = min(0.9, _WRONG_SHAPE[facts.outline][observer] * (1, 1, 1.3, 1.8)[grade])
    said = _mixed((1 - wrong, {facts.outline: 1.0}), (wrong, _SAID[facts.outline]))
    found: dict[Seen, float] = {}
    for outline, chance in said.items():
        plain: Seen = (("outline", outline),)
        if outline in ("round", "square"):
            found[plain] = chance
            continue
        found[plain] = chance * (1 - COUNTED)
        if facts.sides:
            counts = {facts.sides + off: share for off, share in _COUNTS}
        elif facts.outline == "square":
            counts = {4: 1.0}
        else:
            counts = dict.fromkeys(range(5, 13), 1 / 8)
        for count, share in counts.items():
            found[(("outline", outline), ("sides", str(count)))] = chance * COUNTED * share
    return found


def rings(facts: RankedType, grade: int, observer: int) -> Chances | None:
    build = build_of(facts)
    if build is None and facts.ring_mm is None:
        return None
    two = facts.ring_mm is not None or (build is not None and build.kind == "ring and centre")
    right = ((0.99, 0.97)[observer] if two else (0.998, 0.985)[observer]) - 0.005 * grade
    names = ("ring and centre", "one metal") if two else ("one metal", "ring and centre")
    return _named("rings", {names[0]: right, names[1]: 1 - right})


def hole(facts: RankedType, grade: int, observer: int) -> Chances | None:
    true = facts.hole or "none"
    other = "none" if true != "none" else "round"  # a piece is sometimes pierced
    right = 0.995 - 0.01 * (true == "none") * grade / 3
    return _named("hole", {true: right, other: 1 - right})


def panel(facts: RankedType, grade: int, observer: int) -> Chances | None:
    true = outline_of_panel(facts.panel)[0] or "none"
    if true == "none":
        wrong = (0.02, 0.06)[observer]
        return _named("panel", {"none": 1 - wrong, "round": wrong * 0.7, "polygon": wrong * 0.3})
    right = (0.85, 0.6)[observer]
    return _named("panel", _mixed((right, {true: 1.0}), (1 - right, {"none": 0.7, "round": 0.3})))


_EDGE_KEPT = (0.97, 0.92, 0.85, 0.7)
_EDGE_LOST = {"plain": 0.6, "milled": 0.25, "ornamented": 0.15}
_HURRIED = {"interrupted": 0.25, "scalloped": 0.3, "grooved": 0.2, "ornamented": 0.15}


def edges(facts: RankedType, grade: int, observer: int) -> Chances | None:
    kinds = edge_kinds(facts.edge)
    if not kinds:
        return None
    others = len(kinds) - ("lettered" in kinds)
    total: dict[str, float] = {}
    for kind in sorted(kinds):
        share = 1 / len(kinds)
        if "lettered" in kinds and others:
            share = 0.65 if kind == "lettered" else 0.35 / others
        lost = 1 - _EDGE_KEPT[grade] + 0.05 * observer
        hurried = _HURRIED.get(kind, 0.0) * observer
        kept = (1 - lost) * (1 - hurried)
        total = _mixed(
            (1, total),
            (share * kept, {kind: 1.0}),
            (share * (1 - lost) * hurried, {"milled": 1.0}),
            (share * lost, _EDGE_LOST),
        )
    return _named("edge", total)


# What is named: script, motif, country, denomination.

SCRIPTS = {"Latn": "Latin", "Arab": "Arabic"}


def scripts(facts: RankedType, grade: int, observer: int) -> Chances | None:
    names = [SCRIPTS[each.script] for each in facts.legends]
    if not names:
        return None
    wrong = (0.005, 0.02)[observer]
    every = {name: 1 / len(SCRIPTS) for name in SCRIPTS.values()}
    right = _mixed(*((1 / len(names), {name: 1.0}) for name in names))
    return _named("script", _mixed((1 - wrong, right), (wrong, every)))


def motifs_among(facts: Iterable[RankedType]) -> Callable[[RankedType, int, int], Chances | None]:
    every = sorted({motif for each in facts for motif in each.motifs})

    def motifs(facts: RankedType, grade: int, observer: int) -> Chances | None:
        if not facts.motifs:
            return None
        wrong = (0.05, 0.12)[observer] + (0.0, 0.02, 0.05, 0.12)[grade]
        right = {motif: 1 / len(facts.motifs) for motif in facts.motifs}
        any_of = {motif: 1 / len(every) for motif in every}
        return _named("motif", _mixed((1 - wrong, right), (wrong, any_of)))

    return motifs


def countries_among(
    facts: Iterable[RankedType],
) -> Callable[[RankedType, int, int], Chances | None]:
    """One guess; one person in four makes a second one, at random among the others."""
    every = sorted({each.country for each in facts})

    def countries(facts: RankedType, grade: int, observer: int) -> Chances | None:
        wrong = (0.1, 0.3)[observer]
        first = _mixed(
            (1 - wrong, {facts.country: 1.0}), (wrong, {name: 1 / len(every) for name in every})
        )
        found: dict[Seen, float] = {}
        second = 0.25 if len(every) > 1 else 0.0
        for name, chance in first.items():
            found[(("country", name),)] = (1 - second) * chance
            for other in every:
                if other != name:
                    text = f"{name}, {other}"
                    found[(("country", text),)] = second * chance / (len(every) - 1)
        return found

    return countries


LIKE_DIGITS = {
    "0": "689", "1": "74", "2": "7", "3": "85", "4": "1", "5": "36", "6": "085", "7": "1",
    "8": "306", "9": "08",
}  # fmt: skip
_FORMS = (("whole", 0.6), ("first", 0.25), ("last", 0.15))
_DIGIT_MISREAD = (0.003, 0.01, 0.03, 0.06)
_OTHER_VALUE = (0.01, 0.03)


def denominations_among(
    facts: Iterable[RankedType],
) -> Callable[[RankedType, int, int], Chances | None]:
    """The whole name, its first word or its last; one digit may be taken for another."""
    every = sorted({each.denomination for each in facts if each.denomination})

    def denominations(facts: RankedType, grade: int, observer: int) -> Chances | None:
        if not facts.denomination:
            return None
        words = facts.denomination.split()
        misread = _DIGIT_MISREAD[grade] * (1, 2)[observer]
        numbers = {words[0]: 1.0}
        for at, digit in enumerate(words[0]):
            for like in LIKE_DIGITS.get(digit, ""):
                text = words[0][:at] + like + words[0][at + 1 :]
                if not text.startswith("0"):
                    numbers[text] = misread / len(LIKE_DIGITS[digit])
        numbers[words[0]] -= sum(numbers.values()) - 1
        read: dict[str, float] = {}
        for number, chance in numbers.items():
            texts = {
                "whole": " ".join([number, *words[1:]]),
                "first": number,
                "last": words[-1] if len(words) > 1 else number,
            }
            for form, share in _FORMS:
                read[texts[form]] = read.get(texts[form], 0.0) + chance * share
        wrong = _OTHER_VALUE[observer]
        lost = (0.0, 0.01, 0.04, 0.15)[grade]
        any_of = {name: 1 / len(every) for name in every}
        found = dict(_named("denomination", _mixed((1 - wrong, read), (wrong, any_of))))
        return {seen: (1 - lost) * chance for seen, chance in found.items()} | {None: lost}

    return denominations
