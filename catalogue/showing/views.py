"""A member's own pages for others: made, changed, shared, ended, and seen as a stranger does."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.models import AnonymousUser
from django.core.paginator import Paginator
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalogue import access
from catalogue.members.requests import MemberRequest
from catalogue.models import Holding, Showing, ShownPiece
from catalogue.printing.selection import chosen_holdings, in_words
from catalogue.showing.choosing import MOST_PICKED, choice_of, pick, pieces_of, shown_pieces
from catalogue.showing.doors import preview_door
from catalogue.showing.forms import AddPiecesForm, NewShowingForm, PieceForm, ShowingForm
from catalogue.showing.pages import page_context, piece_context
from catalogue.showing.plates import seen
from catalogue.site.record_pages import into_bin, own_or_404, saved
from catalogue.site.secret_links import share, unshare, with_new_link

FORMS_A_PAGE = 60


def _own(request: HttpRequest, pk: int) -> Showing:
    return own_or_404(request, Showing.objects.all(), pk)


@require_safe
def showings(request: MemberRequest) -> HttpResponse:
    found = access.owned(Showing.objects.all(), request.user)
    return render(request, "showing/showings.html", {"showings": found})


@require_http_methods(["GET", "POST"])
def showing_new(request: MemberRequest) -> HttpResponse:
    """A new page of what an address of browsing finds, or of the pieces ticked there."""
    member = request.user
    query = request.GET.urlencode()
    choice = choice_of(query, member)
    found = chosen_holdings(member, query)
    form = NewShowingForm(
        request.POST or None, instance=Showing(owner=member), followable=choice.followable
    )
    if request.method == "POST" and form.is_valid():
        with transaction.atomic():
            form.instance.follows = form.follows
            form.instance.query = choice.query if form.follows else ""
            made = form.save()
            if not made.follows:
                pick(made, found)
        return redirect(made)
    context = {
        "form": form,
        "count": found.count(),
        "private": found.filter(visibility=Holding.Visibility.PRIVATE).count(),
        "said": in_words(member, query),
        "followable": choice.followable,
        "most": MOST_PICKED,
    }
    return render(request, "showing/showing_form.html", context)


@require_safe
def showing(request: MemberRequest, pk: int) -> HttpResponse:
    """A page as its owner keeps it: the plate, who can open it, and how to share it."""
    found = _own(request, pk)
    context = page_context(preview_door(found), request.GET.get("page")) | {
        "said": in_words(found.owner, found.query) if found.follows else [],
        "hidden": pieces_of(found).count() - shown_pieces(found).count(),
        "open_address": settings.SITE_ADDRESS + reverse("open-showing", args=[found.pk]),
    }
    return with_new_link(request, found, "showing/showing.html", "shown", context)


@require_http_methods(["GET", "POST"])
def showing_edit(request: MemberRequest, pk: int) -> HttpResponse:
    found = _own(request, pk)
    form = ShowingForm(request.POST or None, instance=found)
    if saved(request, form, _("The page is saved.")):
        return redirect(found)
    return render(request, "showing/showing_form.html", {"form": form, "showing": found})


@require_http_methods(["GET", "POST"])
def showing_pieces(request: MemberRequest, pk: int) -> HttpResponse:
    """Captions, and which pieces picked by hand stay; others are added by their numbers."""
    found = _own(request, pk)
    page = Paginator(pieces_of(found), FORMS_A_PAGE).get_page(request.GET.get("page"))
    holdings = list(page.object_list)
    said = {row.holding_id: row for row in found.pieces.filter(holding__in=holdings)}
    data = request.POST or None
    forms = [
        PieceForm(
            data,
            prefix=f"piece-{holding.pk}",
            instance=said.get(holding.pk) or ShownPiece(showing=found, holding=holding),
        )
        for holding in holdings
    ]
    adding = AddPiecesForm(data, showing=found)
    if request.method == "POST" and all(f.is_valid() for f in [*forms, adding]):
        _keep(request, found, forms, adding)
        return redirect(request.get_full_path())
    context = {
        "showing": found,
        "page": page,
        "lines": list(zip(forms, seen(preview_door(found), holdings), strict=True)),
        "adding": adding,
    }
    return render(request, "showing/pieces.html", context)


@transaction.atomic
def _keep(
    request: MemberRequest, found: Showing, forms: list[PieceForm], adding: AddPiecesForm
) -> None:
    for form in forms:  # what came onto the page since it was read was not said anything of
        if form.add_prefix("caption") in request.POST and form.has_changed():
            form.keep()
    asked = adding.cleaned_data["numbers"]
    added = pick(found, access.own_holdings(found.owner).filter(pk__in=asked))
    words = ngettext("Saved, and %(n)d piece added.", "Saved, and %(n)d pieces added.", added)
    messages.success(request, words % {"n": added} if added else _("Saved."))


@require_POST
def showing_remove(request: MemberRequest, pk: int) -> HttpResponse:
    found = _own(request, pk)
    found.open_to_all = found.indexed = False
    found.end_link()
    said = _("The page is in the bin; nobody else can open it now.")
    return into_bin(request, found, said, "showings")


@require_POST
def showing_share(request: HttpRequest, pk: int) -> HttpResponse:
    found = _own(request, pk)
    share(request, found)
    return redirect(found)


@require_POST
def showing_unshare(request: MemberRequest, pk: int) -> HttpResponse:
    found = _own(request, pk)
    unshare(request, found)
    return redirect(found)


# ---- as a stranger sees it ----
@require_safe
def showing_preview(request: MemberRequest, pk: int) -> HttpResponse:
    context = page_context(preview_door(_own(request, pk)), request.GET.get("page"))
    return _as_stranger(request, "showing/shown.html", context)


@require_safe
def showing_preview_piece(request: MemberRequest, pk: int, piece: int) -> HttpResponse:
    context = piece_context(preview_door(_own(request, pk)), piece)
    return _as_stranger(request, "showing/shown_piece.html", context)


def _as_stranger(request: MemberRequest, template: str, context: dict[str, Any]) -> HttpResponse:
    return render(request, template, context | {"user": AnonymousUser()})
