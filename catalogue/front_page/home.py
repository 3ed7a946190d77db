"""The front page: what there is, and what to do next."""

from __future__ import annotations

from typing import Any

from django.db.models import Prefetch
from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from catalogue import access
from catalogue.backup.news import news_for as news_of_backups
from catalogue.front_page.to_do import own_counts, to_do
from catalogue.holdings.browse.plates import Piece, trimmed_pictures
from catalogue.holdings.browse.searches.saved import kept_searches
from catalogue.identifying.ranked_again import news_for
from catalogue.members.door.notices import notices_for
from catalogue.members.requests import MemberRequest
from catalogue.models import Aim, Member, Proposal
from catalogue.wants.remembered import kept_completion
from series.types.queries import shown_types

RECENT = 12
AIMS = 3
SEARCHES = 8


@require_safe
def home(request: MemberRequest) -> HttpResponse:
    """One's own collection; the queries grow with aims and saved searches, not with pieces."""
    member = request.user
    recent = _recent(member)
    context: dict[str, Any] = {
        "recent": recent,
        "backup": news_of_backups(member),
        "waiting": _proposals_waiting(member),
        "news": news_for(member),
        "notices": notices_for(member),
    }
    if recent:
        aims = [(aim, kept_completion(aim)) for aim in Aim.objects.filter(owner=member)[:AIMS]]
        own = own_counts(member)
        context |= {
            "aims": aims,
            "records": own.total,
            "pieces": own.pieces,
            "spares": own.counts["spare"].get("yes", 0),
            "to_do": to_do(member, own, aims),
            "kept": kept_searches(member, SEARCHES),
        }
    else:
        context |= {
            "types_exist": access.visible_types(member).exists(),
            "may_invite": access.may_keep_members(member),
            "may_load_packs": access.may_curate(member),
        }
    return render(request, "home.html", context)


def _recent(member: Member) -> list[Piece]:
    newest = (
        access.own_holdings(member)
        .defer("search_text", "own_text")
        .prefetch_related("issue", Prefetch("coin_type", shown_types()))
        .order_by("-created_at", "-pk")[:RECENT]
    )
    holdings = list(newest)
    pictures = trimmed_pictures(holdings)
    return [Piece(h.coin_type, h, picture=pictures.get(h.pk, "")) for h in holdings]


def _proposals_waiting(member: Member) -> int:
    """For those who decide on them: how many proposed types wait."""
    if not access.may_curate(member):
        return 0
    return Proposal.objects.filter(state=Proposal.State.WAITING).count()
