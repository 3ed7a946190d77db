"""Long lists parted, so that no query names more than a database takes.

Computed: lists of at most so many things, in the order of the whole. Units: things. Source:
SQLite takes 32,766 parameters in one query, as its documentation on limits says.

>>> [*parcels([5, 7, 9], 2)]
[[5, 7], [9]]
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TypeVar

A_QUERY = 800

Thing = TypeVar("Thing")


def parcels(things: Iterable[Thing], size: int = A_QUERY) -> Iterator[list[Thing]]:
    """The things, at most ``size`` of them at a time."""
    whole = list(things)
    for start in range(0, len(whole), size):
        yield whole[start : start + size]
