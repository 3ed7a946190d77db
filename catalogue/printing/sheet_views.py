"""Labels, album pages, ladders and want lists, each as a form or at once as a PDF."""

from __future__ import annotations

from typing import Any, cast

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from catalogue import access
from catalogue.members.models import hash_token
from catalogue.models import Member, WantList
from catalogue.printing.answers import answer, drawn_now, not_drawn
from catalogue.printing.forms import AlbumForm, LabelsForm
from catalogue.printing.geometry import SheetProblem
from catalogue.printing.label_sheets import draw_trial, notes_on
from catalogue.printing.queries import album_of, album_pieces, album_title, album_types
from catalogue.printing.selection import chosen_holdings, in_words
from catalogue.printing.sheets import draw_wants, lay_parts, problem_in_words
from catalogue.site.secret_pages import secret_page
from catalogue.wants.lists import lines_of_list
from series.models import Currency, Issuer
from series.types.queries import standing_types

LABELS_AT_ONCE = 60
POCKETS_AT_ONCE, PAGES_AT_ONCE = 120, 10
TYPES_AT_ONCE = 120
LINES_AT_ONCE = 600
LINES_SHARED = 1000  # of a list behind a link, which anybody may ask for again and again


@require_http_methods(["GET", "POST"])
def labels_sheet(request: HttpRequest) -> HttpResponse:
    """Labels or tickets for the pieces that the address finds."""
    owner = cast("Member", request.user)
    query = request.GET.urlencode()
    tickets = request.GET.get("form") == "tickets"
    sort = request.GET.get("sort", "")
    order = "accession" if sort.removeprefix("-") in {"accession", "added"} else "coin"
    form = LabelsForm(request.POST or None, owner=owner, tickets=tickets, initial={"order": order})
    count = chosen_holdings(owner, query).count()
    notes = None
    if request.method == "POST" and form.is_valid():
        if request.POST.get("do") == "trial":
            return drawn_now(request, lambda: draw_trial(form.measures), _("Trial sheet"))
        title = _("Labels for %(n)d pieces") % {"n": count}
        parameters = form.parameters(query)
        try:
            notes = None if request.POST.get("do") == "anyway" else notes_on(owner, parameters)
            if notes is None or not notes.anything:
                return answer(
                    request, owner, "labels", title, parameters, size=count, most=LABELS_AT_ONCE
                )
        except SheetProblem as problem:
            form.add_error(None, problem_in_words(problem))
    context = {
        "section": "sheets",
        "form": form,
        "count": count,
        "notes": notes,
        "said": in_words(owner, query),
        "query": query,
        "tickets": tickets,
    }
    return render(request, "printing/labels.html", context)


@require_http_methods(["GET", "POST"])
def album_sheet(request: HttpRequest) -> HttpResponse:
    """Album pages of a series, a type, a country, or the pieces that the address finds."""
    owner = cast("Member", request.user)
    scope = _scope(request)
    types = album_types(owner, scope)
    if types is not None and not types.exists():
        raise Http404
    initial = {
        "paper": owner.paper,
        "gaps": types is not None or request.GET.get("gaps") == "1",
        "each": types is None,
    }
    form = AlbumForm(request.POST or None, initial=initial)
    count = album_pieces(owner, scope).count()
    title = album_title(owner, scope)
    if request.method == "POST" and form.is_valid():
        parameters = form.parameters(scope)
        try:
            most = count if _is_short(owner, parameters, count) else -1
            called = _("Album pages: %(title)s") % {"title": title} if types is not None else title
            return answer(request, owner, "album", called, parameters, size=count, most=most)
        except SheetProblem as problem:
            form.add_error(None, problem_in_words(problem))
    context = {
        "section": "sheets",
        "form": form,
        "count": count,
        "title": title,
        "said": [] if types is not None else in_words(owner, scope["query"]),
        "whole": types is not None,
    }
    return render(request, "printing/album.html", context)


def _is_short(owner: Member, parameters: dict[str, Any], count: int) -> bool:
    """Whether an album is drawn at once; raises SheetProblem when it cannot be laid out."""
    if count > POCKETS_AT_ONCE:
        return False
    return len(lay_parts(album_of(owner, parameters), parameters)) <= PAGES_AT_ONCE


def _scope(request: HttpRequest) -> dict[str, str]:
    """What an album is about: a key under its name, or the address of browsing as ``query``.

    Browsing knows series and countries by number, so a key is told from a choice by its form.
    """
    for name in ("series", "type", "country"):
        key = request.GET.get(name, "")
        if key and not key.isdigit() and key not in {"any", "none"}:
            return {name: key}
    return {"query": request.GET.urlencode()}


@require_http_methods(["GET", "POST"])
def ladder_sheet(request: HttpRequest, key: str) -> HttpResponse:
    owner = cast("Member", request.user)
    issuer = get_object_or_404(Issuer, key=key)
    title = _("Ladder of %(country)s") % {"country": issuer.name}
    types = standing_types().filter(series__issuer=issuer)
    parameters = {"country": issuer.key, "paper": owner.paper}
    if request.GET.get("currency"):  # that currency alone
        currency = get_object_or_404(Currency, key=request.GET["currency"])
        types = types.filter(series__currency=currency)
        parameters["currency"] = currency.key
        title = f"{title}, {currency.name}"
    size = types.count()
    try:
        return answer(request, owner, "ladder", title, parameters, size=size, most=TYPES_AT_ONCE)
    except SheetProblem as problem:
        return not_drawn(request, title, problem_in_words(problem), status=422)


@require_http_methods(["GET", "POST"])
def wants_sheet(request: HttpRequest, pk: int) -> HttpResponse:
    owner = cast("Member", request.user)
    found = get_object_or_404(access.owned(WantList.objects.all(), owner), pk=pk)
    parameters = {"list": found.pk, "paper": owner.paper}
    size = len(lines_of_list(found))
    return answer(request, owner, "wants", found.title, parameters, size=size, most=LINES_AT_ONCE)


@login_not_required
@secret_page
@require_safe
def shared_list_sheet(request: HttpRequest, token: str) -> HttpResponse:
    """The list behind a secret link as a PDF: wants, and nothing else about the collection."""
    found = get_object_or_404(access.shared_lists(hash_token(token)))
    if len(lines_of_list(found)) > LINES_SHARED:
        text = _("This list is too long to be drawn while you wait. Take it as CSV instead.")
        return not_drawn(request, found.title, text, status=422)
    parameters = {"list": found.pk, "paper": found.owner.paper}
    return drawn_now(request, lambda: draw_wants(found.owner, parameters), found.title)
