"""Pages of what was changed: of one record, of a member lately; and taking a change back."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_POST, require_safe

from catalogue import access
from catalogue.history.life import last_change, life_of
from catalogue.history.lists import done_to, told
from catalogue.history.taking_back import CannotTakeBack, take_back, take_back_of_catalogue
from catalogue.holdings.requested import own_holding
from catalogue.members.requests import MemberRequest, Viewer
from catalogue.models import Aim, Place, Want
from series.models import Currency, Denomination, Issuer, Mint, Motif, Person, Series
from series.records import PackedRecord, Record

ON_A_PAGE = 30
LOOK_AGAIN = gettext_lazy("Something else was changed since you looked; look again, then undo.")
ALTERATIONS_ON_A_PAGE = 200


@dataclass(frozen=True)
class Kind:
    """Records that have a page of their history, where it is, and those that a viewer sees."""

    address: str
    by: str
    seen: Callable[[Viewer], QuerySet[Any]]


def _catalogue(word: str, model: type[PackedRecord]) -> Kind:
    return Kind(f"{word}/<slug:key>", "key", lambda viewer: model.objects.all())


def _own(word: str, model: type[Record]) -> Kind:
    return Kind(
        f"{word}/<number:key>", "pk", lambda viewer: access.owned(model.objects.all(), viewer)
    )


OF_CATALOGUE = ("type", "issuer", "currency", "denomination", "series", "mint", "motif", "person")
KINDS = {
    "holding": Kind("holdings/<number:key>", "pk", access.own_holdings),
    "place": _own("places", Place),
    "aim": _own("aims", Aim),
    "want": _own("wants", Want),
    "type": Kind("types/<slug:key>", "key", access.visible_types),
    "issuer": _catalogue("countries", Issuer),
    "currency": _catalogue("currencies", Currency),
    "denomination": _catalogue("denominations", Denomination),
    "series": _catalogue("series", Series),
    "mint": _catalogue("mints", Mint),
    "motif": _catalogue("motifs", Motif),
    "person": _catalogue("people", Person),
}


def history_view(name: str, kind: Kind) -> Callable[..., HttpResponse]:
    """The view of the history of one record of a kind."""

    @require_safe
    def record_history(request: MemberRequest, key: int | str) -> HttpResponse:
        record = get_object_or_404(kind.seen(request.user), **{kind.by: key})
        rows = access.history_of(request.user, record).select_related("deed__by").order_by("-pk")
        page = Paginator(rows, ALTERATIONS_ON_A_PAGE).get_page(request.GET.get("page"))
        context = {
            "record": record,
            "history_name": f"{name}-history",
            "at": record.get_absolute_url() if hasattr(record, "get_absolute_url") else "",
            "page": page,
            "done": done_to(page.object_list, request.user),
        }
        return render(request, "history/record.html", context)

    return record_history


def undo_view(name: str, kind: Kind) -> Callable[..., HttpResponse]:
    """The view that takes back the last change of one record of the catalogue."""

    @require_POST
    def record_undo(request: MemberRequest, key: str) -> HttpResponse:
        """If it is still the one that was shown (``change``)."""
        record = get_object_or_404(kind.seen(request.user), **{kind.by: key})
        if not access.may_undo(request.user, record):
            raise PermissionDenied
        shown = request.POST.get("change", "")
        last = last_change(record, request.user)
        if last is None or str(last.deed.pk) != shown:
            messages.error(request, LOOK_AGAIN)
        else:
            try:
                take_back_of_catalogue(last.deed, request.user, record)
            except CannotTakeBack as refused:
                messages.error(request, str(refused))
            else:
                messages.success(request, _("Undone: %(what)s.") % {"what": "; ".join(last.undo)})
        return redirect(f"{name}-history", key)

    return record_undo


@require_safe
def changes(request: MemberRequest) -> HttpResponse:
    """What the viewer changed of their own records, the newest first."""
    page = Paginator(access.own_deeds(request.user), ON_A_PAGE).get_page(request.GET.get("page"))
    context = {"page": page, "told": told(list(page.object_list), request.user)}
    return render(request, "history/changes.html", context)


@require_safe
def change(request: MemberRequest, pk: int) -> HttpResponse:
    """One change of the viewer's, and the button that takes it back."""
    deed = get_object_or_404(access.own_deeds(request.user), pk=pk)
    return render(request, "history/change.html", {"told": told([deed], request.user)[0]})


@require_POST
def change_take_back(request: MemberRequest, pk: int) -> HttpResponse:
    """All of a change taken back, or none of it."""
    deed = get_object_or_404(access.own_deeds(request.user), pk=pk)
    try:
        take_back(deed, request.user)
    except CannotTakeBack as refused:
        messages.error(request, str(refused))
        return redirect("change", pk)
    messages.success(request, _("The change is taken back: all of it is as it was before."))
    return redirect("changes")


@require_POST
def holding_undo(request: MemberRequest, pk: int) -> HttpResponse:
    """The last change of a piece taken back, if it is still the one that was shown (``change``)."""
    holding = own_holding(request, pk)
    life = life_of(holding, request.user)
    if life.last is None or str(life.last.pk) != request.POST.get("change", ""):
        messages.error(request, LOOK_AGAIN)
        return redirect(holding)
    try:
        take_back(life.last, request.user, holding)
    except CannotTakeBack as refused:
        messages.error(request, str(refused))
    else:
        messages.success(request, _("Undone: %(what)s.") % {"what": "; ".join(life.undo)})
    return redirect(reverse("holding", args=[pk]))
