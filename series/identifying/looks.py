"""What to look at or measure next: what is expected to narrow the answer most.

What is computed: for each thing that can still be looked at, the expected information in bits (the
mutual information of the type and of what would be seen, Shannon 1948) under the present
posterior and the same likelihoods by which evidence is weighed. It is worked out over the types
that hold nearly all of the probability (at most ``MOST_TYPES``, or ``MOST_READ`` for what is read;
when more are open, as many spread evenly along the probability). Of what may not be readable on a
worn piece, ``LEGIBLE`` says how often it can be read by eye, and by loupe; no source. What each
look may show: ``series.identifying.expected``.

The advice is one step ahead: the look that tells most by itself.

>>> from series.identifying.evidence import read_evidence
>>> from series.identifying.facts import RankedType
>>> pair = [RankedType(n, str(n), f"{n} tinne", "X", mass_g=2.0 * n) for n in (1, 2)]
>>> weighing = Weighing.of(TypeTable.of(pair), read_evidence({}))
>>> for look in looks(weighing, weighing.posterior()):
...     print(look.look_at, round(look.bits, 2), look.why)
weigh it 1.0 1 tinne weighs 2 g, but 2 tinne 4 g
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence

import numpy as np

from series.arrays import Floats
from series.identifying.answer import Look
from series.identifying.evidence import CHOICES, MEASURES
from series.identifying.expected import (
    Numbers,
    Texts,
    classed,
    denominations,
    information,
    information_of_texts,
    legends,
    measured,
    motifs,
    scripts,
    years,
)
from series.identifying.readings import (
    DIGIT_RIGHT,
    MOTIF_RIGHT,
    SCRIPT_RIGHT,
    VALUE_RIGHT,
)
from series.identifying.table import TypeTable
from series.identifying.weighing import Posterior, Weighing
from series.text.english import a

TOOLS = ("ruler", "calliper", "scale", "magnet", "loupe", "water")
"""What a person may have at hand; what the bare eye sees needs none. "water" is a fine scale and
a beaker to weigh a piece in water."""
AT_HAND = ("ruler", "calliper", "scale", "magnet", "loupe")
"""What is taken to be at hand where nobody says."""

MOST_TYPES, MOST_READ = 160, 1000
HELD = 0.995
"""The share of the probability that the types looked at must hold."""
LEAST_BITS = 0.02
"""A look that promises less is not worth naming."""
LEGIBLE: Mapping[str, tuple[float, float]] = {
    # kind: by eye, by loupe
    "legend": (0.85, 0.9),  # something of it
    "denomination": (0.85, 0.9),
    "year": (0.75, 0.9),
    "script": (0.95, 0.97),
    "motif": (0.9, 0.95),
}
WITHIN: Mapping[str, Mapping[str, float]] = {
    # measure: tool and how finely it reads, mm and g
    "diameter": {"calliper": 0.1, "ruler": 0.5},
    "thickness": {"calliper": 0.1},
    "mass": {"scale": 0.05},
    "density": {"water": 0.2},
}
_NEEDS: Mapping[str, str] = {"magnet": "magnet"}
_HOW: Mapping[str, str] = {
    "diameter": "measure the diameter",
    "mass": "weigh it",
    "thickness": "measure the thickness at the rim",
    "density": "weigh it in water",
    "colour": "look at the colour of the metal",
    "magnet": "try a magnet",
    "sound": "tap it lightly and listen",
    "outline": "look at the outline",
    "rings": "see whether ring and centre are of two metals",
    "hole": "see whether it has a hole",
    "panel": "look for an inner panel around the design",
    "edge": "look at the edge",
    "legend": "read what you can of the legend",
    "denomination": "look for the value",
    "year": "look for the date",
    "script": "see in which script the legend is",
    "motif": "see what is shown",
}


def looks(
    weighing: Weighing, posterior: Posterior, tools: Collection[str] = AT_HAND
) -> tuple[Look, ...]:
    """Everything that can still be looked at with these tools, the most telling first."""
    few = _open_types(posterior.types, MOST_TYPES)
    if len(few[0]) < 2:
        return ()
    many = _open_types(posterior.types, MOST_READ)
    table, given = weighing.table, set(weighing.evidence.given)
    found: list[Look] = []
    for kind, how in _HOW.items():
        tool = _tool(kind, tools)
        if kind in given or tool is None:
            continue
        some, chances = many if kind in _TEXTS else few
        bits, names = _promise(table, kind, tool, some, chances)
        if bits >= LEAST_BITS:
            found.append(Look(kind, how, _why(table, kind, some, chances, names), bits, tool))
    return tuple(sorted(found, key=lambda look: -look.bits))


def _promise(
    table: TypeTable, kind: str, tool: str, some: Numbers, chances: Floats
) -> tuple[float, Sequence[str]]:
    """The bits a look is expected to bring, and what each type's record leads to expect."""
    if kind in _TEXTS:
        texts = _TEXTS[kind](table, some)
        legible = LEGIBLE[kind][1 if tool == "loupe" else 0]
        bits = information_of_texts(chances, texts, legible=legible, noise=_NOISE[kind])
        return bits, [max(each, key=lambda text: each[text]) if each else "" for each in texts]
    if kind in MEASURES:
        shown = measured(table, kind, some, WITHIN[kind][tool])
    else:
        shown = classed(table, kind, some)
    return (information(chances, shown[0]), shown[1]) if shown else (0.0, ())


