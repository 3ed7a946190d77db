"""What the club of the benches is drawn by: words and names from one seed."""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterable
from typing import Any, TypeVar

Thing = TypeVar("Thing")

SYLLABLES = ["ha", "lu", "ver", "tin", "ne", "mar", "lo", "gul", "ska", "fen", "or", "da"]
SYLLABLES += ["ri", "ost", "ke", "bri", "sol", "um", "ve", "thra", "ney", "il"]
METALS = ("Cu75Ni25", "bronze", "silver 500", "silver 900", "Cu95Sn4Zn1", "steel", "Al", "Zn", "")
METAL_SHARES = (24, 18, 10, 8, 12, 10, 8, 5, 5)
GRADES = ("", "VG", "F", "VF", "GVF", "EF", "UNC")
GRADE_SHARES = (15, 8, 18, 27, 6, 18, 8)


class Lot:
    """What is drawn by lot: words from a vocabulary in which few words are frequent, and so on."""

    def __init__(self, seed: int) -> None:
        self.chance = random.Random(seed)
        syllables = [self.chance.choices(SYLLABLES, k=n) for n in (2, 3, 3, 4) for _ in range(6000)]
        self.vocabulary = list(dict.fromkeys("".join(word) for word in syllables))
        self.weights = list(
            itertools.accumulate(1 / (at + 10) for at in range(len(self.vocabulary)))
        )
        self._names: set[str] = set()

    def words(self, least: int, most: int) -> str:
        many = self.chance.randint(least, most)
        return " ".join(self.chance.choices(self.vocabulary, cum_weights=self.weights, k=many))

    def name(self) -> str:
        """A name that nothing has yet."""
        while True:
            found = "".join(self.chance.choices(SYLLABLES, k=self.chance.randint(2, 4))).title()
            if found not in self._names:
                self._names.add(found)
                return found

    def early(self, things: list[Thing], power: int = 2) -> Thing:
        """One of the things, the first ones much oftener than the last."""
        return things[int(len(things) * self.chance.random() ** power)]


def save(model: Any, records: Iterable[Any]) -> list[Any]:
    """Write records in parcels; they come back with their ids."""
    made: list[Any] = []
    source = iter(records)
    while parcel := list(itertools.islice(source, 5000)):
        made += model._default_manager.bulk_create(parcel)
    return made
