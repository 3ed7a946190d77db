"""Run a script of our own over a file from outside, in a process with limits.

Computed: what the script writes on standard output for the bytes on its standard input; None when
it ended otherwise, because it needed more memory (bytes) or processor time (seconds) than its
``Limits``, or longer than ``patience`` (seconds) in all. The process knows nothing of the site: its
module search is that of an isolated Python, so the script imports installed packages alone. Where
the system knows no such limits (Windows), only ``patience`` holds. Run as a script, this module is
the first thing in that process: it sets the limits and then runs the script named.

>>> import tempfile
>>> with tempfile.TemporaryDirectory() as folder:
...     script = Path(folder) / "length.py"
...     _ = script.write_text("import sys; print(sys.argv[1], len(sys.stdin.buffer.read()))")
...     run_apart(script, b"12345", "bytes:", Limits(500_000_000, 5), patience=30)
b'bytes: 5\\n'
"""

from __future__ import annotations

import os
import runpy
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple


class Limits(NamedTuple):
    """Memory in bytes, processor time in seconds."""

    memory: int
    seconds: int


def run_apart(
    script: Path,
    data: bytes,
    asked: str,
    limits: Limits,
    *,
    patience: float,
    held: int | None = None,
) -> bytes | None:
    """What the script answers; ``held`` is an open file that it keeps until it has ended too."""
    inherited = () if held is None or os.name == "nt" else (held,)
    own = [sys.executable, "-I", str(Path(__file__)), *map(str, limits)]
    try:
        done = subprocess.run(  # noqa: S603 our own script
            [*own, str(script), asked],
            input=data,
            capture_output=True,
            timeout=patience,
            check=True,
            pass_fds=inherited,
        )
    except (subprocess.SubprocessError, BrokenPipeError):
        return None
    return done.stdout


def _limit(limits: Limits) -> None:
    try:
        import resource
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_AS, (limits.memory, limits.memory))
    resource.setrlimit(resource.RLIMIT_CPU, (limits.seconds, limits.seconds))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def main() -> None:
    _limit(Limits(int(sys.argv[1]), int(sys.argv[2])))
    script = sys.argv[3]
    sys.argv = sys.argv[3:]
    runpy.run_path(script, run_name="__main__")


if __name__ == "__main__":
    main()
