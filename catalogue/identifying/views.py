"""What is this coin? The page that ranks the types a piece may be, as it is described."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.cache import patch_vary_headers
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_safe

from catalogue.access import visible_types
from catalogue.holdings.requested import own_holding
from catalogue.identifying.address import Asked, read_address
from catalogue.identifying.by_size import by_size
from catalogue.identifying.chances import limits_in_words
from catalogue.identifying.comparing import compare
from catalogue.identifying.forms import IdentifyForm, suggestions
from catalogue.identifying.keep_views import pk_from
from catalogue.identifying.shown_answer import (
    none_leads,
    only_date,
    readings_of,
    rows_of,
    scale_of,
    shows_the_date,
    summary_of,
    worth_showing,
)
from catalogue.identifying.tables import current_table, eligible
from catalogue.members.requests import MemberRequest
from catalogue.models import Holding
from series.identifying.evidence import Evidence
from series.identifying.looks import TOOLS
from series.identifying.ranking import identify
from series.identifying.table import TypeTable
from series.measuring.weighing import CAUTIONS
from series.models import CoinType
from series.types.queries import with_design

TOP = 8
FIRST_LOOKS = 3
COMPARED_PX, COMPARED_SCALE = 190, 6.5
TOOL_NAMES = {
    "ruler": _("a ruler"),
    "calliper": _("a calliper"),
    "scale": _("a scale"),
    "magnet": _("a magnet"),
    "loupe": _("a loupe"),
    "water": _("a fine scale and a glass of water"),
}


@require_safe
def identify_page(request: MemberRequest) -> HttpResponse:
    """The form and the ranking; to htmx the ranking and the messages alone."""
    holding = _holding(request)
    if holding is not None and holding.coin_type_id is not None:
        return redirect(holding)
    table = current_table()
    what = read_address(request, holding)
    form = IdentifyForm(what.texts, what.errors)
    context = _answered(request, table, what) | {"form": form}
    if request.htmx and not request.htmx.history_restore_request:
        response = render(request, "identifying/_answered.html", context)
        response["HX-Replace-Url"] = _address(what)
    else:
        context |= _around(table, what, form)
        response = render(request, "identifying/identify.html", context)
    patch_vary_headers(response, ["HX-Request"])
    return response


def _address(what: Asked) -> str:
    return reverse("identify") + (f"?{what.address}" if what.address else "")


def _answered(request: MemberRequest, table: TypeTable, what: Asked) -> dict[str, Any]:
    """The ranking and what stands beside it. A constant number of queries."""
    evidence = what.evidence
    answer = identify(
        table, evidence, eligible=eligible(table, request.user), top=TOP, tools=what.tools
    )
    candidates = worth_showing(answer.candidates) if evidence.given else []
    if only_date(evidence):
        candidates = [each for each in candidates if shows_the_date(each)]
    rows = rows_of(candidates)
    shown = sum(row.candidate.probability for row in rows)
    return {
        "asked": what,
        "evidence": evidence,
        "answer": answer,
        "empty_records": not len(table),
        "rows": rows,
        "others": max(0.0, 1 - answer.none_of_these - shown),
        "none_leads": bool(rows) and none_leads(answer),
        **_sizes([row.coin_type for row in rows], evidence),
        "only_date": only_date(evidence),
        "unborne": only_date(evidence) and not rows,
        "readings": readings_of(evidence, rows),
        "by_size": by_size(evidence),
        "summary": summary_of(answer, rows, evidence, len(what.errors)),
        "first_looks": answer.looks[:FIRST_LOOKS],
        "limits": limits_in_words(),
    }


def _around(table: TypeTable, what: Asked, form: IdentifyForm) -> dict[str, Any]:
    return {
        "groups": form.groups(first_visit=not what.texts),
        "tools": [(tool, TOOL_NAMES[tool], tool in what.tools) for tool in TOOLS],
        "cautions": CAUTIONS,
        **suggestions(table),
    }


@require_safe
def identify_compare(request: MemberRequest) -> HttpResponse:
    """Two candidates side by side: ``a`` and ``b``, or the two ticked as ``of``."""
    what = read_address(request, _holding(request))
    keys = [request.GET.get("a", ""), request.GET.get("b", "")]
    if not any(keys):
        keys = request.GET.getlist("of")
    context: dict[str, Any] = {"asked": what, "evidence": what.evidence}
    context["back"] = _address(what)
    if len(set(keys)) == len(keys) == 2 and all(keys):
        context |= _side_by_side(request, what, keys)
    return render(request, "identifying/compare.html", context)


def _side_by_side(request: MemberRequest, what: Asked, keys: list[str]) -> dict[str, Any]:
    """A constant number of queries. Raises Http404 for a key the viewer may not see."""
    table = current_table()
    types = visible_types(request.user).select_related("series__issuer", "denomination")
    found = {each.key: each for each in with_design(types.filter(key__in=keys))}
    if any(key not in found or found[key].pk not in table.numbers for key in keys):
        raise Http404
    one, other = (found[key] for key in keys)
    compared = compare(
        table,
        what.evidence,
        (one, other),
        visible=eligible(table, request.user),
        tools=what.tools,
    )
    how = {"largest_px": COMPARED_PX, "most": COMPARED_SCALE}
    return {"compared": compared, **_sizes([one, other], what.evidence, **how)}


def _sizes(types: list[CoinType], evidence: Evidence, **how: float) -> dict[str, Any]:
    """The measured diameter, and the one scale at which all of it is drawn."""
    measured = evidence.diameter.value if evidence.diameter else None
    scale, room = scale_of(types, measured, **how)
    return {"measured": measured, "scale": scale, "room": room}


def _holding(request: MemberRequest) -> Holding | None:
    """The piece that is being ranked again, if the address names one of the viewer's own."""
    number = request.GET.get("holding", "")
    return own_holding(request, pk_from(number)) if number else None
