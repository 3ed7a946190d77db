"""What a member was shown stays between the site and that member's own browser."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponseBase

Answer = Callable[[HttpRequest], HttpResponseBase]


def keep_private(answer: Answer) -> Answer:
    """An answer to somebody signed in says that no store between keeps it, unless it says more."""

    def answered(request: HttpRequest) -> HttpResponseBase:
        response = answer(request)
        if request.user.is_authenticated and not response.has_header("Cache-Control"):
            response["Cache-Control"] = "private"
        return response

    return answered
