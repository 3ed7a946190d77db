"""What a request names: one of the viewer's own holdings, and the page to go back to."""

from __future__ import annotations

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.utils.http import url_has_allowed_host_and_scheme

from catalogue import access
from catalogue.models import Holding

LONGEST_WAY = 8_000  # characters of an address to go back to


def own_holding(request: HttpRequest, pk: int, *, lock: bool = False) -> Holding:
    """A holding the viewer sees (404 else) and may change (403 else)."""
    rows = access.visible_holdings(request.user).select_related(
        "owner", "coin_type__denomination", "coin_type__series__issuer", "issue"
    )
    if lock:
        rows = rows.select_for_update(of=("self",))
    found = get_object_or_404(rows, pk=pk)
    if not access.may_edit_holding(request.user, found):
        raise PermissionDenied
    return found


def way_back(request: HttpRequest, otherwise: str) -> str:
    """The address in ``back`` when it is a path of this site, else the other one."""
    back = request.POST.get("back", "") or request.GET.get("back", "")
    if not back.startswith("/") or len(back) > LONGEST_WAY:
        return otherwise
    fits = url_has_allowed_host_and_scheme(back, {request.get_host()}, request.is_secure())
    return back if fits else otherwise
