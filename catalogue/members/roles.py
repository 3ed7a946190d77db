"""Roles and the right to sign in; the site always keeps one administrator who can sign in."""

from __future__ import annotations

from django.db import transaction

from catalogue.members.door.devices import end_sessions
from catalogue.members.models import Member


class LastAdministrator(Exception):
    """The change would leave the site without an administrator who can sign in."""


def keep_an_administrator(member: Member) -> None:
    """Raise LastAdministrator when no other administrator can sign in.

    Within a transaction: the administrators' rows are locked, so that two administrators cannot
    step down at the same moment.
    """
    administrators = set(
        Member.objects.select_for_update()
        .filter(role=Member.Role.ADMINISTRATOR, is_active=True)
        .values_list("pk", flat=True)
    )
    if administrators == {member.pk}:
        raise LastAdministrator


@transaction.atomic
def change_role(member: Member, role: str) -> None:
    if role != Member.Role.ADMINISTRATOR:
        keep_an_administrator(member)
    member.role = role
    member.save(update_fields=["role"])


@transaction.atomic
def let_sign_in(member: Member, allowed: bool) -> None:
    """Allow or stop a member's signing in; who is stopped is signed out everywhere at once."""
    if not allowed:
        keep_an_administrator(member)
        end_sessions(member)
    member.is_active = allowed
    member.save(update_fields=["is_active"])
