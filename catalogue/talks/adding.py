"""What may be put into a talk besides pieces: opening pages and gaps of what it goes through."""

from __future__ import annotations

from typing import Any

from django.db.models import Q

from catalogue import access
from catalogue.models import Stop, Talk
from catalogue.talks.words import capital
from series.models import CoinType
from series.types.queries import standing_types

MOST_MISSING = 100


def may_add(talk: Talk) -> dict[str, Any]:
    """``pages`` as choices of a form, and the types ``missing`` from the series of the talk."""
    stops = list(
        talk.stops.values_list("kind", "holding", "coin_type", "issuer", "currency", "series")
    )
    shown = {(kind, *(x for x in ids if x is not None)) for kind, *ids in stops}
    types = CoinType.everything.filter(
        Q(pk__in=talk.stops.values("coin_type")) | Q(holdings__stops__talk=talk)
    )
    told = types.select_related("series__issuer", "denomination__currency").distinct()
    pages: dict[tuple[str, int], str] = {}
    series: set[int] = set()
    for coin_type in told.order_by("series__first_year", "pk"):
        country, money = coin_type.series.issuer, coin_type.denomination.currency
        series.add(coin_type.series_id)
        pages[Stop.Kind.COUNTRY, country.pk] = country.name
        pages[Stop.Kind.CURRENCY, money.pk] = capital(money.name)
        pages[Stop.Kind.SERIES, coin_type.series_id] = coin_type.series.name
    kinds = dict(Stop.Kind.choices)
    choices = [
        (f"{kind}:{pk}", f"{name} ({kinds[kind]})")
        for (kind, pk), name in sorted(
            pages.items(), key=lambda page: Stop.OPENINGS.index(page[0][0])
        )
        if (kind, pk) not in shown
    ]
    held = access.own_in_hand(talk.owner).filter(coin_type__isnull=False)
    missing = (
        standing_types()
        .filter(series__in=series)
        .exclude(
            Q(pk__in=held.order_by().values("coin_type"))
            | Q(pk__in=talk.stops.filter(coin_type__isnull=False).values("coin_type"))
        )
    )
    ordered = missing.order_by(
        "series__first_year", "denomination__sort_value", "first_year", "key"
    )
    return {"pages": choices, "missing": list(ordered[:MOST_MISSING])}
