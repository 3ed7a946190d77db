"""A process is killed in the middle of a member's deed: all of it is there afterwards, or nothing.

At which step is drawn by lot from a seed; ``tests/bench/bench_kills.py`` draws many.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.faults.deeds import DEEDS
from tests.faults.sites import Site, prepared_site

SEED = 20261128


@pytest.fixture(scope="module")
def prepared(
    tmp_path_factory: pytest.TempPathFactory, with_tables: Callable[[Path], Path]
) -> Iterator[Site]:
    """A site with a few pieces, from which each test takes a copy of its own."""
    with prepared_site(tmp_path_factory.mktemp("prepared"), with_tables) as site:
        yield site


@pytest.mark.parametrize("deed", DEEDS)
def test_after_a_kill_all_of_a_deed_is_there_or_nothing(
    prepared: Site, deed: str, tmp_path: Path
) -> None:
    with prepared.copy(tmp_path / "whole") as whole:
        after = whole.look(deed)
    before = prepared.look()
    assert after.records != before.records
    with prepared.copy(tmp_path / "killed") as killed:
        killed.kill(deed, random.Random(f"{SEED} {deed}").randint(1, after.steps))
        found = killed.look()
    assert found.wrong == []
    assert found.records in (before.records, after.records)
