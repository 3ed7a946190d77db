"""What it costs a write that SQLite overwrites what is deleted (``PRAGMA secure_delete``).

Run ``python -m tests.bench secure_delete --folder F``; the folder should lie on the disk that is
asked about. On three files alike, with the settings of the site (write-ahead log, every commit
flushed), it changes, adds and deletes pieces one a commit, and deletes 5,000 at once. It prints
the median milliseconds of one commit without and with overwriting, their ratio, and whether
deleted words can still be read in the file afterwards.
"""

from __future__ import annotations

import argparse
import random
import sqlite3
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from tests.bench.goals import Goal, tell

GOALS = {
    "change": Goal(
        "changing a piece with deleted data overwritten", "not overwritten", at_most=1.3
    ),
    "left": Goal("deleted words still in the file", at_most=0),
}
PIECES, COMMITS, AT_ONCE = 20_000, 300, 5_000
MODES = ("OFF", "FAST", "ON")
WORD = "zyxmarker"
WORDS = "obverse worn, scratched at the rim, bought at a fair with four others "

Write = Callable[[sqlite3.Connection, int], None]


def made(path: Path, mode: str, pieces: int) -> sqlite3.Connection:
    connection = sqlite3.connect(path, isolation_level=None)
    connection.executescript(
        f"PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA secure_delete={mode};"
        "CREATE TABLE piece (id INTEGER PRIMARY KEY, owner INTEGER, number TEXT, note TEXT);"
        "CREATE INDEX by_owner ON piece (owner, number); CREATE INDEX by_note ON piece (note);"
    )
    chance = random.Random(1)
    rows = [
        (n, n % 7, f"{n:06}", f"{WORD} {n} " + WORDS * chance.randint(1, 5)) for n in range(pieces)
    ]
    connection.executemany("INSERT INTO piece VALUES (?, ?, ?, ?)", rows)
    connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    return connection


def change(connection: sqlite3.Connection, n: int) -> None:
    connection.execute("UPDATE piece SET note = ? WHERE id = ?", (f"new {n}", n * 61))


def add(connection: sqlite3.Connection, n: int) -> None:
    connection.execute("INSERT INTO piece VALUES (?, 1, ?, ?)", (PIECES + n, f"{n}", WORDS))


def delete(connection: sqlite3.Connection, n: int) -> None:
    connection.execute("DELETE FROM piece WHERE id = ?", (n * 61 + 7,))


def delete_many(connection: sqlite3.Connection, n: int) -> None:
    connection.execute("DELETE FROM piece WHERE id BETWEEN ? AND ?", (9_000, 9_000 + AT_ONCE))


def timed(connections: list[sqlite3.Connection], write: Write, commits: int) -> list[float]:
    """The median milliseconds a commit of each; they take turns, so that all see the same disk."""
    took: list[list[float]] = [[] for _ in connections]
    for n in range(commits):
        for connection, times in zip(connections, took, strict=True):
            began = time.perf_counter()
            write(connection, n)
            times.append(1000 * (time.perf_counter() - began))
    return [statistics.median(times) for times in took]


def words_left(connection: sqlite3.Connection, path: Path) -> int:
    connection.execute("DELETE FROM piece")
    connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    connection.close()
    return path.read_bytes().count(WORD.encode())


def measure(folder: Path, pieces: int, commits: int) -> dict[str, float]:
    paths = [folder / f"{mode}.sqlite3" for mode in MODES]
    connections = [made(path, mode, pieces) for path, mode in zip(paths, MODES, strict=True)]
    print(f"{'ms a commit':<28}" + "".join(f"{mode:>9}" for mode in MODES) + "   ON / OFF")
    kinds: dict[str, tuple[Write, int]] = {
        "change one piece": (change, commits),
        "add one piece": (add, commits),
        "delete one piece": (delete, commits),
        f"delete {AT_ONCE:,} at once": (delete_many, 1),
    }
    ratios = []
    for name, (write, times) in kinds.items():
        took = timed(connections, write, times)
        ratios.append(took[2] / took[0])
        print(f"{name:<28}" + "".join(f"{ms:9.2f}" for ms in took) + f"   {ratios[-1]:6.2f}")
    left = [words_left(*each) for each in zip(connections, paths, strict=True)]
    print(f"{'deleted words still there':<28}" + "".join(f"{count:9,}" for count in left))
    return {"change": ratios[0], "left": left[2]}


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--folder", help="where the files are made")
    parser.add_argument("--tiny", action="store_true", help="only show that it runs")
    given = parser.parse_args()
    size = (200, 3) if given.tiny else (PIECES, COMMITS)
    with tempfile.TemporaryDirectory(dir=given.folder) as temporary:
        tell(GOALS, measure(Path(temporary), *size))


if __name__ == "__main__":
    main()
