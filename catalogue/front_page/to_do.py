"""What is worth doing next with one's own pieces: a count each, and where exactly they are."""

from __future__ import annotations

from datetime import timedelta
from typing import Any
from urllib.parse import urlencode

from django.db.models import Count, Q
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from catalogue import access
from catalogue.extensions import ToDo, holding_extensions
from catalogue.holdings.facets import PRIVATE
from catalogue.holdings.search.columns import Result, Search
from catalogue.holdings.search.index import store
from catalogue.models import Aim, Holding, Member
from catalogue.wants.gaps import Completion

NEARLY = 75  # per cent of an aim
LONG = timedelta(days=60)  # a promise that waits


def own_counts(member: Member) -> Result:
    """How many holdings a member has, and what they lack, from the columns in memory."""
    search = Search(
        access.visible_row(member),
        member.pk,
        {"owner": frozenset({member.pk}), "status": frozenset(Holding.IN_HAND)},
        private_facets=PRIVATE,
    )
    return store().query(search, ("country", "photo", "place", "spare", "status"), limit=0)


def to_do(member: Member, own: Result, aims: list[tuple[Aim, Completion]]) -> list[ToDo]:
    """The lines of the front page, what is most worth doing first; nothing that is nought."""
    lines = [*_promised(member), *_lacking(member, own), *_nearly(aims)]
    for extension in holding_extensions():
        lines += extension.to_do(member)
    return sorted((line for line in lines if line.count), key=lambda line: line.place)


def _promised(member: Member) -> list[ToDo]:
    waiting = access.reservations_of(member).filter(holding__owner=member)
    long = Q(made_at__lt=timezone.now() - LONG)
    found = waiting.aggregate(all=Count("pk"), long=Count("pk", filter=long))
    text = ngettext("promised spare to hand over", "promised spares to hand over", found["all"])
    since = found["long"]
    note = ngettext("%(n)d for two months or more", "%(n)d for two months or more", since)
    return [ToDo(10, found["all"], text, reverse("wants"), note % {"n": since} if since else "")]


def _lacking(member: Member, own: Result) -> list[ToDo]:
    def where(**choice: str) -> str:
        return f"{reverse('holdings')}?{urlencode({'owner': member.pk, **choice})}"

    unknown = own.counts["country"].get(None, 0)
    bare = own.counts["photo"].get("no", 0)
    loose = own.counts["place"].get(None, 0)
    lent = own.counts["status"].get(Holding.Status.ON_LOAN, 0)
    return [
        ToDo(20, unknown, _("unidentified"), where(country="none")),
        ToDo(40, bare, _("without a picture"), where(photo="no")),
        ToDo(35, lent, _("on loan"), where(status=Holding.Status.ON_LOAN)),
        # Who keeps no places at all has nothing to put away.
        ToDo(50, loose if loose < own.total else 0, _("without a place"), where(place="none")),
    ]


def _nearly(aims: list[tuple[Any, Completion]]) -> list[ToDo]:
    return [
        ToDo(
            30,
            done.gaps,
            ngettext("still missing of %(aim)s", "still missing of %(aim)s", done.gaps)
            % {"aim": aim.name},
            aim.get_absolute_url(),
            _("%(percent)d %% held") % {"percent": done.percent},
        )
        for aim, done in aims
        if done.percent >= NEARLY
    ]
