"""What this app adds to the holdings' pages: a column, a sort, an export, a panel."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import timedelta
from typing import Any

from django.db.models import Count, Q, QuerySet
from django.http import Http404
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from catalogue import access
from catalogue.extensions import Happening, HoldingExtension, ToDo
from catalogue.members.requests import Viewer
from catalogue.models import Holding
from valuation.estimates.chart import chart
from valuation.estimates.models import Valuation
from valuation.estimates.queries import (
    as_value,
    candidates,
    fixed_rates,
    values_that_count,
    with_worth,
    with_worth_in,
    worths,
)
from valuation.estimates.words import rate_in_words, value_in_words, valued_in_words
from valuation.estimates.worth import Value, Worth, choose, worth
from valuation.exchange import FixedRate
from valuation.money import written

DUE_AFTER = timedelta(days=365)


def annotate(holdings: QuerySet[Holding], viewer: Viewer) -> QuerySet[Holding]:
    """Holdings with ``worth``, today's amount for all pieces in the viewer's currency."""
    return with_worth_in(holdings, _currency(viewer), timezone.localdate())


def cells(holdings: Sequence[Holding], viewer: Viewer) -> dict[int, str]:
    """The amount for all pieces of each of the viewer's own holdings, in words."""
    found = _own_worths(holdings, viewer)
    return {
        pk: written(w.total, w.currency)
        if w.total is not None
        else written(w.value.amount * w.pieces, w.value.currency)
        for pk, w in found.items()
    }


def export(holdings: Sequence[Holding], viewer: Viewer) -> dict[int, dict[str, str]]:
    """Plain figures of each of the viewer's own holdings, with day, basis, source and rate."""
    return {
        pk: {
            "worth": "" if w.total is None else str(w.total),
            "worth_currency": w.currency,
            "worth_as_of": w.as_of.isoformat(),
            "value_each": str(w.value.amount),
            "value_currency": w.value.currency,
            "value_on": w.value.on.isoformat(),
            "value_basis": w.value.basis,
            "value_source": w.value.source,
            "rate": rate_in_words(w.converted) or str(w.no_rate or ""),
        }
        for pk, w in _own_worths(holdings, viewer).items()
    }


def panel_context(holding: Holding, viewer: Viewer) -> dict[str, Any]:
    """What ``valuation/panel.html`` shows of one holding; for its owner alone, else Http404."""
    if not access.may_see_private(viewer, holding):
        raise Http404
    today, currency = timezone.localdate(), _currency(viewer)
    found = values_that_count(holding)
    values = candidates(found)
    fixed = fixed_rates()
    chosen = choose(*values, rank=holding.grade_rank, as_of=today)
    now = None if chosen is None else worth(chosen, holding.quantity, currency, today, fixed)
    past = _history(values, holding, now, fixed)
    return {
        "holding": holding,
        "currency": currency,
        "worth": now,
        "words": "" if now is None else value_in_words(now.value),
        "rate": "" if now is None else rate_in_words(now.converted) or str(now.no_rate or ""),
        "old": now is not None and now.value.old(today),
        "history": past,
        "chart": chart([(w.as_of, w.total) for w in past if w.total is not None], 272, 64),
        "own_values": [value for value in reversed(found) if value.holding_id is not None],
    }


def _history(
    values: tuple[list[Value], list[Value], list[Value]],
    holding: Holding,
    now: Worth | None,
    fixed: Mapping[str, FixedRate],
) -> list[Worth]:
    """The worth on each day on which another value began to count, and today."""
    if now is None:
        return []
    days = sorted({v.on for found in values for v in found if v.on < now.as_of})
    past: list[Worth] = []
    for day in days:
        chosen = choose(*values, rank=holding.grade_rank, as_of=day)
        if chosen is not None and (not past or past[-1].value != chosen):
            then = worth(chosen, holding.quantity, now.currency, day, fixed)
            if then.total is not None:
                past.append(then)
    return [*past, now] if now.total is not None else past


def _own_worths(holdings: Sequence[Holding], viewer: Viewer) -> dict[int, Worth]:
    ids = [h.pk for h in holdings if access.may_see_private(viewer, h)]
    own = access.own_holdings(viewer).filter(pk__in=ids)
    return worths(own, _currency(viewer), timezone.localdate())


def _currency(viewer: Viewer) -> str:
    return str(getattr(viewer, "currency", "") or "EUR")


def to_do(viewer: Viewer) -> list[ToDo]:
    """How many of the viewer's pieces in hand have no value, or one of more than a year ago.

    The page of worth lists them first.
    """
    today = timezone.localdate()
    held = with_worth(access.own_in_hand(viewer), today)
    aged = Valuation.objects.filter(on__lt=today - DUE_AFTER)
    found = held.aggregate(
        without=Count("pk", filter=Q(worth_id__isnull=True)),
        due=Count("pk", filter=Q(worth_id__in=aged.values("pk"))),
    )
    page = reverse("worth")
    return [
        ToDo(60, found["without"], str(_("without a value")), f"{page}?sort=unknown#pieces"),
        ToDo(70, found["due"], str(_("valued more than a year ago")), f"{page}?sort=oldest#pieces"),
    ]


def life(holding: Holding, viewer: Viewer) -> list[Happening]:
    """The own values of a piece, each on its day; for its owner alone."""
    if not access.may_see_private(viewer, holding):
        return []
    label = Valuation._meta.label_lower
    own = Valuation.objects.filter(holding=holding).select_related("source")
    return [
        Happening(value.on, valued_in_words(as_value(value)), (label, value.pk)) for value in own
    ]


WORTH = HoldingExtension(
    key="worth",
    label=_("Worth"),
    annotate=annotate,
    sort="worth",
    cells=cells,
    export=export,
    panel="valuation/panel.html",
    panel_context=panel_context,
    to_do=to_do,
    life=life,
)
