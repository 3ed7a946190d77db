"""The database as it is at one moment, while others go on writing.

On SQLite it is a copy of the file, made by SQLite's own backup within one reading, which keeps no
writer waiting; on PostgreSQL it is one transaction that reads and sees nothing of what comes later.
"""

from __future__ import annotations

import copy
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
    default = connections[DEFAULT_DB_ALIAS]
    alias = f"snapshot-{secrets.token_hex(4)}"
    chosen = copy.deepcopy(default.settings_dict)
    chosen["CONN_MAX_AGE"] = 0
    if default.vendor == "sqlite":
        chosen["NAME"] = str(_copied(folder / alias))
        chosen["OPTIONS"] = {}
    else:
        chosen["OPTIONS"] = {**chosen.get("OPTIONS", {}), "isolation_level": _repeatable_read()}
    connections.settings[alias] = chosen
    try:
        with transaction.atomic(using=alias):
            if default.vendor == "postgresql":
                with connections[alias].cursor() as cursor:
                    cursor.execute("SET TRANSACTION READ ONLY")
            yield alias
    finally:
        connections[alias].close()
        del connections[alias]
        del connections.settings[alias]
        if default.vendor == "sqlite":
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
