"""Open the file of a list and lay out its cells as texts, in a process of its own.

Run as a script by ``files.py``, through ``series/apart.py``: the file's bytes
come on standard input, and the answer on standard output is one JSON object. It holds "tables"
(name, what is to be said of it, rows of line and cells), or under "refused" a word for why not.
Read are text files in which something parts the cells, and with python-calamine workbooks in the
forms XLSX, XLSM, XLSB, XLS and ODS. Limits: see the constants; sizes in bytes, letters or counts.

>>> answer("Land;Jahr\\nDänemark;1943\\n".encode("cp1252"), "coins")["tables"][0]["rows"]
[(1, ['Land', 'Jahr']), (2, ['Dänemark', '1943'])]
>>> answer(b"\\x89PNG\\r\\n\\x1a\\n...", "coins.csv")
{'refused': 'picture'}
>>> as_text(1957.0), as_text(5.25), as_text(datetime(2004, 3, 20)), as_text(True)
('1957', '5.25', '2004-03-20', 'yes')
"""

from __future__ import annotations

import csv
import io
import json
import re
import sys
import unicodedata
import zipfile
from collections import Counter
from collections.abc import Iterable, Iterator
from datetime import date, datetime, time
from typing import Any

MEMORY = 1_500_000_000
SECONDS = 40
MOST_ROWS = 200_000
MOST_COLUMNS = 500
MOST_CELLS = 3_000_000
LONGEST_CELL = 30_000
MOST_MEMBERS = 2_000
MOST_UNPACKED = 400_000_000
MOST_BREAKS = 100
"""A cell with more line breaks than this is a quotation mark that was never closed."""

_MAGIC = (
    (b"\x89PNG", "picture"),
    (b"\xff\xd8\xff", "picture"),
    (b"GIF8", "picture"),
    (b"RIFF", "picture"),
    (b"BM", "picture"),
    (b"II*\0", "picture"),
    (b"MM\0*", "picture"),
    (b"%PDF", "document"),
    (b"{\\rtf", "document"),
    (b"\x1f\x8b", "archive"),
    (b"7z\xbc", "archive"),
    (b"Rar!", "archive"),
    (b"BZh", "archive"),
    (b"\xfd7zXZ", "archive"),
    (b"SQLite format", "other"),
    (b"\x7fELF", "other"),
    (b"MZ", "other"),
)
_WORKBOOK = ("xl/workbook.xml", "xl/workbook.bin", "content.xml")
_BOMS = (
    (b"\xef\xbb\xbf", "utf-8"),
    (b"\xff\xfe\0\0", "utf-32"),
    (b"\0\0\xfe\xff", "utf-32"),
    (b"\xff\xfe", "utf-16"),
    (b"\xfe\xff", "utf-16"),
)
_USUAL = {
    "cp1252": "äöüßÄÖÜéèêëàâçîïôùûñáíóúìòåæøÅÆØœÉÈÀÇ£€½¼¾°§–—‘’“”„«»…×®©ºª·±²³¢¥¿¡",
    "cp1250": "ąćęłńóśźżĄĆĘŁŃÓŚŹŻáčďéěíňřšťúůýžÁČĎÉĚÍŘŠŤÚŮÝŽőűäöüßÄÖÜ€°§–—‘’“”„«»…",
    "cp1251": "".join(map(chr, range(0x410, 0x450))) + "ёЁіїєґІЇ№–—«»“”„…",
    "cp1253": "".join(map(chr, range(0x391, 0x3CF))) + "άέήίόύώΆΈΉΊΌΎΏ–—«»…",
    "cp850": "äöüßÄÖÜéèêëàâçîïôùûñáíóúìòåæøÅÆØÉÇ£½¼°§«»",
    "mac_roman": "äöüßÄÖÜéèêëàâçîïôùûñáíóúìòåæøÅÆØœÉ£€°§–—‘’“”„«»…",
}
"""Letters and signs that texts in an encoding have; of the encodings that fit the first counts."""
_BEFORE = "‘’“”„«»–—·£€¥§±½¼¾°"
_MIXED = re.compile(rb"\xc3[\x80-\x9f\xa0-\xbf]|\xc2[\xa0-\xbf]|\xe2\x80[\x90-\xa6]|\xe2\x82\xac")
_DELIMITERS = ";\t,|~^#*:"


