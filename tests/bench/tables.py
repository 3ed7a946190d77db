"""The empty tables that the site of a bench begins with."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

GIVEN = "BENCH_TABLES"
"""May name a migrated, empty database, which the suite makes once for all benches."""


def lay_tables(folder: str | Path) -> None:
    """Put the given database into a folder that has none; ``migrate`` then has nothing to do."""
    put = Path(folder, "exergue.sqlite3")
    if (given := os.environ.get(GIVEN)) and not put.exists():
        shutil.copy(given, put)
