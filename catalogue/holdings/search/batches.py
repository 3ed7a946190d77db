"""Rows on their way into the columns.

Units: places of a batch are numbered from 0. Source: none needed.

>>> notes = Texts(patch=True)
>>> notes.add(0, "a net")
>>> notes.behind(Haystack.of(["gull"]), 1, 2).having("et").tolist()
[False, True]
"""

from __future__ import annotations

from array import array
from dataclasses import dataclass, field

from catalogue.holdings.search.haystack import Haystack, Words
from catalogue.holdings.search.ranking import Key


class Texts:
    """Texts of a batch by place: as they are where they become a patch, else as numbered words."""

    def __init__(self, patch: bool) -> None:
        self._texts: dict[int, str] = {}
        self._words = None if patch else Words()

    def add(self, at: int, text: str) -> None:
        if self._words is None:
            self._texts[at] = text
        else:
            self._words.add(at, text)

    def behind(self, stack: Haystack, old: int, size: int) -> Haystack:
        """The haystack with these texts behind its ``old`` ones, ``size`` in all."""
        if self._words is not None:
            return self._words.stacked(size)
        return stack.patched({old + at: text for at, text in self._texts.items()}, size)


@dataclass(frozen=True, slots=True)
class Batch:
    """Rows to be put in, as columns: cells a line, keys a sort, texts by place, ids."""

    cells: list[array[int]]
    keys: dict[str, list[Key]]
    audiences: dict[tuple[int, str], int]  # those of the snapshot and after them new ones
    notes: Texts
    own: Texts
    ids: array[int] = field(default_factory=lambda: array("q"))
