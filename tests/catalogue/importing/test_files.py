"""Files of every making are read into tables, and hostile ones end in a sentence.

What each sentence has to say is a rule of this project; the ways in which a file can be hostile are
common practice, no source.
"""

from __future__ import annotations

import io
import struct
import zipfile
from datetime import date, datetime
from pathlib import Path

import pytest
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.importing.reading import unpacking
from catalogue.importing.reading.files import read_tables
from catalogue.importing.reading.lists import ListError

ROWS = [("Land", "Wert", "Jahr"), ("Dänemark", "25 øre", "1966"), ("Österreich", "½ €", "2002")]


def _read(tmp_path: Path, data: bytes, name: str = "list.csv") -> list[tuple[int, tuple[str, ...]]]:
    path = tmp_path / "upload"
    path.write_bytes(data)
    (table,) = read_tables(path, name)
    return [(row.line, row.cells) for row in table.rows]


def _refusal(tmp_path: Path, data: bytes, name: str = "list.csv") -> str:
    with pytest.raises(ListError) as refused:
        _read(tmp_path, data, name)
    return str(refused.value)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252"])
@pytest.mark.parametrize("delimiter", [";", ",", "\t", "|", "~"])
def test_texts_are_read_in_any_encoding_and_with_any_sign_between_cells(
    tmp_path: Path, encoding: str, delimiter: str
) -> None:
    text = "\r\n".join(delimiter.join(row) for row in ROWS)
    assert _read(tmp_path, text.encode(encoding)) == [*enumerate(ROWS, 1)]


@pytest.mark.parametrize(
    ("text", "encoding"),
    [("Kraj;Nominał\nPolska;5 złotych\n", "cp1250"), ("Land;Værdi\nNorge;25 øre\n", "cp850"),
     ("Страна;Номинал\nРоссия;15 копеек\n", "cp1251")],
)  # fmt: skip
def test_an_encoding_is_told_by_its_letters(tmp_path: Path, text: str, encoding: str) -> None:
    read = _read(tmp_path, text.encode(encoding))
    assert [";".join(cells) for _line, cells in read] == text.split("\n")[:2]


def test_quotation_marks_hold_line_breaks_and_the_line_is_the_first(tmp_path: Path) -> None:
    text = 'a,b\n"one\ntwo, three",x\n"said ""so""",y\n'
    assert _read(tmp_path, text.encode()) == [
        (1, ("a", "b")), (2, ("one\ntwo, three", "x")), (4, ('said "so"', "y")),
    ]  # fmt: skip


def test_a_quotation_mark_that_is_never_closed_swallows_nothing(tmp_path: Path) -> None:
    read = _read(tmp_path, b'a;b\n"open;1\n2;3\n')
    assert read == [(1, ("a", "b")), (2, ('"open', "1")), (3, ("2", "3"))]


def test_lone_carriage_returns_and_a_hint_at_the_sign_are_understood(tmp_path: Path) -> None:
    assert _read(tmp_path, b"sep=;\ra;b,c\r1;2") == [(2, ("a", "b,c")), (3, ("1", "2"))]


def _workbook() -> bytes:
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    sheet = book.add_worksheet("Münzen")
    sheet.write_row(1, 1, ["Jahr", "Gewicht", "Kauf", "Summe", "falsch"])
    sheet.write_row(2, 1, [1957, 0.1 + 0.2])
    sheet.write_datetime(2, 3, datetime(2004, 3, 20), book.add_format({"num_format": "d.m.yy"}))
    sheet.write_formula(2, 4, "=1+1", None, 2)
    book.add_worksheet("leer")
    book.add_worksheet("zwei").write(0, 0, "x")
    book.close()
    return out.getvalue()


def test_a_workbook_gives_a_table_a_sheet_with_plain_texts(tmp_path: Path) -> None:
    path = tmp_path / "upload"
    path.write_bytes(_workbook())
    first, second = read_tables(path, "a.xlsx")
    assert (first.name, second.name) == ("Münzen", "zwei")
    assert [(row.line, row.cells) for row in first.rows] == [
        (2, ("", "Jahr", "Gewicht", "Kauf", "Summe", "falsch")),
        (3, ("", "1957", "0.3", "2004-03-20", "2")),
    ]


