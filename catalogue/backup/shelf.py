"""The folder of backups: which were made and when, which are kept, whether the newest is too old.

``list.jsonl`` in it names every backup that was made, also those that were put elsewhere, so that
a member who leaves can be told which of them still hold what was theirs.
"""

from __future__ import annotations

import json
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from django.conf import settings
from django.utils import timezone

from catalogue.models import Member
from catalogue.site.whole_files import UNFINISHED, write_whole

LIST = "list.jsonl"
LOCK = "making.lock"
OLD = timedelta(days=7)
ABANDONED = 60 * 60  # seconds since a file was last written to
BY_HAND, SCHEDULED, BEFORE_UPGRADE = "by hand", "scheduled", "before an upgrade"
ROTATED = (SCHEDULED, BEFORE_UPGRADE)


@dataclass(frozen=True)
class Made:
    """A backup that was made: its opaque number, the moment it shows, where it was put."""

    number: str
    made_at: datetime
    path: str
    size: int
    why: str = BY_HAND

    @property
    def short(self) -> str:
        return self.number[:8]

    @property
    def is_gone(self) -> bool:
        """Its folder is there and it is not; of a disk that is not connected nobody knows."""
        path = Path(self.path)
        return path.parent.is_dir() and not path.exists()

    @property
    def is_good(self) -> bool:
        """It was proved when it was made, and is there as it was, as far as can be seen."""
        path = Path(self.path)
        if not path.parent.is_dir():
            return True
        with suppress(OSError):
            return path.stat().st_size == self.size
        return False


class Busy(Exception):
    """Another process makes a backup at this moment."""


def folder() -> Path:
    """The folder of backups, made for this account alone where there is none yet."""
    path = Path(settings.BACKUPS_DIR)
    path.mkdir(mode=0o700, parents=True, exist_ok=True)
    return path


def made_backups() -> list[Made]:
    """All that were made, oldest first; a line that cannot be read is passed over."""
    found = []
    with suppress(OSError):
        for line in (Path(settings.BACKUPS_DIR) / LIST).read_text("utf-8").splitlines():
            with suppress(ValueError, TypeError, KeyError):
                said = json.loads(line)
                moment = datetime.fromisoformat(said["made_at"]).astimezone(UTC)
                found.append(Made(**{**said, "made_at": moment}))
    return sorted(found, key=lambda made: made.made_at)


def announce(made: Made) -> None:
    """Put a backup on the list before it gets its name: a process may be killed between the two,
    and one that is on no list would be named to nobody who leaves."""
    with locked(LIST):
        _write_list([*made_backups(), made])


def take_off(number: str) -> None:
    """Take one off the list that was announced and not made."""
    with suppress(OSError):
        if any(each.number == number for each in made_backups()):
            with locked(LIST):
                _write_list([each for each in made_backups() if each.number != number])


def note_made(made: Made) -> None:
    """Put a backup on the list; another that was put in the same place is no more."""
    with locked(LIST):
        others = [each for each in made_backups() if each.path != made.path]
        _write_list([*others, made])


def holding(member: Member) -> list[Made]:
    """The backups that still hold a member: made since they joined, and not gone."""
    return [
        made for made in made_backups() if made.made_at >= member.joined_at and not made.is_gone
    ]


def newest_good() -> Made | None:
    return next((made for made in reversed(made_backups()) if made.is_good), None)


def is_old() -> bool:
    """Whether the newest good backup is older than a week, or a site older than that has none."""
    before = timezone.now() - OLD
    newest = newest_good()
    if newest is not None:
        return newest.made_at < before
    return Member.objects.filter(joined_at__lt=before).exists()


def rotate() -> int:
    """Delete what the site made itself, but for the newest of each kind; returns how many."""
    deleted, here = 0, folder().resolve()
    with locked(LIST):
        made = made_backups()
        own = [each for each in made if Path(each.path).parent == here and not each.is_gone]
        for why in ROTATED:
            for each in [each for each in own if each.why == why][: -settings.BACKUPS_KEPT]:
                Path(each.path).unlink(missing_ok=True)
                deleted += 1
        _write_list([each for each in made if Path(each.path).parent != here or not each.is_gone])
    return deleted


@contextmanager
def only_one() -> Iterator[Path]:
    """Let one process at a time make a backup; Busy for another. Gives the folder, swept."""
    with _lock(folder() / LOCK):
        _sweep(folder())
        yield folder()


def forget_left() -> None:
    """Remove what a process left that was killed while it made a backup."""
    path = Path(settings.BACKUPS_DIR)
    if path.is_dir():
        with suppress(Busy), _lock(path / LOCK):
            _sweep(path)


@contextmanager
def locked(name: str) -> Iterator[None]:
    """Let one process at a time write a list of the folder anew; others wait."""
    with _lock(folder() / f"{name}.lock", wait=True):
        yield


@contextmanager
def _lock(path: Path, *, wait: bool = False) -> Iterator[None]:
    """The lock ends with the process that has it, whatever becomes of that."""
    try:
        import fcntl
    except ImportError:  # Windows
        yield
        return
    lock = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
        except BlockingIOError as error:
            raise Busy from error
        yield
    finally:
        os.close(lock)


def _sweep(path: Path) -> None:
    for left in (*path.glob("snapshot-*"), *path.glob(f"*{UNFINISHED}")):
        left.unlink(missing_ok=True)


def remove_abandoned(path: Path) -> None:
    """Remove from another folder what was written half by a process that is long gone."""
    for left in path.glob(f"*{UNFINISHED}"):
        with suppress(OSError):
            if time.time() - left.stat().st_mtime > ABANDONED:
                left.unlink()


def _write_list(made: list[Made]) -> None:
    lines = [
        json.dumps({**asdict(each), "made_at": each.made_at.isoformat()}, ensure_ascii=False) + "\n"
        for each in sorted(made, key=lambda each: each.made_at)
    ]
    write_whole(folder() / LIST, [line.encode() for line in lines], 0o600)