class Refused(Exception):
    """Why a file is not taken, in one word."""


def answer(data: bytes, name: str) -> dict[str, Any]:
    """The tables of a file, or why it is refused."""
    try:
        return {"tables": [*_tables(data, name)]}
    except Refused as refused:
        return {"refused": str(refused)}
    except MemoryError:
        return {"refused": "memory"}


def _tables(data: bytes, name: str) -> Iterator[dict[str, Any]]:
    if not data.strip(b"\0 \t\r\n\xef\xbb\xbf"):
        raise Refused("nul" if b"\0" in data else "empty")
    for magic, what in _MAGIC:
        if data.startswith(magic) and not (len(magic) == 2 and _is_words(data)):
            raise Refused(what)
    if data.startswith(b"PK"):
        _check_zip(data)
        yield from _sheets(data)
    elif data.startswith(b"\xd0\xcf\x11\xe0"):
        yield from _sheets(data)
    else:
        text, said = _decoded(data)
        yield _of_text(text, name, said)


def _is_words(data: bytes) -> bool:
    """Whether a text happens to begin with the two letters of another kind of file."""
    return b"\0" not in data[:512]


def _check_zip(data: bytes) -> None:
    """A workbook, by what its own list of contents says, before anything is unpacked."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            members = packed.infolist()
    except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError) as error:
        raise Refused("damaged") from error
    names = {member.filename for member in members}
    if len(members) > MOST_MEMBERS or sum(each.file_size for each in members) > MOST_UNPACKED:
        raise Refused("memory")
    if any(".." in re.split(r"[/\\]", each) or re.match(r"[/\\]|\w:", each) for each in names):
        raise Refused("names")
    if any(member.flag_bits & 1 for member in members):
        raise Refused("password")
    if not any(each in names for each in _WORKBOOK):
        raise Refused("archive")


def _sheets(data: bytes) -> Iterator[dict[str, Any]]:
    from python_calamine import CalamineError, CalamineWorkbook, PasswordError

    found = 0
    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(data))
        for name in _with_cells(book):
            sheet = book.get_sheet_by_name(name)
            if sheet.start is None:
                continue
            first, left = sheet.start
            _check_size(sheet.height, sheet.width + left)
            rows = _of_sheet(first, left, sheet.iter_rows() if not left else sheet.to_python())
            if rows:
                found += 1
                yield {"name": name, "said": [], "rows": rows}
    except PasswordError as error:
        raise Refused("password") from error
    except (CalamineError, ValueError, OSError, OverflowError) as error:
        raise Refused("damaged") from error
    if not found:
        raise Refused("empty")


def _with_cells(book: Any) -> list[str]:
    """The names of the sheets that are no charts or macros."""
    from python_calamine import SheetTypeEnum

    return [each.name for each in book.sheets_metadata if each.typ == SheetTypeEnum.WorkSheet]


def _check_size(rows: int, columns: int) -> None:
    if columns > MOST_COLUMNS:
        raise Refused("columns")
    if rows > MOST_ROWS:
        raise Refused("rows")
    if rows * columns > MOST_CELLS:
        raise Refused("cells")


def _of_sheet(first: int, left: int, rows: Iterable[list[Any]]) -> list[tuple[int, list[str]]]:
    # Calamine starts its rows where the first cell is; the lines are those of the sheet.
    kept = []
    seen: dict[str, str] = {}
    for line, row in enumerate(rows, first + 1):
        cells = [seen.setdefault(text, text) for text in map(as_text, row)]
        while cells and not cells[-1]:
            cells.pop()
        if cells:
            kept.append((line, [""] * left + cells))
    return kept


def as_text(value: Any) -> str:
    """A cell of a spreadsheet as it would be typed: whole numbers without a point, days in ISO."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return format(value, ".0f") if value.is_integer() and abs(value) < 1e15 else f"{value:.15g}"
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time() else value.isoformat(" ")
    if isinstance(value, date):
        return value.isoformat()
    text = str(value).strip()
    if len(text) > LONGEST_CELL:
        raise Refused("cell")
    return text.replace("\0", "") if "\0" in text else text


