"""Long lists: read and taken in by a task, which says how far it is; short ones at once."""

from __future__ import annotations

from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _
from django_tasks import task
from django_tasks.base import Task

from catalogue.holdings.actions import HoldingError
from catalogue.importing.coming import rows_to_take
from catalogue.importing.judging import judge_again
from catalogue.importing.picture_files import pictures_of
from catalogue.importing.publishing import publish
from catalogue.importing.reading.lists import ListError
from catalogue.importing.staging import stage
from catalogue.models import ImportedList
from catalogue.site.failures import no_room
from catalogue.working.beats import TRIES, in_hand
from catalogue.working.telling import Teller

AT_ONCE = 150
"""A list of so many rows is dealt with while the page waits; a picture counts for A_PICTURE."""
A_PICTURE = 40
State = ImportedList.State
PENDING = (State.READING, State.TAKING)


def read_rows(brought: ImportedList) -> None:
    """Read the rows of a list, at once or by a task; its state says which."""
    _begin(brought, State.READING, brought.total)


def take_in(brought: ImportedList) -> None:
    """Take in what is to be made and changed, at once or by a task."""
    rows = rows_to_take(brought)
    pictures = sum(len(named) for named in rows.values_list("pictures", flat=True))
    _begin(brought, State.TAKING, rows.count() + A_PICTURE * pictures)


def _begin(brought: ImportedList, state: str, work: int) -> None:
    with transaction.atomic():
        brought.state, brought.done, brought.message = state, 0, ""
        brought.save()
        if work > AT_ONCE:
            do_list.enqueue(brought.pk)
            return
    _do(brought)


def begin_again(brought: ImportedList) -> None:
    """Go on with a list whose task is lost."""
    if brought.state in PENDING and not in_hand(do_list, brought.pk):
        do_list.enqueue(brought.pk)


@task()
def do_list(pk: int) -> None:
    """Do what the state of a list asks for; what goes wrong is said on its page."""
    brought = ImportedList.objects.select_related("owner").filter(pk=pk, state__in=PENDING).first()
    if brought is not None:
        _do(brought)


def _do(brought: ImportedList) -> None:
    tell = Teller(ImportedList.objects.filter(pk=brought.pk))
    taking = brought.state == State.TAKING
    try:
        with pictures_of(brought) as pictures:
            if taking:
                publish(brought, pictures, tell)
            else:
                stage(brought, pictures, tell)
    except (ListError, HoldingError) as problem:
        _gone_wrong(brought, str(problem), taking)
    except Exception as problem:
        _gone_wrong(brought, _unforeseen(problem), taking)
        if not no_room(problem):
            raise


def _gone_wrong(brought: ImportedList, message: str, taking: bool) -> None:
    """Nothing was taken in: the rows are looked over again, or the columns."""
    state = State.REHEARSAL if taking else State.FAILED
    ImportedList.objects.filter(pk=brought.pk).update(state=state, message=message)
    brought.refresh_from_db()
    if taking:
        judge_again(brought)


def _unforeseen(problem: Exception) -> str:
    if no_room(problem):
        return _(
            "The disk of this site is full, so nothing was done. Tell your administrator, who has "
            "to make room; then try it again."
        )
    return _("It could not be done. Try it again; if it fails again, tell your administrator.")


def say_given_up(task: Task[Any, Any], arguments: list[Any], **_signal: Any) -> None:
    """The worker ended too often over a list: its page says so."""
    if task.module_path != do_list.module_path:
        return
    lists = ImportedList.objects.filter(pk=arguments[0], state__in=PENDING)
    for brought in lists:
        message = _(
            "It was begun %(n)d times, and each time the program that does it was ended from "
            "outside; it may need more memory than there is. Bring the list in parts, or tell your "
            "administrator."
        ) % {"n": TRIES}
        _gone_wrong(brought, message, brought.state == State.TAKING)
