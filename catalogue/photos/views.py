"""Showing, adding, changing and removing photographs of holdings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.http import http_date
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalogue import access
from catalogue.members.requests import MemberRequest
from catalogue.models import Holding, Photo
from catalogue.photos.forms import PhotoForm, PhotoUpload
from catalogue.site.record_pages import into_bin, saved
from series.picture.pictures import CONTENT_TYPE, FULL, SIZES, picture_bytes

if TYPE_CHECKING:
    from collections.abc import Mapping

    from series.picture.pictures import Prepared


@login_not_required
@require_safe
def photo(request: HttpRequest, pk: int, size: str) -> HttpResponse:
    """One size of a photograph, to whoever may see its holding."""
    if size not in {*SIZES, FULL}:
        raise Http404
    found = get_object_or_404(access.visible_photos(request.user), pk=pk)
    return picture_response(found.digest, size)


def picture_response(digest: str, size: str) -> HttpResponse:
    """A stored picture; it never changes under its name, so a browser may keep it a while."""
    try:
        data = picture_bytes(digest, size)
    except FileNotFoundError as error:
        raise Http404 from error
    response = HttpResponse(data, content_type=CONTENT_TYPE)
    response["Cache-Control"] = "private, max-age=3600"
    response["Last-Modified"] = http_date(0)
    response["Content-Disposition"] = "inline"
    return response


def add_photos(
    holding: Holding, pictures: Mapping[str, Prepared], *, trimmed: bool, taken_on: object = None
) -> list[Photo]:
    """Store pictures and give them to a holding, by side; they come after what it has."""
    first = holding.photos.count()
    stored = {side: picture.keep() for side, picture in pictures.items()}
    return [
        Photo.objects.create(
            holding=holding,
            side=side,
            digest=kept.digest,
            width=kept.width,
            height=kept.height,
            trimmed=trimmed,
            taken_on=taken_on,
            position=first + n,
        )
        for n, (side, kept) in enumerate(stored.items())
    ]


@require_http_methods(["GET", "POST"])
def photo_add(request: MemberRequest, pk: int) -> HttpResponse:
    holding = get_object_or_404(access.visible_holdings(request.user), pk=pk)
    if not access.may_edit_holding(request.user, holding):
        raise PermissionDenied
    form = PhotoUpload(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        with transaction.atomic():
            added = add_photos(
                holding,
                form.pictures(),
                trimmed=form.cleaned_data["trimmed"],
                taken_on=form.cleaned_data["taken_on"],
            )
        messages.success(request, _("%(n)d photographs added.") % {"n": len(added)})
        return redirect(holding)
    return render(request, "photos/add.html", {"form": form, "holding": holding})


def _own_photo(request: MemberRequest, pk: int) -> Photo:
    found = get_object_or_404(access.visible_photos(request.user).select_related("holding"), pk=pk)
    if not access.may_edit_holding(request.user, found.holding):
        raise PermissionDenied
    return found


@require_http_methods(["GET", "POST"])
def photo_edit(request: MemberRequest, pk: int) -> HttpResponse:
    found = _own_photo(request, pk)
    form = PhotoForm(request.POST or None, instance=found)
    if saved(request, form, _("The photograph is saved.")):
        return redirect(found.holding)
    context = {"form": form, "photo": found, "holding": found.holding}
    return render(request, "photos/edit.html", context)


@require_POST
def photo_remove(request: MemberRequest, pk: int) -> HttpResponse:
    found = _own_photo(request, pk)
    said = _("The photograph is in the bin; it stays there for 90 days.")
    return into_bin(request, found, said, found.holding)
