"""The values of one facet, numbered, and how many rows have each.

Computed: for a facet whose rows have one value each or several, a small whole number a row that
stands for the row's *set* of values; from such numbers, the count of rows by value and whether
a row has any of some chosen values. Rows share few distinct sets, so a facet with several values
a row costs hardly more than one with a single value.

Units: rows. Source: none needed; the counts are those of a plain loop, which the tests run.

>>> motif = ValueSets()
>>> codes = [motif.number(cell) for cell in (("gull", "net"), "net", None, ())]
>>> codes
[0, 1, 2, 2]
>>> motif = motif.grown()
>>> motif.counts(np.array(codes))
{'gull': 1, 'net': 2, None: 2}
>>> motif.misses({"gull", None}).take(codes).tolist()
[False, True, False, False]
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field, replace
from itertools import islice

import numpy as np
from numpy.typing import NDArray

Value = str | int | None
Integers = NDArray[np.integer]
Truths = NDArray[np.bool_]


def _none() -> Integers:
    return np.zeros(0, dtype=np.int64)


@dataclass(frozen=True, slots=True)
class ValueSets:
    """Numbered values and numbered sets of values; see the module's docstring.

    A facet never changes for its readers: ``grown`` gives a new one. Old and new share the
    dictionaries and the list, which only ever grow; the two counts say how much is this one's.
    One writer at a time makes each from the last.
    """

    numbers: dict[Value, int] = field(default_factory=dict)
    values: list[Value] = field(default_factory=list)
    sets: dict[tuple[int, ...], int] = field(default_factory=dict)
    value_count: int = 0
    set_count: int = 0
    entry_set: Integers = field(default_factory=_none)  # of each value in each set: the set
    entry_value: Integers = field(default_factory=_none)  # and the value

    @classmethod
    def of_entries(
        cls, values: list[Value], entry_set: Integers, entry_value: Integers
    ) -> ValueSets:
        """The facet of these values and entries; the entries of a set follow one another.

        >>> old = ValueSets()
        >>> numbers = [old.number(cell) for cell in ("net", ("gull", "net"))]
        >>> old = old.grown()
        >>> anew = ValueSets.of_entries(old.values, old.entry_set, old.entry_value)
        >>> anew.counts(np.array([0, 1])), anew.number(("net", "gull"))
        ({'net': 2, 'gull': 1}, 1)
        """
        members: dict[int, list[int]] = {}
        for number, value in zip(entry_set.tolist(), entry_value.tolist(), strict=True):
            members.setdefault(number, []).append(value)
        sets = {tuple(each): number for number, each in members.items()}
        numbers = {value: number for number, value in enumerate(values)}
        return cls(numbers, values, sets, len(values), len(sets), entry_set, entry_value)

    def number(self, cell: Value | tuple[Value, ...]) -> int:
        """The number of a row's set of values, a new one if need be; for the writer alone.

        An empty tuple means the same as None. A new number is known to no reader before the
        facet that ``grown`` gives is put in place.
        """
        if isinstance(cell, tuple):
            members = tuple(sorted({self._value_number(value) for value in cell or (None,)}))
        else:
            members = (self._value_number(cell),)
        return self.sets.setdefault(members, len(self.sets))

    def grown(self) -> ValueSets:
        """The facet with all sets that were given a number."""
        if len(self.sets) == self.set_count:
            return self
        entry_set: list[int] = []
        entry_value: list[int] = []
        for members in islice(self.sets, self.set_count, None):
            entry_set += [self.sets[members]] * len(members)
            entry_value += members
        return replace(
            self,
            value_count=len(self.values),
            set_count=len(self.sets),
            entry_set=np.concatenate([self.entry_set, np.array(entry_set)]),
            entry_value=np.concatenate([self.entry_value, np.array(entry_value)]),
        )

    def _value_number(self, value: Value) -> int:
        number = self.numbers.get(value)
        if number is None:
            number = len(self.values)
            self.values.append(value)  # before its number is known to a reader
            self.numbers[value] = number
        return number

    def misses(self, chosen: Collection[Value]) -> Truths:
        """For each set, whether it has none of the chosen values."""
        wanted = np.zeros(self.value_count, dtype=np.bool_)
        for value in chosen:
            number = self.numbers.get(value, self.value_count)
            if number < self.value_count:
                wanted[number] = True
        missed = np.ones(self.set_count, dtype=np.bool_)
        missed[self.entry_set[wanted[self.entry_value]]] = False
        return missed

    def counts(self, codes: Integers) -> dict[Value, int]:
        """By value, how many of these set numbers stand for a set that has it; none at 0."""
        by_set = np.bincount(codes, minlength=self.set_count)
        by_value = np.bincount(
            self.entry_value, weights=by_set[self.entry_set], minlength=self.value_count
        )
        present = np.flatnonzero(by_value)
        values = [self.values[number] for number in present.tolist()]
        return dict(zip(values, by_value[present].astype(np.int64).tolist(), strict=True))
