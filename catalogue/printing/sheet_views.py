"""Labels, album pages, ladders and want lists, each as a form or at once as a PDF."""

from __future__ import annotations

from typing import Any, cast

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from catalogue import access
from catalogue.holdings.browse.filters import ANY, NONE
from catalogue.members.models import hash_token
from catalogue.models import Member, WantList
from catalogue.printing.album_pieces import album_pieces, album_title, album_types
from catalogue.printing.album_sheets import album_asked_for, lay_parts
from catalogue.printing.forms import AlbumForm, LabelsForm
from catalogue.printing.geometry import SheetProblem
from catalogue.printing.label_sheets import draw_trial, notes_on
from catalogue.printing.responses import answer, drawn_now, not_drawn
from catalogue.printing.selection import chosen_holdings, in_words
from catalogue.printing.want_sheets import draw_wants
from catalogue.site.secret_pages import secret_page
from catalogue.wants.gaps import completion, live_aims
from catalogue.wants.lists import lines_of_list
from series.models import Currency, Issuer
from series.text.stored_numbers import whole_number
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
            form.add_error(None, str(problem))
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
    form = AlbumForm(request.POST or None, initial=_initial(request, whole=types is not None))
    asked = {
        "title": album_title(owner, scope),
        "count": album_pieces(owner, scope).count(),
        "said": [] if types is not None else in_words(owner, scope["query"]),
        "whole": types is not None,
    }
    return _album_page(request, form, scope, asked)


@require_http_methods(["GET", "POST"])
def album_of_aim(request: HttpRequest, pk: int) -> HttpResponse:
    """Album pages of an aim: what is held in its place, an empty circle for what is missing."""
    found = get_object_or_404(
        access.owned(live_aims(cast("Member", request.user)), request.user), pk=pk
    )
    form = AlbumForm(request.POST or None, initial=_initial(request, whole=True), without=["each"])
    asked = {"title": found.name, "aim": found, "completion": completion(found)}
    return _album_page(request, form, {"aim": found.pk}, asked)


@require_http_methods(["GET", "POST"])
def album_of_wants(request: HttpRequest, pk: int) -> HttpResponse:
    """Album pages with an empty circle for everything a want list asks for."""
    found = get_object_or_404(access.owned(WantList.objects.all(), request.user), pk=pk)
    initial = _initial(request, whole=True)
    form = AlbumForm(request.POST or None, initial=initial, without=["coins", "gaps", "each"])
    asked = {"title": found.title, "list": found, "count": len(lines_of_list(found))}
    return _album_page(request, form, {"list": found.pk}, asked)


def _initial(request: HttpRequest, whole: bool) -> dict[str, Any]:
    owner = cast("Member", request.user)
    gaps = whole or request.GET.get("gaps") == "1"
    return {"paper": owner.paper, "gaps": gaps, "each": not whole}


def _album_page(
    request: HttpRequest, form: AlbumForm, scope: dict[str, Any], asked: dict[str, Any]
) -> HttpResponse:
    """The form of an album, or the album it asks for; ``asked`` is what the page says of it."""
    owner = cast("Member", request.user)
    title = asked["title"]
    if request.method == "POST" and form.is_valid():
        parameters = form.parameters(scope)
        called = _("Album pages: %(title)s") % {"title": title} if title else _("Album pages")
        try:
            size, short = _size(owner, parameters)
            most = size if short else -1
            return answer(request, owner, "album", called, parameters, size=size, most=most)
        except SheetProblem as problem:
            form.add_error(None, str(problem))
    context = {"section": "sheets", "form": form, **asked}
    return render(request, "printing/album.html", context)


def _size(owner: Member, parameters: dict[str, Any]) -> tuple[int, bool]:
    """How many pieces an album shows, and whether it is drawn at once.

    Raises SheetProblem when it cannot be laid out.
    """
    if not parameters.keys() & {"aim", "list"}:
        count = album_pieces(owner, parameters).count()
        if count > POCKETS_AT_ONCE:
            return count, False
    found = album_asked_for(owner, parameters)
    held = sum(bool(pocket.holdings) for pocket in found.pockets)
    pages = 0 if held > POCKETS_AT_ONCE else len(lay_parts(found, parameters))
    return len(found.pockets), held <= POCKETS_AT_ONCE and pages <= PAGES_AT_ONCE


def _scope(request: HttpRequest) -> dict[str, str]:
    """What an album is about: a key under its name, or the address of browsing as ``query``.

    Browsing knows series and countries by number, so a key is told from a choice by its form.
    """
    for name in ("series", "type", "country"):
        key = request.GET.get(name, "")
        if key and whole_number(key) is None and key not in {ANY, NONE}:
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
        return not_drawn(request, title, str(problem), status=422)


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
