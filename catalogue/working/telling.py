"""How far a long task is, kept where its page looks."""

from __future__ import annotations

import time
from typing import Any

from django.db.models import QuerySet

TELL_EVERY = 0.5  # s between two notes of progress


class Teller:
    """Keeps ``done`` and ``total`` of a record, twice a second at most."""

    def __init__(self, record: QuerySet[Any]) -> None:
        self.record = record
        self.told = 0.0

    def __call__(self, done: int, total: int) -> None:
        now = time.monotonic()
        if done == total or now - self.told >= TELL_EVERY:
            self.told = now
            self.record.update(done=done, total=total)
