"""What leaves the site: the holdings an address finds, and everything of a member."""

from __future__ import annotations

from collections.abc import Iterable

from django.http import Http404, StreamingHttpResponse
from django.utils import timezone
from django.utils.text import get_valid_filename
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from catalogue.exports.archive import export_of
from catalogue.exports.files import FORMS
from catalogue.holdings.browse.results import Browse
from catalogue.members.requests import MemberRequest


@require_safe
def holdings_export(request: MemberRequest, ending: str) -> StreamingHttpResponse:
    """What the address finds; place, price and worth only of the viewer's own pieces."""
    if ending not in FORMS:
        raise Http404
    found = Browse(request.GET, request.user).queryset().order_by("owner", "accession", "pk")
    ids = list(found.values_list("pk", flat=True))
    form = FORMS[ending]
    response = _sent(form.written(ids, request.user), form.media_type, f"holdings-{{}}.{ending}")
    response["Cache-Control"] = "private, no-store"
    return response


@never_cache
@require_safe
def account_export(request: MemberRequest) -> StreamingHttpResponse:
    me = request.user
    return _sent(export_of(me), "application/zip", f"exergue-{me.username}-{{}}.zip")


def _sent(pieces: Iterable[str | bytes], media_type: str, name: str) -> StreamingHttpResponse:
    """A file to keep, sent while it is written; its name has the day in it."""
    response = StreamingHttpResponse(pieces, content_type=media_type)
    named = get_valid_filename(name.format(timezone.localdate().isoformat()))
    response["Content-Disposition"] = f'attachment; filename="{named}"'
    return response
