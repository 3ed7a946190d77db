"""The talk of the demo: what its first member says of the marl and of the money after it."""

from __future__ import annotations

from urllib.parse import urlencode

from django.db import transaction

from catalogue.demo.scenario import TALKED_OF, Say
from catalogue.models import Member, Talk
from catalogue.talks import proposing
from catalogue.talks.changing import put_in
from catalogue.talks.drafting import draft
from catalogue.talks.proposing import Line
from series.models import Series

TITLE = "A marl, and what it became"
MINUTES = 25


def build(passwords: dict[str, str], say: Say) -> None:
    """A talk down the ladder, with the values that its speaker does not hold."""
    owner = Member.objects.get(username="marit")
    series = Series.objects.filter(key__in=TALKED_OF).order_by("first_year")
    query = urlencode([("series", each.pk) for each in series])
    lines = proposing.lines_of(owner, query)
    lines += [Line(each.pk) for each in proposing.missing(owner, query)]
    talk = Talk(owner=owner, title=TITLE, given_by=owner.name, minutes=MINUTES)
    with transaction.atomic():
        talk.save()
        put_in(talk, proposing.stops_for(lines, "ladder", with_openings=True))
        draft(talk)
    say(f"A talk of {talk.stops.count()} stops made.")
