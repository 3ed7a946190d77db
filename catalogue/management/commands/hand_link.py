"""``manage.py hand_link USERNAME``: a link with which a member sets a new password."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.management.base import CommandError

from catalogue.management.member_command import MemberCommand
from catalogue.members.door.notices import tell
from catalogue.members.links import LINK_DAYS, link_address, make_reset
from catalogue.models import Notice
from catalogue.site.served_at import NOT_SERVED, believe_the_server


class Command(MemberCommand):
    help = "Print a link with which a member sets a new password; earlier ones end."

    def handle(self, *args: Any, **options: Any) -> None:
        member = self.member(options["username"])
        if not member.is_active:
            raise CommandError(
                f"{member.username} may not sign in. An administrator can allow it on the club's "
                "page."
            )
        served = believe_the_server()
        tell(member, Notice.Kind.LINK, on_machine=True)
        self.stdout.write(
            f"For {member.username}; it works once, within {LINK_DAYS} days:\n"
            f"{link_address(make_reset(member, member))}"
        )
        if not served:
            self.stdout.write(NOT_SERVED.format(address=settings.SITE_ADDRESS))