def test_an_older_workbook_is_read_too() -> None:
    path = Path(__file__).parent / "files" / "plain.xls"
    (table,) = read_tables(path, "plain.xls")
    assert table.rows[1].cells == ("Österreich", "2 Euro", "2002", "vz", "2.5", "2004-03-20")


def _zip(**members: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in members.items():
            packed.writestr(name, data)
    return out.getvalue()


def _lying() -> bytes:
    """A workbook of which a sheet unpacks to far more than it says."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(_workbook())) as good, zipfile.ZipFile(out, "w") as packed:
        for name in good.namelist():
            data = good.read(name)
            if name.endswith("sheet1.xml"):
                size = len(data := data.replace(b"<sheetData>", b"<sheetData>" + b" " * 50_000_000))
            packed.writestr(name, data, zipfile.ZIP_DEFLATED)
    return out.getvalue().replace(struct.pack("<I", size), struct.pack("<I", 900))


def _far_cell() -> bytes:
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    sheet = book.add_worksheet()
    sheet.write(0, 0, "a")
    sheet.write(1_048_575, 16_383, "b")
    book.close()
    return out.getvalue()


HOSTILE = {
    "nothing": (b"", "nothing in this file"),
    "zeros": (b"\0" * 100, "NUL"),
    "nul": (b"a,b\n1,\x002\nxx,yyyyyyyyyyyyy", "NUL"),
    "mixed": ("Ä;ö\n".encode() + "é;ü\n".encode("cp1252"), "mixes two ways"),
    "picture": (b"\x89PNG\r\n\x1a\n" + b"x" * 50, "picture"),
    "document": (b"%PDF-1.7 ...", "document"),
    "page": (b"<html><body><table><tr><td>", "page for a browser"),
    "columns": (b",".join([b"a"] * 1_000_000), "columns"),
    "rows": (b"a;b\n" * 200_001, "rows"),
    "cell": (b"a,b\n1," + b"x" * 100_000, "letters"),
    "bomb": (_zip(**{"xl/workbook.xml": b"<a>" * 150_000_000}), "too much"),
    "out": (_zip(**{"xl/workbook.xml": b"x", "../../etc/passwd": b"x"}), "lead out"),
    "nested": (_zip(**{"inner.zip": _zip(a=b"x")}), "unpack it"),
    "cut": (_workbook()[:-300], "cut off or damaged"),
    "far": (_far_cell(), "too much"),
    "lies": (_lying(), "cut off or damaged"),
}


@pytest.mark.parametrize("kind", HOSTILE)
def test_a_hostile_file_ends_in_a_sentence(tmp_path: Path, kind: str) -> None:
    data, words = HOSTILE[kind]
    said = _refusal(tmp_path, data)
    assert words in said
    assert said.endswith(".")


def test_a_file_beyond_the_limit_is_not_even_opened(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("catalogue.importing.reading.files.MOST_BYTES", 10)
    assert "larger than" in _refusal(tmp_path, b"a;b\n1;2\n3;4\n")


def test_every_refusal_has_its_sentence() -> None:
    source = Path(unpacking.__file__).read_text()
    from catalogue.importing.reading.files import _SENTENCES

    words = {word for word in _SENTENCES if f'"{word}"' in source}
    assert words == {*_SENTENCES}


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=400))
def test_no_bytes_break_the_reader(data: bytes) -> None:
    answer = unpacking.answer(data, "x")
    assert ("refused" in answer) != ("tables" in answer)


CELLS = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=8)


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(CELLS, CELLS, CELLS), min_size=3, max_size=8), st.sampled_from(";,\t|"))
def test_what_a_spreadsheet_writes_comes_back(rows: list[tuple[str, ...]], delimiter: str) -> None:
    text = "\n".join(
        delimiter.join('"' + cell.replace('"', '""') + '"' for cell in row) for row in rows
    )
    read = unpacking.answer(text.encode(), "x")
    assert [tuple(cells) for _line, cells in read["tables"][0]["rows"]] == rows


def test_a_day_is_a_day_whatever_its_time() -> None:
    assert unpacking.as_text(date(1999, 1, 2)) == "1999-01-02"
    assert unpacking.as_text(datetime(1999, 1, 2, 3, 4)) == "1999-01-02 03:04:00"
