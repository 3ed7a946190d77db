"""Columns of a table of types: what many types share is kept once.

What is computed: numpy arrays for two kinds of column. ``Classed``: what falls into classes, with
the chances of each. ``Standards``: the distinct standards of a measure in mm or g. A type's number
leads to its row. What is only told apart is ``series.coded.Coded``.

>>> found = Classed(["plain"], np.array([0, -1]), ("milled", "plain"), np.array([[0.1, 0.9]]))
>>> found.of(0), found.of(1), found.logs("plain").round(2).tolist()
('plain', None, [-0.11])
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from series.arrays import Floats, Ints
from series.coded import Coded


@dataclass(frozen=True)
class Classed(Coded):
    """What falls into classes: the chances of each thing recorded, and last those of none: nan."""

    classes: tuple[str, ...]
    chances: Floats

    def logs(self, seen: str) -> Floats:
        """Natural logarithm of the chance that ``seen`` is named, for each row."""
        logs: Floats = np.log(self.chances[:, self.classes.index(seen)])
        return logs


@dataclass(frozen=True)
class Standards:
    """The distinct standards of a measure, and for each type the row of its own.

    ``value`` in mm or g; ``remedy`` in g (of mass alone); ``other`` a second width that a
    calliper may find on a polygon or square, in mm (of diameter alone). All nan where not recorded.
    """

    value: Floats
    remedy: Floats
    other: Floats
    rows: Ints

    @classmethod
    def of(cls, each: Sequence[float]) -> Standards:
        """From value, remedy and second width of each type, one type after the other.

        >>> found = Standards.of([18.0, np.nan, np.nan, 18.0, np.nan, np.nan])
        >>> len(found.value), found.rows.tolist(), found.value_of(1)
        (1, [0, 0], 18.0)
        """
        whole = np.array(each, np.float64).reshape(-1, 3)
        filled = np.where(np.isnan(whole), -1.0, whole)  # nan is not like another nan
        distinct, rows = np.unique(filled, axis=0, return_inverse=True)
        value, remedy, other = np.where(distinct.T < 0, np.nan, distinct.T)
        return cls(value, remedy, other, rows.reshape(-1).astype(np.int32))

    def value_of(self, number: int) -> float:
        return float(self.value[self.rows[number]])

    def remedy_of(self, number: int) -> float:
        return float(self.remedy[self.rows[number]])

    def other_of(self, number: int) -> float:
        return float(self.other[self.rows[number]])
