"""One-time links: an invitation to join, or a new password. Only a hash of the token is kept."""

from __future__ import annotations

import logging
from datetime import timedelta
from smtplib import SMTPException
from typing import Any

from axes.utils import reset as forget_failed_attempts
from django.conf import settings
from django.core.mail import send_mail
from django.db import transaction
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django_tasks import task

from catalogue.members.door.devices import forget_everywhere
from catalogue.members.door.slowing import LINKS_TO, NAME, HeldBack, let_go, take
from catalogue.members.models import HandedLink, Member, hash_token, new_token

LINK_DAYS = 7

log = logging.getLogger(__name__)


class LinkUsedUp(Exception):
    """The link was used meanwhile, or its time is over."""


def make_invitation(made_by: Member | None, role: str, email: str = "") -> str:
    """A new invitation; returns its token, which is kept nowhere."""
    return _make(HandedLink.Kind.INVITATION, made_by, email, role=role)


def _make(kind: HandedLink.Kind, made_by: Member | None, email: str, **of: Any) -> str:
    token = new_token()
    expires = timezone.now() + timedelta(days=LINK_DAYS)
    HandedLink.objects.create(
        kind=kind,
        token_hash=hash_token(token),
        email=email,
        made_by=made_by,
        expires_at=expires,
        **of,
    )
    return token


@transaction.atomic
def make_reset(member: Member, made_by: Member | None = None) -> str:
    """A link to a new password; returns its token.

    Earlier links of the member end, except that one asked for by mail (``made_by`` None) leaves
    one that an administrator handed over alone: anybody may ask.
    """
    earlier = HandedLink.objects.filter(member=member, kind=HandedLink.Kind.RESET, used_at=None)
    if made_by is None:
        earlier = earlier.filter(made_by=None)
    earlier.delete()
    return _make(HandedLink.Kind.RESET, made_by, member.email, member=member)


def link_address(token: str) -> str:
    """The whole address of a link, by the site's one address."""
    return f"{settings.SITE_ADDRESS}{reverse('handed-link', args=[token])}"


def find_link(token: str) -> HandedLink | None:
    """The link of a token, when it can still be used."""
    link = (
        HandedLink.objects.select_related("member", "made_by")
        .filter(token_hash=hash_token(token))
        .first()
    )
    if link is None or not link.usable:
        return None
    if link.kind == HandedLink.Kind.RESET and (link.member is None or not link.member.is_active):
        return None
    return link


def use_link(link: HandedLink) -> None:
    """Mark the link as used, once; within a transaction. Raises LinkUsedUp."""
    now = timezone.now()
    taken = HandedLink.objects.filter(pk=link.pk, used_at=None, expires_at__gt=now)
    if not taken.update(used_at=now):
        raise LinkUsedUp


@transaction.atomic
def join(link: HandedLink, member: Member) -> None:
    """Save the new member whom the invitation brings, with the role it gives."""
    use_link(link)
    member.role = link.role
    member.save()
    HandedLink.objects.filter(pk=link.pk).update(member=member)


@transaction.atomic
def set_new_password(link: HandedLink, member: Member) -> None:
    """Save the member, whose new password is set.

    Other links end, and so does being signed in anywhere; sign-in is not held back.
    """
    use_link(link)
    HandedLink.objects.filter(member=member, kind=HandedLink.Kind.RESET, used_at=None).delete()
    member.save(update_fields=["password"])
    forget_everywhere(member)
    forget_failed_attempts(username=member.username)
    let_go(NAME, member.username)


def mail_link(kind: str, email: str, token: str, member: Member | None = None) -> bool:
    """Mail a link when mail is set up; False when it is not, or the mail was not taken."""
    if not settings.MAIL_GIVEN or not email:
        return False
    context = {
        "address": link_address(token),
        "site": settings.SITE_ADDRESS,
        "member": member,
        "days": LINK_DAYS,
    }
    invitation = kind == HandedLink.Kind.INVITATION
    subject = _("Join our coin catalogue") if invitation else _("A new password for Exergue")
    try:
        send_mail(subject, render_to_string(f"members/mail/{kind}.txt", context), None, [email])
    except (SMTPException, OSError):
        log.exception("a mail was not taken by the mail server")
        return False
    return True


@task()
def mail_resets(email: str) -> int:
    """Mail a link to every member with this address; returns how many.

    Runs as a task whether the address is known or not, so that the asking page takes the same
    time for both. Who was mailed one lately is not mailed again, and waits longer each time.
    """
    mailed = 0
    for member in Member.objects.filter(email__iexact=email, is_active=True):
        try:
            take(LINKS_TO, member.pk)
        except HeldBack:
            continue
        if mail_link(HandedLink.Kind.RESET, member.email, make_reset(member), member):
            mailed += 1
    return mailed
