"""``manage.py hand_link USERNAME``: a link with which a member sets a new password."""

from __future__ import annotations

from typing import Any

from django.core.management.base import CommandError

from catalogue.management.member_command import MemberCommand, link_words
from catalogue.members.door.notices import tell
from catalogue.models import Notice


class Command(MemberCommand):
    help = "Print a link with which a member sets a new password; earlier ones end."

    def handle(self, *args: Any, **options: Any) -> None:
        member = self.member(options["username"])
        if not member.is_active:
            raise CommandError(
                f"{member.username} may not sign in. An administrator can allow it on the club's "
                "page."
            )
        words = link_words(f"For {member.username}; it works once", member)
        tell(member, Notice.Kind.LINK, on_machine=True)
        self.stdout.write(words)
