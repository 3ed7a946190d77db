"""The page that sums up what a member's collection is worth."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_safe

from catalogue.members.requests import MemberRequest
from valuation.estimates.chart import chart
from valuation.estimates.collection import GROUPS, Held, collection, earlier_days, history
from valuation.estimates.forms import AsOfForm
from valuation.estimates.words import rate_in_words
from valuation.estimates.worth import tally

PER_PAGE = 50
GROUP_LABELS = {"country": _("By country"), "series": _("By series"), "metal": _("By metal")}
SORTS: dict[str, Any] = {
    "worth": (_("Dearest first"), lambda h: (h.total is None, -(h.total or 0))),
    "oldest": (_("Oldest values first"), lambda h: (h.worth is None, _valued_on(h))),
    "number": (_("By accession number"), lambda h: h.holding.accession),
    "unknown": (_("Without a value"), lambda h: h.holding.accession),
}


@dataclass(frozen=True)
class SourceAge:
    """A source that values of the collection come from, and how old they are."""

    name: str
    oldest: date
    newest: date
    pieces: int
    amount: Decimal
    old: int


@require_safe
def worth_page(request: MemberRequest) -> HttpResponse:
    today = timezone.localdate()
    viewer = request.user
    form = AsOfForm(
        {
            "as_of": request.GET.get("as_of") or today,
            "currency": request.GET.get("currency") or viewer.currency,
        },
        viewer=viewer,
    )
    as_of, currency = today, viewer.currency
    if form.is_valid():
        as_of, currency = form.cleaned_data["as_of"], form.cleaned_data["currency"]
    held = collection(viewer, currency, as_of)
    past = history(viewer, currency, earlier_days(as_of))
    by = _one_of(GROUPS, request.GET.get("by"))
    sort = _one_of(SORTS, request.GET.get("sort"))
    everything = tally((None, h.pieces, h.total) for h in held)
    context = {
        "form": form,
        "as_of": as_of,
        "currency": currency,
        "held": held,
        "sum": everything[0] if everything else None,
        "no_rate": sum(h.pieces for h in held if h.worth is not None and h.total is None),
        "groups": tally((GROUPS[by](h), h.pieces, h.total) for h in held),
        "by": by,
        "group_labels": GROUP_LABELS,
        "sort": sort,
        "sorts": {key: label for key, (label, _key) in SORTS.items()},
        "page": Paginator(_sorted(held, sort), PER_PAGE).get_page(request.GET.get("page")),
        "sources": source_ages(held),
        "rates": sorted({rate_in_words(h.worth.converted) for h in held if h.worth} - {""}),
        "history": past,
        "chart": chart(past, 640, 160),
    }
    return render(request, "valuation/worth.html", context)


def source_ages(held: list[Held]) -> list[SourceAge]:
    """Each source the values come from, the one most relied on first."""
    by_source: dict[str, list[Held]] = {}
    for h in held:
        if h.worth is not None and h.total is not None:
            by_source.setdefault(h.worth.value.source, []).append(h)
    ages = [
        SourceAge(
            name,
            min(_valued_on(h) for h in rows),
            max(_valued_on(h) for h in rows),
            sum(h.pieces for h in rows),
            sum((h.total for h in rows if h.total is not None), Decimal("0.00")),
            sum(h.pieces for h in rows if h.old),
        )
        for name, rows in by_source.items()
    ]
    return sorted(ages, key=lambda age: -age.amount)


def _one_of(known: dict[str, Any], asked: str | None) -> str:
    """The key asked for, or the first one."""
    return asked if asked in known else next(iter(known))


def _sorted(held: list[Held], sort: str) -> list[Held]:
    if sort == "unknown":
        held = [h for h in held if h.worth is None]
    return sorted(held, key=SORTS[sort][1])


def _valued_on(held: Held) -> date:
    return date.max if held.worth is None else held.worth.value.on
