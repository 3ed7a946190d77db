"""What every page behind a secret address sends along."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.http import Http404, HttpRequest, HttpResponseBase
from django.views.defaults import page_not_found

BARE_SITE_ONLY = "strict-origin"
"""The referrer policy of a page whose address, or whose text, holds a token.

No request tells more than the site's bare address, not even one to the site itself, so that the
token reaches no other server and no log. With "no-referrer" a browser would send its forms with
``Origin: null`` (Fetch standard, "append a request Origin header"), which the protection against
forged requests has to refuse; "same-origin" would repeat the token to the site's own files.
"""


def shield(response: HttpResponseBase) -> None:
    """Say that a page is kept nowhere, indexed nowhere and named nowhere."""
    response["Referrer-Policy"] = BARE_SITE_ONLY
    response["X-Robots-Tag"] = "noindex, nofollow"
    response["Cache-Control"] = "no-store, private"


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
        shield(response)
        return response

    return shielded
