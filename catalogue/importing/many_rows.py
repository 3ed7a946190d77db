"""Many rows of one model written as they are, by one statement that is sent for each.

For the rows of a list in the staging area, which nothing tracks: what ``bulk_create`` and
``bulk_update`` build for every parcel took longer than the database takes to write it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from operator import attrgetter
from typing import Any

from django.db import connection
from django.db.models import Field, Model

_AS_IT_IS = ("CharField", "TextField", "IntegerField", "BooleanField", "ForeignKey", "AutoField")


def quoted(name: str) -> str:
    return connection.ops.quote_name(name)


def table_of(model: type[Model]) -> str:
    return quoted(model._meta.db_table)


def preparing(fields: Sequence[Field[Any, Any]]) -> Callable[[Iterable[Any]], list[Any]]:
    """A function from the values of a row to what the database takes."""
    special = [
        (place, field.get_db_prep_save)
        for place, field in enumerate(fields)
        if not field.get_internal_type().endswith(_AS_IT_IS)
    ]

    def prepared(row: Iterable[Any]) -> list[Any]:
        values = list(row)
        for place, prepare in special:
            if values[place] is not None:
                values[place] = prepare(values[place], connection)
        return values

    return prepared


def insert_all(rows: Sequence[Any]) -> None:
    """Store new rows, all of one model; they are not given their ids."""
    if not rows:
        return
    model: type[Model] = type(rows[0])
    fields: list[Any] = [field for field in model._meta.concrete_fields if not field.primary_key]
    names = ", ".join(quoted(field.column) for field in fields)
    places = ", ".join(["%s"] * len(fields))
    prepared, values = preparing(fields), attrgetter(*(field.attname for field in fields))
    _send(
        f"INSERT INTO {table_of(model)} ({names}) VALUES ({places})",
        (prepared(values(row)) for row in rows),
    )


def write_all(rows: Sequence[Any], names: Iterable[str]) -> None:
    """Write these columns of stored rows, all of one model."""
    if not rows:
        return
    model: type[Model] = type(rows[0])
    fields: list[Any] = [*(model._meta.get_field(name) for name in names), model._meta.pk]
    values = ", ".join(f"{quoted(field.column)} = %s" for field in fields[:-1])
    prepared, read = preparing(fields), attrgetter(*(field.attname for field in fields))
    _send(
        f"UPDATE {table_of(model)} SET {values} WHERE {quoted(fields[-1].column)} = %s",
        (prepared(read(row)) for row in rows),
    )


def _send(sql: str, rows: Iterable[list[Any]]) -> None:
    with connection.cursor() as cursor:
        cursor.executemany(sql, list(rows))
