"""Rows laid ready in a temporary table of this connection, to be taken in by one statement.

Filling such a table locks nothing that others write: SQLite keeps it in a file of its own, which
is gone with the connection, as PostgreSQL does. What is in it goes into the site's tables by
``INSERT … SELECT`` within one transaction, which therefore takes no longer than the database needs.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from types import TracebackType
from typing import Any, Self

from django.db import DatabaseError, connection
from django.db.models import Field

from catalogue.importing.many_rows import preparing, quoted, table_of


def run(sql: str, params: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
    """What a statement finds; of one that finds nothing, an empty list."""
    with connection.cursor() as cursor:
        cursor.execute(sql, params)
        return cursor.fetchall() if cursor.description else []


class Laid:
    """A temporary table while this lasts; each column is of the kind of a model's field."""

    def __init__(self, name: str, columns: Mapping[str, Field[Any, Any]], key: str = "") -> None:
        self.name, self.columns, self.key = quoted(name), dict(columns), key

    def __enter__(self) -> Self:
        tables = {field.model._meta.db_table for field in self.columns.values()}
        asked = ", ".join(
            f"{table_of(field.model)}.{quoted(str(field.column))} AS {quoted(name)}"
            for name, field in self.columns.items()
        )
        of = ", ".join(map(quoted, sorted(tables)))
        run(f"CREATE TEMPORARY TABLE {self.name} AS SELECT {asked} FROM {of} WHERE 1 = 0")
        if self.key:
            index = quoted(f"key_of_{self.name.strip(chr(34))}")
            run(f"CREATE UNIQUE INDEX {index} ON {self.name} ({quoted(self.key)})")
        return self

    def __exit__(
        self,
        _kind: type[BaseException] | None,
        _error: BaseException | None,
        _where: TracebackType | None,
    ) -> None:
        with suppress(DatabaseError):
            run(f"DROP TABLE {self.name}")

    def add(self, rows: Iterable[Sequence[Any]]) -> None:
        """Lay these rows ready, their values in the order of the columns."""
        laid = list(map(preparing(list(self.columns.values())), rows))
        places = ", ".join(["%s"] * len(self.columns))
        if laid:
            with connection.cursor() as cursor:
                cursor.executemany(f"INSERT INTO {self.name} VALUES ({places})", laid)

    def empty(self) -> None:
        run(f"DELETE FROM {self.name}")

    def count(self) -> int:
        return int(run(f"SELECT count(*) FROM {self.name}")[0][0])