def _tool(kind: str, tools: Collection[str]) -> str | None:
    """The finest tool at hand for a look; "" for the bare eye, None if it cannot be done."""
    if kind in WITHIN:
        return next((tool for tool in WITHIN[kind] if tool in tools), None)
    if kind in _NEEDS:
        return _NEEDS[kind] if _NEEDS[kind] in tools else None
    return "loupe" if kind in ("legend", "year") and "loupe" in tools else ""


def _open_types(chances: Floats, most: int) -> tuple[Numbers, Floats]:
    """The types that matter, ``most`` of them at the most, and their chances among themselves."""
    total = float(chances.sum())
    if total <= 0:
        return np.array([], np.intp), np.array([])
    some = np.flatnonzero(chances > total * (1 - HELD) / len(chances))
    if len(some) > most:
        largest = np.argpartition(chances, -most)[-most:]
        if float(chances[largest].sum()) >= HELD * total:
            some = np.sort(largest)
        else:
            steps = (np.arange(most) + 0.5) / most * total
            some = np.unique(np.searchsorted(np.cumsum(chances), steps).clip(max=len(chances) - 1))
            return some, np.full(len(some), 1 / len(some))
    part = chances[some]
    return some, part / part.sum()


_TEXTS: Mapping[str, Callable[[TypeTable, Numbers], Texts]] = {
    "denomination": denominations,
    "year": years,
    "script": scripts,
    "motif": motifs,
    "legend": legends,
}
_NOISE: Mapping[str, float] = {
    "denomination": 1 - VALUE_RIGHT,
    "year": 1 - DIGIT_RIGHT**3,
    "script": 1 - SCRIPT_RIGHT,
    "motif": 1 - MOTIF_RIGHT,
    "legend": 0.1,
}


def _why(
    table: TypeTable,
    kind: str,
    some: Numbers,
    chances: Floats,
    names: Sequence[str],
) -> str:
    """What the look would part: the two likeliest types that lead to expect something else."""
    order = [place for place in np.argsort(-chances, kind="stable") if names[place]]
    if not order:
        return ""
    first = order[0]
    other = next((place for place in order if names[place] != names[first]), None)
    if other is None:
        return ""
    distinct = len({names[place] for place in order})
    labels = _labels(table, int(some[first]), int(some[other]))
    one, two = (_shown(kind, names[place]) for place in (first, other))
    words = f"{labels[0]} {_VERB[kind]} {one}, but {labels[1]} {two}"
    if kind == "denomination":
        words = f"it may be {names[first]} or {names[other]}"
    more = distinct - 2
    if more == 1:
        return f"{words}; one other answer is possible"
    return f"{words}; {more} other answers are possible" if more > 1 else words


def _labels(table: TypeTable, one: int, two: int) -> tuple[str, str]:
    """What to call two types so that they are told apart."""
    pair = (one, two)
    labels = [table.labels[number] for number in pair]
    countries = [table.country.of(number)[0] for number in pair]
    if countries[0] != countries[1]:
        labels = [f"{label} ({country})" for label, country in zip(labels, countries, strict=True)]
    if labels[0] == labels[1]:
        spans = [table.spans[number] for number in pair]
        if spans[0] == spans[1]:
            spans = [table.keys[number] for number in pair]
        labels = [f"{label} ({span})" for label, span in zip(labels, spans, strict=True)]
    return labels[0], labels[1]


def _shown(kind: str, name: str) -> str:
    """A class as what a piece has: "a round hole", "no pull"."""
    noun = _NOUN.get(kind)
    if noun is None:
        return name
    if name == "none":
        return f"no {noun}"
    if name == "centre only":
        return f"a {noun} in the centre only"
    return a(name if name.endswith("ring") else f"{name} {noun}")


_NOUN: Mapping[str, str] = {
    "magnet": "pull",
    "sound": "sound",
    "outline": "outline",
    "hole": "hole",
    "panel": "inner panel",
    "edge": "edge",
}
_VERB: Mapping[str, str] = {
    **dict.fromkeys((*MEASURES, *CHOICES, "script"), "has"),
    "denomination": "is",
    "mass": "weighs",
    "diameter": "measures",
    "thickness": "measures",
    "colour": "is",
    "rings": "is of",
    "magnet": "shows",
    "year": "may bear",
    "script": "is lettered in",
    "motif": "shows",
    "legend": "reads",
}
