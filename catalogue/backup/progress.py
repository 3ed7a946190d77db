"""How far a long command is: a bar on a terminal, nothing where the output goes elsewhere.

>>> bar("records", 0.5)
'records                [###############---------------]  50%'
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from typing import TextIO

from catalogue.backup.container import Told, silent

Progress = Callable[[str, int], AbstractContextManager[Told]]
WIDTH = 30
TELL_EVERY = 0.1  # s


def bar(what: str, share: float) -> str:
    """So much of the work is done."""
    return f"{what:22} [{'#' * round(WIDTH * share):-<{WIDTH}}] {share:4.0%}"


@contextmanager
def nowhere(what: str, total: int) -> Iterator[Told]:
    """Says nothing."""
    yield silent


def on_terminal(terminal: TextIO | None = None) -> Progress:
    """Draws a bar for each part of the work, where standard error is a terminal."""
    terminal = terminal or sys.stderr
    if not terminal.isatty():
        return nowhere

    @contextmanager
    def progress(what: str, total: int) -> Iterator[Told]:
        done, drawn_at = 0, 0.0

        def draw() -> None:
            terminal.write("\r" + bar(what, min(1.0, done / total) if total else 1.0))
            terminal.flush()

        def told(count: int) -> None:
            nonlocal done, drawn_at
            done += count
            now = time.monotonic()
            if now - drawn_at >= TELL_EVERY:
                drawn_at = now
                draw()

        try:
            yield told
            done = total
        finally:
            draw()
            terminal.write("\n")

    return progress
