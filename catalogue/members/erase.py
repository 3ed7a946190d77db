"""Erasing a member: their records, the files that only they named, and every trace beside them.

What they entered in the shared catalogue (types, values at a grade from a shared source) stays,
without their name; :func:`remains_of` says what stays and why.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import chain

from axes.models import AccessAttempt, AccessFailureLog, AccessLog
from django.db import transaction
from django.db.models import Q
from django_tasks import TaskResultStatus
from django_tasks_db.models import DBTaskResult

from catalogue.backup import erased, shelf
from catalogue.members.door.devices import end_sessions
from catalogue.members.member_data import member_data
from catalogue.members.models import HandedLink, Member
from catalogue.members.remains import always_remains, in_backups
from catalogue.members.roles import keep_an_administrator
from catalogue.models import Alteration, Deed, Reservation
from catalogue.site.kept_files import forget_kept
from catalogue.site.overwriting import make_due, overwrite_if_due
from catalogue.site.stored_files import (
    Named,
    delete_left_uploads,
    delete_unnamed,
    named_by,
    names_files,
)


def remains_of(member: Member) -> list[str]:
    """What stays and why, in sentences: first of the member's own records, then in general."""
    own = [line for part in member_data() for line in part.remains(member)]
    return [*own, *in_backups(shelf.holding(member)), *always_remains()]


def erase_member(member: Member) -> None:
    """Remove every trace of a member; raises LastAdministrator when nobody could keep the site.

    All or nothing in the database; once that is committed the files go, and the database's own
    file is written without what was deleted.
    """
    with transaction.atomic():
        keep_an_administrator(member)
        named = _files_named(member)
        erased.note(member)
        erase_rows(member)
        make_due()
        transaction.on_commit(erased.write_down)
        transaction.on_commit(shelf.forget_left)
        transaction.on_commit(lambda: delete_unnamed(named))
        transaction.on_commit(delete_left_uploads)
        transaction.on_commit(forget_kept)
        transaction.on_commit(overwrite_if_due)


def erase_rows(member: Member) -> None:
    """What of it is in the database; within a transaction."""
    for part in member_data():
        part.before_erase(member)
    for forget in LOOSE_ENDS:
        forget(member)
    member.delete()


def _files_named(member: Member) -> Named:
    return named_by(
        chain.from_iterable(
            table.rows.iterator()
            for part in member_data()
            for table in part.tables(member)
            if names_files(table.rows.model)
        )
    )


# ---- what no row of theirs leads to ----
def _attempts(member: Member) -> None:
    """Failed sign-ins under their name or address, however it was written."""
    theirs = Q(username__iexact=member.username)
    if member.email:
        theirs |= Q(username__iexact=member.email)
    for attempts in (AccessAttempt, AccessFailureLog, AccessLog):
        attempts.objects.filter(theirs).delete()


def _invitations(member: Member) -> None:
    """Links to join that were made for their address and never used."""
    if member.email:
        HandedLink.objects.filter(member=None, email__iexact=member.email).delete()


def _letters_about_proposals(member: Member) -> None:
    """What they and the curators wrote to each other about types that stay."""
    member.proposals.update(note="", answer="")


def _tasks(member: Member) -> None:
    """Tasks that are done, since their errors may hold anything; of the others, their address."""
    DBTaskResult.objects.finished().delete()
    for task in DBTaskResult.objects.all() if member.email else ():
        if member.email.casefold() not in str(task.args_kwargs).casefold():
            continue
        rows = DBTaskResult.objects.filter(pk=task.pk)
        rows.filter(status=TaskResultStatus.READY).delete()
        rows.update(args_kwargs={"args": [""], "kwargs": {}})  # of one that is being done


def _deeds(member: Member) -> None:
    """What was done to their records alone; of what they did to others' the words."""
    theirs = Q(owner=member) | Q(holding__owner=member)
    of_theirs = Alteration.objects.filter(theirs).values("deed")
    of_others = Alteration.objects.exclude(theirs).values("deed")
    done = Deed.objects.filter(Q(pk__in=of_theirs) | Q(by=member))
    done.exclude(pk__in=of_others).delete()
    Deed.objects.filter(by=member).update(why="", back_at="")
    promised = Q(before__wanted_by=member.pk) | Q(after__wanted_by=member.pk)
    Alteration.objects.filter(promised, row=Reservation._meta.label_lower).delete()


LOOSE_ENDS: tuple[Callable[[Member], None], ...] = (
    _attempts,
    _deeds,
    _invitations,
    _letters_about_proposals,
    _tasks,
    end_sessions,
)
