"""The page of one holding, and its card beside a plate."""

from __future__ import annotations

from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from catalogue import access
from catalogue.extensions import holding_extensions
from catalogue.history.life import life_of
from catalogue.holdings.piece.standards import NOT_A_GRADE, against_standard
from catalogue.identifying.evidence_of import evidence_lines, observation_of, texts_of
from catalogue.members.requests import MemberRequest
from catalogue.models import Holding
from catalogue.photos.queries import faces_of
from series.types.queries import shown_types

SIDES = ("obverse", "reverse")


def card_context(request: HttpRequest, holding: Holding) -> dict[str, Any]:
    """What the card of a holding beside a plate needs."""
    own = access.may_see_private(request.user, holding)
    return {
        "holding": holding,
        "own": own,
        "faces": _faces(holding),
        "panels": _panels(request, holding) if own else [],
    }


def _faces(holding: Holding) -> list[tuple[str, Any]]:
    """Obverse and reverse with the photograph of each, if there is one."""
    photos = faces_of([holding]).get(holding.pk, {})
    return [(side, photos.get(side)) for side in SIDES]


def _panels(request: HttpRequest, holding: Holding) -> list[dict[str, Any]]:
    return [
        {"template": e.panel, **e.panel_context(holding, request.user)}
        for e in holding_extensions()
    ]


@require_safe
def holding_card(request: MemberRequest, pk: int) -> HttpResponse:
    """The card alone, put beside a plate by the page's script."""
    holding = get_object_or_404(_with_type(access.visible_holdings(request.user)), pk=pk)
    context = card_context(request, holding) | {"piece": holding}
    return render(request, "holdings/_card.html", context)


def _with_type(queryset: Any) -> Any:
    types = shown_types().prefetch_related("faces__legends", "faces__motifs")
    along = ("owner", "place", "issue", "variety", "observation", "reservation__wanted_by")
    return queryset.select_related(*along).prefetch_related(Prefetch("coin_type", types))


@login_not_required
@require_safe
def holding(request: HttpRequest, pk: int) -> HttpResponse:
    """One holding: both faces, its data, worth, papers, what happened to it, neighbours."""
    seen = _with_type(access.visible_holdings(request.user)).prefetch_related("photos")
    found = get_object_or_404(seen, pk=pk)
    own = access.may_see_private(request.user, found)
    photos = list(found.photos.all())
    complaints = [c for e in holding_extensions() for c in e.check(found)] if own else []
    context = (
        card_context(request, found)
        | {
            "photos": photos,
            "own": own,
            "may_edit": access.may_edit_holding(request.user, found),
            "problems": list(found.problems.all()),
            "provenance": list(found.provenance.all()),
            "references": list(found.references.all()),
            "life": life_of(found, request.user) if own else None,
            "receipts": list(found.receipts.all()) if own else [],
            "neighbours": _neighbours(request, found),
            "complaints": complaints,
            "against_standard": against_standard(found),
            "not_a_grade": NOT_A_GRADE,
        }
        | _seen(request, found)
    )
    return render(request, "holdings/holding.html", context)


def _seen(request: HttpRequest, holding: Holding) -> dict[str, Any]:
    """The evidence kept with a piece; what it may be is for its owner, who may see that type."""
    observation = observation_of(holding)
    lines = evidence_lines(texts_of(holding)) if observation is not None else []
    likely = observation.likely_type if observation is not None else None
    seen = likely is not None and access.may_edit_holding(request.user, holding)
    if likely is None or not seen or not access.visible_types(request.user).contains(likely):
        observation = None
    return {"evidence": lines, "likely": observation}


def _neighbours(request: HttpRequest, holding: Holding) -> dict[str, Any]:
    """The pieces before and after it in its owner's collection, as the viewer may see it."""
    same = access.visible_holdings(request.user).filter(owner=holding.owner_id)
    named = same.only("accession")
    before = named.filter(accession__lt=holding.accession).order_by("-accession", "-pk").first()
    after = named.filter(accession__gt=holding.accession).order_by("accession", "pk").first()
    others = []
    if holding.coin_type_id is not None:
        others = list(
            same.filter(coin_type=holding.coin_type_id)
            .exclude(pk=holding.pk)
            .defer("search_text", "own_text")
            .select_related("issue")
            .order_by("issue__struck_from", "pk")[:12]
        )
        for other in others:
            other.coin_type = holding.coin_type
    return {"before": before, "after": after, "others": others}
