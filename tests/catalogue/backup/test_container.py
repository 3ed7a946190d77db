"""The file of a backup: what is written is read back, and whatever is wrong with one is named."""

from __future__ import annotations

import gzip
import hashlib
import io
import json
import subprocess
import tarfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.backup import words
from catalogue.backup.container import MANIFEST, SUM, NotABackup, Reader, Writer, rows_of

HEAD = {"number": "0" * 32, "made_at": "2026-05-03T10:00:00+00:00", "migrations": []}
ROWS = [{"id": 1, "name": "Crab"}, {"id": 2, "name": "Gull ○"}]
ONE, TWO = "files/one", "files/papers/two"
TABLE = "records/001-series.motif.jsonl.gz"


def _lines() -> Any:
    return (json.dumps(row).encode() for row in ROWS)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "backup.tar"
    with path.open("w+b") as file:
        writer = Writer(file, HEAD)
        assert writer.add_lines(TABLE, _lines(), tmp_path, model="series.motif", last=7) == 2
        writer.add_bytes(ONE, b"a picture" * 500)
        writer.add_bytes(TWO, b"")
        writer.finish()
    return path


def faults(path: Path) -> list[str]:
    with path.open("rb") as file, Reader(file) as reader:
        return list(reader.faults())


def _rewritten(path: Path, change: Callable[[str, bytes], list[tuple[str, bytes]]]) -> Path:
    """The archive with each member changed; the manifest keeps its digest unless that is too."""
    with tarfile.open(path) as tar:
        members = [(m.name, tar.extractfile(m).read()) for m in tar]  # type: ignore[union-attr]
    with tarfile.open(path, "w") as tar:
        for name, data in (new for member in members for new in change(*member)):
            info = tarfile.TarInfo(name)
            info.size = len(data)
            tar.addfile(info, io.BytesIO(data))
    return path


def test_a_whole_one_has_no_fault_and_is_read_back(path: Path) -> None:
    assert faults(path) == []
    with path.open("rb") as file, Reader(file) as reader:
        assert reader.head["number"] == "0" * 32
        ((entry, data),) = reader.members("records/")
        assert (entry.rows, entry.last, entry.model) == (2, 7, "series.motif")
        assert list(rows_of(data)) == ROWS
        files = {entry.name: data.read() for entry, data in reader.members("files/")}
    assert files == {ONE: b"a picture" * 500, TWO: b""}


def test_anybody_can_open_and_check_it_with_common_tools(path: Path, tmp_path: Path) -> None:
    """As tar and sha256sum of any system do; with them alone a club is not locked in."""
    out = tmp_path / "out"
    out.mkdir()
    subprocess.run(["tar", "-xf", str(path), "-C", str(out)], check=True)
    subprocess.run(["sha256sum", "--status", "-c", SUM], cwd=out, check=True)
    listed = [json.loads(line) for line in (out / MANIFEST).read_text().splitlines()[1:]]
    for entry in listed:
        data = (out / entry["name"]).read_bytes()
        assert hashlib.sha256(data).hexdigest() == entry["sha256"]
    assert gzip.decompress((out / TABLE).read_bytes()).count(b"\n") == 2


def test_an_altered_file_is_named(path: Path) -> None:
    _rewritten(path, lambda name, data: [(name, data.replace(b"pic", b"pac"))])
    assert faults(path) == [words.altered(ONE)]


def test_a_file_of_another_size_is_named(path: Path) -> None:
    _rewritten(path, lambda name, data: [(name, data + b"!" if name == TWO else data)])
    assert faults(path) == [words.other_size(TWO, 1, 0)]


def test_a_missing_member_is_named(path: Path) -> None:
    _rewritten(path, lambda name, data: [] if name == ONE else [(name, data)])
    assert faults(path) == [words.missing(ONE)]


def test_an_added_member_is_named(path: Path) -> None:
    more = ("files/more", b"x")
    _rewritten(path, lambda name, data: [more, (name, data)] if name == ONE else [(name, data)])
    assert faults(path) == [words.not_listed("files/more")]


def test_a_member_that_is_there_twice_is_named(path: Path) -> None:
    _rewritten(path, lambda name, data: [(name, data)] * (2 if name == ONE else 1))
    assert faults(path) == [words.not_listed(ONE)]


