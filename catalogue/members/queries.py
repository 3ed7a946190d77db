"""Reads about members that pages share."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Count, QuerySet, Sum

from catalogue import access
from catalogue.members.requests import Viewer
from catalogue.models import HandedLink, Holding, Member


@dataclass(frozen=True)
class ClubLine:
    """A member as the club page shows them: how many records and pieces the viewer may see."""

    member: Member
    records: int
    pieces: int


def shown_holdings(viewer: Viewer) -> QuerySet[Holding]:
    """What the viewer may see of everybody's holdings, as far as they still hold it."""
    return access.visible_holdings(viewer).filter(status__in=Holding.IN_HAND)


def club(viewer: Viewer) -> list[ClubLine]:
    """Every member with what they show to the viewer; two queries."""
    counts = {
        owner: (records, pieces)
        for owner, records, pieces in shown_holdings(viewer)
        .order_by()
        .values_list("owner")
        .annotate(Count("pk"), Sum("quantity"))
    }
    return [ClubLine(m, *counts.get(m.pk, (0, 0))) for m in access.visible_members(viewer)]


def open_invitations() -> QuerySet[HandedLink]:
    """Invitations nobody has used yet and that have not ended."""
    return (
        HandedLink.objects.usable()
        .filter(kind=HandedLink.Kind.INVITATION)
        .select_related("made_by")
        .order_by("-made_at")
    )
