"""The types of every pack that is shipped, as the ranking takes them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from django.db import transaction

from series.identifying.fetching import load_table
from series.identifying.table import TypeTable
from series.packs.load import load_pack

PACKS = Path(__file__).parent.parent / "fixtures" / "packs"
NAMES = ("euro", "united-states", "halvern")


@pytest.fixture(scope="session")
def shipped(django_db_setup: None, django_db_blocker: Any) -> TypeTable:
    """Loaded once for all tests; the database is as it was afterwards."""
    with django_db_blocker.unblock(), transaction.atomic():
        for name in NAMES:
            load_pack(PACKS / name)
        table = load_table()
        transaction.set_rollback(True)
    return table
