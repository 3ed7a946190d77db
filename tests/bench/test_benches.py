"""Each bench runs at a tiny size, so that none rots; what it measures then says nothing."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.bench.__main__ import benches, environment, told
from tests.bench.goals import Goal, lines, table
from tests.bench.tables import GIVEN
from tests.chromium import CHROMIUM

WITH_CHROMIUM = {"first_evening", "schedule", "sheets", "talk"}


@pytest.fixture(scope="session")
def tables(tmp_path_factory: Any, with_tables: Callable[[Path], Path]) -> str:
    """A migrated, empty database, which each bench copies."""
    return str(with_tables(tmp_path_factory.mktemp("tables")) / "exergue.sqlite3")


@pytest.mark.parametrize("name", benches())
def test_a_bench_runs_and_tells_its_goals(name: str, tmp_path: Path, tables: str) -> None:
    if name in WITH_CHROMIUM and CHROMIUM is None:
        pytest.skip("needs Chromium")
    done = subprocess.run(
        [sys.executable, str(benches()[name]), "--tiny"],
        env=environment(str(tmp_path)) | {GIVEN: tables},
        capture_output=True,
        text=True,
    )
    if "cannot be mounted" in done.stderr:
        pytest.skip(done.stderr.strip())
    assert done.returncode == 0, done.stderr[-3000:]
    rows = told(done.stdout.splitlines())
    assert rows
    assert all(len(row) == 5 for row in rows)


def test_a_goal_is_met_or_not() -> None:
    goals = {"least": Goal("hits", at_least=0.9), "most": Goal("time", "a peer", at_most=2)}
    told_met = [line.split("\t")[-1] for line in lines(goals, {"least": 0.9, "most": 2.1})]
    assert told_met == ["met", "NOT MET"]


def test_a_goal_without_a_figure_stops_the_bench() -> None:
    with pytest.raises(ValueError, match="time"):
        list(lines({"time": Goal("time", at_most=1)}, {}))


def test_the_table_stands_in_columns() -> None:
    told_lines = table([("time", "a peer", "1", "at most 2", "met")]).splitlines()
    assert [line.index("a peer") for line in told_lines[1:]] == [told_lines[0].index("peer")]
