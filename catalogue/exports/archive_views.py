"""Bringing an archive back, step by step: the file, the rehearsal, the result."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalogue import access
from catalogue.exports.archives import PENDING, begin_again, keep_archive, remove, take_back
from catalogue.exports.forms import ArchiveForm
from catalogue.members.member_data import member_data
from catalogue.members.requests import MemberRequest
from catalogue.models import BroughtArchive
from catalogue.site.record_pages import own_or_404
from catalogue.working.beats import living

SHOWN = 20
State = BroughtArchive.State


@require_http_methods(["GET", "POST"])
def archives(request: MemberRequest) -> HttpResponse:
    """Bring an archive; those that were brought lately."""
    form = ArchiveForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        file = form.cleaned_data["file"]
        return redirect("archive", keep_archive(request.user, file, file.name).pk)
    mine = access.owned(BroughtArchive.objects.all(), request.user)[:SHOWN]
    return render(request, "exports/archives.html", {"form": form, "archives": mine})


@require_safe
def archive(request: MemberRequest, pk: int) -> HttpResponse:
    """Where an archive stands: how far it is, what would come back, or what came."""
    brought = _own(request, pk)
    if brought.state in PENDING:
        share = round(100 * brought.done / brought.total) if brought.total else 0
        context = {"brought": brought, "share": share, "nobody_works": not living().exists()}
        template = "exports/_progress.html" if request.htmx else "exports/archive_waits.html"
        return render(request, template, context)
    if request.htmx:  # it was looked at how far it is: now it is done
        answer = HttpResponse()
        answer["HX-Refresh"] = "true"
        return answer
    made = brought.report.get("made", {})
    context = {
        "brought": brought,
        "tables": list(_tables(made)),
        "records": sum(made.values()),
        "pieces": made.get("holdings", 0),
        "pictures": made.get("photographs", 0),
        "here": brought.report.get("here", 0),
        "left_out": brought.report.get("left_out", []),
        "left": brought.report.get("left", 0),
    }
    return render(request, "exports/archive.html", context)


def _tables(made: Mapping[str, int]) -> Iterator[tuple[int, str, Any]]:
    """How many rows of each table, its name and what is in it."""
    for part in member_data():
        for kind in part.kinds:
            if made.get(kind.name):
                yield made[kind.name], kind.name.replace("_", " "), kind.about


@require_POST
def archive_bring(request: MemberRequest, pk: int) -> HttpResponse:
    """Bring back what the rehearsal showed."""
    brought = _own(request, pk)
    take_back(brought)
    return redirect("archive", brought.pk)


@require_POST
def archive_again(request: MemberRequest, pk: int) -> HttpResponse:
    """Go on with an archive whose task is lost, or try again what failed."""
    brought = _own(request, pk)
    begin_again(brought)
    return redirect("archive", brought.pk)


@require_POST
def archive_remove(request: MemberRequest, pk: int) -> HttpResponse:
    """Forget an archive; what it brought stays."""
    brought = _own(request, pk)
    if brought.state in PENDING:
        messages.error(request, _("It is in hand just now. Remove it when that is done."))
        return redirect("archive", brought.pk)
    remove(brought)
    messages.success(request, _("The archive is removed; what it brought back stays."))
    return redirect("archives")


def _own(request: MemberRequest, pk: int) -> BroughtArchive:
    return own_or_404(request, BroughtArchive.objects.select_related("owner"), pk)
