"""Places of a member: their tree with counts, removing one, taking one back."""

from __future__ import annotations

from dataclasses import dataclass, field

from django.db import transaction
from django.db.models import Count, F, Q, Sum
from django.utils import timezone

from catalogue import access
from catalogue.holdings.actions import settle_place
from catalogue.holdings.changes import note_holdings
from catalogue.members.requests import Viewer
from catalogue.models import Holding, Place


@dataclass
class Node:
    """A place, the pieces that lie in it itself, and what stands in it."""

    place: Place
    own: int = 0
    inner: list[Node] = field(default_factory=list)

    @property
    def pieces(self) -> int:
        """Pieces in it and in all that stands in it."""
        return self.own + sum(node.pieces for node in self.inner)


def place_tree(viewer: Viewer) -> list[Node]:
    """The viewer's places as a tree, each with its pieces; one query."""
    lying = Q(holdings__deleted_at__isnull=True, holdings__status__in=Holding.IN_HAND)
    rows = (
        access.owned(Place.objects.all(), viewer)
        .annotate(lying=Sum("holdings__quantity", filter=lying))
        .order_by("path", "pk")
    )
    nodes = {place.pk: Node(place, place.lying or 0) for place in rows}
    top: list[Node] = []
    for node in nodes.values():
        outer = nodes.get(node.place.within_id)
        (outer.inner if outer is not None else top).append(node)
    return top


def contents(place: Place) -> tuple[int, int]:
    """How many holdings lie in a place, and how many places stand in it, for a page."""
    found = Place.objects.filter(pk=place.pk).aggregate(
        holdings=Count("holdings", filter=Q(holdings__deleted_at__isnull=True), distinct=True),
        places=Count("contents", filter=Q(contents__deleted_at__isnull=True), distinct=True),
    )
    return found["holdings"], found["places"]


@transaction.atomic
def remove_place(place: Place) -> None:
    """Put a place into the bin; what lay or stood in it moves to where the place stood."""
    lying = Holding.objects.filter(place=place)
    moved = list(lying.values_list("pk", flat=True))
    lying.update(place=place.within, row_version=F("row_version") + 1, changed_at=timezone.now())
    for inner in Place.objects.filter(within=place):
        inner.within = place.within
        settle_place(inner)
    place.bin()
    note_holdings(moved)


@transaction.atomic
def place_back(place: Place) -> None:
    """Take a place out of the bin; it stands by itself if what it stood in is gone."""
    if place.within is not None and place.within.deleted_at is not None:
        place.within = None
    place.deleted_at = None
    settle_place(place)
