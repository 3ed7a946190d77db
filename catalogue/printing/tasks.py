"""Sheets that take long: asked for, drawn by a task, kept for a month."""

from __future__ import annotations

import logging
import secrets
from collections.abc import Iterable, Iterator, Mapping
from datetime import timedelta
from typing import Any

from django.core.exceptions import ObjectDoesNotExist
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django_tasks import task
from django_tasks.base import Task

from catalogue.models import Member, Sheet
from catalogue.printing.geometry import SheetProblem
from catalogue.printing.pdf import PrintingUnavailable
from catalogue.printing.sheets import drawer, ending, parts_of
from catalogue.site.failures import no_room
from catalogue.site.stored_files import delete_unnamed, named_by
from catalogue.working.beats import TRIES, in_hand
from catalogue.working.telling import Teller

KEPT_DAYS = 30
TOO_LONG = timedelta(minutes=30)
PENDING = (Sheet.State.WAITING, Sheet.State.DRAWING)

log = logging.getLogger(__name__)


def ask_for(
    owner: Member, kind: str, title: str, parameters: Mapping[str, Any], total: int
) -> Sheet:
    """A sheet that a task draws; one that was asked for alike and is not drawn yet is taken.

    The sheet and its task are kept together or not at all.
    """
    drawer(kind)
    waiting = Sheet.objects.filter(
        owner=owner,
        kind=kind,
        parameters=dict(parameters),
        state__in=PENDING,
        made_at__gt=timezone.now() - TOO_LONG,
    ).first()
    if waiting is not None:
        if not in_hand(draw_sheet, waiting.pk):
            ask_again(waiting)
        return waiting
    with transaction.atomic():
        sheet = Sheet.objects.create(
            owner=owner, kind=kind, title=title[:200], parameters=dict(parameters), total=total
        )
        draw_sheet.enqueue(sheet.pk)
    return sheet


def ask_again(sheet: Sheet) -> None:
    """Start anew with a sheet that was not drawn."""
    with transaction.atomic():
        again = Sheet.objects.filter(pk=sheet.pk, file="").update(
            state=Sheet.State.WAITING, done=0, message="", made_at=timezone.now()
        )
        if again and not in_hand(draw_sheet, sheet.pk):
            draw_sheet.enqueue(sheet.pk)


def drawn_before(owner: Member, kind: str, parameters: Mapping[str, Any]) -> Sheet | None:
    """The newest sheet like this that is drawn already: for what never changes."""
    ready = Sheet.objects.filter(owner=owner, kind=kind, state=Sheet.State.READY)
    return ready.filter(parameters=dict(parameters)).first()


class _InParts(ContentFile[bytes]):
    """A file to be stored part by part, as it is drawn."""

    def __init__(self, parts: Iterable[bytes]) -> None:
        super().__init__(b"")
        self.parts = parts

    def chunks(self, chunk_size: int | None = None) -> Iterator[bytes]:
        return iter(self.parts)


@task()
def draw_sheet(pk: int) -> None:
    """Draw a sheet that was asked for; what goes wrong is said on its page."""
    sheet = Sheet.objects.select_related("owner").filter(pk=pk, file="").first()
    if sheet is None:
        return  # taken away meanwhile, or drawn already
    _note(pk, state=Sheet.State.DRAWING, done=0)
    try:
        teller = Teller(Sheet.objects.filter(pk=pk))
        drawn = drawer(sheet.kind)(sheet.owner, sheet.parameters, teller)
        called = f"sheets/{secrets.token_urlsafe(24)}{ending(sheet.kind)}"
        name = default_storage.save(called, _InParts(parts_of(drawn)))
    except (SheetProblem, PrintingUnavailable) as problem:
        _note(pk, state=Sheet.State.FAILED, message=str(problem))
    except ObjectDoesNotExist:
        gone = _("What it was to show is no longer there.")
        _note(pk, state=Sheet.State.FAILED, message=gone)
    except Exception as problem:
        _note(pk, state=Sheet.State.FAILED, message=_unforeseen(problem))
        raise
    else:
        first = Sheet.objects.filter(pk=pk, file="").update(state=Sheet.State.READY, file=name)
        if not first:  # taken away meanwhile, or drawn by another worker too
            default_storage.delete(name)


def _unforeseen(problem: Exception) -> str:
    if no_room(problem):
        return _(
            "The disk of this site is full, so it could not be kept. Tell your administrator, who "
            "has to make room; then ask for it again."
        )
    return _("It could not be drawn. Ask for it again; if it fails again, tell your administrator.")


def say_given_up(task: Task[Any, Any], arguments: list[Any], **_signal: Any) -> None:
    """The worker ended too often while it drew a sheet: its page says so."""
    if task.module_path != draw_sheet.module_path:
        return
    Sheet.objects.filter(pk=arguments[0], state__in=PENDING).update(
        state=Sheet.State.FAILED,
        message=_(
            "It was begun %(n)d times, and each time the program that draws it was ended from "
            "outside; it may need more memory than there is. Choose fewer pieces, or tell your "
            "administrator."
        )
        % {"n": TRIES},
    )


def say_lost(**_signal: Any) -> None:
    """A site was put back from a backup, which holds no tasks: what waited is not drawn."""
    Sheet.objects.filter(state__in=PENDING).update(
        state=Sheet.State.FAILED,
        message=_("The site was put back from a backup before it was drawn. Ask for it again."),
    )


def _note(pk: int, **values: Any) -> None:
    Sheet.objects.filter(pk=pk).update(**values)


def remove(sheet: Sheet) -> None:
    """Take a sheet away with its file."""
    named = named_by([sheet])
    sheet.delete()
    delete_unnamed(named)


def remove_old_sheets() -> int:
    """Take away what was made more than KEPT_DAYS days ago; returns how many."""
    old = Sheet.objects.filter(made_at__lt=timezone.now() - timedelta(days=KEPT_DAYS))
    sheets = list(old)
    for sheet in sheets:
        remove(sheet)
    return len(sheets)
