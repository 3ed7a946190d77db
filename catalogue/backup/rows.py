"""A row as plain JSON, and back: what is stored, value by value, under the names of its columns.

Numbers that are exact stand as texts ("12.50"), days and moments in ISO 8601, with every part of a
second; a JSON column as it is. Whatever Django can write as text is carried, so that a new kind of
field needs nothing here.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime, time
from decimal import Decimal
from itertools import islice
from typing import Any

from django.db import DEFAULT_DB_ALIAS, Error, connections
from django.db.models import Field, JSONField, Model

from catalogue.backup.container import Told, silent

AT_ONCE = 500


class RowRefused(ValueError):
    """A row does not fit into the database; the message says which."""


def stored_fields(model: type[Model]) -> list[Field[Any, Any]]:
    """The columns of a table that hold something of their own."""
    return [
        field for field in model._meta.concrete_fields if not getattr(field, "generated", False)
    ]


def lines_of(model: type[Model], alias: str, told: Told = silent) -> Iterator[bytes]:
    """Every row of a table as a line of JSON; read piece by piece."""
    fields = stored_fields(model)
    rows = model._base_manager.using(alias).order_by("pk")
    for values in rows.values_list(*(field.attname for field in fields)).iterator(2_000):
        yield json.dumps(as_plain(fields, values), ensure_ascii=False).encode()
        told(1)


def as_plain(fields: list[Field[Any, Any]], values: Iterable[Any]) -> dict[str, Any]:
    return {
        field.attname: _plain(field, value) for field, value in zip(fields, values, strict=True)
    }


def _plain(field: Field[Any, Any], value: Any) -> Any:
    if value is None or isinstance(value, (bool, int, float, str)) or isinstance(field, JSONField):
        return value
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, (datetime, date, time)):
        return value.isoformat()
    holder = field.model()
    setattr(holder, field.attname, value)
    return field.value_to_string(holder)


def from_plain(fields: Iterable[Field[Any, Any]], row: Mapping[str, Any]) -> dict[str, Any]:
    """The values of a row by column, as Django stores them."""
    return {
        field.attname: row[field.attname]
        if isinstance(field, JSONField)
        else field.to_python(row[field.attname])
        for field in fields
    }


def put_back(model: type[Model], rows: Iterable[Mapping[str, Any]], told: Told = silent) -> int:
    """Store rows just as they were, without signals; within a transaction. Returns how many."""
    connection = connections[DEFAULT_DB_ALIAS]
    fields = stored_fields(model)
    made = (model(**from_plain(fields, row)) for row in rows)
    most = max(1, connection.ops.bulk_batch_size(fields, [None] * AT_ONCE))
    count = 0
    while batch := list(islice(made, most)):
        try:
            # As when a fixture is loaded: no column is set to this moment, nobody is told.
            model._base_manager._insert(  # type: ignore[attr-defined]
                batch, fields=fields, using=connection.alias, raw=True
            )
        except Error as error:
            raise RowRefused(
                f"The database does not take a row of {model._meta.label}, one of the numbers "
                f"{batch[0].pk} to {batch[-1].pk}: {str(error).strip()}"
            ) from error
        count += len(batch)
        told(len(batch))
    return count
