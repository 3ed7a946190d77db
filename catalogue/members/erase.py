"""Erasing a member: their records, the files that only they named, and their sessions.

What they entered in the shared catalogue (types, values at a grade from a shared source) stays,
without their name.
"""

from __future__ import annotations

from itertools import chain

from axes.models import AccessAttempt, AccessFailureLog, AccessLog
from django.db import transaction

from catalogue.members.door.devices import end_sessions
from catalogue.members.models import Member
from catalogue.members.records import member_data
from catalogue.members.roles import keep_an_administrator
from catalogue.site.stored_files import delete_unnamed, named_by, names_files


@transaction.atomic
def erase_member(member: Member) -> None:
    """Remove every trace of a member; raises LastAdministrator when nobody could keep the site.

    All or nothing in the database; the files go once that is committed.
    """
    keep_an_administrator(member)
    named = named_by(
        chain.from_iterable(
            table.rows.iterator()
            for part in member_data()
            for table in part.tables(member)
            if names_files(table.rows.model)
        )
    )
    for part in member_data():
        part.before_erase(member)
    for attempts in (AccessAttempt, AccessFailureLog, AccessLog):
        attempts.objects.filter(username=member.username).delete()
    end_sessions(member)
    member.delete()
    transaction.on_commit(lambda: delete_unnamed(named))
