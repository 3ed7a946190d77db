"""Where a process may be ended: at one of its steps, which are counted while they are taken.

A step is an SQL statement, the beginning or end of a commit, a file opened to be written, given its
name or removed.
"""

from __future__ import annotations

import os
import signal
import sys
from typing import Any

OF_FILES = ("os.rename", "os.remove")


class Steps:
    """Counts what is done, and kills the process at one of them, without time for anything."""

    def __init__(self, stop_at: int) -> None:
        self.done, self.stop_at, self.counting = 0, stop_at, False

    def step(self) -> None:
        if not self.counting:
            return
        self.done += 1
        if self.done == self.stop_at:
            os.kill(os.getpid(), signal.SIGKILL)

    def watch(self) -> None:
        from django.db import connection

        connection.ensure_connection()
        commit = connection._commit  # type: ignore[attr-defined]

        def committed() -> None:
            self.step()
            commit()
            self.step()

        def heard(event: str, told: tuple[Any, ...]) -> None:
            writes = event == "open" and isinstance(told[1], str) and set(told[1]) & set("wxa+")
            if writes or event in OF_FILES:
                self.step()

        def asked(execute: Any, *of: Any) -> Any:
            self.step()
            return execute(*of)

        connection._commit = committed  # type: ignore[attr-defined]
        connection.execute_wrappers.append(asked)
        sys.addaudithook(heard)
