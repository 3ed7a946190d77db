"""The base of commands about one member, who is named by their sign-in name."""

from __future__ import annotations

from argparse import ArgumentParser

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from catalogue.members.links import LINK_DAYS, link_address, make_reset
from catalogue.models import Member
from catalogue.site.served_at import NOT_SERVED, believe_the_server


def link_words(opening: str, member: Member) -> str:
    """A link with which a member sets a password, and what to do if the site is not served."""
    served = believe_the_server()
    link = link_address(make_reset(member, member))
    words = f"{opening}, within {LINK_DAYS} days:\n{link}"
    return words if served else f"{words}\n{NOT_SERVED.format(address=settings.SITE_ADDRESS)}"


class MemberCommand(BaseCommand):
    """Takes ``username``; :meth:`member` is that member, or a sentence ends the command."""

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("username", help="the member's sign-in name")

    def member(self, username: str) -> Member:
        found: Member | None = Member.objects.filter(username=username).first()
        if found is None:
            raise CommandError(f"No member has the sign-in name {username}.")
        return found
