"""Text goes out packed to browsers that take it so: pages, the stylesheet, the script."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponseBase
from django.middleware.gzip import GZipMiddleware

TEXTS = ("text/", "application/json", "application/javascript", "image/svg+xml")


class PackText(GZipMiddleware):
    """Packs text, and leaves alone what is packed already: pictures, fonts, sheets.

    A page that must be kept nowhere holds a secret. It goes out as it is, so that its packed length
    tells nothing of it; of all other pages, random bytes that Django adds blur the length.
    """

    def process_response(self, request: HttpRequest, response: HttpResponseBase) -> Any:
        if not response.get("Content-Type", "").startswith(TEXTS) or response.status_code != 200:
            return response
        if "no-store" in response.get("Cache-Control", ""):
            return response
        packed = super().process_response(request, response)
        if response.streaming and response.has_header("Content-Encoding"):
            # A file of WhiteNoise knows itself by its own tag alone; its date serves as well.
            del packed["ETag"]
        return packed
