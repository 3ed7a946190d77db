"""The kinds of column that the records of the reference catalogue are made of.

What is computed: nothing; each function declares one field of a dataclass with all that is to be
known of it: how it is read (``reader``, a method of ``series.packs.reading.Table``, which holds
the messages), within which limits, what holds where nothing is said, and whose key it is. From
such a declaration a pack is read and written, a stored record is read back, references are
checked, and the forms of the site know what may be typed. Lengths of texts are in characters.

>>> @dataclass(frozen=True)
... class Town:
...     name: str = text(120, needed=True)
...     mint: str = key_of("mints")
>>> columns(Town)["name"].limits["longest"], columns(Town)["mint"].names, Town()
(120, 'mints', Town(name='', mint=''))
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import MISSING, dataclass, field, fields
from typing import Any

from series.entries.choices import Choice


@dataclass(frozen=True)
class Column:
    """``names`` is the table of the records that it names by key, "" where it names none."""

    reader: str
    limits: Mapping[str, Any]
    names: str = ""


def columns(record: type) -> dict[str, Column]:
    """The columns of a kind of record, by name; what is made of parts is none."""
    return {
        each.name: each.metadata["column"] for each in fields(record) if "column" in each.metadata
    }


def read_by(record: type, reader: str) -> tuple[str, ...]:
    """The names of the columns that one reader reads."""
    return tuple(name for name, column in columns(record).items() if column.reader == reader)


def _column(reader: str, default: Any, names: str = "", /, **limits: Any) -> Any:
    return field(default=default, metadata={"column": Column(reader, limits, names)})


def own_key(longest: int = 120) -> Any:
    """The record's own key."""
    return _column("slug", MISSING, longest=longest, needed=True)


def key_of(kind: str, *, needed: bool = False) -> Any:
    """The key of a record of another table."""
    return _column("slug", "", kind, needed=needed)


def keys_of(kind: str, what: str, needed: str = "") -> Any:
    """The keys of records of another table in their order; ``needed`` says what to write."""
    return _column("slugs", (), kind, what=what, needed=needed)


def text(longest: int = 0, *, needed: bool = False, default: str = "") -> Any:
    """At most ``longest`` characters, 0 for as many as one likes."""
    return _column("text", default, longest=longest, needed=needed)


def matching(pattern: str, write: str, default: str = "") -> Any:
    """A text of a certain form; ``write`` says of which."""
    return _column("matching", default, pattern=pattern, write=write, default=default)


def choice(of: type[Choice], default: str | None = None) -> Any:
    first = next(iter(of)).value if default is None else default
    return _column("choice", first, choices=tuple(each.value for each in of if each), default=first)


def yes(default: bool = False) -> Any:
    return _column("yes", default, default=default)


def whole(least: int, most: int, what: str) -> Any:
    return _column("whole", None, least=least, most=most, what=what)


def measure(unit: str, places: int, below: int) -> Any:
    """Above zero and below ``below``, with at most ``places`` decimals."""
    return _column("measure", None, unit=unit, places=places, below=below)


def clock() -> Any:
    """A place by the clock, 1 to 12.75 hours in quarters."""
    return _column("clock", None)


def fraction(default: Any) -> Any:
    """An exact number above zero, which every record has."""
    return _column("fraction", default, needed=True)


def rate() -> Any:
    return _column("rate", "")


def day() -> Any:
    return _column("day", None)


def edtf(longest: int, *, open_end: bool = False) -> Any:
    """A date in EDTF; with ``open_end`` also ``..``."""
    return _column("edtf", "", longest=longest, open_end=open_end)


def first_year() -> Any:
    """The first of the two years that are written as one text, ``years``."""
    return _column("year", None, end=0)


def last_year() -> Any:
    return _column("year", None, end=1)


def citations() -> Any:
    return _column("citations", ())
