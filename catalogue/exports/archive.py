"""Everything of a member as one zip file, made piece by piece while it is sent.

Each table is there twice, as CSV for a spreadsheet and as JSON for a program; photographs and
receipts are files; pages show it all in a browser (catalogue.exports.pages); a README says what
is what.
"""

from __future__ import annotations

import io
import json
import logging
import zipfile
from collections.abc import Iterator
from typing import Any, cast

from django.core.files.storage import default_storage
from django.db.models import Field, ForeignKey, ManyToManyField, Model
from django.template.loader import render_to_string
from django.utils import timezone

from catalogue.exports.pages import kept_pages
from catalogue.exports.records import plain_value
from catalogue.members.member_data import (
    NOT_EXPORTED,
    StoredFile,
    Table,
    member_data,
    photo_files,
)
from catalogue.members.models import Member
from catalogue.site.csv_cells import csv_line
from series.records import PackedRecord

CHUNK = 256 * 1024
KEY = "_key"
"""What the column ends in that gives the key of an issue or variety, told in words beside it."""
log = logging.getLogger(__name__)


class _Outlet(io.RawIOBase):
    """What the zip file is written to: keeps the bytes until they are taken to be sent."""

    def __init__(self) -> None:
        self._kept = bytearray()

    def writable(self) -> bool:
        return True

    def write(self, data: Any) -> int:
        self._kept += data
        return len(data)

    def take(self) -> bytes:
        taken = bytes(self._kept)
        self._kept.clear()
        return taken


def export_of(member: Member) -> Iterator[bytes]:
    """The zip file of everything the site keeps of a member, in pieces of some hundred kB."""
    outlet = _Outlet()
    tables = [table for part in member_data() for table in part.tables(member)]
    with zipfile.ZipFile(outlet, "w", zipfile.ZIP_DEFLATED) as archive:
        words = {"member": member, "tables": tables, "made": timezone.localtime()}
        archive.writestr("README.txt", render_to_string("exports/readme.txt", words))
        for table in tables:
            yield from _write(archive, outlet, f"csv/{table.name}.csv", csv_lines(table))
            yield from _write(archive, outlet, f"json/{table.name}.json", json_lines(table))
        for name, text in kept_pages(member, photo_files(member)):
            archive.writestr(name, text)
            yield outlet.take()
        missing = []
        for part in member_data():
            for file in part.files(member):
                if not default_storage.exists(file.stored):
                    missing.append(file.filed)
                    continue
                yield from _write_file(archive, outlet, file)
        if missing:
            log.error("%d files of member %s are missing in the storage", len(missing), member.pk)
            archive.writestr("MISSING.txt", "\n".join(missing) + "\n")
    yield outlet.take()


def _write(
    archive: zipfile.ZipFile, outlet: _Outlet, name: str, lines: Iterator[str]
) -> Iterator[bytes]:
    with archive.open(name, "w", force_zip64=True) as entry:
        kept = 0
        for line in lines:
            kept += entry.write(line.encode())
            if kept > CHUNK:
                yield outlet.take()
                kept = 0
    yield outlet.take()


def _write_file(archive: zipfile.ZipFile, outlet: _Outlet, file: StoredFile) -> Iterator[bytes]:
    entry_info = zipfile.ZipInfo(file.filed, timezone.localtime().timetuple()[:6])
    with (
        default_storage.open(file.stored, "rb") as source,
        archive.open(entry_info, "w", force_zip64=True) as entry,
    ):
        while data := source.read(CHUNK):
            entry.write(data)
            yield outlet.take()


# ---- rows ----
def columns(table: Table) -> list[Field[Any, Any] | ManyToManyField[Any, Any]]:
    """The stored fields of a table's model that belong into the export."""
    meta = table.rows.model._meta
    return [
        cast("Field[Any, Any]", field)
        for field in (*meta.concrete_fields, *meta.many_to_many)
        if field.name not in NOT_EXPORTED
    ]


def records(table: Table) -> Iterator[dict[str, Any]]:
    """Each row as {column: plain value}; a link is there as its id and in words or as its key."""
    fields = columns(table)
    links = [field.name for field in fields if isinstance(field, ForeignKey)]
    lists = [field.name for field in fields if isinstance(field, ManyToManyField)]
    rows = table.rows.select_related(*links).prefetch_related(*lists).order_by("pk")
    for row in rows.iterator(chunk_size=500):
        record: dict[str, Any] = {}
        for field in fields:
            if isinstance(field, ForeignKey):
                record[field.attname] = getattr(row, field.attname)
                linked = getattr(row, field.name)
                record[field.name] = _in_words(linked)
                if _told_by_both(field):
                    record[field.name + KEY] = linked.key if linked is not None else None
            elif isinstance(field, ManyToManyField):
                record[field.name] = [other.pk for other in getattr(row, field.name).all()]
            else:
                record[field.name] = plain_value(getattr(row, field.attname))
        yield record


def _told_by_both(field: ForeignKey[Any, Any]) -> bool:
    """Whether the record it leads to has a key, but not one that stands for it by itself."""
    model = field.related_model
    return hasattr(model, "key") and not issubclass(model, PackedRecord)  # type: ignore[arg-type]


def _in_words(linked: Model | None) -> str | None:
    if linked is None:
        return None
    return linked.key if isinstance(linked, PackedRecord) else str(linked)


def json_lines(table: Table) -> Iterator[str]:
    """A JSON list, one row a line."""
    yield "["
    separator = "\n"
    for record in records(table):
        yield separator + json.dumps(record, ensure_ascii=False)
        separator = ",\n"
    yield "\n]\n"


def csv_lines(table: Table) -> Iterator[str]:
    """CSV by RFC 4180 with a heading; a list or nested value is written as JSON.

    A text that a spreadsheet would run as a formula gets an apostrophe before it.
    """
    heading: list[str] = []
    for field in columns(table):
        heading += [field.attname, field.name] if isinstance(field, ForeignKey) else [field.name]
        if isinstance(field, ForeignKey) and _told_by_both(field):
            heading.append(field.name + KEY)
    yield csv_line(heading)
    for record in records(table):
        yield csv_line([_cell(record[name]) for name in heading])


def _cell(value: Any) -> Any:
    if isinstance(value, (list, dict, bool)):
        return json.dumps(value, ensure_ascii=False)
    return value
