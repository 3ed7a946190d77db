"""Which pieces a page for others is about: what its saved choice finds, and what was picked."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Prefetch, Q, QuerySet
from django.http import QueryDict

from catalogue import access
from catalogue.holdings.browse.results import Browse
from catalogue.models import Holding, Member, Showing, ShownPiece
from catalogue.printing.selection import BY_COIN, chosen_holdings
from series.models import Face

FOLLOWED = (
    "country",
    "currency",
    "series",
    "denomination",
    "metal",
    "decade",
    "mint",
    "grade",
    "motif",
    "photo",
)
"""What a page may follow. Places, words and what befell a piece are private or of the day."""
MOST_PICKED = 500
_LAID_OUT = ("view", "sort", "page", "piece", "more", "gaps", "size", "owner")


@dataclass(frozen=True)
class Choice:
    """What an address of browsing asks for: ``query`` is what of it a page can follow.

    ``followable``: nothing in the address is left out of that.
    """

    query: str
    followable: bool


def choice_of(address: str, owner: Member) -> Choice:
    """The parameters of an address that a page may follow, checked and in a fixed order."""
    data = QueryDict(address)
    chosen = Browse(data, owner).chosen
    kept = QueryDict(mutable=True)
    for name in FOLLOWED:
        if name in data and chosen.get(name):
            kept.setlist(name, sorted(set(data.getlist(name))))
    asked = {name for name in data if any(data.getlist(name))} - set(_LAID_OUT)
    return Choice(kept.urlencode(), asked <= set(kept))


def matching(showing: Showing) -> QuerySet[Holding]:
    """What a page's saved choice finds today among its owner's pieces."""
    if not showing.follows:
        return Holding.objects.none()
    return chosen_holdings(showing.owner, showing.query)


def shown_pieces(showing: Showing) -> QuerySet[Holding]:
    """The pieces that others see on a page, in its order, with what is shown of them."""
    return _in_order(access.pieces_shown(showing, matching(showing)))


def pieces_of(showing: Showing) -> QuerySet[Holding]:
    """The pieces its owner may say something about: those shown, and those picked but hidden."""
    picked = ShownPiece.objects.filter(showing=showing, picked=True).values("holding")
    own = access.own_holdings(showing.owner)
    shown = access.pieces_shown(showing, matching(showing))
    return _in_order(own.filter(Q(pk__in=picked) | Q(pk__in=shown.order_by().values("pk"))))


def _in_order(pieces: QuerySet[Holding]) -> QuerySet[Holding]:
    return (
        pieces.select_related(
            "issue", "coin_type__denomination__currency", "coin_type__series__issuer"
        )
        .prefetch_related(Prefetch("coin_type__faces", queryset=Face.objects.order_by("side")))
        .order_by(*BY_COIN)
    )


def pick(showing: Showing, pieces: QuerySet[Holding]) -> int:
    """Pick pieces of the owner by hand, up to the most a page takes; how many were added."""
    picked = ShownPiece.objects.filter(showing=showing, picked=True)
    room = MOST_PICKED - picked.count()
    fresh = pieces.exclude(pk__in=picked.values("holding")).order_by("pk")
    added = list(fresh.values_list("pk", flat=True)[: max(0, room)])
    ShownPiece.objects.bulk_create(
        [ShownPiece(showing=showing, holding_id=pk, picked=True) for pk in added],
        update_conflicts=True,
        unique_fields=["showing", "holding"],
        update_fields=["picked"],
    )
    return len(added)
