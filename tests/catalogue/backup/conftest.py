"""A site with something of everything, and what a backup of it says, for comparison."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from catalogue.backup.container import Reader, rows_of
from catalogue.backup.making import make_backup
from catalogue.checking.derived import made_anew
from catalogue.models import Place
from tests.catalogue.secret_world import SecretWorld, make_secret_world
from valuation.models import Schedule
from valuation.schedules.lines import digest
from valuation.schedules.making import document


@pytest.fixture
def backups(tmp_path: Path, settings: Any) -> Path:
    """The site's own folder of backups."""
    settings.BACKUPS_DIR = tmp_path / "backups"
    settings.VAR_DIR = tmp_path
    return tmp_path / "backups"


@pytest.fixture
def world(transactional_db: None, backups: Path) -> SecretWorld:
    """Something of everything, with what is derived from it."""
    made = make_secret_world()
    inner = Place.objects.create(owner=made.owner, name="drawer ✦ 1", within=made.place)
    made.holding.place = inner
    made.holding.note = "a line\nand “another”"
    made.holding.save()
    made_anew()
    for schedule in Schedule.objects.all():  # whose owner was given another name
        schedule.digest = digest(document(schedule, list(schedule.lines.all())))
        schedule.save()
    return made


@pytest.fixture
def backup(world: SecretWorld, tmp_path: Path) -> Path:
    path = tmp_path / "one.tar"
    make_backup(path)
    return path


def content(path: Path) -> dict[str, Any]:
    """The rows of each table in a backup, and the digest of each file."""
    with path.open("rb") as file, Reader(file) as reader:
        found: dict[str, Any] = {
            entry.model: list(rows_of(data)) for entry, data in reader.members("records/")
        }
        return found | {entry.name: entry.sha256 for entry, _ in reader.members("files/")}


@pytest.fixture
def emptied(settings: Any, tmp_path: Path) -> Callable[[], None]:
    """Makes of this instance an empty one, with a storage of its own."""
    count = iter(range(100))

    def empty() -> None:
        call_command("flush", interactive=False, verbosity=0)
        settings.MEDIA_ROOT = tmp_path / f"media-{next(count)}"

    return empty
