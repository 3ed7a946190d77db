"""Columns of a table of types: what many types share is kept once.

What is computed: numpy arrays for three kinds of column. ``Standards``: the distinct standards of
a measure in mm or g. ``Classed``: the chances of what falls into classes. ``Ragged``: lists of
numbers laid end to end. A type's number leads to its row.

>>> ragged = Ragged.of([[4, 5], [], [6]])
>>> ragged.sums(np.array([1.0, 2.0, 8.0])).tolist(), ragged.at(2).tolist()
([3.0, 0.0, 8.0], [6])
"""

from __future__ import annotations

from array import array
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int32]


class Numbered:
    """Distinct things, numbered in the order they first come; -1 for what is not recorded."""

    def __init__(self) -> None:
        self.things: list[Any] = []
        self._numbers: dict[Hashable, int] = {}

    def number(self, thing: Hashable) -> int:
        found = self._numbers.get(thing)
        if found is None:
            found = self._numbers[thing] = len(self.things)
            self.things.append(thing)
        return found


class Growing:
    """Lists of numbers that come one after the other."""

    def __init__(self) -> None:
        self.values, self.start = array("i"), array("i", [0])

    def add(self, numbers: Iterable[int]) -> None:
        self.values.extend(numbers)
        self.start.append(len(self.values))

    def ragged(self) -> Ragged:
        return Ragged(np.array(self.values, np.int32), np.array(self.start, np.int32))


@dataclass(frozen=True)
class Ragged:
    """Lists of numbers end to end; those of entry k lie from ``start[k]`` to ``start[k+1]``."""

    values: Ints
    start: Ints

    @classmethod
    def of(cls, lists: Iterable[Iterable[int]]) -> Ragged:
        growing = Growing()
        for each in lists:
            growing.add(each)
        return growing.ragged()

    @property
    def counts(self) -> Ints:
        return np.diff(self.start)

    def at(self, entry: int) -> Ints:
        return self.values[self.start[entry] : self.start[entry + 1]]

    def sums(self, weights: Floats) -> Floats:
        """For each entry the sum of the weights that lie along its values."""
        found = np.zeros(len(self.start) - 1)
        filled = self.counts > 0
        if filled.any():
            found[filled] = np.add.reduceat(weights, self.start[:-1][filled])
        return found


@dataclass(frozen=True)
class Classed:
    """What falls into classes: for each type the row of ``chances`` that it has, -1 the last.

    The last row is of what is not recorded: all nan.
    """

    classes: tuple[str, ...]
    rows: Ints
    chances: Floats
    recorded: tuple[Any, ...]

    def logs(self, seen: str) -> Floats:
        """Natural logarithm of the chance that ``seen`` is named, for each row."""
        logs: Floats = np.log(self.chances[:, self.classes.index(seen)])
        return logs

    def recorded_of(self, number: int) -> Any:
        """What the record says, as the chances were made from it; None where nothing."""
        return self.recorded[self.rows[number]] if self.rows[number] >= 0 else None


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
