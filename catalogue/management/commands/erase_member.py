"""``manage.py erase_member USERNAME``: a member and all that is theirs, after saying what stays."""

from __future__ import annotations

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import CommandError

from catalogue.backup import shelf
from catalogue.management.member_command import MemberCommand
from catalogue.members.erase import erase_member, remains_of
from catalogue.members.mentions import mentions_left
from catalogue.members.roles import LastAdministrator
from catalogue.models import Member
from catalogue.site.overwriting import is_due


class Command(MemberCommand):
    help = (
        "Erase a member with everything of theirs, for good. First it says, as on their own page, "
        "what stays and why, and in which texts of others they are named."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        super().add_arguments(parser)
        parser.add_argument("--list", action="store_true", help="only say what stays")
        parser.add_argument("--yes", action="store_true", help="do not ask again")

    def handle(self, *args: Any, **options: Any) -> None:
        member = self.member(options["username"])
        self._say_what_stays(member)
        if options["list"]:
            return
        if not options["yes"] and input("Write the sign-in name again to erase: ") != str(
            member.username
        ):
            raise CommandError("This is another name. Nothing was erased.")
        try:
            erase_member(member)
        except LastAdministrator as error:
            raise CommandError(
                "This is the only administrator who can sign in. Make another member "
                "administrator first. Nothing was erased."
            ) from error
        self.stdout.write(f"{options['username']} is erased.")
        if is_due():
            self.stdout.write(
                "The database's file is in use or its disk full, so it is not overwritten yet. It "
                "is done once a day, or now by: python manage.py empty_bin"
            )

    def _say_what_stays(self, member: Member) -> None:
        self.stdout.write("What stays (“you” is the member):")
        for line in remains_of(member):
            self.stdout.write(f"- {line}")
        for made in shelf.holding(member):
            self.stdout.write(f"- Backup {made.short} of {made.made_at:%d %B %Y}: {made.path}")
        mentions = mentions_left(member)
        self.stdout.write("Texts that name them and stay:" if mentions else "No text names them.")
        for where, count in mentions:
            self.stdout.write(f"- {where}: {count}")
