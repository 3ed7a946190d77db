"""The types of all shipped packs for the benches, from a database made for the run."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from series.identifying.facts import RankedType
from series.identifying.table import TypeTable
from tests.bench.tables import lay_tables

PACKS = Path(__file__).parents[2] / "fixtures" / "packs"
NAMES = ("euro", "united-states", "halvern")


def shipped_types() -> tuple[list[RankedType], TypeTable]:
    """Facts and table of the same types in the same order."""
    with tempfile.TemporaryDirectory() as folder:
        os.environ["EXERGUE_VAR"] = folder
        os.environ.pop("DATABASE_URL", None)
        os.environ["DJANGO_SETTINGS_MODULE"] = "catalogue.settings"
        import django

        django.setup()
        from django.core.management import call_command
        from django.db import connection

        from series.identifying.fetching import facts_of
        from series.models import CoinType
        from series.packs.load import load_pack

        lay_tables(folder)
        call_command("migrate", verbosity=0)
        for name in NAMES:
            load_pack(PACKS / name)
        facts = list(facts_of(CoinType.objects.all()))
        connection.close()
    return facts, TypeTable.of(facts)
