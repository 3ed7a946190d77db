"""Who was erased, as opaque numbers, so that a backup put back does not bring them back.

The number of a member is made from what every release has kept of them and nobody can guess: the
row's number and the moment they joined. The list stands in a file in the folder of backups, never
in a backup. It is written after the erasure is committed; what was committed and is not written
down yet (a full disk, a process that was killed) stands in the database until it is.
"""

from __future__ import annotations

import logging
import re
from collections.abc import Iterable
from contextlib import suppress
from datetime import UTC
from hashlib import sha256
from pathlib import Path

from django.conf import settings

from catalogue.backup.shelf import folder, locked
from catalogue.models import Member, SiteFact
from catalogue.site.whole_files import write_whole

LIST = "erased.txt"
DUE = "erased "
_NUMBER = re.compile(r"[0-9a-f]{32}")

log = logging.getLogger(__name__)


def number_of(member: Member) -> str:
    """The opaque number of a member, the same in every backup that holds them."""
    joined = member.joined_at.astimezone(UTC).isoformat(timespec="microseconds")
    return sha256(f"member {member.pk} {joined}".encode()).hexdigest()[:32]


def note(member: Member) -> None:
    """Within the transaction that erases them."""
    SiteFact.objects.get_or_create(key=DUE + number_of(member))


def write_down() -> None:
    """Put what was committed on the list; where that fails, it is tried again later."""
    due = SiteFact.objects.filter(key__startswith=DUE)
    numbers = {fact.key.removeprefix(DUE) for fact in due}
    if not numbers:
        return
    try:
        path = folder() / LIST
        with locked(LIST):
            lines = sorted(numbers | numbers_in(path))
            write_whole(path, [f"{line}\n".encode() for line in lines], 0o600)
    except OSError as error:
        log.warning("Who was erased is not on the list yet; it is tried again later: %s", error)
        return
    SiteFact.objects.filter(key__in=[DUE + number for number in numbers]).delete()


def numbers_in(path: Path) -> set[str]:
    """The numbers in a list; none where there is no list."""
    with suppress(FileNotFoundError):
        return set(_NUMBER.findall(path.read_text("utf-8", errors="replace")))
    return set()


def known_numbers(beside: Path, also: Iterable[Path] = ()) -> set[str]:
    """Of the list of this site, of the one that lies beside a backup, and of others."""
    lists = (Path(settings.BACKUPS_DIR) / LIST, beside.parent / LIST, *also)
    return set().union(*(numbers_in(path) for path in lists))


def erased_again(numbers: set[str]) -> list[Member]:
    """The members of the database who were erased since."""
    return [member for member in Member.objects.order_by("pk") if number_of(member) in numbers]
