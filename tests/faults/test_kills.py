"""A process is killed in the middle of a member's deed: all of it is there afterwards, or nothing.

At which step is drawn by lot from a seed; ``tests/bench/bench_kills.py`` draws many.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from django.db import connection

from tests.faults.deeds import DEEDS
from tests.faults.forks import Forks, forks
from tests.faults.sites import Site, prepared_site

SEED = 20261128


@pytest.fixture(scope="module")
def prepared(
    tmp_path_factory: pytest.TempPathFactory, with_tables: Callable[[Path], Path]
) -> Iterator[Site]:
    """A site with a few pieces, from which each test takes a copy of its own."""
    on_server = connection.vendor != "sqlite"
    with prepared_site(
        tmp_path_factory.mktemp("prepared"), with_tables, on_server=on_server
    ) as site:
        yield site


@pytest.fixture(scope="module")
def now(prepared: Site, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, Forks]]:
    """Where the copies are made, one after the other, and what does the deeds there."""
    var = tmp_path_factory.mktemp("copies") / "now"
    with forks(prepared.at(var).environment) as started:
        yield var, started


@pytest.mark.parametrize("deed", DEEDS)
def test_after_a_kill_all_of_a_deed_is_there_or_nothing(
    prepared: Site, deed: str, now: tuple[Path, Forks]
) -> None:
    var, started = now
    with prepared.copy(var, deed, started) as whole:
        before, after = whole.look(), whole.look(deed)
    assert after.shown(deed) != before.shown(deed)
    assert after.wrong == before.wrong == []
    with prepared.copy(var, deed, started) as killed:
        killed.kill(deed, random.Random(f"{SEED} {deed}").randint(1, after.steps))
        found = killed.look()
        assert found.wrong == []
        assert found.shown(deed) in (before.shown(deed), after.shown(deed))
        if found.shown(deed) == before.shown(deed):  # and nothing hinders it the next time
            again = killed.look(deed)
            assert (again.wrong, again.counts(deed)) == ([], after.counts(deed))
