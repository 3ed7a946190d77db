"""What stands on coins: the picture of a face."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from series import pictures
from series.faces.models import Face


@require_safe
@cache_control(private=True, max_age=86_400)
def face_picture(request: HttpRequest, key: str, side: str, size: str) -> HttpResponse:
    """The stored picture of one face of a type, in one of the sizes of the picture store.

    Pages add the start of its digest as ``?v=``, so that a browser asks again once it changes.
    """
    if size not in {*pictures.SIZES, pictures.FULL}:
        raise Http404
    face = get_object_or_404(
        Face, coin_type__key=key, coin_type__deleted_at__isnull=True, side=side
    )
    if not face.picture:
        raise Http404
    try:
        data = pictures.picture_bytes(face.picture, size)
    except FileNotFoundError as error:
        raise Http404 from error
    return HttpResponse(data, content_type=pictures.CONTENT_TYPE)
