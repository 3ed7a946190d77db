"""Lines of a CSV file with cells that no spreadsheet takes for a formula.

Computed: a line by RFC 4180; in it a cell has an apostrophe before it when a spreadsheet program
would run it as a formula (OWASP, "CSV Injection": a cell that begins with = + - @, a tab or a
carriage return). A plain negative number stays a number.

>>> cell("=1+1"), cell("@home"), cell("10 tinne"), cell("-2.50")
("'=1+1", "'@home", '10 tinne', '-2.50')
>>> csv_line(["10 tinne", 25, None, "net, on poles"])
'10 tinne,25,,"net, on poles"\\r\\n'
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable

_FIRST = ("=", "+", "-", "@", "\t", "\r")
_NUMBER = re.compile(r"-\d+(\.\d+)?")


def cell(text: object) -> str:
    """The text of a value as a cell; None is an empty one."""
    written = "" if text is None else str(text)
    if written.startswith(_FIRST) and not _NUMBER.fullmatch(written):
        return f"'{written}"
    return written


def csv_line(cells: Iterable[object]) -> str:
    """One row with its end."""
    out = io.StringIO()
    csv.writer(out).writerow([cell(value) for value in cells])
    return out.getvalue()
