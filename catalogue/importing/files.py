"""The tables of a file that somebody brings, whatever made it (not written yet)."""

from __future__ import annotations

from pathlib import Path

from catalogue.importing.lists import Table


def read_tables(path: Path, name: str) -> tuple[Table, ...]:
    """The tables of a file, one for each worksheet with anything in it; ListError says what to do.

    ``name`` is the name that the file had where it came from.
    """
    raise NotImplementedError
