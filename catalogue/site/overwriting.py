"""What was deleted is also gone from the file of the database.

On SQLite every connection overwrites what it deletes (``PRAGMA secure_delete`` in the settings).
After a member was erased the whole file is written anew besides, without what earlier versions of
the site left in it, and the write-ahead log, which keeps what was written lately, is emptied.
PostgreSQL has nothing alike that a site could ask for while others use it: there the keeper of the
machine vacuums (see ``members/erase.html`` and the command ``erase_member``).
"""

from __future__ import annotations

import logging

from django.db import Error, connection

from catalogue.members.models import SiteFact

DUE = "database to be overwritten"
PATIENCE = 3_000  # ms, for those who are reading

log = logging.getLogger(__name__)


def is_overwritten() -> bool:
    """Whether this database can be told to overwrite what was deleted."""
    return connection.vendor == "sqlite"


def make_due() -> None:
    """Within the transaction that deletes: it is done once that is committed, or later."""
    if is_overwritten():
        SiteFact.objects.get_or_create(key=DUE)


def is_due() -> bool:
    return SiteFact.objects.filter(key=DUE).exists()


def overwrite_if_due() -> None:
    """Outside of any transaction. Where the file is in use or the disk full, it stays due."""
    if not is_due():
        return
    try:
        done = _write_anew()
    except Error as error:
        log.warning("The database could not be written anew; it is tried again later: %s", error)
    else:
        if done:
            SiteFact.objects.filter(key=DUE).delete()


def _write_anew() -> bool:
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA busy_timeout")
        (usual,) = cursor.fetchone()
        cursor.execute(f"PRAGMA busy_timeout = {PATIENCE}")
        try:
            cursor.execute("VACUUM")
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            (busy, *_pages) = cursor.fetchone()
        finally:
            cursor.execute(f"PRAGMA busy_timeout = {int(usual)}")
    return not busy