def _decoded(data: bytes) -> tuple[str, list[str]]:
    """The text of a file, and what is to be said of how it was read."""
    for bom, encoding in _BOMS:
        if data.startswith(bom):
            return _strictly(data[len(bom) :] if encoding == "utf-8" else data, encoding), []
    wide = _wide(data)
    if wide:
        return _strictly(data, wide), []
    if b"\0" in data:
        raise Refused("nul")
    try:
        return data.decode("utf-8"), []
    except UnicodeDecodeError:
        pass
    if _MIXED.search(data):
        raise Refused("mixed")
    text, encoding = _by_evidence(data)
    if "¤" in text and "€" not in text:
        text = text.replace("¤", "€")  # one and the same byte in older and newer tables
    return text, [f"encoding {encoding}"]


def _strictly(data: bytes, encoding: str) -> str:
    try:
        text = data.decode(encoding)
    except UnicodeDecodeError as error:
        raise Refused("mixed") from error
    if "\0" in text:
        raise Refused("nul")
    return text


def _wide(data: bytes) -> str:
    """UTF-16 without a mark at its start: every other byte of a western text is nought."""
    some = data[:4000]
    even, odd = some[::2].count(0), some[1::2].count(0)
    half = len(some) // 2
    if half and odd > 0.7 * half and even < 0.1 * half:
        return "utf-16-le"
    return "utf-16-be" if half and even > 0.7 * half and odd < 0.1 * half else ""


def _by_evidence(data: bytes) -> tuple[str, str]:
    """The text in the single-byte encoding in which it looks least odd."""
    some = data[:400_000]
    odd = {}
    for encoding in _USUAL:
        odd[encoding] = _oddness(some.decode(encoding, "replace"), frozenset(_USUAL[encoding]))
    best = min(odd, key=lambda encoding: odd[encoding])
    try:
        return data.decode(best), best
    except UnicodeDecodeError as error:
        raise Refused("mixed") from error


def _oddness(text: str, usual: frozenset[str]) -> float:
    """How much of a text is not what its encoding is used for, and signs within words."""
    odd = 0.0
    for match in re.finditer(r"[^\x00-\x7f]", text):
        char = match[0]
        if char not in usual:
            odd += 1 if char.isalpha() else 2
        category = unicodedata.category(char)
        before, after = text[match.start() - 1 : match.start()], text[match.end() : match.end() + 1]
        inside = before.isalpha() and after.isalpha()
        if category[0] != "L" and inside and char not in "’‘–·…":
            odd += 3
        if category[0] != "L" and not before.isalnum() and after.islower() and char not in _BEFORE:
            odd += 2
        if category == "Lu" and before.islower():
            odd += 3
        if (
            category[0] == "L"
            and (before or after).isdigit()
            and before.isdigit() != after.isalpha()
        ):
            odd += 0.5
    return odd


def _of_text(text: str, name: str, said: list[str]) -> dict[str, Any]:
    if re.match(r"\s*<(?:!doctype|html|\?xml|table)", text[:200], re.IGNORECASE):
        raise Refused("markup")
    text = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    skipped = 0
    hint = re.match(r'"?sep=(.)"?\n', text)
    if hint:
        text, skipped = text[hint.end() :], 1
    delimiter = hint[1] if hint else _delimiter(text)
    rows = _parsed(text, delimiter, skipped)
    return {"name": name, "said": [*said, f"delimiter {delimiter}"], "rows": rows}


