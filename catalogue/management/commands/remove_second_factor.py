"""``manage.py remove_second_factor USERNAME``: for who lost both their device and their codes."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from catalogue.members.door.notices import tell
from catalogue.members.door.second_factor import switch_off
from catalogue.models import Member, Notice


class Command(BaseCommand):
    help = "Let a member sign in by password alone again; the member is told so."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("username", help="the member's sign-in name")

    def handle(self, *args: Any, **options: Any) -> None:
        member = Member.objects.filter(username=options["username"]).first()
        if member is None:
            raise CommandError(f"No member has the sign-in name {options['username']}.")
        if not switch_off(member):
            raise CommandError(f"{member.username} has no second factor.")
        tell(member, Notice.Kind.FACTOR, on_machine=True)
        self.stdout.write(f"{member.username} signs in by password alone now and is told so.")
