"""What a look is expected to show, and how much that would tell.

What is computed: information in bits: the mutual information of the type and of what would be
seen (Shannon 1948), under chances of the types and the same likelihoods by which evidence is
weighed. A record that does not say is taken to show what the others show, so it tells nothing.

Of what is read, each type has texts with their shares; a text is legible in so many cases, and then
it is right but for a share of noise, which falls on any of the texts alike.

>>> p = np.array([0.5, 0.5])
>>> round(information(p, np.array([[1.0, 0.0], [0.0, 1.0]])), 6)
1.0
>>> round(information(p, np.array([[0.5, 0.5], [0.5, 0.5]])), 6)
0.0
>>> round(information_of_texts(p, [{"HALVERN": 1.0}, {"OURAN": 1.0}], legible=0.7, noise=0.0), 6)
0.7
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from series.arrays import Floats
from series.identifying.evidence import MEASURES
from series.identifying.measures import density_of_reading, log_density_of_metal
from series.identifying.table import TypeTable
from series.legends.letters import letters
from series.text.scripts import as_seen, script_name

Numbers = NDArray[np.intp]

ONE_WORD = 0.4
"""How often no more than one word of a legend is read, where it is legible; no source."""
WORD_OF_VALUE = 0.4
"""How often no more than a figure or a word of the value is read; no source."""


def information(chances: Floats, outcomes: Floats) -> float:
    """Mutual information in bits of a type (``chances``, summing to one) and of an outcome.

    ``outcomes`` has a row for each type, each summing to one over what may be seen.
    """
    whole = chances @ outcomes
    with np.errstate(divide="ignore", invalid="ignore"):
        each = outcomes * np.log2(outcomes / whole)
    return float(chances @ np.nan_to_num(each, nan=0.0, posinf=0.0, neginf=0.0).sum(axis=1))


Texts = Sequence[Mapping[str, float]]
"""For each type what may be read on it, and how often of all that is read; empty: not known."""


def information_of_texts(chances: Floats, texts: Texts, *, legible: float, noise: float) -> float:
    """The same for what may be read; the chances sum to one.

    Types whose record has no text show what the others show: they tell nothing.
    """
    known = np.array([bool(each) for each in texts])
    part = float(chances[known].sum())
    if known.sum() < 2 or not part:
        return 0.0
    numbers: dict[str, int] = {}
    entries = [
        (chance / part, numbers.setdefault(text, len(numbers)), share)
        for chance, each in zip(chances, texts, strict=True)
        for text, share in each.items()
    ]
    weights, text_numbers, shares = (np.array(each) for each in zip(*entries, strict=True))
    text_numbers = text_numbers.astype(np.intp)
    floor = noise / len(numbers)
    shown = (1 - noise) * shares + floor
    whole = np.bincount(text_numbers, weights * (1 - noise) * shares) + floor
    told = float((weights * shown * np.log2(shown / whole[text_numbers])).sum())
    if floor:
        held = np.bincount(text_numbers, weights)
        told += float(((1 - held) * floor * np.log2(floor / whole)).sum())
    return part * legible * told


Shown = tuple[Floats, Sequence[str]]
"""Chances of what may be seen (a row a type), and for each type what its record leads to expect;
"" where it does not say."""


def _neutral(rows: Floats, known: NDArray[np.bool_]) -> Floats:
    """Rows of types that do not say, set to the mean of those that do."""
    if not known.any():
        return rows
    rows[~known] = rows[known].mean(axis=0)
    return rows


def measured(table: TypeTable, measure: str, some: Numbers, within: float) -> Shown | None:
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


def classed(table: TypeTable, kind: str, some: Numbers) -> Shown | None:
    column = table.classed[kind]
    rows = column.chances[column.rows[some]]
    known = ~np.isnan(rows[:, 0])
    if known.sum() < 2:
        return None
    names = [
        column.classes[int(row.argmax())] if ok else "" for row, ok in zip(rows, known, strict=True)
    ]
    return _neutral(rows, known), names


def denominations(table: TypeTable, some: Numbers) -> Texts:
    """The whole value, or one word or figure of it."""
    found: list[dict[str, float]] = []
    for place in table.denomination.rows[some]:
        name, words = table.denomination.things[place], table.denomination_words[place]
        shares = {word: WORD_OF_VALUE / len(words) for word in words}
        found.append({**shares, name: shares.get(name, 0.0) + 1 - WORD_OF_VALUE} if name else {})
    return found


def years(table: TypeTable, some: Numbers) -> Texts:
    found: list[dict[str, float]] = []
    for number in some:
        start, end = table.issues.start[number : number + 2]
        shares: dict[str, float] = {}
        for place, weight in zip(
            table.issues.rows[start:end], table.issue_weights[start:end], strict=True
        ):
            date = table.issues.things[place][0] or str(table.issues.things[place][2] or "")
            shares[date] = shares.get(date, 0.0) + float(weight)
        found.append(shares)
    return found


def scripts(table: TypeTable, some: Numbers) -> Texts:
    sets = [sorted(as_seen(table.script.of(number))) for number in some]
    return [{script_name(each): 1 / len(codes) for each in codes} for codes in sets]


def motifs(table: TypeTable, some: Numbers) -> Texts:
    lists = [table.motifs.of(number) for number in some]
    return [{name: 1 / len(each) for name in each} for each in lists]


def legends(table: TypeTable, some: Numbers) -> Texts:
    """A word or a whole legend, the likelier to be read the longer it is."""
    found: list[dict[str, float]] = []
    for number in some:
        struck = [each.text for each in table.legends.recorded.of(int(number))]
        texts = [text for text in struck if letters(text)]
        size = sum(map(len, texts))
        shares: dict[str, float] = {}
        for text in texts:
            for part, share in _parts(text):
                shares[part] = shares.get(part, 0.0) + share * len(text) / size
        found.append(shares)
    return found


@lru_cache(maxsize=65536)
def _parts(legend: str) -> tuple[tuple[str, float], ...]:
    """The words of a legend and the legend as a whole, with how often each is what is read."""
    words = legend.split()
    size = sum(map(len, words))
    alone = ((word, ONE_WORD * len(word) / size) for word in words)
    return (*alone, (legend, 1 - ONE_WORD))
