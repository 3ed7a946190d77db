"""Want lists: made by their owner, shared by a secret link, shown to whoever has the link."""

from __future__ import annotations

import csv
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalogue import access
from catalogue.members.models import hash_token
from catalogue.members.requests import MemberRequest
from catalogue.models import WantList
from catalogue.site.csv_cells import cell
from catalogue.site.record_pages import into_bin, own_or_404, saved
from catalogue.site.secret_links import share, unshare, with_new_link
from catalogue.site.secret_pages import secret_page
from catalogue.wants.forms import WantListForm
from catalogue.wants.lists import MOST_LINES, grouped, lines_of_list


def _own(request: MemberRequest, pk: int) -> WantList:
    return own_or_404(request, WantList.objects.all(), pk)


@require_safe
def want_list(request: MemberRequest, pk: int) -> HttpResponse:
    found = _own(request, pk)
    context = {**_contents(found)}
    return with_new_link(request, found, "wants/want_list.html", "shared-list", context)


def _contents(found: WantList) -> dict[str, Any]:
    lines = lines_of_list(found)
    return {
        "list": found,
        "groups": grouped(lines),
        "count": len(lines),
        "cut": len(lines) == MOST_LINES,
    }


@require_http_methods(["GET", "POST"])
def want_list_form(request: MemberRequest, pk: int | None = None) -> HttpResponse:
    """A new list, or one of one's own changed."""
    member = request.user
    found = WantList(owner=member) if pk is None else _own(request, pk)
    form = WantListForm(request.POST or None, instance=found, owner=member)
    if pk is None and request.method == "GET":
        form.initial["aims"] = list(member.aims.all())
    if saved(request, form, "" if pk is None else _("The list is saved.")):
        return redirect("want-list", found.pk)
    context = {"form": form} | ({"list": found} if pk else {})
    return render(request, "wants/want_list_form.html", context)


@require_POST
def want_list_remove(request: MemberRequest, pk: int) -> HttpResponse:
    found = _own(request, pk)
    found.end_link()
    said = _("The list is in the bin and its link leads nowhere now.")
    return into_bin(request, found, said, "wants")


@require_POST
def want_list_share(request: MemberRequest, pk: int) -> HttpResponse:
    share(request, _own(request, pk))
    return redirect("want-list", pk)


@require_POST
def want_list_unshare(request: MemberRequest, pk: int) -> HttpResponse:
    unshare(request, _own(request, pk))
    return redirect("want-list", pk)


@require_safe
def want_list_csv(request: MemberRequest, pk: int) -> HttpResponse:
    return _csv(_own(request, pk))


@login_not_required
@secret_page
@require_safe
def shared_list(request: HttpRequest, token: str) -> HttpResponse:
    """The list behind a secret link: wants, and nothing else about the collection."""
    found = get_object_or_404(access.shared_lists(hash_token(token)))
    context = _contents(found) | {"token": token}
    return render(request, "wants/shared_list.html", context)


@login_not_required
@secret_page
@require_safe
def shared_list_csv(request: HttpRequest, token: str) -> HttpResponse:
    return _csv(get_object_or_404(access.shared_lists(hash_token(token))))


def _csv(found: WantList) -> HttpResponse:
    response = HttpResponse(content_type="text/csv; charset=utf-8")
    name = slugify(found.title) or "wants"
    response["Content-Disposition"] = f'attachment; filename="{name}.csv"'
    response.write("\ufeff")
    writer = csv.writer(response)
    head = ("country", "series", "coin", "date", "lowest grade", "better one", "price", "note")
    writer.writerow(head)
    for line in lines_of_list(found):
        better = "yes" if line.better else ""
        row = (line.country, line.series, line.what, line.date, line.lowest_grade)
        writer.writerow([cell(text) for text in (*row, better, line.price, line.note)])
    return response
