"""What is reached from some things by going on from each to those it leads to.

Computed: all that pairs lead to, however far, each once; circles end. Units: none. Source: the
search of a graph in breadth (common practice, no source).

>>> reached(["gull"], leads([("gull", "bird"), ("bird", "animal"), ("fish", "animal")]))
['gull', 'bird', 'animal']
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from typing import TypeVar

Thing = TypeVar("Thing", bound=Hashable)


def leads(pairs: Iterable[tuple[Thing, Thing]]) -> dict[Thing, list[Thing]]:
    """From each first of the pairs to all its seconds, in their order."""
    found: dict[Thing, list[Thing]] = {}
    for one, other in pairs:
        found.setdefault(one, []).append(other)
    return found


def reached(starts: Iterable[Thing], onward: Mapping[Thing, Iterable[Thing]]) -> list[Thing]:
    """The starts and everything reached from them, the nearest first."""
    found = dict.fromkeys(starts)
    ahead = list(found)
    for one in ahead:  # which grows as it is read
        fresh = [each for each in dict.fromkeys(onward.get(one, ())) if each not in found]
        found |= dict.fromkeys(fresh)
        ahead += fresh
    return ahead
