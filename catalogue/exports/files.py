"""The files in which holdings are taken out: CSV, a workbook (XLSX), JSON, linked data."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import IO, Any

import xlsxwriter
from django.conf import settings
from django.utils import timezone

from catalogue.exports.linked_data import lines as linked_lines
from catalogue.exports.records import holding_records, type_records, types_of
from catalogue.exports.sheet_rows import SheetRows
from catalogue.members.requests import Viewer
from catalogue.site.csv_cells import csv_line

CHUNK = 256 * 1024
LONGEST_CELL = 32_767
"""Characters of a cell of a workbook (ECMA-376, part 1; the limit of spreadsheet programs)."""


@dataclass(frozen=True)
class Form:
    """A kind of file: its name's ending, its media type, and what writes it in pieces."""

    ending: str
    media_type: str
    written: Callable[[list[int], Viewer], Iterator[str | bytes]]


def csv_file(ids: list[int], viewer: Viewer) -> Iterator[str]:
    """RFC 4180 in UTF-8 with a mark at the start, by which spreadsheets know the encoding."""
    sheet = SheetRows.of(ids, viewer)
    yield "\ufeff" + csv_line(sheet.heading)
    for row in sheet.rows():
        yield csv_line(row)


def workbook(ids: list[int], viewer: Viewer) -> Iterator[bytes]:
    """A workbook of one sheet, written row by row to a file; texts are texts, never formulas."""
    sheet = SheetRows.of(ids, viewer)
    with tempfile.TemporaryFile() as out:
        _write_workbook(out, sheet)
        out.seek(0)
        while piece := out.read(CHUNK):
            yield piece


def _write_workbook(out: IO[bytes], sheet: SheetRows) -> None:
    options = {"constant_memory": True, "default_date_format": "yyyy-mm-dd"}
    with xlsxwriter.Workbook(out, options) as book:
        page = book.add_worksheet("Holdings")
        bold = book.add_format({"bold": True, "bottom": 1})
        page.freeze_panes(1, 1)
        for column, name in enumerate(sheet.heading):
            page.write_string(0, column, name, bold)
            page.set_column(column, column, max(10, len(name) + 2))
        number = 0
        for number, cells in enumerate(sheet.rows(), start=1):
            for column, value in enumerate(cells):
                _write_cell(page, number, column, value)
        page.autofilter(0, 0, number, len(sheet.heading) - 1)


def _write_cell(page: Any, row: int, column: int, value: Any) -> None:
    if value is None or value == "":
        return
    if isinstance(value, (int, Decimal)):
        page.write_number(row, column, value)
    elif isinstance(value, date):
        page.write_datetime(row, column, value)
    else:
        page.write_string(row, column, str(value)[:LONGEST_CELL])


def json_file(ids: list[int], viewer: Viewer) -> Iterator[str]:
    """The types once, then each holding, one a line."""
    made = timezone.localdate().isoformat()
    yield f'{{"made": {json.dumps(made)},\n"types": ['
    yield from _rows(type_records(types_of(ids, viewer), viewer))
    yield '],\n"holdings": ['
    yield from _rows(holding_records(ids, viewer))
    yield "]}\n"


def _rows(records: Iterator[dict[str, Any]]) -> Iterator[str]:
    for number, record in enumerate(records):
        yield (",\n" if number else "\n") + json.dumps(record, ensure_ascii=False)
    yield "\n"


def linked_file(ids: list[int], viewer: Viewer) -> Iterator[str]:
    types = type_records(types_of(ids, viewer), viewer)
    return linked_lines(settings.SITE_ADDRESS, types, holding_records(ids, viewer))


FORMS = {
    form.ending: form
    for form in (
        Form("csv", "text/csv; charset=utf-8", csv_file),
        Form("xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", workbook),
        Form("json", "application/json", json_file),
        Form("jsonld", "application/ld+json", linked_file),
    )
}
