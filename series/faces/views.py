"""What stands on coins: the picture of a face, a motif, a person."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from django.core.paginator import Paginator
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from series.faces import queries
from series.faces.models import Face, Motif, Person
from series.picture import pictures
from series.types.models import CoinType
from series.types.queries import cited, visible_types
from series.types.views import by_country, plate_scale

COINS_ON_A_PAGE = 60


@require_safe
@cache_control(private=True, max_age=86_400)
def face_picture(request: HttpRequest, key: str, side: str, size: str) -> HttpResponse:
    """The stored picture of one face of a type, in one of the sizes of the picture store.

    Pages add the start of its digest as ``?v=``, so that a browser asks again once it changes.
    """
    if size not in {*pictures.SIZES, pictures.FULL}:
        raise Http404
    shown = visible_types(request.user).filter(key=key)
    face = get_object_or_404(Face, coin_type__in=shown, side=side)
    if not face.picture:
        raise Http404
    try:
        data = pictures.picture_bytes(face.picture, size)
    except FileNotFoundError as error:
        raise Http404 from error
    return HttpResponse(data, content_type=pictures.CONTENT_TYPE)


@require_safe
def motif(request: HttpRequest, key: str) -> HttpResponse:
    """A motif: every coin that shows it or a narrower one."""
    found = get_object_or_404(Motif.objects.prefetch_related("broader", "narrower"), key=key)
    ids = queries.with_narrower(found)
    types = queries.types_showing(ids)
    context = _coins_of(request, found, types, lambda some: queries.shown_on(some, ids))
    return render(request, "series/motif.html", {"motif": found, **context})


@require_safe
def person(request: HttpRequest, key: str) -> HttpResponse:
    """A person: every coin they designed, engraved or are named on."""
    found = get_object_or_404(Person, key=key)
    types = queries.types_by(found)
    context = _coins_of(request, found, types, lambda some: queries.work_of(found, some))
    return render(request, "series/person.html", {"person": found, **context})


def _coins_of(
    request: HttpRequest,
    found: Motif | Person,
    coins: QuerySet[CoinType],
    shown: Callable[[list[CoinType]], Sequence[queries.ShownOn | queries.Work]],
) -> dict[str, Any]:
    """A page of the coins of a motif or a person, and the sources for it."""
    page = Paginator(coins, COINS_ON_A_PAGE).get_page(request.GET.get("page"))
    types = list(page.object_list)
    return {
        "page": page,
        "types": types,
        "by_country": by_country(shown(types)),
        "scale": plate_scale(types),
        "citations": cited(found.citations),
    }
