"""Sheets that take long: asked for, drawn by a task, kept for a month."""

from __future__ import annotations

import logging
import secrets
import time
from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from django.conf import settings
from django.core.exceptions import ObjectDoesNotExist
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils import timezone
from django.utils.module_loading import import_string
from django.utils.translation import gettext as _
from django_tasks import task

from catalogue.models import Member, Sheet
from catalogue.printing.geometry import SheetProblem
from catalogue.printing.pdf import PrintingUnavailable
from catalogue.printing.sheets import Draw, problem_in_words
from catalogue.site.stored_files import delete_unnamed, named_by

KEPT_DAYS = 30
TELL_EVERY = 0.5  # s between two notes of progress
TOO_LONG = timedelta(minutes=30)

log = logging.getLogger(__name__)


def drawer(kind: str) -> Draw:
    """What draws a kind of sheet, by ``settings.SHEET_KINDS``."""
    draw: Draw = import_string(settings.SHEET_KINDS[kind])
    return draw


def ask_for(
    owner: Member, kind: str, title: str, parameters: Mapping[str, Any], total: int
) -> Sheet:
    """A sheet that a task draws; one that was asked for alike and is not drawn yet is taken."""
    drawer(kind)
    waiting = Sheet.objects.filter(
        owner=owner,
        kind=kind,
        parameters=dict(parameters),
        state__in=[Sheet.State.WAITING, Sheet.State.DRAWING],
        made_at__gt=timezone.now() - TOO_LONG,
    ).first()
    if waiting is not None:
        return waiting
    sheet = Sheet.objects.create(
        owner=owner, kind=kind, title=title[:200], parameters=dict(parameters), total=total
    )
    transaction.on_commit(lambda: draw_sheet.enqueue(sheet.pk))
    return sheet


def drawn_before(owner: Member, kind: str, parameters: Mapping[str, Any]) -> Sheet | None:
    """The newest sheet like this that is drawn already: for what never changes."""
    ready = Sheet.objects.filter(owner=owner, kind=kind, state=Sheet.State.READY)
    return ready.filter(parameters=dict(parameters)).first()


@task()
def draw_sheet(pk: int) -> None:
    """Draw a sheet that was asked for; what goes wrong is said on its page."""
    sheet = Sheet.objects.select_related("owner").filter(pk=pk, file="").first()
    if sheet is None:
        return  # taken away meanwhile, or drawn already
    _note(pk, state=Sheet.State.DRAWING)
    name = ""
    try:
        pdf = drawer(sheet.kind)(sheet.owner, sheet.parameters, _Teller(pk))
        name = default_storage.save(f"sheets/{secrets.token_urlsafe(24)}.pdf", ContentFile(pdf))
    except SheetProblem as problem:
        _note(pk, state=Sheet.State.FAILED, message=problem_in_words(problem))
    except PrintingUnavailable as problem:
        _note(pk, state=Sheet.State.FAILED, message=str(problem))
    except ObjectDoesNotExist:
        gone = _("What it was to show is no longer there.")
        _note(pk, state=Sheet.State.FAILED, message=gone)
    except Exception:
        _note(pk, state=Sheet.State.FAILED, message=_unexpected())
        raise
    else:
        known = Sheet.objects.filter(pk=pk).update(state=Sheet.State.READY, file=name)
        if not known:
            default_storage.delete(name)


def _unexpected() -> str:
    return _("It could not be drawn. Ask for it again; if it fails again, tell your administrator.")


def _note(pk: int, **values: Any) -> None:
    Sheet.objects.filter(pk=pk).update(**values)


class _Teller:
    """Keeps how much is done, twice a second at most."""

    def __init__(self, pk: int) -> None:
        self.pk = pk
        self.told = 0.0

    def __call__(self, done: int, total: int) -> None:
        now = time.monotonic()
        if done == total or now - self.told >= TELL_EVERY:
            self.told = now
            _note(self.pk, done=done, total=total)


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
