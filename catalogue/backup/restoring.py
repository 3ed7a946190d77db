"""Put a backup back into an empty instance, all of it or nothing.

The backup is read from end to end first. Then the files are put into the storage, where no record
names them yet; then one transaction makes the tables of the backup's release, loads the rows as
they were, brings all up to this release, erases again who was erased since, and works out anew what
is derived. So whatever ends it in between, a full disk or a killed process, leaves an instance that
is as empty as before; files without a record are removed, now or by the daily cleaning.
"""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from django.apps import apps as current_apps
from django.core.exceptions import ValidationError
from django.core.files.base import File
from django.core.files.storage import default_storage
from django.core.management.sql import emit_post_migrate_signal
from django.db import connection, transaction
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.recorder import MigrationRecorder

from catalogue.backup import erased, shelf, words
from catalogue.backup.carried import Node, applied, apps_at, carried, latest, unknown
from catalogue.backup.container import FILES, RECORDS, NotABackup, Reader, rows_of
from catalogue.backup.numbers import go_on_from
from catalogue.backup.progress import Progress, nowhere
from catalogue.backup.rows import put_back
from catalogue.backup.shelf import Made
from catalogue.checking.derived import made_anew
from catalogue.members.erase import erase_rows
from catalogue.signals import records_restored
from catalogue.site.kept_files import forget_kept
from catalogue.site.stored_files import unnamed_files
from catalogue.site.whole_files import flushed_together


class NotRestored(Exception):
    """Nothing was restored; ``lines`` say why and what to do."""

    def __init__(self, *lines: str) -> None:
        super().__init__("\n".join(lines))
        self.lines = lines


@dataclass
class Restored:
    """What was put back, and how many members were erased again."""

    number: str
    made_at: str
    rows: int = 0
    files: int = 0
    erased: int = 0
    last: dict[str, int] = field(default_factory=dict)


def restore(
    path: Path, progress: Progress = nowhere, erased_lists: Iterable[Path] = ()
) -> Restored:
    """Raises NotRestored, or OSError and Error of disk and database; then nothing was changed."""
    numbers = erased.known_numbers(path.resolve(), erased_lists)
    try:
        with path.open("rb") as file, Reader(file) as reader:
            nodes = _nodes(reader)
            _refuse_unless_empty()
            _verify(reader, path, progress)
            done = Restored(reader.head["number"], reader.head["made_at"])
            with suppress(OSError):  # first, or a kill could leave it on no list though it is in
                shelf.note_made(_as_made(done, path.resolve()))
            put: list[str] = []
            try:
                _put_files(reader, put, progress)
                _put_records(reader, nodes, numbers, done, progress)
            except BaseException:
                _take_away(put)
                raise
            done.files = len(put)
    except NotABackup as error:
        raise NotRestored(str(error)) from error
    _take_away(unnamed_files(of_any_age=True))
    forget_kept()
    return done


def _as_made(done: Restored, path: Path) -> Made:
    """On the list of a new instance, since it holds members of this one."""
    moment = datetime.fromisoformat(done.made_at)
    return Made(done.number, moment, str(path), path.stat().st_size)


# ---- before anything is changed ----
def _nodes(reader: Reader) -> list[Node]:
    nodes = [(app, name) for app, name in reader.head["migrations"]]
    foreign = [node for node in unknown(nodes) if node[0] in _own_apps()]
    if foreign:
        raise NotRestored(words.unknown_release([f"{app} {name}" for app, name in foreign]))
    return [node for node in nodes if node not in unknown(nodes)]


def _verify(reader: Reader, path: Path, progress: Progress) -> None:
    with progress("reading the backup", path.stat().st_size) as told:
        wrong = list(reader.faults(told))
    if wrong:
        raise NotRestored("The backup is damaged, so nothing was restored:", *wrong)


