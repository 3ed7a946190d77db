"""Turns over several processes, real ones: never two at once, none lost to a killed process."""

from __future__ import annotations

import io
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from series import apart
from series.picture import pictures, turns
from series.picture.turns import NoTurn, turn
from tests.served import PATIENCE, ROOT

HOLD = """
import sys, time
from pathlib import Path
from series.picture.turns import turn
with turn(Path(sys.argv[1]), at_once=1, in_line=2, patience=0):
    print("held", flush=True)
    sys.stdin.read()
"""
HOLD_WITH_A_CHILD = """
import subprocess, sys
from pathlib import Path
from series.picture.turns import turn
with turn(Path(sys.argv[1]), at_once=1, in_line=2, patience=0) as held:
    child = subprocess.Popen([sys.executable, "-c", "open(0).read()"], pass_fds=[held])
    print("held", flush=True)
    child.wait()
"""
TAKE_TURNS = """
import sys
from pathlib import Path
from series.picture.turns import turn
folder = Path(sys.argv[1])
for _ in range(30):
    with turn(folder, at_once=1, in_line=8, patience=60):
        (folder / "busy").mkdir()
        sum(range(20_000))
        (folder / "busy").rmdir()
"""


def _free(folder: Path, in_line: int = 2) -> bool:
    try:
        with turn(folder, at_once=1, in_line=in_line, patience=0):
            return True
    except NoTurn:
        return False


@contextmanager
def _holding(folder: Path, code: str = HOLD) -> Iterator[Any]:
    process = subprocess.Popen(
        [sys.executable, "-c", code, str(folder)],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    assert process.stdin
    assert process.stdout
    assert process.stdout.readline() == "held\n"
    try:
        yield process
    finally:
        process.kill()
        process.wait(PATIENCE)
        process.stdin.close()
        process.stdout.close()


def test_another_process_waits_for_its_turn(tmp_path: Path) -> None:
    with _holding(tmp_path):
        assert not _free(tmp_path)
    assert _free(tmp_path)


def test_a_killed_process_holds_no_turn(tmp_path: Path) -> None:
    with _holding(tmp_path) as process:
        process.kill()
        process.wait(PATIENCE)
        assert _free(tmp_path)


@pytest.mark.skipif(sys.platform == "win32", reason="Windows inherits no lock")
def test_the_child_of_a_killed_process_keeps_the_turn_until_it_ends(tmp_path: Path) -> None:
    with _holding(tmp_path, HOLD_WITH_A_CHILD) as process:
        process.kill()
        process.wait(PATIENCE)
        assert not _free(tmp_path)
        process.stdin.close()  # by which the child ends; it holds the other end of stdout
        process.stdout.read()
        assert _free(tmp_path)


def test_never_two_of_many_processes_at_once(tmp_path: Path) -> None:
    processes = [
        subprocess.Popen(
            [sys.executable, "-c", TAKE_TURNS, str(tmp_path)],
            cwd=ROOT,
            stderr=subprocess.PIPE,
            text=True,
        )
        for _ in range(4)
    ]
    for process in processes:
        _, complaint = process.communicate(timeout=4 * PATIENCE)
        assert process.returncode == 0, complaint


def test_who_finds_the_line_full_is_sent_away_without_waiting(tmp_path: Path) -> None:
    crowd = turn(tmp_path, at_once=1, in_line=1, patience=10**6)
    with _holding(tmp_path), pytest.raises(NoTurn), crowd:
        pass


def test_two_may_go_at_once_where_it_is_said(tmp_path: Path) -> None:
    with _holding(tmp_path), turn(tmp_path, at_once=2, in_line=2, patience=0):
        assert not _free(tmp_path, in_line=3)


def test_what_fails_in_its_turn_gives_it_back(tmp_path: Path) -> None:
    with pytest.raises(ValueError), turn(tmp_path, at_once=1, in_line=2, patience=0):
        raise ValueError
    assert _free(tmp_path)


def test_without_room_for_a_lock_the_threads_take_turns(tmp_path: Path) -> None:
    nowhere = tmp_path / "file"
    nowhere.touch()
    with turn(nowhere, at_once=1, in_line=2, patience=0) as held:
        assert held is None
        assert not _free(nowhere)
    assert _free(nowhere)


def test_without_locks_in_the_system_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(turns, "fcntl", None)
    monkeypatch.setattr(turns, "msvcrt", None)
    with turn(tmp_path, at_once=1, in_line=2, patience=0) as held:
        assert held is None


# ---- pictures ----
def _picture() -> io.BytesIO:
    out = io.BytesIO()
    Image.new("RGB", (30, 30), "red").save(out, "PNG")
    return io.BytesIO(out.getvalue())


def test_a_picture_is_refused_in_words_while_another_process_decodes(
    tmp_path: Path, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.VAR_DIR = tmp_path
    monkeypatch.setattr(pictures, "_PATIENCE", 0)
    refused = pytest.raises(pictures.PictureRefused, match="Add it again in a minute")
    with _holding(tmp_path / "turns"), refused:
        pictures.prepare_picture(_picture()).keep()
    monkeypatch.undo()
    assert pictures.prepare_picture(_picture()).keep().width == 30


def test_the_decoding_process_holds_the_turn_itself(
    tmp_path: Path, settings: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings.VAR_DIR = tmp_path
    passed: list[Any] = []
    run = subprocess.run

    def listen(command: Any, **options: Any) -> Any:
        passed.append(options["pass_fds"])
        return run(command, **options)

    monkeypatch.setattr(apart.subprocess, "run", listen)
    pictures.prepare_picture(_picture()).keep()
    assert [len(handles) for handles in passed] == [1]
