"""Distinct things, numbered, and for each entry the number of its own: what is alike is kept once.

What is computed: numpy arrays of numbers. ``Coded`` has one thing an entry, ``Listed`` a list of
them, all lists laid end to end; ``Coding`` gathers either. Units: none. Source: none needed.

>>> coding = Coding()
>>> for motifs in (["net", "gull"], [], ["net"]):
...     coding.add_list(motifs)
>>> listed = coding.listed()
>>> listed.things, listed.of(2), listed.sums(np.array([1.0, 2.0, 8.0])).tolist()
(['net', 'gull'], ['net'], [3.0, 0.0, 8.0])
"""

from __future__ import annotations

from array import array
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from series.arrays import Floats, Ints


class Coding:
    """Things as they come: each is numbered when it first does; -1 is what is not recorded."""

    def __init__(self) -> None:
        self.numbers: dict[Any, int] = {}
        self.rows, self.start = array("i"), array("i", [0])

    def add(self, thing: Hashable) -> None:
        self.rows.append(-1 if thing is None else self.numbers.setdefault(thing, len(self.numbers)))

    def add_list(self, things: Iterable[Hashable]) -> None:
        for thing in things:
            self.add(thing)
        self.start.append(len(self.rows))

    def coded(self) -> Coded:
        return Coded(list(self.numbers), np.array(self.rows, np.int32))

    def listed(self) -> Listed:
        coded = self.coded()
        return Listed(coded.things, coded.rows, np.array(self.start, np.int32))

    @classmethod
    def of_lists(cls, lists: Iterable[Iterable[Hashable]]) -> Listed:
        coding = cls()
        for each in lists:
            coding.add_list(each)
        return coding.listed()


@dataclass(frozen=True)
class Coded:
    """Distinct things, and for each entry the number of its own: -1 where there is none."""

    things: Sequence[Any]
    rows: Ints

    def of(self, entry: int) -> Any:
        """The thing of one entry; None where there is none."""
        row = self.rows[entry]
        return self.things[row] if row >= 0 else None


@dataclass(frozen=True)
class Listed(Coded):
    """The same for lists end to end: those of entry k lie from ``start[k]`` to ``start[k+1]``."""

    start: Ints

    @property
    def counts(self) -> Ints:
        return np.diff(self.start)

    def at(self, entry: int) -> Ints:
        """The numbers of the things in one list."""
        return self.rows[self.start[entry] : self.start[entry + 1]]

    def of(self, entry: int) -> list[Any]:
        """The things in one list."""
        return [self.things[row] for row in self.at(entry)]

    def sums(self, weights: Floats) -> Floats:
        """For each list the sum of the weights that lie along its entries."""
        found = np.zeros(len(self.start) - 1)
        filled = self.counts > 0
        if filled.any():
            found[filled] = np.add.reduceat(weights, self.start[:-1][filled])
        return found
