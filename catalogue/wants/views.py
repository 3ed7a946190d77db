"""Aims, wants and lists of one's own."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Page, Paginator
from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalogue import access
from catalogue.holdings.requested import way_back
from catalogue.members.requests import MemberRequest
from catalogue.models import Aim, Want, WantList
from catalogue.site.record_pages import into_bin, own_or_404, saved
from catalogue.wants.forms import AimForm, WantForm, types_to_name
from catalogue.wants.gaps import GAP, UPGRADE, live_aims
from catalogue.wants.lists import grouped, lines_by_hand, lines_of_aim, list_of_aim
from catalogue.wants.remembered import kept_completion
from catalogue.wants.rows import nearest, overview, row_records, rows_of_aim
from catalogue.wants.spares import (
    ReservationRefused,
    ask_for,
    asked_by,
    offers_by,
    offers_by_member,
    offers_to,
    reserve,
)
from series.models import Currency, Denomination, Issuer, Series
from series.text.stored_numbers import record_number

LINES_A_PAGE = 200
ROWS_A_PAGE = 40
OFFERS_SHOWN = 24


@require_safe
def wants(request: MemberRequest) -> HttpResponse:
    """Aims with how far they have come, wants by hand, lists, and who could help whom."""
    member = request.user
    aims = [(aim, kept_completion(aim)) for aim in access.owned(Aim.objects.all(), member)]
    promises = access.reservations_of(member).select_related(
        "holding__coin_type__denomination", "holding__issue", "holding__owner", "wanted_by"
    )
    by_hand = access.owned(Want.objects.all(), member)
    offers, count = offers_to(member, None if request.GET.get("all") == "1" else OFFERS_SHOWN)
    context = {
        "aims": aims,
        "by_hand": list(zip(by_hand, lines_by_hand(by_hand), strict=True)),
        "lists": access.owned(WantList.objects.all(), member),
        "offers_to_me": offers,
        "offers_to_me_count": count,
        "offers_by_me": offers_by_member(member),
        "promised_by_me": promises.filter(holding__owner=member),
        "promised_to_me": promises.filter(wanted_by=member),
    }
    return render(request, "wants/wants.html", context)


# ---- aims ----
@require_safe
def aim(request: MemberRequest, pk: int) -> HttpResponse:
    """An aim as rows of boxes: all of it, what is missing, or what could be better."""
    member = request.user
    found = own_or_404(request, live_aims(member), pk)
    shown = request.GET.get("show", "")
    state = {"missing": GAP, "upgrades": UPGRADE}.get(shown, "")
    stand = overview(found)
    page: Page[Any] = Paginator(stand.rows(state), ROWS_A_PAGE).get_page(request.GET.get("page"))
    rows = rows_of_aim(found, row_records(found, page.object_list), state)
    spares = [(box, spare) for row in rows for box in row.boxes for spare in box.spares]
    context = {
        "aim": found,
        "completion": stand.completion,
        "nearest": nearest(found, stand) if not state and page.number == 1 else [],
        "page": page,
        "rows": rows,
        "state": state,
        "spares": spares,
        "asked": asked_by(member),
    }
    return render(request, "wants/aim.html", context)


@require_POST
def aim_list(request: MemberRequest, pk: int) -> HttpResponse:
    """The want list of this aim alone, made when there is none: to be shared or printed."""
    made = list_of_aim(own_or_404(request, live_aims(request.user), pk))
    return redirect("wants-sheet" if request.POST.get("do") == "print" else "want-list", made.pk)


@require_http_methods(["GET", "POST"])
def aim_form(request: MemberRequest, pk: int | None = None) -> HttpResponse:
    """A new aim, or one of one's own changed.

    ``?country=``, ``currency``, ``series``, ``denomination`` or ``type`` start a new one.
    """
    found = Aim(owner=request.user) if pk is None else own_or_404(request, _aims(), pk)
    form = AimForm(request.POST or None, instance=found)
    if pk is None and request.method == "GET":
        form.initial = {**form.initial, **_scope_of(request)}
    if saved(request, form, _("The aim is set.") if pk is None else _("The aim is saved.")):
        return redirect(found)
    value = form["coin_type"].value()
    coin_type = types_to_name(form.instance).filter(pk=record_number(value) or 0).first()
    context = {"form": form, "coin_type": coin_type, "aim": form.instance}
    return render(request, "wants/aim_form.html", context)


def _aims() -> QuerySet[Aim]:
    return Aim.objects.all()


def _scope_of(request: MemberRequest) -> dict[str, Any]:
    started: dict[str, Any] = {}
    asked: list[tuple[str, str, QuerySet[Any]]] = [
        ("country", "issuer", Issuer.objects.all()),
        ("currency", "currency", Currency.objects.all()),
        ("series", "series", Series.objects.all()),
        ("denomination", "denomination", Denomination.objects.all()),
        ("type", "coin_type", access.visible_types(request.user)),
    ]
    for parameter, field, records in asked:
        key = request.GET.get(parameter)
        record = records.filter(key=key).first() if key else None
        if record is not None:
            started[field] = record.pk
            started.setdefault("name", str(record))
    return started


@require_POST
def aim_remove(request: MemberRequest, pk: int) -> HttpResponse:
    said = _("The aim is in the bin; it stays there for 90 days.")
    return into_bin(request, own_or_404(request, _aims(), pk), said, "wants")


# ---- wants by hand ----
@require_http_methods(["GET", "POST"])
def want_form(request: MemberRequest, pk: int | None = None) -> HttpResponse:
    """A new want by hand, which ``?type=`` (a type's key) starts, or one's own changed."""
    want = _new_want(request) if pk is None else own_or_404(request, _wants(), pk)
    form = WantForm(request.POST or None, instance=want, coin_type=want.coin_type)
    coin_type = want.coin_type
    if saved(request, form, _("It is on your list.") if pk is None else _("The want is saved.")):
        return redirect("wants")
    context = {"form": form, "coin_type": coin_type}
    return render(request, "wants/want_form.html", context | ({"want": want} if pk else {}))


def _new_want(request: MemberRequest) -> Want:
    member = request.user
    types = access.visible_types(member).select_related("denomination", "series__issuer")
    started = types.filter(key=request.GET.get("type", "")).first()
    return Want(owner=member, coin_type=started, price_currency=member.currency)


def _wants() -> QuerySet[Want]:
    return Want.objects.select_related("coin_type")


@require_POST
def want_remove(request: MemberRequest, pk: int) -> HttpResponse:
    said = _("The want is in the bin; it stays there for 90 days.")
    return into_bin(request, own_or_404(request, _wants(), pk), said, "wants")


# ---- other members' wants, and promises ----
@require_safe
def member_wants(request: MemberRequest, pk: int) -> HttpResponse:
    """What another member looks for, and which of my spares would fill it."""
    other = get_object_or_404(access.members_showing_wants(request.user), pk=pk)
    by_hand = lines_by_hand(Want.objects.filter(owner=other))
    lines = [line for one in live_aims(other) for line in lines_of_aim(one, GAP)]
    page = Paginator([*by_hand, *lines], LINES_A_PAGE).get_page(request.GET.get("page"))
    context = {
        "other": other,
        "page": page,
        "groups": grouped(page.object_list),
        "offers": offers_by(request.user, other),
    }
    return render(request, "wants/member_wants.html", context)


@require_POST
def reserve_spare(request: MemberRequest, pk: int) -> HttpResponse:
    """Promise one of my spares (``pk``) to the member named in ``member``."""
    holding = get_object_or_404(access.own_holdings(request.user), pk=pk)
    asked = record_number(request.POST.get("member"))
    wanting = get_object_or_404(access.members_to_promise_to(request.user), pk=asked)
    try:
        reserve(holding, wanting, request.POST.get("note", "")[:300])
    except ReservationRefused as refused:
        messages.error(request, str(refused))
    else:
        messages.success(
            request,
            _("%(piece)s is promised to %(member)s.")
            % {"piece": holding.accession, "member": wanting},
        )
    return redirect("wants")


@require_POST
def spare_ask(request: MemberRequest, pk: int) -> HttpResponse:
    """Ask another member for a spare (``pk``): it stands on their page of wants from now on."""
    spare = get_object_or_404(access.spares_to_ask_for(request.user), pk=pk)
    piece = {"piece": spare.label, "member": spare.owner}
    if ask_for(request.user, spare):
        said = _("%(member)s is told on their page of wants that you ask for %(piece)s.")
        messages.success(request, said % piece)
    else:
        messages.info(request, _("You asked %(member)s for %(piece)s already.") % piece)
    return redirect(way_back(request, "wants"))


@require_POST
def reservation_end(request: MemberRequest, pk: int) -> HttpResponse:
    """Take a promise back; the one who promised and the one who was promised may."""
    found = get_object_or_404(access.reservations_of(request.user), pk=pk)
    found.delete()
    messages.success(request, _("The promise is taken back."))
    return redirect("wants")
