"""What no page can mean is refused before any page reads it."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponseBase
from django.views.defaults import bad_request

Answer = Callable[[HttpRequest], HttpResponseBase]


def refuse_nul(answer: Answer) -> Answer:
    """A NUL in an address is no text of anybody's, and not every database takes one (400)."""

    def answered(request: HttpRequest) -> HttpResponseBase:
        if "\0" in request.path or "%00" in request.META.get("QUERY_STRING", ""):
            return bad_request(request, ValueError("a NUL in the address"))
        return answer(request)

    return answered
