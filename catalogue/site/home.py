"""The front page: what there is, and what to do next."""

from __future__ import annotations

from typing import Any, cast

from django.db.models import Count, Q, Sum
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from catalogue import access
from catalogue.holdings.held import HELD
from catalogue.holdings.plates import Piece, trimmed_pictures
from catalogue.identifying.ranked import news_for
from catalogue.models import Member, Proposal
from catalogue.wants.gaps import completion, live_aims

RECENT = 12
AIMS = 3


@require_safe
def home(request: HttpRequest) -> HttpResponse:
    """Figures of one's own collection; a constant number of queries, no work for other pages."""
    member = cast(Member, request.user)
    recent = _recent(member)
    context: dict[str, Any] = {
        "recent": recent,
        "types_exist": access.visible_types(member).exists(),
        "waiting": _proposals_waiting(member),
        "news": news_for(member),
        "promised": access.reservations_of(member).count(),
    }
    if recent:
        aims = list(live_aims(member)[:AIMS])
        context["aims"] = [(aim, completion(aim)) for aim in aims]
        context |= _counts(member)
    return render(request, "home.html", context)


def _recent(member: Member) -> list[Piece]:
    newest = (
        access.own_holdings(member)
        .select_related("coin_type__denomination__currency", "coin_type__series__issuer", "issue")
        .prefetch_related("coin_type__faces")
        .order_by("-created_at", "-pk")[:RECENT]
    )
    holdings = list(newest)
    pictures = trimmed_pictures(holdings)
    return [Piece(h.coin_type, h, picture=pictures.get(h.pk, "")) for h in holdings]


def _counts(member: Member) -> dict[str, int]:
    held = access.own_holdings(member).filter(status__in=HELD)
    return held.aggregate(
        records=Count("pk"),
        pieces=Sum("quantity", default=0),
        spares=Count("pk", filter=Q(spare=True)),
        unidentified=Count("pk", filter=Q(coin_type__isnull=True)),
    )


def _proposals_waiting(member: Member) -> int:
    """For those who decide on them: how many proposed types wait."""
    if not access.may_curate(member):
        return 0
    return Proposal.objects.filter(state=Proposal.State.WAITING).count()
