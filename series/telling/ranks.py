"""How telling a change is, and with which others it stands: one table.

What is computed: the weight of a :class:`series.differences.facts.Change`, from 0 to 100: how soon
a person with both coins in hand would name it. A difference in size counts by what an eye sees.
The order and figures are common practice, no source.

>>> from series.differences.facts import Change
>>> weight(Change("diameter", "23.5", "21", "")), weight(Change("diameter", "21", "20.9", ""))
(85, 15)
>>> group(Change("mint place", "6 o'clock", "3 o'clock", ""))
'marks'
"""

from __future__ import annotations

from decimal import Decimal

from series.differences.facts import Change

GROUPS = {
    "body": "size and metal",
    "faces": "faces",
    "letters": "legends",
    "marks": "marks",
    "edge": "edge",
}
"""The groups in the order in which they are shown, each with its heading."""

RANKS: dict[str, tuple[int, str]] = {
    "outline": (92, "body"),
    "metal": (90, "body"),
    "ring": (88, "body"),
    "hole": (86, "body"),
    "diameter": (85, "body"),
    "motif": (80, "faces"),
    "script": (72, "letters"),
    "motif moved": (70, "faces"),
    "bust moved": (64, "faces"),
    "bust": (62, "faces"),
    "value": (50, "faces"),
    "legend": (40, "letters"),
    "edge": (38, "edge"),
    "build": (36, "body"),
    "designers": (30, "faces"),
    "mint text": (19, "marks"),
    "value side": (26, "faces"),
    "mint place": (25, "marks"),
    "alignment": (24, "body"),
    "panel": (22, "edge"),
    "composition": (20, "body"),
    "mass": (18, "body"),
    "legend moved": (16, "letters"),
    "border": (14, "edge"),
    "ring size": (12, "body"),
    "hole size": (12, "body"),
    "engravers": (10, "faces"),
    "thickness": (8, "body"),
}
OTHER_MARKS = (15, "marks")
"""Any change of a mark that is not named above."""

_SEEN_MM = ((Decimal("0.9"), 85), (Decimal("0.4"), 55), (Decimal(0), 15))
"""From which difference in size on it has which weight."""

NAMED_FIRST = 20
"""What weighs less is named first only where nothing weighs more."""


def weight(change: Change) -> int:
    """How soon a person would name it, from 0 to 100."""
    if change.kind == "diameter":
        difference = abs(Decimal(change.after) - Decimal(change.before))
        return next(rank for least, rank in _SEEN_MM if difference >= least)
    return RANKS.get(change.kind, OTHER_MARKS)[0]


def group(change: Change) -> str:
    """The key in ``GROUPS`` of those it stands with."""
    return RANKS.get(change.kind, OTHER_MARKS)[1]
