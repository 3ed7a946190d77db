"""Read stored records of the reference catalogue back as the plain records of a pack."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import fields
from decimal import Decimal
from fractions import Fraction
from typing import Any, TypeVar

from django.db.models import QuerySet

from series.entries import tables
from series.entries.columns import Column, columns
from series.entries.flat import trimmed
from series.records import PackedRecord

R = TypeVar("R")


def stored(kind: type[R], record: Any, **parts: Any) -> R:
    """What a stored record says as a plain one; ``parts`` are fields that are read elsewhere.

    Records that it names are at hand (``with_named``), or one query each.
    """
    of = columns(kind)
    values = {
        each.name: _value(of.get(each.name), getattr(record, each.name))
        for each in fields(kind)  # type: ignore[arg-type]
        if each.compare and each.name not in parts
    }
    return kind(**values, **parts)


def _value(column: Column | None, value: Any) -> Any:
    if column is not None and column.reader == "citations":
        return tuple(tables.Citation(one.get("source", ""), one.get("where", "")) for one in value)
    if column is not None and column.reader == "fraction":
        return Fraction(value)
    if column is not None and column.reader == "slugs":
        return tuple(sorted(record.key for record in value.all()))
    if column is not None and column.names:
        return value.key if value is not None else ""
    return trimmed(value) if isinstance(value, Decimal) else value


def with_named(kind: type, records: QuerySet[Any]) -> QuerySet[Any]:
    """With the records that these name by key at hand."""
    for name, column in columns(kind).items():
        if column.names:
            many = column.reader == "slugs"
            records = records.prefetch_related(name) if many else records.select_related(name)
    return records


def stored_entries(kind: str, records: QuerySet[Any]) -> list[tuple[PackedRecord, Any]]:
    """Each record of ``records`` with what it says, for every kind but types."""
    of = tables.ENTRIES[kind]
    records = with_named(of, records).prefetch_related(*_ROWS.get(kind, ()))
    return [
        (record, stored(of, record, **_parts(kind, record))) for record in records.order_by("key")
    ]


_ROWS = {"currencies": ("units", "price_notes"), "series": ("rungs__denomination",)}


def _parts(kind: str, record: Any) -> dict[str, tuple[Any, ...]]:
    """What stands in rows of its own."""
    if kind == "currencies":
        return {
            "units": tuple(stored(tables.Unit, row) for row in record.units.all()),
            "price_notes": tuple(stored(tables.PriceNote, row) for row in record.price_notes.all()),
        }
    if kind == "series":
        rungs = [stored(tables.Rung, rung) for rung in record.rungs.all()]
        return {"rungs": tuple(sorted(rungs, key=lambda rung: rung.denomination))}
    return {}


def grouped(rows: Iterable[Any], by: str) -> dict[int, list[Any]]:
    """The rows by the value of one of their fields."""
    found: dict[int, list[Any]] = defaultdict(list)
    for row in rows:
        found[getattr(row, by)].append(row)
    return found
