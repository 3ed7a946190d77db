"""An archive that is brought back on a page: kept, looked through, brought back by a task.

One waits at a time for each member, and its file goes once it is back. What a kill leaves is
nothing or all of it, so that a task that is given back begins anew.
"""

from __future__ import annotations

import secrets
from datetime import timedelta
from pathlib import PurePosixPath
from typing import IO, Any

from django.core.files.base import File
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django_tasks import task
from django_tasks.base import Task

from catalogue.exports.bringing_back import BroughtBack, bring_back
from catalogue.exports.opening import ArchiveRefused, open_archive
from catalogue.holdings.actions import HoldingError
from catalogue.members.models import Member
from catalogue.models import BroughtArchive
from catalogue.site.failures import no_room
from catalogue.site.stored_files import delete_unnamed, named_by
from catalogue.working.beats import TRIES, in_hand
from catalogue.working.telling import Teller

KEPT_DAYS = 30
MOST_TOLD = 500
AT_ONCE = 150
"""An archive of so much is dealt with while the page waits: a row counts for one."""
A_PICTURE, A_ROW = 40, 1_000
State = BroughtArchive.State
PENDING = (State.LOOKING, State.BRINGING)


def keep_archive(member: Member, file: IO[bytes], name: str) -> BroughtArchive:
    """Keep an archive and look it through; what waited of the member's before goes.

    ArchiveRefused says why it is none, and then nothing is kept.
    """
    opened = open_archive(file)
    work = opened.size_of_tables // A_ROW + A_PICTURE * opened.pictures
    file.seek(0)
    stored = default_storage.save(f"archives/{secrets.token_urlsafe(24)}.zip", File(file))
    for before in BroughtArchive.objects.filter(owner=member).exclude(state__in=PENDING):
        if before.state != State.DONE:
            remove(before)
    brought = BroughtArchive(owner=member, name=PurePosixPath(name).name[:200], file=stored)
    _begin(brought, State.LOOKING, work)
    return brought


def take_back(brought: BroughtArchive) -> None:
    """Bring back what was looked through, unless another request was quicker."""
    mine = BroughtArchive.objects.filter(pk=brought.pk, state=State.REHEARSAL)
    made = brought.report.get("made", {})
    work = sum(made.values()) + A_PICTURE * made.get("photographs", 0)
    if mine.update(state=State.BRINGING):
        _begin(brought, State.BRINGING, work)


def _begin(brought: BroughtArchive, state: str, work: int) -> None:
    with transaction.atomic():
        brought.state, brought.done, brought.total, brought.message = state, 0, 0, ""
        brought.save()
        if work > AT_ONCE:
            do_archive.enqueue(brought.pk)
            return
    _do(brought)


def begin_again(brought: BroughtArchive) -> None:
    """Go on with one whose task is lost, or look it through again where that failed."""
    if brought.state == State.FAILED and brought.file:
        _begin(brought, State.LOOKING, AT_ONCE + 1)
    elif brought.state in PENDING and not in_hand(do_archive, brought.pk):
        do_archive.enqueue(brought.pk)


@task()
def do_archive(pk: int) -> None:
    """Do what the state of an archive asks for; what goes wrong is said on its page."""
    waiting = BroughtArchive.objects.select_related("owner").filter(pk=pk, state__in=PENDING)
    brought = waiting.first()
    if brought is not None:
        _do(brought)


def _do(brought: BroughtArchive) -> None:
    row = BroughtArchive.objects.filter(pk=brought.pk)
    named = named_by([brought])
    rehearse = brought.state == State.LOOKING

    def note(report: BroughtBack) -> None:
        """Within the transaction that brings it back, so that it is never done twice."""
        if not rehearse:
            row.update(state=State.DONE, report=_told(report), file="")

    try:
        with default_storage.open(brought.file, "rb") as file:
            report = bring_back(file, brought.owner, rehearse=rehearse, tell=Teller(row), note=note)
        if rehearse:
            row.update(state=State.REHEARSAL, report=_told(report))
    except (ArchiveRefused, HoldingError) as refused:
        row.update(state=State.FAILED, message=str(refused), file="")
    except FileNotFoundError:
        gone = _("Its file is no longer there. Bring the archive again.")
        row.update(state=State.FAILED, message=gone, file="")
    except Exception as problem:
        row.update(state=State.FAILED, message=_unforeseen(problem))
        if not no_room(problem):
            raise
    finally:
        brought.refresh_from_db()
    delete_unnamed(named)


def _told(report: BroughtBack) -> dict[str, Any]:
    made = {name: count for name, count in report.made.items() if count}
    left = len(report.left_out)
    return {
        "made": made,
        "here": len(report.here),
        "left_out": report.left_out[:MOST_TOLD],
        "left": left,
    }


def _unforeseen(problem: Exception) -> str:
    if no_room(problem):
        return _(
            "The disk of this site is full, so nothing was brought back. Tell your administrator, "
            "who has to make room; then try it again."
        )
    return _("It could not be done. Try it again; if it fails again, tell your administrator.")


def say_given_up(task: Task[Any, Any], arguments: list[Any], **_signal: Any) -> None:
    """The worker ended too often over an archive: its page says so."""
    if task.module_path != do_archive.module_path:
        return
    BroughtArchive.objects.filter(pk=arguments[0], state__in=PENDING).update(
        state=State.FAILED,
        message=_(
            "It was begun %(n)d times, and each time the program that does it was ended from "
            "outside; it may need more memory than there is. Tell your administrator."
        )
        % {"n": TRIES},
    )


def remove(brought: BroughtArchive) -> None:
    """Remove what is known of an archive with its file; what it brought stays."""
    named = named_by([brought])
    brought.delete()
    delete_unnamed(named)


def remove_old_archives() -> int:
    """Remove those that came more than KEPT_DAYS days ago; returns how many."""
    before = timezone.now() - timedelta(days=KEPT_DAYS)
    old = list(BroughtArchive.objects.filter(made_at__lt=before))
    for brought in old:
        remove(brought)
    return len(old)