@pytest.mark.parametrize("name", ["files/../../secret-key", "/etc/passwd", "files/a\\b", "notes"])
def test_a_name_that_leads_out_is_refused(path: Path, name: str) -> None:
    _rewritten(path, lambda old, data: [(old, data), (name, b"x")] if old == ONE else [(old, data)])
    assert words.unsafe(name) in faults(path)


def _with_manifest(path: Path, change: Callable[[dict[str, Any]], None]) -> None:
    """The archive with each line of the manifest changed, and the digest made to fit."""
    made: dict[str, bytes] = {}

    def rewrite(name: str, data: bytes) -> list[tuple[str, bytes]]:
        if name == MANIFEST:
            lines = [json.loads(line) for line in data.splitlines()]
            for line in lines:
                change(line)
            data = b"".join(json.dumps(line).encode() + b"\n" for line in lines)
            made["sum"] = hashlib.sha256(data).hexdigest().encode() + b"  " + MANIFEST.encode()
        return [(name, made["sum"] if name == SUM else data)]

    _rewritten(path, rewrite)


def test_another_number_of_rows_is_named(path: Path) -> None:
    _with_manifest(path, lambda line: line.update(rows=3) if line.get("rows") else None)
    assert faults(path) == [words.other_rows(TABLE, 2, 3)]


def test_a_table_that_cannot_be_unpacked_is_named(path: Path) -> None:
    _rewritten(path, lambda name, data: [(name, b"?" * len(data) if name == TABLE else data)])
    assert faults(path) == [words.not_unpacked(TABLE), words.altered(TABLE)]


def test_an_altered_manifest_is_told(path: Path) -> None:
    _rewritten(path, lambda name, data: [(name, data.replace(b"one", b"two"))])
    with pytest.raises(NotABackup, match=r"manifest.jsonl. was altered"):
        faults(path)


def test_a_backup_of_a_newer_form_is_told(path: Path) -> None:
    _with_manifest(path, lambda line: line.update(version=2) if "version" in line else None)
    with pytest.raises(NotABackup, match="newer release"):
        faults(path)


def _is_whole(data: bytes) -> bool:
    try:
        with Reader(io.BytesIO(data)) as reader:
            return not list(reader.faults())
    except NotABackup:
        return False


@given(share=st.floats(0, 0.999))
def test_wherever_it_is_cut_it_is_no_whole_backup(share: float) -> None:
    file = io.BytesIO()
    writer = Writer(file, HEAD)
    writer.add_lines(TABLE, _lines(), None, model="series.motif", last=7)
    writer.add_bytes(ONE, b"a picture" * 500)
    writer.finish()
    assert _is_whole(file.getvalue())
    end = file.getvalue().rstrip(b"\0")  # an archive ends with zeroes
    assert not _is_whole(end[: int(len(end) * share)])


@given(at=st.integers(0, 10_000), bit=st.integers(0, 7))
def test_whichever_bit_of_what_it_holds_flips_is_noticed(at: int, bit: int) -> None:
    file = io.BytesIO()
    writer = Writer(file, HEAD)
    writer.add_bytes(ONE, b"a picture" * 500)
    writer.finish()
    data = bytearray(file.getvalue())
    place = 512 + at % 4_500  # the first header is 512 bytes long (POSIX.1-1988, ustar)
    data[place] ^= 1 << bit
    with Reader(io.BytesIO(bytes(data))) as reader:
        assert list(reader.faults()) == [words.altered(ONE)]


@pytest.mark.parametrize("data", [b"", b"a" * 5_000, b"\0" * 10_240, gzip.compress(b"x", mtime=0)])
def test_another_file_is_no_backup(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "other"
    path.write_bytes(data)
    with pytest.raises(NotABackup, match="no backup of Exergue"):
        faults(path)


def test_another_tar_is_no_backup(tmp_path: Path) -> None:
    path = tmp_path / "other.tar"
    with tarfile.open(path, "w") as tar:
        tar.addfile(tarfile.TarInfo("notes.txt"))
    with pytest.raises(NotABackup, match="no backup of Exergue"):
        faults(path)
