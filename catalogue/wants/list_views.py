"""Want lists: made by their owner, shared by a secret link, shown to whoever has the link."""

from __future__ import annotations

import csv
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalogue import access
from catalogue.members.models import hash_token
from catalogue.members.requests import MemberRequest
from catalogue.models import WantList
from catalogue.site.csv_cells import cell
from catalogue.site.secret_links import ShareForm, share, shown_once, unshare
from catalogue.site.secret_pages import secret_page
from catalogue.wants.forms import WantListForm
from catalogue.wants.lists import MOST_LINES, grouped, lines_of_list


@require_safe
def want_list(request: MemberRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(access.owned(WantList.objects.all(), request.user), pk=pk)
    token = shown_once(request, found)
    context = {
        **_contents(found),
        "form": ShareForm(),
        "address": settings.SITE_ADDRESS + reverse("shared-list", args=[token]) if token else "",
    }
    answer = render(request, "wants/want_list.html", context)
    if token:
        answer["Cache-Control"] = "no-store"
    return answer


def _contents(found: WantList) -> dict[str, Any]:
    lines = lines_of_list(found)
    return {
        "list": found,
        "groups": grouped(lines),
        "count": len(lines),
        "cut": len(lines) == MOST_LINES,
    }


@require_http_methods(["GET", "POST"])
def want_list_new(request: MemberRequest) -> HttpResponse:
    member = request.user
    form = WantListForm(request.POST or None, instance=WantList(owner=member), owner=member)
    if request.method == "GET":
        form.initial["aims"] = list(member.aims.all())
    if request.method == "POST" and form.is_valid():
        made = form.save()
        return redirect("want-list", made.pk)
    return render(request, "wants/want_list_form.html", {"form": form})


@require_http_methods(["GET", "POST"])
def want_list_edit(request: MemberRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(access.owned(WantList.objects.all(), request.user), pk=pk)
    form = WantListForm(request.POST or None, instance=found, owner=found.owner)
    if request.method == "POST" and form.is_valid() and form.save_checked():
        messages.success(request, _("The list is saved."))
        return redirect("want-list", found.pk)
    return render(request, "wants/want_list_form.html", {"form": form, "list": found})


@require_POST
def want_list_remove(request: MemberRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(access.owned(WantList.objects.all(), request.user), pk=pk)
    found.end_link()
    found.bin()
    messages.success(request, _("The list is in the bin and its link leads nowhere now."))
    return redirect("wants")


@require_POST
def want_list_share(request: MemberRequest, pk: int) -> HttpResponse:
    share(request, get_object_or_404(access.owned(WantList.objects.all(), request.user), pk=pk))
    return redirect("want-list", pk)


@require_POST
def want_list_unshare(request: MemberRequest, pk: int) -> HttpResponse:
    unshare(request, get_object_or_404(access.owned(WantList.objects.all(), request.user), pk=pk))
    return redirect("want-list", pk)


@require_safe
def want_list_csv(request: MemberRequest, pk: int) -> HttpResponse:
    found = get_object_or_404(access.owned(WantList.objects.all(), request.user), pk=pk)
    return _csv(found)


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
