"""A backup is made while somebody else writes: it shows one moment, and keeps nobody waiting."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

from tests.served import PATIENCE, ROOT, environment

from .conftest import Site, content

STOP_AT = 40  # a row of those that are read before holdings are


def _read_until(process: subprocess.Popen[str], number: int) -> int:
    assert process.stdout
    for line in process.stdout:
        if int(line) >= number:
            return int(line)
    raise AssertionError("the writer ended")


def test_it_shows_one_moment_and_keeps_no_writer_waiting(
    new_site: Callable[[str], Site], backup: Path, tmp_path: Path
) -> None:
    site = new_site("used")
    assert site.manage("restore", str(backup)).returncode == 0
    path = site.var / "used.tar"
    with subprocess.Popen(
        [sys.executable, "-m", "tests.catalogue.backup.writing"],
        cwd=ROOT,
        env=environment(site.var, **site.more),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as writer:
        confirmed = _read_until(writer, 5)
        with site.stopped(STOP_AT, "backup", str(path)) as backing_up:
            assert backing_up.stdout
            assert backing_up.stdout.readline() == "stopped in records\n"
            # While it stands in the middle of its reading, the other one goes on.
            _read_until(writer, confirmed + 60)
            backing_up.communicate("\n", PATIENCE)
            assert backing_up.returncode == 0
        left, _ = writer.communicate("\n", PATIENCE)
        assert writer.returncode == 0, left
    inside = content(path)
    pieces = {row["title"] for row in inside["catalogue.holding"] if row["title"][:1] == "w"}
    motifs = {row["key"] for row in inside["series.motif"] if row["key"][:1] == "w"}
    assert pieces == motifs  # each pair was entered in one transaction
    assert {f"w{n}" for n in range(1, confirmed + 1)} <= pieces
    other = new_site("other")
    assert other.manage("restore", str(path)).returncode == 0
    assert other.manage("check_records").returncode == 0
