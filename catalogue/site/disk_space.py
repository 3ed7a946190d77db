"""How much room is left where the site writes, so that it is said before it runs out."""

from __future__ import annotations

import shutil
from pathlib import Path

from django.conf import settings
from django.http import HttpRequest

from catalogue import access

ENOUGH = 1_000_000_000
"""Bytes: some hundred photographs, a long schedule and a copy of a large club's database."""


def room_left() -> int:
    """Free bytes where database and pictures lie, the lesser of the two where they lie apart."""
    return min(free(Path(settings.VAR_DIR)), free(Path(settings.MEDIA_ROOT)))


def is_short() -> bool:
    return room_left() < ENOUGH


def free(folder: Path) -> int:
    return shutil.disk_usage(nearest(folder)).free


def nearest(folder: Path) -> Path:
    """The folder, or where it is not made yet the one in which it would be."""
    while not folder.exists():
        folder = folder.parent
    return folder


def banner(request: HttpRequest) -> dict[str, int]:
    """For every page of an administrator: the megabytes left, once they are few."""
    if not access.is_administrator(getattr(request, "user", None)):
        return {}
    left = room_left()
    return {"room_left_mb": left // 1_000_000} if left < ENOUGH else {}
