"""Countries and currencies as pages read them."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

from django.db.models import (
    Case,
    Count,
    F,
    Max,
    Min,
    Q,
    QuerySet,
    SmallIntegerField,
    Value,
    When,
    Window,
)
from django.db.models.functions import NullIf, RowNumber

from series.issuers.models import Issuer
from series.types.models import CoinType, Series
from series.types.queries import in_order, standing_types, with_pictures

_NEVER = Value(9999, output_field=SmallIntegerField())


def countries_with_counts() -> QuerySet[Any]:
    """Every country by name, with ``type_count``, ``series_count`` and the years of its series.

    ``latest`` is None where one of them goes on, or its end is not known.
    """
    stands = Q(
        series__types__standing__in=CoinType.IN_CATALOGUE,
        series__types__withdrawn=False,
        series__types__deleted_at__isnull=True,
        series__deleted_at__isnull=True,
    )
    last = F("series__last_year")
    goes_on = Q(series__last_year=None, series__first_year__isnull=False)
    return (
        Issuer.objects.order_by("name")
        .annotate(
            type_count=Count("series__types", filter=stands, distinct=True),
            series_count=Count("series", filter=Q(series__deleted_at__isnull=True), distinct=True),
            earliest=Min("series__first_year"),
            latest=NullIf(Max(Case(When(goes_on, then=_NEVER), default=last)), _NEVER),
        )
        .prefetch_related("currencies", "predecessors")
    )


COINS_OF_A_COUNTRY = 7


def coins_to_show(issuers: list[Issuer]) -> dict[int, list[CoinType]]:
    """For each country the largest coins of its series, oldest first, a few in all. Two queries."""
    by_size = Window(
        RowNumber(),
        partition_by=F("series"),
        order_by=[F("diameter_mm").desc(nulls_last=True), F("pk").asc()],
    )
    types = standing_types().filter(series__issuer__in=issuers)
    largest: Any = with_pictures(types.annotate(place=by_size)).filter(
        Q(place__lte=COINS_OF_A_COUNTRY)
    )
    found: dict[int, list[CoinType]] = defaultdict(list)
    for coin_type in largest.order_by("place", "series__first_year", "key"):
        of_country = found[coin_type.series.issuer_id]
        if len(of_country) < COINS_OF_A_COUNTRY:
            of_country.append(coin_type)
    return {issuer_id: in_order(some) for issuer_id, some in found.items()}


def neighbours(series: Series) -> tuple[Series | None, Series | None]:
    """The series before and after one among those of its country. One query."""
    ordered = list(series.issuer.series.order_by("first_year", "last_year", "name"))
    place = [other.pk for other in ordered].index(series.pk)
    before = ordered[place - 1] if place else None
    return before, ordered[place + 1] if place + 1 < len(ordered) else None
