"""A talk behind its secret link: the stops its owner chose, for whoever has the link."""

from __future__ import annotations

from django.contrib.auth.decorators import login_not_required
from django.db.models import Q
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_safe

from catalogue import access
from catalogue.members.models import hash_token
from catalogue.models import Talk
from catalogue.photos.views import picture_response
from catalogue.site.secret_pages import secret_page
from catalogue.talks.doors import SecretDoor
from catalogue.talks.giving import wall
from catalogue.talks.queries import shown_talk
from series.models import CoinType, Face
from series.picture.pictures import FULL


def _shared(token: str) -> Talk:
    found: Talk = get_object_or_404(access.shared_talks(hash_token(token)))
    return found


@login_not_required
@secret_page
@require_safe
def shown_to_listeners(request: HttpRequest, token: str, number: int = 1) -> HttpResponse:
    """The wall as listeners open it; nothing that the speaker says is on it."""
    shown = shown_talk(_shared(token), SecretDoor(token))
    if not 1 <= number <= max(1, len(shown.stops)):
        raise Http404
    laid = wall(shown, lambda at: reverse("shown-talk-stop", args=[token, at + 1]), number - 1)
    return render(request, "talks/wall.html", {"wall": laid, "channel": "", "secret": True})


@login_not_required
@secret_page
@require_safe
def shown_photo(request: HttpRequest, token: str, photo: int) -> HttpResponse:
    """A photograph of a piece at a stop that is shown; any other is not there."""
    talk = _shared(token)
    shown = access.photos_of_stops(talk, access.stops_shown(talk))
    return picture_response(get_object_or_404(shown, pk=photo).digest, FULL)


@login_not_required
@secret_page
@require_safe
def shown_face(request: HttpRequest, token: str, key: str, side: str) -> HttpResponse:
    """The picture of a type at a stop that is shown; any other is not there."""
    stops = access.stops_shown(_shared(token)).order_by()
    types = CoinType.objects.filter(
        Q(pk__in=stops.filter(coin_type__isnull=False).values("coin_type"))
        | Q(pk__in=stops.filter(holding__coin_type__isnull=False).values("holding__coin_type"))
    )
    face = get_object_or_404(Face, coin_type__in=types, coin_type__key=key, side=side)
    if not face.picture:
        raise Http404
    return picture_response(face.picture, FULL)
