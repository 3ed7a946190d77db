"""Countries: the list of them, a country's ladder, its timeline, its motifs."""

from __future__ import annotations

from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from series.faces.queries import motifs_of
from series.issuers.models import Currency, Issuer
from series.issuers.queries import coins_to_show, countries_with_counts
from series.ladder.leaves import leaf_asked, leaves
from series.ladder.queries import ladder, types_of
from series.ladder.timeline import Span, timeline
from series.picture.drawing import fit_scale
from series.types.drawn import width_mm
from series.types.models import Series

LARGEST_PX = 90
LADDER_SCALE = 2.2
TIMELINE_WIDTH = 960
SHOW_COINS_UP_TO = 30


@require_safe
def countries(request: HttpRequest) -> HttpResponse:
    """Every country with its years, currencies and number of types."""
    found = list(countries_with_counts())
    coins = coins_to_show(found) if len(found) <= SHOW_COINS_UP_TO else {}
    begun = [issuer for issuer in found if issuer.type_count or issuer.series_count]
    return render(
        request,
        "series/countries.html",
        {
            "rows": [(issuer, coins.get(issuer.pk, [])) for issuer in begun],
            "without_coins": [issuer for issuer in found if issuer not in begun],
            "coins": [coin for some in coins.values() for coin in some],
        },
    )


@require_safe
def country(request: HttpRequest, key: str) -> HttpResponse:
    """The ladder: what each denomination became, series by series.

    One with many types is shown leaf by leaf (``?series=`` or ``?currency=``, a key).
    """
    issuer = get_object_or_404(Issuer, key=key)
    found = leaves(issuer)
    leaf = leaf_asked(found, request.GET)
    if leaf is None:
        parts = ladder(issuer)
    else:
        parts = ladder(issuer, currency=leaf.currency, series=leaf.series)
    types = types_of(parts)
    return render(
        request,
        "series/ladder.html",
        {
            "issuer": issuer,
            "tab": "ladder",
            "parts": parts,
            "leaves": found,
            "leaf": leaf,
            "types": types,
            "scale": fit_scale([*map(width_mm, types)], LADDER_SCALE, LARGEST_PX),
        },
    )


@require_safe
def country_timeline(request: HttpRequest, key: str) -> HttpResponse:
    """Currencies and series as bars along the years, and the same as a table."""
    issuer = get_object_or_404(
        Issuer.objects.prefetch_related(
            "predecessors",
            "successors",
            Prefetch(
                "currencies",
                queryset=Currency.objects.select_related("successor").prefetch_related("units"),
            ),
            Prefetch("series", queryset=Series.objects.select_related("currency")),
        ),
        key=key,
    )
    countries = [*issuer.predecessors.all(), issuer, *issuer.successors.all()]
    currencies, series = list(issuer.currencies.all()), list(issuer.series.all())
    spans = [
        Span(kind, record.first_year, record.last_year, record)
        for kind, records in (("country", countries), ("currency", currencies), ("series", series))
        for record in records
    ]
    return render(
        request,
        "series/timeline.html",
        {
            "issuer": issuer,
            "tab": "timeline",
            "width": TIMELINE_WIDTH,
            "time": timeline(spans, TIMELINE_WIDTH, timezone.localdate().year),
            "countries": countries,
            "currencies": currencies,
            "series_list": series,
        },
    )


@require_safe
def country_motifs(request: HttpRequest, key: str) -> HttpResponse:
    """Every motif on a country's coins, with the coins that show it or a narrower one."""
    issuer = get_object_or_404(Issuer, key=key)
    motifs = motifs_of(issuer)
    return render(
        request,
        "series/country_motifs.html",
        {
            "issuer": issuer,
            "tab": "motifs",
            "motifs": motifs,
            "types": list({s.coin_type.pk: s.coin_type for m in motifs for s in m.coins}.values()),
        },
    )
