"""How likely it is to see what was seen, given what the record says: shape and make.

What is computed: for each kind of evidence that falls into classes (outline, hole, panel, rings)
the chance of each class being named, given the recorded one. Rows sum to one and hold no zero: a
worn rim, a mount or a hurried eye can make any class of any other. The chances are common
practice, no source. Colour, magnet and sound follow from the composition
(``series.measuring.signs``), the edge from its words (``series.measuring.edges``).

>>> seen = outline_chances("polygon")
>>> max(seen, key=seen.get), round(sum(seen.values()), 12)
('polygon', 1.0)
>>> hole_chances("")["round"]  # a piece may have been pierced
0.025
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from series.identifying.evidence import PANELS
from series.picture.outlines import OUTLINES

Chances = Mapping[str, float]

_OUTLINE_RIGHT = 0.93
NEAR_OUTLINES: Mapping[str, Chances] = {
    "round": {"curved": 0.02},
    "scalloped": {"notched": 0.05},
    "notched": {"scalloped": 0.05, "round": 0.05},
    "polygon": {"curved": 0.1},
    "curved": {"polygon": 0.35},  # few people tell curved sides from straight ones
    "square": {"polygon": 0.05},
}
SIDES_RIGHT, SIDES_ONE_OFF = 0.8, 0.075
SIDES_COUNTED = 58
"""Numbers of sides a person may say: 3 to 60."""

_HOLE: Mapping[str, Chances] = {
    "none": {"none": 0.97, "round": 0.025, "square": 0.005},
    "round": {"none": 0.01, "round": 0.98, "square": 0.01},
    "square": {"none": 0.01, "round": 0.03, "square": 0.96},
}
_RINGS: Mapping[str, Chances] = {
    "one metal": {"one metal": 0.98, "ring and centre": 0.02},
    "ring and centre": {"one metal": 0.05, "ring and centre": 0.95},
}
_PANEL_RIGHT, _PANEL_OVERLOOKED, _PANEL_UNRECORDED = 0.85, 0.09, 0.05


def _around(right: str, share: float, classes: Sequence[str], near: Chances) -> Chances:
    """``share`` for the right class, what ``near`` says for some, the rest evenly."""
    others = [each for each in classes if each != right and each not in near]
    left = 1 - share - sum(near.values())
    return {right: share, **near, **{each: left / len(others) for each in others}}


def outline_chances(outline: str) -> Chances:
    """What outline is named of a piece whose record says ``outline``."""
    near = NEAR_OUTLINES[outline]
    spare = max(0.0, sum(near.values()) - 0.05)
    return _around(outline, _OUTLINE_RIGHT - spare, OUTLINES, near)


def hole_chances(hole: str) -> Chances:
    """``hole`` is "" where the record knows of none."""
    return _HOLE[hole or "none"]


def rings_chances(rings: str) -> Chances:
    """One metal, or ring and centre."""
    return _RINGS[rings]


def panel_chances(panel: str) -> Chances:
    """``panel`` is "" where none is recorded; a panel may have gone unrecorded."""
    if not panel or panel == "none":
        return _around("none", 1 - _PANEL_UNRECORDED, PANELS, {})
    return _around(panel, _PANEL_RIGHT, PANELS, {"none": _PANEL_OVERLOOKED})


def log_sides(said: int, sides: NDArray[np.int16], outlines: NDArray[np.bool_]) -> NDArray:
    """Log chance that so many sides are counted; nan where the record has no number of them.

    ``outlines`` is True where the outline has sides at all; of a round piece any number is as
    likely as another.
    """
    even = 1 / SIDES_COUNTED
    off = np.abs(sides.astype(np.int32) - said)
    rest = (1 - SIDES_RIGHT - 2 * SIDES_ONE_OFF) / (SIDES_COUNTED - 3)
    chance = np.where(off == 0, SIDES_RIGHT, np.where(off == 1, SIDES_ONE_OFF, rest))
    chance = np.where(outlines, np.where(sides < 0, np.nan, chance), even)
    return np.log(chance)


def matrix(rows: Sequence[Chances | None], classes: Sequence[str]) -> NDArray[np.float64]:
    """Chances as an array of a row for each of ``rows``; nan where nothing is known.

    >>> matrix([{"none": 0.9, "round": 0.1}, None], ("none", "round"))
    array([[0.9, 0.1],
           [nan, nan]])
    """
    found = np.full((len(rows), len(classes)), np.nan)
    for number, row in enumerate(rows):
        if row is not None:
            found[number] = [row[each] for each in classes]
    return found
