"""Two hundred kills in the middle of each deed of a member: never half of one, nothing wrong.

Run ``python -m tests.bench kills``; ``--deeds 200`` says how many of each, ``--only import`` which.
Where each is killed is drawn by lot from a seed: half of them at a step (a statement, a commit, a
file), half after a share of the time it takes. One in ten that is not done then is done again, and
must come to what it comes to otherwise. It is done on SQLite, in copies of one small site
(``tests/faults``), or on the PostgreSQL server that ``BENCH_DATABASE_URL`` names.
"""

from __future__ import annotations

import argparse
import os
import random
import sys
import tempfile
from dataclasses import dataclass, field
from pathlib import Path

from tests.bench.goals import Goal, tell
from tests.bench.tables import lay_tables
from tests.faults.deeds import DEEDS
from tests.faults.forks import Forks, forks
from tests.faults.sites import Found, Site, prepared_site
from tests.served import manage

GOALS = {
    "half": Goal("deeds of which half was there after a kill", at_most=0),
    "wrong": Goal("sites with a record or file that is wrong after a kill", at_most=0),
    "lost": Goal("deeds that were said to be done and are not there", at_most=0),
    "again": Goal("deeds that could not be done after one was killed", at_most=0),
}
AGAIN_EACH, ROUND = 10, 20
CLOSELY_EACH = 5
"""What holds the very rows and files of a site that was found to be right is looked at closely
only so often; else by a comparison, and by SQLite's own check of its file."""


@dataclass
class Trial:
    """The kills of one deed, and what was found after them."""

    deed: str
    before: Found
    after: Found
    draw: random.Random
    kills: int = 0
    undone: int = 0
    faults: dict[str, int] = field(default_factory=lambda: dict.fromkeys(GOALS, 0))

    def kill(self, site: Site) -> None:
        """Kill the deed once, at a step or after a time; look at what is left."""
        if self.kills % 2:
            seconds = self.draw.uniform(0, self.after.seconds * 1.1)
            self._judge(site, f"after {seconds:.4f} s", site.kill_after(self.deed, seconds))
        else:
            step = self.draw.randint(1, self.after.steps)
            site.kill(self.deed, step)
            self._judge(site, f"at step {step} of {self.after.steps}", True)

    def _judge(self, site: Site, where: str, was_killed: bool) -> None:
        found = site.look("glance")
        known = any(found.is_as(each) for each in (self.before, self.after))
        if not found.wrong and not (known and self.kills % CLOSELY_EACH):
            found = site.look()
        shown, before, after = (each.shown(self.deed) for each in (found, self.before, self.after))
        self.kills += was_killed
        if found.wrong:
            self._fault("wrong", where, found.wrong[0])
        if not was_killed and shown != after:
            self._fault("lost", where, differing(shown, after))
        elif shown not in (before, after):
            words = f"{differing(shown, before)}; and: {differing(shown, after)}"
            self._fault("half", where, words)
        elif shown == before:
            self.undone += 1
            if self.undone % AGAIN_EACH != 1:
                return
            again = site.look(self.deed)
            wanted = self.after.counts(self.deed)
            if again.wrong or again.counts(self.deed) != wanted:
                self._fault("again", where, f"{again.wrong} {again.counts(self.deed)}")

    def _fault(self, kind: str, where: str, words: str) -> None:
        self.faults[kind] += 1
        print(f"{self.deed}, killed {where}, {kind}: {words[:2000]}", file=sys.stderr, flush=True)


def differing(found: dict[str, list[object]], wanted: dict[str, list[object]]) -> str:
    """The first rows that differ, of each table."""
    said = []
    for name in sorted({*found, *wanted}):
        one, other = found.get(name, []), wanted.get(name, [])
        if one != other:
            first = next((pair for pair in zip(one, other, strict=False) if pair[0] != pair[1]), "")
            said.append(f"{name}: {len(one)} and {len(other)} rows {first}")
    return "; ".join(said)


def begun(deed: str, prepared: Site, var: Path, started: Forks, seed: int) -> Trial:
    with prepared.copy(var, deed, started) as site:
        before, after = site.look(), site.look(deed)
    return Trial(deed, before, after, random.Random(f"{seed} {deed}"))


def go_on(trial: Trial, prepared: Site, var: Path, started: Forks, until: int) -> None:
    """Kill on until there were so many kills."""
    while trial.kills < until:
        with prepared.copy(var, trial.deed, started) as site:
            trial.kill(site)
    print(
        f"{trial.deed}: {trial.kills} kills within {trial.after.steps} steps and "
        f"{trial.after.seconds:.2f} s, after {trial.undone} nothing of it was there; "
        f"{sum(trial.faults.values())} faults",
        flush=True,
    )


def tables(folder: Path) -> Path:
    lay_tables(folder)
    assert manage(folder, "migrate", "-v0").returncode == 0
    return folder


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--deeds", type=int, default=200)
    parser.add_argument("--only", nargs="*", choices=DEEDS, default=list(DEEDS))
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--tiny", action="store_true", help="only show that it runs")
    given = parser.parse_args()
    if given.tiny:
        given.deeds, given.only = 2, ["bulk"]
    server = os.environ.get("BENCH_DATABASE_URL", "")
    if server:
        os.environ["DATABASE_URL"] = server
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        with (
            prepared_site(folder / "prepared", tables, on_server=bool(server)) as prepared,
            forks(prepared.at(folder / "now").environment) as started,
        ):
            trials = [
                begun(deed, prepared, folder / "now", started, given.seed) for deed in given.only
            ]
            for until in range(0, given.deeds, ROUND):  # in turn, so that one that is broken off
                for trial in trials:  # has tried all
                    many = min(until + ROUND, given.deeds)
                    go_on(trial, prepared, folder / "now", started, many)
    tell(GOALS, {kind: float(sum(trial.faults[kind] for trial in trials)) for kind in GOALS})


if __name__ == "__main__":
    main()
