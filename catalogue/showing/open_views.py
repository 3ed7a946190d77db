"""Pages that members show to others: behind a secret link, or open to all."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from catalogue import access
from catalogue.members.models import hash_token
from catalogue.photos.views import picture_response
from catalogue.showing.doors import Door, open_door, secret_door
from catalogue.showing.pages import face_shown, page_context, photo_shown, piece_context
from catalogue.site.secret_pages import secret_page
from series.picture.pictures import SIZES

View = Callable[..., HttpResponse]
Opened = Callable[..., HttpResponseBase]


def _page(request: HttpRequest, door: Door) -> HttpResponse:
    return render(request, "showing/shown.html", page_context(door, request.GET.get("page")))


def _piece(request: HttpRequest, door: Door, piece: int) -> HttpResponse:
    return render(request, "showing/shown_piece.html", piece_context(door, piece))


def _photo(request: HttpRequest, door: Door, photo: int, size: str) -> HttpResponse:
    return _picture(photo_shown(door, photo).digest, size)


def _face(request: HttpRequest, door: Door, key: str, side: str, size: str) -> HttpResponse:
    return _picture(face_shown(door, key, side).picture, size)


def _picture(digest: str, size: str) -> HttpResponse:
    if size not in SIZES:
        raise Http404
    return picture_response(digest, size)


PARTS: dict[str, tuple[str, View]] = {
    "": ("", _page),
    "-piece": ("<number:piece>/", _piece),
    "-photo": ("photos/<number:photo>/<slug:size>.webp", _photo),
    "-face": ("faces/<slug:key>/<slug:side>/<slug:size>.webp", _face),
}
"""What a page for others consists of: by the end of its name, the end of its address and a view."""


# ---- behind a secret link ----
def by_secret(view: View) -> Opened:
    @login_not_required
    @secret_page
    @require_safe
    @wraps(view)
    def opened(request: HttpRequest, token: str, **more: Any) -> HttpResponse:
        found = get_object_or_404(access.shared_showings(hash_token(token)))
        return view(request, secret_door(found, token), **more)

    return opened


# ---- open to all ----
def by_number(view: View) -> Opened:
    """Asked for anew each time, so that what is shown no more is gone at once."""

    @login_not_required
    @require_safe
    @wraps(view)
    def opened(request: HttpRequest, pk: int, **more: Any) -> HttpResponse:
        found = get_object_or_404(access.open_showings(), pk=pk)
        answer = view(request, open_door(found), **more)
        answer["Cache-Control"] = "private, no-cache"
        if not found.indexed:
            answer["X-Robots-Tag"] = "noindex, nofollow"
        return answer

    return opened


@login_not_required
@require_safe
def open_showings(request: HttpRequest) -> HttpResponse:
    """What members show to all, for whoever comes to the site."""
    return render(request, "showing/open_showings.html", {"showings": access.open_showings()})
