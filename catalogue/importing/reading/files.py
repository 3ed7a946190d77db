"""The tables of a file that somebody brings, whatever made it.

Computed: from a text file (any sign between the cells, any usual encoding, with quotation marks or
without) or a workbook (XLSX, XLSM, XLSB, XLS, ODS) its tables as texts; numbers without a needless
".0", days of spreadsheets in ISO 8601, formulas as the values they showed. A file is opened by a
process of its own within limits (``unpacking.py``), so that a hostile one costs
neither the server's memory nor its life. Limits are bytes, seconds and counts.

>>> import tempfile
>>> with tempfile.TemporaryDirectory() as folder:
...     path = Path(folder) / "upload"
...     _ = path.write_bytes("Land|År\\nSverige|1943".encode("utf-16"))
...     read_tables(path, "C:\\\\lists\\\\Min lista.csv")[0]
Table(name='Min lista', rows=(Row(line=1, cells=('Land', 'År')), Row(line=2, cells=('Sverige', \
'1943'))), said=('Cells are parted by |.',))
"""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path
from typing import Any

from catalogue.importing.reading import unpacking
from catalogue.importing.reading.lists import ListError, Row, Table
from series.apart import Limits, run_apart

MOST_BYTES = 32_000_000
_PATIENCE = 2 * unpacking.SECONDS
_SAVE_AS = "save the list as CSV, XLSX or ODS and bring that."
_SENTENCES = {
    "empty": "There is nothing in this file: choose the file that holds the list.",
    "picture": "This is a picture, whatever its name says: choose the file that holds the list.",
    "document": "This is a document and no table: copy the table into a spreadsheet and "
    "save that as CSV, XLSX or ODS.",
    "archive": f"This is an archive of other files: unpack it, or {_SAVE_AS}",
    "other": f"This is no list that can be read: {_SAVE_AS}",
    "markup": f"This is a page for a browser, not a table: open it in a spreadsheet, {_SAVE_AS}",
    "damaged": "This file is cut off or damaged: open it in a spreadsheet, save it anew and "
    "bring that.",
    "names": f"This file holds names that lead out of it, so it is not opened: {_SAVE_AS}",
    "password": "This file is locked by a password: save it without one and bring that.",
    "nul": f"This file holds signs that no text has (NUL): {_SAVE_AS}",
    "mixed": "This file mixes two ways of writing letters such as é and ö: open it in a "
    "spreadsheet or an editor, mend what looks wrong and save it as UTF-8.",
    "memory": "This file takes too much to open: save only the list itself as CSV and bring that.",
    "columns": f"This table has more than {unpacking.MOST_COLUMNS} columns: delete what is not "
    "part of the list, also empty columns.",
    "rows": f"This table has more than {unpacking.MOST_ROWS:,} rows: bring it in several parts.",
    "cells": f"This table has more than {unpacking.MOST_CELLS:,} cells: bring it in several parts, "
    "or delete columns that are not needed.",
    "cell": f"A cell of this table holds more than {unpacking.LONGEST_CELL:,} letters: check "
    "that the quotation marks are in pairs, or shorten it.",
}
_SIGNS = {"\t": "tabs", ",": "commas", ";": "semicolons", " ": "spaces"}
_ENCODINGS = {"cp850": "DOS", "mac_roman": "an older Macintosh"}


def read_tables(path: Path, name: str) -> tuple[Table, ...]:
    """The tables of a file, one for each worksheet with anything in it; ListError says what to do.

    ``name`` is the name that the file had where it came from.
    """
    with path.open("rb") as file:
        data = file.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise ListError(
            f"This file is larger than {MOST_BYTES // 1_000_000} MB: {_SAVE_AS} "
            "Pictures in it are brought separately."
        )
    limits = Limits(unpacking.MEMORY, unpacking.SECONDS)
    script = Path(unpacking.__file__)
    said = run_apart(script, data, _stem(name), limits, patience=_PATIENCE)
    answer: dict[str, Any] = json.loads(said) if said else {"refused": "memory"}
    if "refused" in answer:
        raise ListError(_SENTENCES[answer["refused"]])
    return tuple(map(_table, answer["tables"]))


def _stem(name: str) -> str:
    """The last part of a name without its ending, and without signs that steer a terminal."""
    last = re.split(r"[/\\]", name)[-1]
    plain = "".join(char for char in last if char.isprintable())
    return plain.rpartition(".")[0] or plain or "list"


def _table(answered: dict[str, Any]) -> Table:
    rows = tuple(Row(line, tuple(map(sys.intern, cells))) for line, cells in answered["rows"])
    return Table(answered["name"], rows, tuple(map(_sentence, answered["said"])))


def _sentence(said: str) -> str:
    what, value = said.split(" ", 1)
    if what == "delimiter":
        return f"Cells are parted by {_SIGNS.get(value, value)}."
    code = value.replace("cp125", "Windows-125")
    return f"Letters are read as those of {_ENCODINGS.get(value, code)}."
