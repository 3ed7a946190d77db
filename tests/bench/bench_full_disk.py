"""The disk is full in the middle of each deed of a member: a clear message, and nothing half done.

Run ``python -m tests.bench full_disk`` as root; ``--rooms 20`` says how often for each deed,
``--only import`` which. A small file system in memory is mounted and filled but for some room,
drawn by lot between nothing and more than the deed takes; the deed (``tests/faults``) is done
there. Then there is room again: all of it must be there, or it said that the disk is full and
nothing of it is there, and once more it can be done. It is done on SQLite; with
``BENCH_DATABASE_URL`` on PostgreSQL, where files alone lie on the full disk.
"""

from __future__ import annotations

import argparse
import os
import random
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.bench.bench_kills import differing, tables
from tests.bench.goals import Goal, tell
from tests.faults.deeds import DEEDS
from tests.faults.forks import Forks, forks
from tests.faults.sites import Found, Site, prepared_site

GOALS = {
    "half": Goal("deeds of which half was there after the disk was full", at_most=0),
    "wrong": Goal("sites with a record or file that is wrong after it", at_most=0),
    "unsaid": Goal("deeds that failed without a word of the full disk", at_most=0),
    "again": Goal("deeds that could not be done once there was room", at_most=0),
    "full": Goal("deeds that met with a full disk, as a share", at_least=0.2),
}
MEGABYTES, AGAIN_EACH = 64, 4
SAID = re.compile(r"[Tt]he disk (of (this|the) site )?is full")
PERHAPS = "may have been saved all the same"
FILLER = "filler"


@contextmanager
def small_disk(folder: Path) -> Iterator[Path]:
    """A folder that is a file system of its own while this lasts."""
    disk = folder / "disk"
    disk.mkdir()
    size = f"size={MEGABYTES}m"
    done = subprocess.run(["mount", "-t", "tmpfs", "-o", size, "tmpfs", str(disk)], check=False)
    if done.returncode:
        raise SystemExit("A file system of its own cannot be mounted here; it takes root.")
    try:
        yield disk
    finally:
        subprocess.run(["umount", "-l", str(disk)], check=True)


def free(disk: Path) -> int:
    told = os.statvfs(disk)
    return told.f_bavail * told.f_frsize


def fill(disk: Path, room: int) -> None:
    with (disk / FILLER).open("wb") as file:
        os.posix_fallocate(file.fileno(), 0, max(1, free(disk) - room))


class Trial:
    """One deed with many rooms, and what was found afterwards."""

    def __init__(self, deed: str, disk: Path, prepared: Site, started: Forks) -> None:
        self.deed, self.disk, self.prepared, self.started = deed, disk, prepared, started
        self.faults = dict.fromkeys(("half", "wrong", "unsaid", "again"), 0)
        self.full = 0
        with self.site() as site:
            self.before, least = site.look(), free(disk)
            self.after: Found = site.look(deed)
            self.takes = max(64_000, least - free(disk))

    @contextmanager
    def site(self) -> Iterator[Site]:
        with self.prepared.copy(self.disk / "now", self.deed, self.started) as site:
            yield site

    def try_with(self, room: int) -> None:
        with self.site() as site:
            fill(self.disk, room)
            done = self.started.run(self.deed, "0")
            (self.disk / FILLER).unlink()
            found = site.look("glance")
            if not any(found.is_as(each) for each in (self.before, self.after)):
                found = site.look()
            self._judge(site, room, found, "" if done.returncode == 0 else done.stderr)

    def _judge(self, site: Site, room: int, found: Found, failed: str) -> None:
        shown, before, after = (each.shown(self.deed) for each in (found, self.before, self.after))
        wanted = before if failed else after
        if shown == after and PERHAPS in failed:
            wanted = after
        if found.wrong:
            self._fault("wrong", room, found.wrong[0])
        if shown != wanted:
            self._fault("half", room, f"{failed[-600:]} {differing(shown, wanted)}")
        if not failed:
            return
        self.full += 1
        if not SAID.search(failed):
            self._fault("unsaid", room, failed[-1500:])
        if self.full % AGAIN_EACH != 1 or shown == after:
            return
        again = site.look(self.deed)
        if again.wrong or again.counts(self.deed) != self.after.counts(self.deed):
            self._fault("again", room, f"{again.wrong} {again.counts(self.deed)}")

    def _fault(self, kind: str, room: int, words: str) -> None:
        self.faults[kind] += 1
        print(f"{self.deed}, {room} bytes left, {kind}: {words}", file=sys.stderr, flush=True)


def tried(trial: Trial, many: int, seed: int) -> Trial:
    draw = random.Random(f"{seed} {trial.deed}")
    for _ in range(many):
        trial.try_with(int(trial.takes * draw.choice((0.1, 1, 1.5)) * draw.random()))
    print(
        f"{trial.deed}: takes {trial.takes / 1000:.0f} kB, the disk was full in {trial.full} of "
        f"{many} trials; {sum(trial.faults.values())} faults",
        flush=True,
    )
    return trial


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--rooms", type=int, default=20)
    parser.add_argument("--only", nargs="*", choices=DEEDS, default=list(DEEDS))
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--tiny", action="store_true", help="only show that it runs")
    given = parser.parse_args()
    if given.tiny:
        given.rooms, given.only = 3, ["backup"]
    server = os.environ.get("BENCH_DATABASE_URL", "")
    if server:
        os.environ["DATABASE_URL"] = server
    with (
        tempfile.TemporaryDirectory() as name,
        small_disk(Path(name)) as disk,
        prepared_site(Path(name) / "prepared", tables, on_server=bool(server)) as prepared,
        forks(prepared.at(disk / "now").environment) as started,
    ):
        trials = [
            tried(Trial(deed, disk, prepared, started), given.rooms, given.seed)
            for deed in given.only
        ]
    kinds = trials[0].faults
    figures = {kind: float(sum(trial.faults[kind] for trial in trials)) for kind in kinds}
    met = sum(trial.full for trial in trials) / (given.rooms * len(trials))
    tell(GOALS, {**figures, "full": met})


if __name__ == "__main__":
    main()
