"""What every page behind a secret address sends along."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.http import Http404, HttpRequest, HttpResponseBase
from django.views.defaults import page_not_found


def secret_page(view: Callable[..., HttpResponseBase]) -> Callable[..., HttpResponseBase]:
    """The page (and its "no such page") is kept nowhere, indexed nowhere and names itself nowhere.

    For every view whose address holds a token, together with ``login_not_required``.
    """

    @wraps(view)
    def shielded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
        try:
            response = view(request, *args, **kwargs)
        except Http404 as missing:
            response = page_not_found(request, missing)
        response["Referrer-Policy"] = "no-referrer"
        response["X-Robots-Tag"] = "noindex, nofollow"
        response["Cache-Control"] = "no-store, private"
        return response

    return shielded
