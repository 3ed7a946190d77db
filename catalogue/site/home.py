"""The front page: what there is, and what to do next."""

from __future__ import annotations

from django.db.models import Count, Sum
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from catalogue import access
from catalogue.models import Holding

RECENT = 8


@require_safe
def home(request: HttpRequest) -> HttpResponse:
    held = access.own_holdings(request.user).filter(status=Holding.Status.HELD)
    counts = held.aggregate(records=Count("pk"), pieces=Sum("quantity"))
    recent = (
        access.own_holdings(request.user)
        .select_related("coin_type__denomination__currency", "coin_type__series__issuer", "issue")
        .prefetch_related("coin_type__faces")
        .order_by("-created_at", "-pk")[:RECENT]
    )
    context = {
        "records": counts["records"],
        "pieces": counts["pieces"] or 0,
        "recent": recent,
        "types_exist": access.visible_types(request.user).exists(),
        "may_propose": access.may_propose(request.user),
    }
    return render(request, "home.html", context)
