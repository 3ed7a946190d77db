"""The flat form of a record, in which what a pack said, what is stored and what a pack says meet.

What is computed: ``{path: plain JSON value}`` of a record (``series.entries.tables``), which
``series.packs.merging`` compares path by path. The form is this project's own, and is kept with
every record: a path must not change its meaning.

>>> from series.entries.tables import MintEntry, Rung, SeriesEntry
>>> flat(MintEntry(key="sund", name="Sund"))
{'citations': [], 'name': 'Sund', 'town': '', 'issuer': '', 'note': ''}
>>> flat(SeriesEntry(key="s", rungs=(Rung("penny", first_year=1931),)))["rungs.penny"]
[1931, None, False, '']
>>> as_fields(Rung, [1931, None, False, ""])
{'first_year': 1931, 'last_year': None, 'not_struck': False, 'note': ''}
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import fields
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from series.entries.tables import FACES, Entry, IssueEntry, MarkText, TypeEntry

_ASIDE = {"key", "place", "issues", "position"}
_EACH = {"rungs": "denomination", "marks": "identity", "varieties": "key"}


def flat(entry: Entry | IssueEntry) -> dict[str, Any]:
    """The record as ``{path: plain JSON value}``, without its key, place, issues and position.

    A face's fields have paths like ``obverse.border``; each rung, mark and variety one of its
    own, like ``rungs.halvern-1-tinne``, so that one can be edited beside the others. A mark of
    which only the text is known stands with the issues alone.
    """
    values: dict[str, Any] = {}
    for each in fields(entry):
        value = getattr(entry, each.name)
        if each.name in _ASIDE:
            continue
        if each.name in FACES.values():
            for inner in fields(value):
                values[f"{each.name}.{inner.name}"] = _plain(getattr(value, inner.name))
        elif each.name in _EACH and (each.name != "marks" or isinstance(entry, TypeEntry)):
            for item in value:
                if not isinstance(item, MarkText) or item.side:
                    plain = _plain(item)
                    path = f"{each.name}.{getattr(item, _EACH[each.name])}"
                    values[path] = plain if each.name == "marks" else plain[1:]
        else:
            values[each.name] = _plain(value)
    return values


def parts(values: Mapping[str, Any], prefix: str) -> Iterator[tuple[str, Any]]:
    """The paths under a prefix such as ``rungs``, without it, and what they hold.

    >>> list(parts({"name": "First", "rungs.penny": [1931, None, False, ""]}, "rungs"))
    [('penny', [1931, None, False, ''])]
    """
    for path, value in values.items():
        head, dot, rest = path.partition(".")
        if dot and head == prefix:
            yield rest, value


def as_fields(record: type, row: Sequence[Any]) -> dict[str, Any]:
    """A row of the flat form by the names of its fields, the last ones of the record."""
    names = [each.name for each in fields(record)]
    return dict(zip(names[-len(row) :], row, strict=True))


def _plain(value: Any) -> Any:
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, Fraction):
        return str(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if hasattr(value, "__dataclass_fields__"):
        return [_plain(getattr(value, each.name)) for each in fields(value)]
    return value


def trimmed(value: Decimal) -> Decimal:
    """Without trailing zeros and without an exponent: 8.50 is 8.5, 1E+2 is 100.

    >>> trimmed(Decimal("8.50")), trimmed(Decimal("1E+2"))
    (Decimal('8.5'), Decimal('100'))
    """
    short = value.normalize()
    return short.quantize(Decimal(1)) if short == short.to_integral_value() else short
