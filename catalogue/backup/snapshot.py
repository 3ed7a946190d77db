"""The database as it is at one moment, while others go on writing.

On SQLite it is a copy of the file, made by SQLite's own backup within one reading, which keeps no
writer waiting; on PostgreSQL it is one transaction that reads and sees nothing of what comes later.
"""

from __future__ import annotations

import os
import secrets
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from django.db import DEFAULT_DB_ALIAS, connections, transaction


@contextmanager
def snapshot(folder: Path) -> Iterator[str]:
    """The name under which Django reads the database of this moment.

    What has to be copied lies in ``folder`` for the time, for this account alone.
    """
    alias = f"snapshot-{secrets.token_hex(4)}"
    seen = connections[DEFAULT_DB_ALIAS].copy(alias)
    chosen = seen.settings_dict
    chosen["CONN_MAX_AGE"] = 0
    if seen.vendor == "sqlite":
        chosen["NAME"] = str(_copied(folder / alias))
        chosen["OPTIONS"] = {}
    else:
        chosen["OPTIONS"] = {**chosen["OPTIONS"], "isolation_level": _repeatable_read()}
    connections[alias] = seen
    try:
        with transaction.atomic(using=alias):
            if seen.vendor == "postgresql":
                with seen.cursor() as cursor:
                    cursor.execute("SET TRANSACTION READ ONLY")
            yield alias
    finally:
        seen.close()
        del connections[alias]
        if seen.vendor == "sqlite":
            Path(chosen["NAME"]).unlink(missing_ok=True)


def _copied(path: Path) -> Path:
    connection = connections[DEFAULT_DB_ALIAS]
    connection.ensure_connection()
    os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    try:
        with connection.wrap_database_errors, closing(sqlite3.connect(path)) as whole:
            connection.connection.backup(whole)
            whole.execute("PRAGMA journal_mode = DELETE")  # else it is read with files beside it
    except BaseException:
        path.unlink(missing_ok=True)
        raise
    return path


def _repeatable_read() -> int:
    from psycopg import IsolationLevel

    return IsolationLevel.REPEATABLE_READ
