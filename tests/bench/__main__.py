"""Run the benches and print the table of goals and figures.

``python -m tests.bench`` runs all of them at full size, which takes most of an hour on two quiet
cores; ``python -m tests.bench sheets browse`` those two. What is not understood here is passed on
to the bench, such as ``--rounds 1``; ``--tiny`` only shows that they run.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path

from tests.bench import goals

HERE = Path(__file__).parent
PREFIX = "bench_"


def benches() -> dict[str, Path]:
    """The files of all benches by name."""
    found = sorted(HERE.glob(f"{PREFIX}*.py"))
    return {path.stem.removeprefix(PREFIX): path for path in found}


def environment(folder: str) -> dict[str, str]:
    """A site of its own in this folder, and this code."""
    env = {**os.environ, "EXERGUE_VAR": folder, "PYTHONPATH": str(HERE.parents[1])}
    for name in ("DATABASE_URL", "EXERGUE_SITE", "DJANGO_SETTINGS_MODULE"):
        env.pop(name, None)
    return env


def told(output: Iterable[str]) -> list[tuple[str, ...]]:
    """The rows of the table among what a bench prints."""
    cells = (line.rstrip("\n").split("\t") for line in output)
    return [tuple(rest) for first, *rest in cells if first == goals.FIRST]


def run(path: Path, folder: str, arguments: list[str]) -> tuple[int, list[str]]:
    """Run a bench, show what it prints as it comes, and give it back with its exit status."""
    command = [sys.executable, str(path), *arguments]
    env = environment(folder)
    printed = []
    with subprocess.Popen(command, env=env, stdout=subprocess.PIPE, text=True) as bench:
        assert bench.stdout is not None
        for line in bench.stdout:
            print(line, end="", flush=True)
            printed.append(line)
    return bench.returncode, printed


def main() -> int:
    known = benches()
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("names", nargs="*", metavar="name", help=", ".join(known))
    given, more = parser.parse_known_args()
    if unknown := set(given.names) - set(known):
        parser.error(f"There is no bench {', '.join(unknown)}. There are: {', '.join(known)}.")
    rows, failed = [], []
    with tempfile.TemporaryDirectory() as folder:
        for name in given.names or known:
            print(f"\n== {name}", flush=True)
            status, printed = run(known[name], folder, more)
            rows += told(printed)
            if status:
                failed.append(name)
    print(f"\n{goals.table(rows)}")
    if failed:
        print(f"\nStopped with an error: {', '.join(failed)}.")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
