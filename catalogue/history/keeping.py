"""Keeping what was changed: every row that a tracked model announces, under the deed it is part of.

A deed is what one request, or one ``with doing(...)``, changes. It is written with the first
change, in the same transaction, and again after a transaction that was undone.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.db import connection, transaction
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html
from django.utils.translation import gettext as _

from catalogue.history.models import Alteration, Deed
from catalogue.models import Holding, Member
from series.tracked import RowChange

HOLDING = Holding._meta.label_lower
_BATCH = 2000
_TICKS = 100_000  # in a second; with the bits below a number has 18 digits until 2279
_BY_LOT = 10  # bits of a number that are drawn, so that two deeds at one time differ


@dataclass
class Doing:
    """A deed that may come to change something; its number is taken when it does."""

    by: Callable[[], Member | None]
    why: str = ""
    takes_back: Deed | None = None
    back_at: str = ""
    number: int = 0
    at: datetime = field(default_factory=timezone.now)

    def deed(self) -> Deed:
        """The stored deed; within a transaction."""
        if not self.number:
            self.at = timezone.now()
            clock = int(self.at.timestamp() * _TICKS)
            self.number = (clock << _BY_LOT) + secrets.randbits(_BY_LOT)
        by = self.by()
        deed = Deed(
            pk=self.number,
            at=self.at,
            by=by,
            why=self.why[:300],
            takes_back=self.takes_back,
            back_at=self.back_at,
        )
        Deed.objects.bulk_create([deed], ignore_conflicts=True)
        return deed


_doing: ContextVar[Doing | None] = ContextVar("doing", default=None)


@contextmanager
def doing(
    by: Member | None, why: str = "", takes_back: Deed | None = None, back_at: str = ""
) -> Iterator[Doing]:
    """What is changed within is one deed of this member; ``why`` says it in a few words.

    ``back_at``: the address of the page where it is taken back, where it has one of its own.
    """
    now = Doing(lambda: by, why, takes_back, back_at)
    token = _doing.set(now)
    try:
        yield now
    finally:
        _doing.reset(token)


def may_be_taken_back(words: str, done: Doing) -> str:
    """A message of what was done, with the way to taking it back where anything was changed."""
    if not done.number:
        return words
    address = reverse("change", args=[done.number])
    return format_html('{} <a href="{}">{}</a>', words, address, _("Take this change back"))


def under_one_deed(get_response: Callable[[HttpRequest], HttpResponse]) -> Any:
    """Middleware: what a request changes is one deed of who is signed in."""

    def middleware(request: HttpRequest) -> HttpResponse:
        def by() -> Member | None:
            user = getattr(request, "user", None)
            return user if isinstance(user, Member) and user.is_authenticated else None

        token = _doing.set(Doing(by))
        try:
            return get_response(request)
        finally:
            _doing.reset(token)

    return middleware


@transaction.atomic(savepoint=False)
def keep(sender: Any, changes: list[RowChange], **_more: Any) -> None:
    """Listens to ``series.signals.rows_changed``."""
    deed = (_doing.get() or Doing(lambda: None)).deed()
    label = sender._meta.label_lower
    Alteration.objects.bulk_create(
        (_alteration(deed, label, change) for change in changes), batch_size=_BATCH
    )


def keep_of_pieces(laid: str, pieces: str, *, was: str, becomes: str) -> None:
    """Keep what is done to pieces by one statement, without announcing it.

    ``laid`` is the table (``l``) that says it, ``pieces`` the condition that joins it with the
    holdings (``h``), ``was`` and ``becomes`` what is kept of each, all as SQL. Within the
    transaction that does it.
    """
    deed = (_doing.get() or Doing(lambda: None)).deed()
    table, quoted = Alteration._meta.db_table, connection.ops.quote_name
    names = "deed_id", "subject", "row", "holding_id", "subject_id", "row_id", "before", "after"
    into = f"{quoted(table)} ({', '.join(map(quoted, names))})"
    with connection.cursor() as cursor:
        cursor.execute(
            f"INSERT INTO {into} SELECT %s, %s, %s, h.id, h.id, h.id, {was}, {becomes}"
            f" FROM {laid} l JOIN {quoted(Holding._meta.db_table)} h ON {pieces}",
            [deed.pk, HOLDING, HOLDING],
        )


def _alteration(deed: Deed, label: str, change: RowChange) -> Alteration:
    subject, subject_id = change.subject
    of_piece = subject == HOLDING
    return Alteration(
        deed=deed,
        holding_id=subject_id if of_piece else None,
        owner_id=None if of_piece else change.owner,
        subject=subject,
        subject_id=subject_id,
        row=label,
        row_id=change.pk,
        before=change.before,
        after=change.after,
    )
