"""Make a backup: the records of one moment, the files they name, and a list of it all.

It is written beside its name, read back and compared, and named only then; what fails leaves
nothing. The site may be used meanwhile.
"""

from __future__ import annotations

import uuid
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from django.apps.registry import Apps
from django.core.exceptions import FieldDoesNotExist
from django.core.files.storage import default_storage
from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper
from django.utils import timezone

from catalogue.backup import shelf
from catalogue.backup.carried import Node, applied, apps_at, carried, is_left_out, latest
from catalogue.backup.container import FILES, RECORDS, Reader, Writer
from catalogue.backup.numbers import last_number
from catalogue.backup.progress import Progress, nowhere
from catalogue.backup.rows import lines_of
from catalogue.backup.shelf import BY_HAND, Made
from catalogue.backup.snapshot import snapshot
from catalogue.site.stored_files import is_made_again, namings
from catalogue.site.whole_files import whole_file


class NotMade(Exception):
    """No backup was made; the message says why."""


@dataclass(frozen=True)
class Backup:
    """What was made; ``lacking`` counts files that records name and the storage does not have."""

    made: Made
    rows: int
    files: int
    lacking: int


def make_backup(path: Path, progress: Progress = nowhere, why: str = BY_HAND) -> Backup:
    """Write a backup to ``path``; raises NotMade, or OSError and Error of disk and database."""
    if not path.parent.is_dir():
        raise NotMade(f"There is no folder {path.parent}. Make it, or give another place.")
    if path.is_dir():
        raise NotMade(f"{path} is a folder. Give the name of a file, such as {path}/exergue.tar.")
    try:
        with shelf.only_one() as folder:
            shelf.remove_abandoned(path.parent)
            number = uuid.uuid4().hex
            try:
                made = _made(path.resolve(), number, folder, progress, why)
            except BaseException:
                shelf.take_off(number)
                raise
            with suppress(OSError):  # it is on the list; perhaps so is what it took the place of
                shelf.note_made(made.made)
    except shelf.Busy as busy:
        raise NotMade("Another backup is being made. Try again when it is done.") from busy
    return made


def make_in_folder(why: str, progress: Progress = nowhere) -> Backup:
    """A backup in the site's own folder, where older ones then make room."""
    now = timezone.now()
    made = make_backup(shelf.folder() / f"exergue-{now:%Y%m%d-%H%M%S}.tar", progress, why)
    shelf.rotate()
    return made


def _made(path: Path, number: str, folder: Path, progress: Progress, why: str) -> Backup:
    with whole_file(path, 0o600) as file:
        with snapshot(folder) as alias:
            connection = connections[alias]
            nodes = applied(connection)
            if not nodes:
                raise NotMade("There is no database yet that could be backed up.")
            made_at = timezone.now()  # nothing is in the backup that came later
            writer = Writer(file, _head(number, made_at, connection, nodes))
            apps = apps_at(connection, nodes)
            rows = _write_records(writer, apps, connection, folder, progress)
            named = _named(apps, alias)
        files, lacking = _write_files(writer, named, progress)
        writer.finish()
        size = file.tell()
        with Reader(file) as reader, progress("reading it back", size) as told:
            wrong = next(reader.faults(told), None)
        if wrong is not None:
            raise NotMade(f"What was written is not what was to be written: {wrong}")
        made = Made(number, made_at, str(path), size, why)
        shelf.announce(made)
    return Backup(made, rows, files, lacking)


def _head(
    number: str, made_at: datetime, connection: BaseDatabaseWrapper, nodes: list[Node]
) -> dict[str, Any]:
    return {
        "number": number,
        "made_at": made_at.isoformat(),
        "database": connection.vendor,
        "release": dict(latest(nodes)),
        "migrations": [list(node) for node in nodes],
    }


def _write_records(
    writer: Writer,
    apps: Apps,
    connection: BaseDatabaseWrapper,
    folder: Path,
    progress: Progress,
) -> int:
    models = carried(apps)
    total = sum(model._base_manager.using(connection.alias).count() for model in models)
    with progress("records", total) as told:
        for at, model in enumerate(models, start=1):
            writer.add_lines(
                f"{RECORDS}{at:03}-{model._meta.label_lower}.jsonl.gz",
                lines_of(model, connection.alias, told),
                folder,
                model=model._meta.label_lower,
                last=last_number(connection, model),
            )
    return total


# ---- files ----
Named = set[tuple[Callable[[str], list[str]], str]]
"""Values of columns that name files, each with what gives its files."""


def _named(apps: Apps, alias: str) -> Named:
    """What the records of this moment name, each once."""
    found: Named = set()
    for naming in namings():
        try:
            model = apps.get_model(naming.model._meta.label)
            if is_left_out(model):
                continue
            model._meta.get_field(naming.column)
        except (LookupError, FieldDoesNotExist):
            continue  # of a later release
        values = model._base_manager.using(alias).order_by().values_list(naming.column, flat=True)
        found.update((naming.files, value) for value in values.distinct().iterator() if value)
    return found


def _write_files(writer: Writer, named: Named, progress: Progress) -> tuple[int, int]:
    """How many files were written, and how many that are named are not there."""
    written = lacking = 0
    ordered = sorted(named, key=lambda each: each[1])
    with progress("pictures and papers", len(ordered)) as told:
        for files, value in ordered:
            for name in files(value):
                try:
                    with default_storage.open(name, "rb") as file:
                        writer.add(f"{FILES}{name}", file, file.size)
                    written += 1
                except FileNotFoundError:
                    lacking += not is_made_again(name)
            told(1)
    return written, lacking