def _delimiter(text: str) -> str:
    """What parts the cells: the sign that parts most lines into equally many."""
    some = text[:60_000].rpartition("\n")[0] or text[:60_000]
    lines = [line for line in some.split("\n") if line.strip()]
    found: Counter[str] = Counter()
    for line in lines:
        found.update({char for char in line if not char.isalnum() and char not in " \"'.-/()"})
    common = [char for char, count in found.most_common(12) if count * 2 >= len(lines)]
    candidates = dict.fromkeys([*_DELIMITERS, *common])
    best, delimiter = 0.0, ","
    for candidate in candidates:
        if (regular := _regular(some, candidate)) > best:
            best, delimiter = regular, candidate
    return delimiter


def _regular(text: str, delimiter: str) -> float:
    """How regularly a sign parts the lines of a text, 0 where it parts none."""
    try:
        widths = [len(row) for row in _rows(text, delimiter, '"') if any(map(str.strip, row))]
    except csv.Error:
        return 0.0
    parted = Counter(width for width in widths if width > 1)
    if not parted:
        return 0.0
    usual = parted.most_common(1)[0][0]
    marks = sum(1.0 if w == usual else 0.5 if w < usual else 0.1 for w in widths)
    worth = 1.0 if delimiter in ";\t,|" else 0.8
    return worth * marks / len(widths) * (1 - 0.5 / usual)


def _rows(text: str, delimiter: str, quote: str | None) -> Iterator[list[str]]:
    csv.field_size_limit(max(len(text) + 1, LONGEST_CELL))
    escaped = re.search(rf'\\"(?!["\n]|{re.escape(delimiter)}|$)', text)
    escape = "\\" if escaped else None
    if quote is None:
        return csv.reader(
            io.StringIO(text, newline=""), delimiter=delimiter, quoting=csv.QUOTE_NONE
        )
    return csv.reader(
        io.StringIO(text, newline=""), delimiter=delimiter, quotechar=quote, escapechar=escape
    )


def _parsed(text: str, delimiter: str, skipped: int) -> list[tuple[int, list[str]]]:
    """The rows with their lines; quotation marks that part nothing are taken as they stand."""
    single = '"' not in text and len(re.findall(rf"(?:^|{re.escape(delimiter)})'", text)) > 2
    for quote in ("'" if single else '"', None):
        try:
            return _with_lines(text, delimiter, quote, skipped)
        except (csv.Error, _NeverClosed):
            continue
    raise Refused("damaged")


class _NeverClosed(Exception):
    """A quotation mark swallowed the lines after it."""


def _with_lines(
    text: str, delimiter: str, quote: str | None, skipped: int
) -> list[tuple[int, list[str]]]:
    kept: list[tuple[int, list[str]]] = []
    seen: dict[str, str] = {}
    reader: Any = _rows(text, delimiter, quote)
    line, cells_so_far = skipped + 1, 0
    for row in reader:
        cells = [seen.setdefault(cell, cell) for cell in map(str.strip, row)]
        if quote and any(cell.count("\n") > MOST_BREAKS for cell in cells if len(cell) > 200):
            raise _NeverClosed
        if any(len(cell) > LONGEST_CELL for cell in cells):
            raise Refused("cell")
        while cells and not cells[-1]:
            cells.pop()
        cells_so_far += len(cells)
        if cells:
            kept.append((line, cells))
        line = skipped + reader.line_num + 1
        _check_size(len(kept), len(cells))
        if cells_so_far > MOST_CELLS:
            raise Refused("cells")
    if quote and text.count(quote) % 2 and kept and "\n" in kept[-1][1][-1]:
        raise _NeverClosed
    return kept


def main() -> None:
    said = answer(sys.stdin.buffer.read(), sys.argv[1])
    sys.stdout.write(json.dumps(said))


if __name__ == "__main__":
    main()
