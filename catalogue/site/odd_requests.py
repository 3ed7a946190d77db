"""What no page can mean is refused before any page reads it."""

from __future__ import annotations

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponseBase, QueryDict
from django.views.defaults import bad_request

Answer = Callable[[HttpRequest], HttpResponseBase]


def refuse_odd(answer: Answer) -> Answer:
    """Addresses with a NUL, or with more parameters than a request may have, are refused (400).

    A NUL is no text of anybody's, and not every database takes one. The parameters are taken
    away, since the page that says so would read them too.
    """

    def answered(request: HttpRequest) -> HttpResponseBase:
        asked = request.META.get("QUERY_STRING", "")
        if "\0" in request.path or "%00" in asked:
            return bad_request(request, ValueError("a NUL in the address"))
        most = settings.DATA_UPLOAD_MAX_NUMBER_FIELDS
        if most is not None and asked.count("&") >= most:
            request.GET = QueryDict()  # type: ignore[assignment]
            return bad_request(request, ValueError("too many parameters in the address"))
        return answer(request)

    return answered
