"""The numbers that tables give to their rows: none that was given is given again.

What speaks of a row that is gone (an old change, an erased member) must not come to speak of
another one because the site was restored.
"""

from __future__ import annotations

from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models import AutoField, BigAutoField, Max, Model, SmallAutoField


def is_numbered(model: type[Model]) -> bool:
    return isinstance(model._meta.pk, (AutoField, BigAutoField, SmallAutoField))


def last_number(connection: BaseDatabaseWrapper, model: type[Model]) -> int | None:
    """The highest number that a table has given so far; None where it numbers nothing."""
    if not is_numbered(model):
        return None
    table, pk = model._meta.db_table, model._meta.pk.column  # type: ignore[union-attr]
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("SELECT seq FROM sqlite_sequence WHERE name = %s", [table])
            row = cursor.fetchone()
            return row[0] if row else 0
        cursor.execute(
            "SELECT pg_sequence_last_value(pg_get_serial_sequence(%s, %s)::regclass)",
            [f'"{table}"', pk],
        )
        (last,) = cursor.fetchone()
        return last or 0


def go_on_from(connection: BaseDatabaseWrapper, model: type[Model], last: int) -> None:
    """Let a table give only numbers above this one and above all that it holds."""
    if not is_numbered(model):
        return
    held = model._base_manager.using(connection.alias).aggregate(last=Max("pk"))["last"] or 0
    last = max(last, held)
    table, pk = model._meta.db_table, model._meta.pk.column  # type: ignore[union-attr]
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("DELETE FROM sqlite_sequence WHERE name = %s", [table])
            cursor.execute("INSERT INTO sqlite_sequence (name, seq) VALUES (%s, %s)", [table, last])
        else:
            cursor.execute(
                "SELECT setval(pg_get_serial_sequence(%s, %s), %s, %s)",
                [f'"{table}"', pk, max(last, 1), last > 0],
            )
