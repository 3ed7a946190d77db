"""``manage.py first_administrator NAME``: the member who then invites all others."""

from __future__ import annotations

import getpass
from argparse import ArgumentParser
from typing import Any

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

from catalogue.management.member_command import link_words
from catalogue.models import Member


class Command(BaseCommand):
    help = (
        "Make the first administrator, who then invites the others on the club's page. Prints a "
        "link with which they set their password; with --password it is asked for here."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("name", help="sign-in name")
        parser.add_argument("--email", default="", help="e-mail address")
        parser.add_argument(
            "--password", action="store_true", help="ask for the password here, make no link"
        )

    @transaction.atomic
    def handle(self, *args: Any, **options: Any) -> None:
        administrators = Member.objects.filter(role=Member.Role.ADMINISTRATOR, is_active=True)
        if administrators.exists():
            raise CommandError(
                "There is an administrator already: "
                f"{', '.join(administrators.values_list('username', flat=True))}. They invite "
                "others on the club's page; hand_link makes a new password for one who is lost."
            )
        member = Member(
            username=Member.normalize_username(options["name"]),
            email=options["email"],
            role=Member.Role.ADMINISTRATOR,
        )
        member.set_unusable_password()
        try:
            member.full_clean()
            if options["password"]:
                member.set_password(self._password(member))
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from error
        member.save()
        self.stdout.write(f"{member.username} is administrator.")
        if not options["password"]:
            opening = "Open this link to set the password. It works once"
            self.stdout.write(link_words(opening, member))

    def _password(self, member: Member) -> str:
        password = getpass.getpass("Password: ")
        if password != getpass.getpass("Once more: "):
            raise CommandError("The two passwords differ. Nothing was made.")
        validate_password(password, member)
        return password
