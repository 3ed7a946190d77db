"""When a double is joined to another type, what members have of it follows."""

from __future__ import annotations

from typing import Any

from django.db.models import F

from catalogue.holdings.actions import search_texts_anew
from catalogue.holdings.changes import note_holdings
from catalogue.models import Aim, Holding, Observation, Reservation, Stop, Want
from series.models import CoinType


def follow(
    gone: CoinType,
    kept: CoinType,
    issue_map: dict[int, int],
    variety_map: dict[int, int] | None = None,
    **_more: Any,
) -> None:
    """Holdings, wants, aims and promises of ``gone`` become those of ``kept``.

    So does what a talk shows as a gap, what is likely for unidentified pieces, and what their
    owners know of that.

    Those in the bin too. A holding counts as edited, so that a form opened before is refused.
    """
    held = Holding.everything.filter(coin_type=gone) | Holding.everything.filter(
        issue__in=issue_map
    )
    ids = list(held.values_list("pk", flat=True))
    holdings = Holding.everything.filter(pk__in=ids)
    holdings.update(coin_type=kept, row_version=F("row_version") + 1)
    for old, new in issue_map.items():
        if old != new:
            for model in (Holding, Want):
                model.everything.filter(issue=old).update(issue=new)
            Reservation.objects.filter(issue=old).update(issue=new)
    for old, new in (variety_map or {}).items():
        Holding.everything.filter(variety=old).update(variety=new)
    for record in (Want, Aim):
        record.everything.filter(coin_type=gone).update(coin_type=kept)
    Reservation.objects.filter(coin_type=gone).update(coin_type=kept)
    Stop.everything.filter(coin_type=gone).update(coin_type=kept)
    Observation.objects.filter(likely_type=gone).update(likely_type=kept)
    Observation.objects.filter(told_type=gone).update(told_type=kept)
    search_texts_anew(holdings)  # a date may be written or dated otherwise on the type that is kept
    note_holdings(ids)
