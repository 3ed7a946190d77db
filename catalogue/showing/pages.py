"""What the pages for others show, whichever door they are opened by."""

from __future__ import annotations

from typing import Any

from django.core.paginator import Paginator
from django.http import Http404
from django.shortcuts import get_object_or_404

from catalogue.models import Holding, Photo
from catalogue.showing.choosing import shown_pieces
from catalogue.showing.doors import Door
from catalogue.showing.plates import FACE_PX, SIDES, enlarged, rows_of, scale_of, seen
from series.models import CoinType, Face
from series.types.drawn import width_mm
from series.types.queries import around, with_design

PIECES_A_PAGE = 150


def page_context(door: Door, number: str | None) -> dict[str, Any]:
    page = Paginator(shown_pieces(door.showing), PIECES_A_PAGE).get_page(number)
    rows = rows_of(seen(door, page.object_list))
    return {
        "door": door,
        "showing": door.showing,
        "page": page,
        "rows": rows,
        "scale": scale_of(rows),
        "one_series": len({row.coin_type.series_id for row in rows if row.coin_type}) == 1,
    }


def piece_context(door: Door, piece: int) -> dict[str, Any]:
    """One piece enlarged: both sides, what it is, what changed since the one before."""
    shown = shown_pieces(door.showing)
    found: Holding = get_object_or_404(shown, pk=piece)
    view, pictures = enlarged(door, found)
    numbers = list(shown.values_list("pk", flat=True))
    place = numbers.index(piece)
    context = {
        "door": door,
        "showing": door.showing,
        "piece": view,
        "pictures": pictures,
        "place": place + 1,
        "total": len(numbers),
        "before": door.piece(numbers[place - 1]) if place else "",
        "after": door.piece(numbers[place + 1]) if place + 1 < len(numbers) else "",
    }
    if found.coin_type is not None:
        designed = with_design(
            CoinType.objects.filter(pk=found.coin_type_id).select_related(
                "series__issuer", "series__currency", "denomination"
            )
        ).get()
        context |= {
            "step": around(designed).step,
            "faces": [face for face in designed.faces.all() if face.side in SIDES],
            "face_scale": FACE_PX / width_mm(designed),
        }
    return context


def photo_shown(door: Door, pk: int) -> Photo:
    """A photograph of a side of a piece on the page; any other is not there."""
    shown = shown_pieces(door.showing).order_by().values("pk")
    found: Photo = get_object_or_404(Photo.objects.filter(side__in=SIDES, holding__in=shown), pk=pk)
    return found


def face_shown(door: Door, key: str, side: str) -> Face:
    """The struck picture of a type of which a piece is on the page; any other is not there."""
    types = shown_pieces(door.showing).order_by().values("coin_type")
    found: Face = get_object_or_404(Face, coin_type__in=types, coin_type__key=key, side=side)
    if not found.picture:
        raise Http404
    return found
