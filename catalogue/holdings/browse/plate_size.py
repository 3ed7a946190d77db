"""How large the coins of a plate are shown: chosen by the viewer, and kept."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from catalogue.holdings.browse.plates import PlateRow
from catalogue.holdings.requested import way_back
from catalogue.models import Member

Size = Member.PlateSize
KEPT = "plate_size"
PLAIN_SCALE = 2.2
LARGEST_PX = 72


def plate_scale(request: HttpRequest, rows: Iterable[PlateRow]) -> dict[str, Any]:
    """What a plate needs of its scale: pixels to the millimetre, in words, and the choices."""
    chosen = chosen_size(request)
    words = _("drawn to one scale")
    if chosen != Size.PLAIN:
        words = _("drawn to one scale, %(times)s") % {"times": chosen.label}
    return {
        "scale": round(_plain(rows) * chosen / 100, 3),
        "scale_words": words,
        "plate_sizes": [
            {"value": size.value, "label": size.label, "chosen": size == chosen} for size in Size
        ],
    }


def _plain(rows: Iterable[PlateRow]) -> float:
    """Pixels to the millimetre, so that the largest coin of a plate stays within 72 pixels."""
    widths = [
        float(row.coin_type.diameter_mm)
        for row in rows
        if row.coin_type is not None and row.coin_type.diameter_mm
    ]
    return min(PLAIN_SCALE, LARGEST_PX / max(widths)) if widths else PLAIN_SCALE


def chosen_size(request: HttpRequest) -> Member.PlateSize:
    """A member's size stands in the member's record, a stranger's in the visit."""
    if isinstance(request.user, Member):
        return Size(request.user.plate_size)
    return _size(request.session.get(KEPT)) or Size.PLAIN


def _size(text: Any) -> Member.PlateSize | None:
    return next((size for size in Size if str(size.value) == str(text)), None)


@login_not_required
@require_POST
def plate_size(request: HttpRequest) -> HttpResponse:
    """Keep the size asked for and go back to the plate."""
    size = _size(request.POST.get("size"))
    if size is not None and isinstance(request.user, Member):
        request.user.plate_size = size
        request.user.save(update_fields=["plate_size"])
    elif size is not None:
        request.session[KEPT] = size.value
    return redirect(way_back(request, reverse("holdings")))