def _refuse_unless_empty() -> None:
    """An instance is empty while no table that a backup carries has a row."""
    executor = MigrationExecutor(connection)
    if not executor.loader.applied_migrations:
        return  # there are no tables yet
    if executor.migration_plan(executor.loader.graph.leaf_nodes()):
        raise NotRestored(
            "This instance was begun by another release. Restore into a new one: set EXERGUE_VAR "
            "to a new folder, or DATABASE_URL to a new database."
        )
    held = {
        str(model._meta.verbose_name_plural): count
        for model in carried(current_apps)
        if (count := model._base_manager.count())
    }
    if held:
        some = ", ".join(f"{count} {name}" for name, count in sorted(held.items())[:4])
        raise NotRestored(
            f"This instance holds records already ({some}), and a backup is restored into an empty "
            "one only. Set EXERGUE_VAR to a new folder, or DATABASE_URL to a new database, and "
            "restore there. Nothing was changed."
        )


def _own_apps() -> set[str]:
    return {model._meta.app_label for model in carried(current_apps)}


# ---- files ----
def _put_files(reader: Reader, put: list[str], progress: Progress) -> None:
    total = sum(1 for entry in reader.listed() if entry.name.startswith(FILES))
    with progress("pictures and papers", total) as told, flushed_together():
        for entry, data in reader.members(FILES):
            name = entry.name.removeprefix(FILES)
            if default_storage.exists(name):  # left by a restore that was broken off
                default_storage.delete(name)
            put.append(name)
            saved = default_storage.save(name, File(data, name))
            if saved != name:
                raise NotRestored(f"The storage does not take a file under the name {name}.")
            told(1)


def _take_away(names: Iterable[str]) -> None:
    for name in names:
        with suppress(OSError):
            default_storage.delete(name)


# ---- records ----
def _put_records(
    reader: Reader, nodes: list[Node], numbers: set[str], done: Restored, progress: Progress
) -> None:
    # On SQLite tables can be changed only while this is off, and it cannot be put off within.
    with connection.constraint_checks_disabled(), transaction.atomic():
        _refuse_unless_empty()
        _make_tables(nodes)
        _load(reader, nodes, done, progress)
        connection.check_constraints()
        _migrate_on()
        for member in erased.erased_again(numbers):
            erase_rows(member)
            done.erased += 1
        made_anew()
        records_restored.send(sender=Restored)
        for model in carried(current_apps):
            go_on_from(connection, model, done.last.get(model._meta.label_lower, 0))
        connection.check_constraints()


def _make_tables(nodes: list[Node]) -> None:
    """The tables of the backup's release; what an empty instance has of another's goes."""
    wanted = [node for node in latest(nodes) if node[0] in _own_apps()]
    here = set(applied(connection))
    if here and set(wanted) == {node for node in latest(here) if node[0] in _own_apps()}:
        return
    if here:
        models: list[Any] = [*current_apps.get_models(), MigrationRecorder(connection).Migration]
        with connection.schema_editor() as editor:
            for model in models:
                editor.delete_model(model)
    executor = MigrationExecutor(connection, _settle)
    # Tables of others are at this release at once: later, all rows would be looked at after each.
    others = [node for node in executor.loader.graph.leaf_nodes() if node[0] not in _own_apps()]
    executor.migrate([*wanted, *others])


def _load(reader: Reader, nodes: list[Node], done: Restored, progress: Progress) -> None:
    models = {model._meta.label_lower: model for model in carried(apps_at(connection, nodes))}
    total = sum(entry.rows or 0 for entry in reader.listed())
    with progress("records", total) as told:
        for entry, data in reader.members(RECORDS):
            model = models.get(entry.model)
            if model is None:
                raise NotRestored(f"The table {entry.model} of the backup is not known here.")
            try:
                put_back(model, rows_of(data), told)
            except (ValidationError, KeyError) as error:
                raise NotRestored(f"A row in {entry.name} cannot be read: {error}") from error
            done.rows += entry.rows or 0
            done.last[entry.model] = entry.last or 0


def _migrate_on() -> None:
    executor = MigrationExecutor(connection, _settle)
    executor.migrate(executor.loader.graph.leaf_nodes())
    emit_post_migrate_signal(verbosity=0, interactive=False, db=connection.alias)


def _settle(action: str, *_migration: Any) -> None:
    """After each step PostgreSQL is to look at the rows, or it does not let the next one begin."""
    if action == "apply_success" and connection.vendor == "postgresql":
        connection.check_constraints()
