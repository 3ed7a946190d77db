"""Browsing the holdings: as a plate, a list or date runs, with facets."""

from __future__ import annotations

from typing import Any

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from catalogue import access
from catalogue.extensions import holding_extensions
from catalogue.holdings.browse.chips import chips
from catalogue.holdings.browse.plate_size import plate_scale
from catalogue.holdings.browse.plates import (
    MOST_GAPS,
    TYPES_A_PAGE,
    date_runs,
    dates_asked,
    missing_of,
    plate_rows,
    trimmed_faces,
)
from catalogue.holdings.browse.results import Browse
from catalogue.holdings.piece.views import SIDES, card_context
from catalogue.identifying.ranked_again import news_for
from catalogue.members.requests import MemberRequest, Viewer
from catalogue.models import Holding
from series.models import CoinType


@require_safe
def holdings(request: MemberRequest) -> HttpResponse:
    """The holdings found, as a plate, a list or date runs, with facets."""
    browse = Browse(request.GET, request.user)
    facets = browse.facets()
    context: dict[str, Any] = {"browse": browse, "page": browse.page}
    context |= {"facets": facets, "chips": chips(browse, facets)}
    context["news"] = news_for(request.user)
    dates = dates_asked(browse)
    gaps = None if dates is None else missing_of(dates, request.user)
    if dates is not None and gaps is not None:
        context["gap_count"] = gaps.count()
        context["date_count"] = dates.count()
        context["dates_held"] = context["date_count"] - context["gap_count"]
        context["gaps_shown"] = request.GET.get("gaps") == "1"
        context["gaps_address"] = browse.address(gaps=None if context["gaps_shown"] else 1)
    if browse.view == "dates":
        context |= _runs(browse)
    else:
        if browse.view == "plate":
            shown = gaps[:MOST_GAPS] if gaps is not None and context["gaps_shown"] else ()
            rows = plate_rows(browse.holdings, shown)
            context["rows"] = rows
            context |= plate_scale(request, rows) | _aside(request, browse)
        else:
            context["table"] = table_of(browse.holdings, request.user)
    return render(request, "holdings/browse.html", context)


def _aside(request: MemberRequest, browse: Browse) -> dict[str, Any]:
    """The piece shown beside the plate: the one asked for, else the first."""
    asked = request.GET.get("piece", "")
    chosen = next((h for h in browse.holdings if str(h.pk) == asked), None)
    first = chosen or (browse.holdings[0] if browse.holdings else None)
    if first is None:
        return {}
    return {"piece": first, "piece_asked": chosen is not None, **card_context(request, first)}


def table_of(holdings: list[Holding], viewer: Viewer) -> dict[str, Any]:
    """The list view: the columns that extensions add, and their cells by holding."""
    own = [h for h in holdings if access.may_see_private(viewer, h)]
    columns = []
    for extension in holding_extensions():
        cells = extension.cells(own if extension.own_only else holdings, viewer)
        columns.append({"label": extension.label, "cells": cells, "key": extension.key})
    pictures = trimmed_faces(holdings)
    rows = [
        {
            "holding": holding,
            "faces": [(side, pictures.get((holding.pk, side), "")) for side in SIDES],
            "own": access.may_see_private(viewer, holding),
            "cells": [column["cells"].get(holding.pk, "") for column in columns],
        }
        for holding in holdings
    ]
    return {"columns": columns, "rows": rows, "any_own": bool(own)}


def _runs(browse: Browse) -> dict[str, Any]:
    found = browse.queryset().filter(coin_type__isnull=False)
    types = (
        CoinType.objects.filter(pk__in=found.order_by().values("coin_type"))
        .order_by(
            "series__issuer__name",
            "series__first_year",
            "denomination__sort_value",
            "first_year",
            "pk",
        )
        .only("pk")
    )
    page = Paginator(types, TYPES_A_PAGE).get_page(browse.page_number)
    held = found.select_related("owner")
    return {"runs": date_runs(page.object_list, held), "page": page}
