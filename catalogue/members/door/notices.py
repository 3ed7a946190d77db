"""What a member is told of their sign-in: on the front page until put away, and by mail."""

from __future__ import annotations

import logging
import re
from functools import partial
from smtplib import SMTPException

from django.conf import settings
from django.core.mail import send_mail
from django.db import transaction
from django.template.loader import render_to_string
from django.utils.translation import gettext as _
from django_tasks import task

from catalogue.members.door.models import Notice
from catalogue.members.door.slowing import NOTICES_TO, HeldBack, take
from catalogue.members.models import Member

SHOWN = 20
_EMPTY_LINES = re.compile(r"\n\s*\n")
log = logging.getLogger(__name__)


def tell(
    member: Member,
    kind: Notice.Kind,
    *,
    by: Member | None = None,
    on_machine: bool = False,
    agent: str = "",
) -> None:
    """Tell a member what was done, and by which administrator; one's own doing is no news."""
    if by == member:
        return
    notice = Notice.objects.create(
        owner=member, kind=kind, by=by, on_machine=on_machine, agent=agent
    )
    if settings.MAIL_GIVEN and member.email:
        transaction.on_commit(partial(mail_notice.enqueue, notice.pk))


def notices_for(member: Member) -> list[Notice]:
    """What the member has not put away, the latest first."""
    return list(member.notices.select_related("by")[:SHOWN])


@task()
def mail_notice(pk: int) -> bool:
    """Mail a notice, unless it was put away meanwhile or its member got many; whether it was."""
    notice = Notice.objects.select_related("owner", "by").filter(pk=pk).first()
    if notice is None or not notice.owner.email:
        return False
    try:
        take(NOTICES_TO, notice.owner_id)
    except HeldBack:
        return False
    context = {"notice": notice, "site": settings.SITE_ADDRESS}
    text = _close_up(render_to_string("members/mail/notice.txt", context))
    return send(_("Your sign-in at Exergue"), text, notice.owner.email)


def send(subject: str, text: str, to: str) -> bool:
    """Send a mail; whether the mail server took it."""
    try:
        send_mail(subject, text, None, [to])
    except (SMTPException, OSError):
        log.exception("a mail was not taken by the mail server")
        return False
    return True


def _close_up(text: str) -> str:
    """Paragraphs with one empty line between them."""
    return _EMPTY_LINES.sub("\n\n", text).strip() + "\n"
