"""``manage.py remove_second_factor USERNAME``: for who lost both their device and their codes."""

from __future__ import annotations

from typing import Any

from django.core.management.base import CommandError

from catalogue.management.member_command import MemberCommand
from catalogue.members.door.notices import tell
from catalogue.members.door.second_factor import switch_off
from catalogue.models import Notice


class Command(MemberCommand):
    help = "Let a member sign in by password alone again; the member is told so."

    def handle(self, *args: Any, **options: Any) -> None:
        member = self.member(options["username"])
        if not switch_off(member):
            raise CommandError(f"{member.username} has no second factor.")
        tell(member, Notice.Kind.FACTOR, on_machine=True)
        self.stdout.write(f"{member.username} signs in by password alone now and is told so.")
