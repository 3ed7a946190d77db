"""A database of the first release is brought up to date, and nothing in it is lost.

``first_release.sql`` is that database as text (SQLite): a member, a type with three dates, two
pieces, an own value, a schedule. It is never changed; migrations must be able to start from it.
"""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

# What the stored pieces lack: where one came from, and what is wrong with it.
MORE = """
UPDATE catalogue_holding SET acquired_from = 'Harbour fair' WHERE id = 1;
INSERT INTO catalogue_provenanceline ("when", text, position, holding_id)
VALUES ('1931~', 'from the ferry till', 0, 1);
INSERT INTO catalogue_holdingproblem (kind, note, holding_id) VALUES ('edge_knock', '', 1);
"""

HERE = Path(__file__).parent
ROOT = HERE.parent.parent


@pytest.fixture(scope="module")
def upgraded(tmp_path_factory: pytest.TempPathFactory) -> sqlite3.Connection:
    folder = tmp_path_factory.mktemp("first-release")
    stored = sqlite3.connect(folder / "exergue.sqlite3")
    stored.executescript((HERE / "first_release.sql").read_text("utf-8"))
    stored.executescript(MORE)
    stored.close()
    own = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
    subprocess.run(
        [sys.executable, "manage.py", "migrate", "--verbosity", "0"],
        cwd=ROOT,
        env=own | {"EXERGUE_VAR": str(folder)},
        check=True,
    )
    return sqlite3.connect(folder / "exergue.sqlite3")


def test_every_migration_was_applied(upgraded: sqlite3.Connection) -> None:
    applied = {
        f"{app}/{name}" for app, name in upgraded.execute("SELECT app, name FROM django_migrations")
    }
    ours = {
        f"{path.parent.parent.name}/{path.stem}"
        for app in ("series", "catalogue", "valuation")
        for path in (ROOT / app / "migrations").glob("0*.py")
    }
    assert ours <= applied


def test_holdings_values_and_schedules_are_as_they_were(upgraded: sqlite3.Connection) -> None:
    holdings = upgraded.execute("SELECT accession, title FROM catalogue_holding ORDER BY 1")
    assert holdings.fetchall() == [("2026.001", ""), ("2026.002", "a brown disc")]
    values = upgraded.execute("SELECT single, currency, holding_id FROM valuation_valuation")
    assert values.fetchall() == [(12.5, "EUR", 1)]
    assert upgraded.execute("SELECT number FROM valuation_schedule").fetchall() == [("S-2026-01",)]


def test_the_number_of_a_schedule_is_remembered(upgraded: sqlite3.Connection) -> None:
    counted = upgraded.execute("SELECT year, highest FROM valuation_schedulenumbers")
    assert counted.fetchall() == [(2026, 1)]


def test_pieces_are_found_by_their_owners_own_words(upgraded: sqlite3.Connection) -> None:
    words = upgraded.execute("SELECT own_text FROM catalogue_holding ORDER BY accession")
    assert words.fetchall() == [("harbour fair box 1931 from the ferry till edge knock",), ("",)]
