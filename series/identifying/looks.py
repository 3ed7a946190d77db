"""What to look at or measure next: what is expected to narrow the answer most.

What is computed: for each thing that can still be looked at, the expected information in bits (the
mutual information of the type and of what would be seen, Shannon 1948) under the present
posterior and the same likelihoods by which evidence is weighed. It is worked out over the types
that hold nearly all of the probability (at most ``MOST_TYPES``; when more are open, as many
spread evenly along the probability). A record that does not say is taken to show what the
others show, so it promises nothing. Of what may not be readable on a worn piece, ``LEGIBLE`` says
how often it can be read by eye, and by loupe; no source.

The advice is one step ahead: the look that tells most by itself.

>>> p = np.array([0.5, 0.5])
>>> round(information(p, np.array([[1.0, 0.0], [0.0, 1.0]])), 6)
1.0
>>> round(information(p, np.array([[0.5, 0.5], [0.5, 0.5]])), 6)
0.0
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from series.identifying.answer import Look
from series.identifying.evidence import CHOICES, MEASURES
from series.identifying.measures import density_of_reading, log_density_of_metal
from series.identifying.readings import (
    DIGIT_RIGHT,
    MOTIF_RIGHT,
    SCRIPT_RIGHT,
    VALUE_RIGHT,
)
from series.identifying.scripts import SCRIPTS
from series.identifying.table import TypeTable
from series.identifying.weighing import Posterior, Weighing

Floats = NDArray[np.float64]

TOOLS = ("ruler", "calliper", "scale", "magnet", "loupe", "water")
"""What a person may have at hand; what the bare eye sees needs none. "water" is a fine scale and
a beaker to weigh a piece in water."""
AT_HAND = ("ruler", "calliper", "scale", "magnet", "loupe")
"""What is taken to be at hand where nobody says."""

MOST_TYPES = 160
HELD = 0.995
"""The share of the probability that the types looked at must hold."""
LEAST_BITS = 0.02
"""A look that promises less is not worth naming."""
LEGIBLE: Mapping[str, tuple[float, float]] = {
    # kind: by eye, by loupe
    "legend": (0.7, 0.85),
    "denomination": (0.9, 0.95),
    "year": (0.75, 0.9),
    "script": (0.95, 0.97),
    "motif": (0.9, 0.95),
}
ONE_WORD = 0.4
"""How often no more than one word of a legend is read, where it is legible; no source."""
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


def information(chances: Floats, outcomes: Floats) -> float:
    """Mutual information in bits of a type (``chances``, summing to one) and of an outcome.

    ``outcomes`` has a row for each type, each summing to one over what may be seen.
    """
    whole = chances @ outcomes
    with np.errstate(divide="ignore", invalid="ignore"):
        each = outcomes * np.log2(outcomes / whole)
    return float(chances @ np.nan_to_num(each, nan=0.0, posinf=0.0, neginf=0.0).sum(axis=1))


def looks(
    weighing: Weighing, posterior: Posterior, tools: Collection[str] = AT_HAND
) -> tuple[Look, ...]:
    """Everything that can still be looked at with these tools, the most telling first."""
    some, chances = _open_types(posterior.types)
    if len(some) < 2:
        return ()
    given = set(weighing.evidence.given)
    found: list[Look] = []
    for kind in _HOW:
        if kind in given:
            continue
        tool = _tool(kind, tools)
        if tool is None:
            continue
        shown = _outcomes(weighing.table, kind, some, tool)
        if shown is None:
            continue
        rows, names = shown
        bits = information(chances, rows)
        if bits >= LEAST_BITS:
            why = _why(weighing.table, kind, some, chances, names)
            found.append(Look(kind, _HOW[kind], why, bits, tool))
    return tuple(sorted(found, key=lambda look: -look.bits))


def _tool(kind: str, tools: Collection[str]) -> str | None:
    """The finest tool at hand for a look; "" for the bare eye, None if it cannot be done."""
    if kind in WITHIN:
        return next((tool for tool in WITHIN[kind] if tool in tools), None)
    if kind in _NEEDS:
        return _NEEDS[kind] if _NEEDS[kind] in tools else None
    return "loupe" if kind in ("legend", "year") and "loupe" in tools else ""


def _open_types(chances: Floats) -> tuple[NDArray[np.intp], Floats]:
    """The types that matter and their chances among themselves."""
    total = float(chances.sum())
    if total <= 0:
        return np.array([], np.intp), np.array([])
    some = np.flatnonzero(chances > total * (1 - HELD) / len(chances))
    if len(some) > MOST_TYPES:
        largest = np.argpartition(chances, -MOST_TYPES)[-MOST_TYPES:]
        if float(chances[largest].sum()) >= HELD * total:
            some = np.sort(largest)
        else:
            steps = (np.arange(MOST_TYPES) + 0.5) / MOST_TYPES * total
            some = np.unique(np.searchsorted(np.cumsum(chances), steps).clip(max=len(chances) - 1))
            return some, np.full(len(some), 1 / len(some))
    part = chances[some]
    return some, part / part.sum()


Shown = tuple[Floats, Sequence[str]]
"""Chances of what may be seen (a row a type), and for each type what its record leads to expect;
"" where it does not say."""


def _outcomes(table: TypeTable, kind: str, some: NDArray[np.intp], tool: str) -> Shown | None:
    if kind in MEASURES:
        return _measured(table, kind, some, WITHIN[kind][tool])
    if kind in CHOICES:
        return _classed(table, kind, some)
    legible = LEGIBLE[kind][1 if tool == "loupe" else 0]
    return _read(_TEXTS[kind](table, some), legible, _NOISE[kind])


def _neutral(rows: Floats, known: NDArray[np.bool_]) -> Floats:
    """Rows of types that do not say, set to the mean of those that do."""
    if not known.any():
        return rows
    rows[~known] = rows[known].mean(axis=0)
    return rows


def _measured(
    table: TypeTable, measure: str, some: NDArray[np.intp], within: float
) -> Shown | None:
    if measure == "density":
        low, high = table.metal_low, table.metal_high
        centre, numbers = (low + high) / 2, table.metal[some] % len(low)
    else:
        standards = table.standards[measure]
        centre, numbers = standards.value, standards.rows[some]
    distinct, places = np.unique(numbers, return_inverse=True)
    centre = centre[distinct]
    known = ~np.isnan(centre)
    if known.sum() < 2:
        return None
    least, most = float(np.nanmin(centre)) * 0.85, float(np.nanmax(centre)) * 1.05
    grid = np.linspace(least, most, int(np.clip((most - least) / (0.7 * within), 24, 120)))
    if measure == "density":
        logs = log_density_of_metal(grid, within, low[distinct, None], high[distinct, None])
        density = np.exp(logs)
    else:
        remedies = standards.remedy[distinct, None]
        density = density_of_reading(measure, grid, within, centre[:, None], remedies)
    rows = density / density.sum(axis=1, keepdims=True)
    unit = MEASURES[measure][1]
    names = [f"{value:.4g} {unit}" if ok else "" for value, ok in zip(centre, known, strict=True)]
    return _neutral(rows[places], known[places]), [names[place] for place in places]


def _classed(table: TypeTable, kind: str, some: NDArray[np.intp]) -> Shown | None:
    classed = table.classed[kind]
    numbers = classed.rows[some]
    rows = classed.chances[numbers]
    known = ~np.isnan(rows[:, 0])
    if known.sum() < 2:
        return None
    names = [
        classed.classes[int(row.argmax())] if ok else ""
        for row, ok in zip(rows, known, strict=True)
    ]
    return _neutral(rows, known), names


Texts = Sequence[Mapping[str, float]]
"""For each type what may be read on it, and how often of all that is read; empty: not known."""


def _read(texts: Texts, legible: float, noise: float) -> Shown | None:
    """Each text that is on some of the types, "something else", and "cannot be read"."""
    known = np.array([bool(each) for each in texts])
    if known.sum() < 2:
        return None
    numbers = {text: n for n, text in enumerate({text: 0 for each in texts for text in each})}
    rows = np.full((len(texts), len(numbers) + 2), legible * noise / (len(numbers) + 1))
    for row, each in zip(rows, texts, strict=True):
        for text, share in each.items():
            row[numbers[text]] += legible * (1 - noise) * share
    rows[:, -1] = 1 - legible
    rows /= rows.sum(axis=1, keepdims=True)
    names = [max(each, key=lambda text: each[text]) if each else "" for each in texts]
    return _neutral(rows, known), names


def _denominations(table: TypeTable, some: NDArray[np.intp]) -> Texts:
    return [
        {table.denominations[place]: 1.0} if table.denominations[place] else {}
        for place in table.denomination[some]
    ]


def _years(table: TypeTable, some: NDArray[np.intp]) -> Texts:
    found: list[dict[str, float]] = []
    for number in some:
        start, end = table.issues.start[number : number + 2]
        shares: dict[str, float] = {}
        for place, weight in zip(
            table.issues.values[start:end], table.issue_weights[start:end], strict=True
        ):
            date = table.dates[place][0] or str(table.dates[place][2] or "")
            shares[date] = shares.get(date, 0.0) + float(weight)
        found.append(shares)
    return found


def _scripts(table: TypeTable, some: NDArray[np.intp]) -> Texts:
    sets = [sorted(table.scripts[place]) for place in table.script[some]]
    return [{SCRIPTS.get(each, each): 1 / len(codes) for each in codes} for codes in sets]


def _motifs(table: TypeTable, some: NDArray[np.intp]) -> Texts:
    lists = [table.motifs.at(number) for number in some]
    return [{table.motif_names[place]: 1 / len(each) for place in each} for each in lists]


def _legends(table: TypeTable, some: NDArray[np.intp]) -> Texts:
    """A word or a whole legend, the likelier to be read the longer it is."""
    found: list[dict[str, float]] = []
    for number in some:
        texts = [each.text for each in table.legends.legends(int(number))]
        letters = sum(map(len, texts))
        shares: dict[str, float] = {}
        for text in texts:
            words = text.split()
            for part in words:
                share = ONE_WORD * len(text) / letters * len(part) / sum(map(len, words))
                shares[part] = shares.get(part, 0.0) + share
            shares[text] = shares.get(text, 0.0) + (1 - ONE_WORD) * len(text) / letters
        found.append(shares)
    return found


_TEXTS: Mapping[str, Callable[[TypeTable, NDArray[np.intp]], Texts]] = {
    "denomination": _denominations,
    "year": _years,
    "script": _scripts,
    "motif": _motifs,
    "legend": _legends,
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
    some: NDArray[np.intp],
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
    words = f"{labels[0]} {_VERB[kind]} {names[first]}, {labels[1]} {names[other]}"
    if kind == "denomination":
        words = f"it may be {names[first]} or {names[other]}"
    more = distinct - 2
    return f"{words}; {more} more kinds are open" if more > 1 else words


def _labels(table: TypeTable, one: int, two: int) -> tuple[str, str]:
    """What to call two types so that they are told apart."""
    pair = (one, two)
    labels = [table.labels[number] for number in pair]
    countries = [table.countries[table.country[number]][0] for number in pair]
    if countries[0] != countries[1]:
        labels = [f"{label} ({country})" for label, country in zip(labels, countries, strict=True)]
    if labels[0] == labels[1]:
        spans = [table.spans[number] for number in pair]
        if spans[0] == spans[1]:
            spans = [table.keys[number] for number in pair]
        labels = [f"{label} ({span})" for label, span in zip(labels, spans, strict=True)]
    return labels[0], labels[1]


_VERB: Mapping[str, str] = {
    **dict.fromkeys((*MEASURES, *CHOICES, "denomination", "script"), "has"),
    "mass": "weighs",
    "thickness": "is thick",
    "colour": "is",
    "magnet": "shows",
    "year": "bears",
    "script": "is lettered in",
    "motif": "shows",
    "legend": "reads",
}
