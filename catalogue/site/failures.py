"""What a person is told when something failed that is no fault of theirs."""

from __future__ import annotations

import errno
import sys

from django.db import Error
from django.http import HttpRequest, HttpResponse
from django.template.loader import render_to_string
from django.views.defaults import bad_request as plain_bad_request
from django.views.defaults import server_error as plain_server_error

_NO_ROOM = frozenset({errno.ENOSPC, errno.EDQUOT})
_SAID_OF_NO_ROOM = ("database or disk is full", "disk i/o error", "no space left", "disk full")


def no_room(error: BaseException | None) -> bool:
    """Whether an error, or one it came from, says that the disk takes no more."""
    seen = 0
    while error is not None and seen < 10:
        if isinstance(error, OSError) and error.errno in _NO_ROOM:
            return True
        if isinstance(error, Error) and any(
            words in str(error).lower() for words in _SAID_OF_NO_ROOM
        ):
            return True
        error, seen = error.__cause__ or error.__context__, seen + 1
    return False


def bad_request(request: HttpRequest, exception: Exception) -> HttpResponse:
    """The page of a request that was not understood.

    Django also says so where all was done and only the session found no room at the end.
    """
    if no_room(exception):
        said = render_to_string("disk_full.html", {"perhaps_saved": True})
        return HttpResponse(said, status=503)
    return plain_bad_request(request, exception)


def server_error(request: HttpRequest) -> HttpResponse:
    """The page of a failure; one of its own when the disk is full (503: it may pass)."""
    if no_room(sys.exc_info()[1]):
        return HttpResponse(render_to_string("disk_full.html"), status=503)
    return plain_server_error(request)
