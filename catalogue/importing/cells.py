"""What a row of a list says, by what its columns are."""

from __future__ import annotations

from dataclasses import dataclass

from catalogue.importing.lists import Mapping, Reading, Row, Table


@dataclass(frozen=True)
class Habits:
    """How a list is written: decimal sign, order of day and month, grade scale, language.

    ``sections``: lines of section rows, and the fields and texts that hold from there on.
    """

    decimal: str = "."
    day_first: bool = True
    scale: str = ""
    language: str = ""
    currency: str = ""
    sections: tuple[tuple[int, tuple[tuple[str, str], ...]], ...] = ()


def habits_of(table: Table, mapping: Mapping) -> Habits:
    """The habits of a list, from all of its cells."""
    raise NotImplementedError


def understand(row: Row, mapping: Mapping, habits: Habits) -> Reading:
    """What a row says; never raises, and nothing of the row is lost."""
    raise NotImplementedError
