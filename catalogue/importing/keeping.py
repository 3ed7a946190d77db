"""The files of lists: kept as they were brought, read again whenever they are asked for."""

from __future__ import annotations

import hashlib
import secrets
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path, PurePosixPath
from typing import IO

from django.conf import settings
from django.core.files.base import File
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils.translation import gettext as _

from catalogue.importing.pieces import heading_of
from catalogue.importing.reading.columns import propose
from catalogue.importing.reading.files import read_tables
from catalogue.importing.reading.lists import ListError, Mapping, Proposal, Table
from catalogue.models import ImportedList, ListMapping, Member
from catalogue.site.stored_files import delete_unnamed, named_by

LIMIT_BYTES = 25 * 1024 * 1024
_LONGEST_ENDING = 8


def bring(
    member: Member, file: IO[bytes], name: str, pictures: IO[bytes] | None = None
) -> ImportedList:
    """Keep a list and propose what its columns are; ListError says why it cannot be taken.

    Nothing is kept of a file that holds no list. ``pictures`` is a zip that was looked at.
    """
    digest = _digest(file)
    same = _same_that_waits(member, digest)
    if same is not None:
        return same
    brought = ImportedList(owner=member, name=PurePosixPath(name).name[:200], digest=digest)
    tables = _tables(file, name)
    _begin(brought, tables[0])
    brought.file = _store(file, name)
    if pictures is not None:
        brought.pictures = _store(pictures, "pictures.zip")
    brought.save()
    return brought


def _digest(file: IO[bytes]) -> str:
    file.seek(0)
    found, size = hashlib.sha256(), 0
    while part := file.read(1 << 20):
        size += len(part)
        if size > LIMIT_BYTES:
            raise ListError(
                _("The file is larger than %(n)d MB. Part the list into several files.")
                % {"n": LIMIT_BYTES // 1024 // 1024}
            )
        found.update(part)
    return found.hexdigest()


def _same_that_waits(member: Member, digest: str) -> ImportedList | None:
    """The same file, brought before and not taken in yet."""
    waiting = ImportedList.objects.filter(owner=member, digest=digest)
    return waiting.exclude(state=ImportedList.State.DONE).first()


def _tables(file: IO[bytes], name: str) -> tuple[Table, ...]:
    file.seek(0)
    with _on_disk(file, name) as path:
        tables = read_tables(path, name)
    if not any(table.rows for table in tables):
        raise ListError(_("There is no row in this file. Save the list again and bring that."))
    return tuple(table for table in tables if table.rows)


def _begin(brought: ImportedList, table: Table) -> None:
    """Take a table of the file, and what its columns seem to be, or were said to be before."""
    brought.sheet = table.name[:200]
    proposal = propose(table)
    brought.mapping = proposal.mapping.as_json()
    brought.headings = headings_of(table, proposal.mapping)
    brought.total = len(table.rows)
    known = remembered_for(brought.owner, brought.headings)
    if known is not None:
        brought.mapping = {**brought.mapping, **known.mapping}


def headings_of(table: Table, mapping: Mapping) -> list[str]:
    """What each column is called, as many as the widest row has."""
    across = max((len(row.cells) for row in table.rows), default=0)
    named: tuple[str, ...] = ()
    if mapping.headed and mapping.skip < len(table.rows):
        named = table.rows[mapping.skip].cells
    return [heading_of(named, column) for column in range(across)]


def remembered_for(member: Member, headings: list[str]) -> ListMapping | None:
    """A mapping that was kept for columns of just these names."""
    mine = ListMapping.objects.filter(owner=member).order_by("-pk")
    return next((known for known in mine if known.headings == headings), None)


def remember(brought: ImportedList, name: str) -> ListMapping:
    """Keep what the columns of a list are under a name; one of that name is replaced."""
    known, _made = ListMapping.objects.update_or_create(
        owner=brought.owner,
        name=name,
        defaults={"mapping": brought.mapping, "headings": brought.headings},
    )
    return known


def tables_of(brought: ImportedList) -> tuple[Table, ...]:
    """The tables of a kept list; ListError when its file is gone."""
    try:
        with default_storage.open(brought.file, "rb") as file:
            return _tables(file, brought.name)
    except FileNotFoundError as error:
        raise ListError(
            _("The file of this list is no longer there. Remove the list and bring it again.")
        ) from error


def table_of(brought: ImportedList) -> Table:
    """The table of a kept list that was chosen."""
    tables = tables_of(brought)
    return next((table for table in tables if table.name[:200] == brought.sheet), tables[0])


def choose_sheet(brought: ImportedList, name: str) -> None:
    """Take another sheet of the same file, with columns of its own."""
    for table in tables_of(brought):
        if table.name[:200] == name:
            _begin(brought, table)
            brought.save()


def proposal_for(table: Table) -> Proposal:
    return propose(table)


@contextmanager
def _on_disk(file: IO[bytes], name: str) -> Iterator[Path]:
    """The file under a path of this machine, for as long as it is read."""
    with tempfile.NamedTemporaryFile(
        dir=settings.FILE_UPLOAD_TEMP_DIR, prefix="list", suffix=f".upload{_ending(name)}"
    ) as copy:
        shutil.copyfileobj(file, copy)
        copy.flush()
        yield Path(copy.name)


def _ending(name: str) -> str:
    ending = PurePosixPath(name).suffix.lower()
    return ending if ending[1:].isalnum() and len(ending) <= _LONGEST_ENDING else ""


def _store(file: IO[bytes], name: str) -> str:
    file.seek(0)
    return str(
        default_storage.save(f"lists/{secrets.token_urlsafe(24)}{_ending(name)}", File(file))
    )


def remove(brought: ImportedList) -> None:
    """Remove a list with its rows and files; what it made stays."""
    named = named_by([brought])
    with transaction.atomic():
        brought.delete()
        transaction.on_commit(lambda: delete_unnamed(named))
