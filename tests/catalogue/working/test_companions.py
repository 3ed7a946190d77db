"""The worker beside the server: looked after also where no process can be begun."""

from __future__ import annotations

import errno
import threading
from typing import Any

import pytest

from catalogue.site import companions


class _Process:
    pid, returncode, stdin = 7, 0, None

    def poll(self) -> int | None:
        return None

    def wait(self, patience: float) -> int:
        return 0

    terminate = kill = poll


def test_a_worker_that_cannot_be_begun_is_tried_again(
    monkeypatch: pytest.MonkeyPatch, caplog: Any
) -> None:
    tries: list[list[str]] = []

    def begin(command: list[str], **options: Any) -> _Process:
        tries.append(command)
        if len(tries) == 1:
            raise OSError(errno.ENOMEM, "Cannot allocate memory")
        return _Process()

    begun = threading.Event()
    monkeypatch.setattr(companions, "LOOK_EVERY", 0)
    monkeypatch.setattr(companions, "LONGEST_PAUSE", 0)
    monkeypatch.setattr(companions.subprocess, "Popen", begin)
    kept = companions.Companions(lambda said: begun.set())
    kept.start()
    assert begun.wait(30)
    kept.stop()
    assert "Cannot allocate memory" in caplog.text
    assert [command[2] for command in tries] == ["work", "work"]
