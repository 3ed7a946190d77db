"""A denomination through its series, a series as a plate, a type."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from typing import Any

from django.core.paginator import Paginator
from django.db.models import Prefetch
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe

from series.issuers.models import Denomination, Issuer
from series.issuers.queries import neighbours
from series.picture.drawing import fit_scale
from series.types import kin, queries
from series.types.drawn import width_mm
from series.types.models import CoinType, Series, Variety

FACE_PX = 300
PLATE_SCALE, STRIP_SCALE = 3.1, 1.7
PLATE_LARGEST_PX = 120
STEP_LARGEST_PX = 88  # the column that coins have on a phone
STEPS_ON_A_PAGE = 60


def plate_scale(types: list[CoinType], largest_px: int = PLATE_LARGEST_PX) -> float:
    """Pixels per millimetre so that the largest coin of a plate fits."""
    return fit_scale([*map(width_mm, types)], PLATE_SCALE, largest_px)


def by_country(rows: Iterable[Any]) -> list[tuple[Issuer, list[Any]]]:
    """Rows of one ``coin_type`` each, those of a country together; they come in that order."""
    found = groupby(rows, lambda row: row.coin_type.series.issuer)
    return [(issuer, list(some)) for issuer, some in found]


@require_safe
def denomination(request: HttpRequest, key: str) -> HttpResponse:
    """One denomination through its series, each step said in words."""
    found = get_object_or_404(
        Denomination.objects.select_related("currency__successor").prefetch_related(
            "currency__issuers", "currency__units"
        ),
        key=key,
    )
    links = queries.chain(queries.standing_types().filter(denomination=found))
    page = Paginator(links, STEPS_ON_A_PAGE).get_page(request.GET.get("page"))
    steps = kin.with_old_money(queries.steps(list(page.object_list)))
    types = [step.coin_type for step in steps]
    drawn = [t for step in steps for t in step.drawn]
    return render(
        request,
        "series/denomination.html",
        {
            "denomination": found,
            "page": page,
            "types": types,
            "drawn": drawn,
            "by_country": by_country(steps),
            "scale": plate_scale(drawn, STEP_LARGEST_PX),
            "kin": kin.in_other_money(found),
            "others": list(Denomination.objects.filter(currency=found.currency_id)),
        },
    )


@require_safe
def series(request: HttpRequest, key: str) -> HttpResponse:
    """The types of a series by denomination, drawn to one scale, with its story."""
    found = get_object_or_404(
        Series.objects.select_related("issuer", "currency").prefetch_related("currency__units"),
        key=key,
    )
    rows = queries.plate(found)
    types = [coin_type for row in rows for coin_type in row.types]
    before, after = neighbours(found)
    return render(
        request,
        "series/series.html",
        {
            "series": found,
            "rows": rows,
            "types": types,
            "scale": plate_scale(types),
            "before": before,
            "after": after,
            "citations": queries.cited(found.citations),
        },
    )


@require_safe
def coin_type(request: HttpRequest, key: str) -> HttpResponse:
    """One type: its faces and what changed first, then its measures, issues and sources."""
    kept = queries.visible_types(request.user).filter(joined__key=key).first()
    if kept is not None:
        return redirect(kept, permanent=False)
    varieties = Prefetch("varieties", queryset=Variety.objects.order_by("key"))
    issues = queries.issues_in_order().prefetch_related(varieties, "references")
    visible = queries.visible_types(request.user).select_related(
        "series__issuer", "series__currency", "denomination__currency"
    )
    found = get_object_or_404(
        queries.with_design(visible, issues).prefetch_related("references"), key=key
    )
    around = queries.around(found)
    step = kin.with_old_money([around.step])[0]
    faces = {face.side: face for face in found.faces.all()}
    return render(
        request,
        "series/type.html",
        {
            "type": found,
            "made": "new" in request.GET,
            "faces": [faces[side] for side in ("obverse", "reverse", "edge") if side in faces],
            "around": around,
            "step": step,
            "types": [*step.drawn, *around.same_series],
            "pair_scale": plate_scale(step.drawn),
            "face_scale": FACE_PX / width_mm(found),
            "strip_scale": min(STRIP_SCALE, plate_scale(around.same_series)),
            "issues": list(found.issues.all()),
            "withdrawn_issues": list(queries.withdrawn_issues(found)),
            "citations": queries.cited(found.citations, found.series.citations),
        },
    )
