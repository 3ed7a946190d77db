"""The base of commands about one member, who is named by their sign-in name."""

from __future__ import annotations

from argparse import ArgumentParser

from django.core.management.base import BaseCommand, CommandError

from catalogue.models import Member


class MemberCommand(BaseCommand):
    """Takes ``username``; :meth:`member` is that member, or a sentence ends the command."""

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("username", help="the member's sign-in name")

    def member(self, username: str) -> Member:
        found: Member | None = Member.objects.filter(username=username).first()
        if found is None:
            raise CommandError(f"No member has the sign-in name {username}.")
        return found
