"""A process is killed in the middle of a backup or of restoring one: nothing half-done is seen.

Where it is killed is drawn by lot from a seed.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from pathlib import Path

from .conftest import Site, content

SEED = 20260503


def killed_while_backing_up(site: Site, step: int, before: Path) -> str:
    """No file has its name; the next backup leaves nothing of the one that was killed."""
    path = site.var / "backups" / "killed.tar"
    at = site.kill_at(step, "backup", str(path))
    assert not path.exists()
    assert site.manage("check_records").returncode == 0
    assert site.manage("backup", str(path)).returncode == 0
    left = {file.name for file in path.parent.iterdir()} - {
        "list.jsonl",
        "list.jsonl.lock",
        "making.lock",
    }
    assert left == {path.name}
    assert content(path) == content(before)
    path.unlink()
    return at


def killed_while_restoring(site: Site, step: int, backup: Path) -> str:
    """The instance is as empty as before, and takes the whole backup the next time."""
    at = site.kill_at(step, "restore", str(backup))
    asked = site.manage("backup", str(site.var / "none.tar"))
    assert "no database yet" in asked.stderr
    done = site.manage("restore", str(backup))
    assert done.returncode == 0, done.stderr
    assert site.manage("check_records").returncode == 0
    assert site.manage("backup", str(site.var / "again.tar")).returncode == 0
    assert content(site.var / "again.tar") == content(backup)
    return at


def test_a_killed_backup_leaves_nothing_half_done(
    new_site: Callable[[str], Site], backup: Path
) -> None:
    site = new_site("killed")
    assert site.manage("restore", str(backup)).returncode == 0
    steps = site.steps_of("backup", str(site.var / "whole.tar"))
    killed_while_backing_up(site, random.Random(SEED).randint(1, steps), backup)


def test_a_killed_restore_leaves_an_empty_instance(
    new_site: Callable[[str], Site], backup: Path
) -> None:
    steps = new_site("counted").steps_of("restore", str(backup))
    killed_while_restoring(new_site("killed"), random.Random(SEED).randint(1, steps), backup)
