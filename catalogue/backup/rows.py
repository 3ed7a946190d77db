"""A row as plain JSON, and back: what is stored, value by value, under the names of its columns.

Numbers that are exact stand as texts ("12.50"), days and moments in ISO 8601, with every part of a
second; a JSON column as it is. Whatever Django can write as text is carried, so that a new kind of
field needs nothing here.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import date, datetime, time
from decimal import Decimal
from itertools import islice
from typing import Any

from django.db import DEFAULT_DB_ALIAS, Error, connections
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models import (
    BooleanField,
    CharField,
    Field,
    IntegerField,
    JSONField,
    Model,
    TextField,
)

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
    """The values of a row by column, as Python has them."""
    return {field.attname: _reader(field)(row[field.attname]) for field in fields}


def _reader(field: Field[Any, Any]) -> Callable[[Any], Any]:
    return _as_it_is if isinstance(field, JSONField) else field.to_python


def _as_it_is(value: Any) -> Any:
    return value


KEPT_AS_THEY_ARE: dict[type[Field[Any, Any]], type] = {
    CharField: str,
    TextField: str,
    BooleanField: bool,
    IntegerField: int,
}
"""Columns that hold what JSON gives for them, where it is of this very type."""


def _storer(field: Field[Any, Any], connection: BaseDatabaseWrapper) -> Callable[[Any], Any]:
    """What turns a plain value into one that the database is given."""
    read = _reader(field)
    kind = getattr(field, "target_field", field)
    as_is = next((t for f, t in KEPT_AS_THEY_ARE.items() if isinstance(kind, f)), None)

    def stored(value: Any) -> Any:
        if as_is and (value is None or type(value) is as_is):
            return value
        return field.get_db_prep_save(read(value), connection)

    return stored


def put_back(model: type[Model], rows: Iterable[Mapping[str, Any]], told: Told = silent) -> int:
    """Store rows just as they were, without signals; within a transaction. Returns how many.

    No record is made of them on the way, which takes longer than storing them.
    """
    connection = connections[DEFAULT_DB_ALIAS]
    fields = stored_fields(model)
    columns = [(field.attname, _storer(field, connection)) for field in fields]
    quote = connection.ops.quote_name
    named = ", ".join(quote(str(field.column)) for field in fields)
    marks = ", ".join(["%s"] * len(fields))
    into = f"INSERT INTO {quote(model._meta.db_table)} ({named}) VALUES ({marks})"  # noqa: S608 names of columns
    values = ([stored(row[name]) for name, stored in columns] for row in rows)
    at = [field.attname for field in fields].index(model._meta.pk.attname)  # type: ignore[union-attr]
    count = 0
    with connection.cursor() as cursor:
        while batch := list(islice(values, AT_ONCE)):
            try:
                cursor.executemany(into, batch)
            except Error as error:
                raise RowRefused(
                    f"The database does not take a row of {model._meta.label}, one of the numbers "
                    f"{batch[0][at]} to {batch[-1][at]}: {str(error).strip()}"
                ) from error
            count += len(batch)
            told(len(batch))
    return count
