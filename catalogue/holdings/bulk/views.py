"""Bulk edit: what to change of the chosen holdings, a last look, and the change."""

from __future__ import annotations

from typing import Any
from urllib.parse import urlsplit

from django.contrib import messages
from django.db.models import QuerySet, Sum
from django.http import HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_POST

from catalogue import access
from catalogue.history.keeping import Doing, doing, may_be_taken_back
from catalogue.holdings.actions import HoldingError
from catalogue.holdings.browse.results import Browse
from catalogue.holdings.bulk.change import bin_all, change_all, join_all
from catalogue.holdings.bulk.form import BulkForm
from catalogue.holdings.bulk.plan import Plan, plan_of
from catalogue.holdings.bulk.status_views import status_step
from catalogue.holdings.bulk.words import (
    changes_in_words,
    left_as_they_were,
    left_in_words,
    named,
)
from catalogue.holdings.fields import ids_from
from catalogue.holdings.finding.typeahead import type_options
from catalogue.holdings.grades import CODES
from catalogue.holdings.requested import way_back
from catalogue.members.currency_codes import currency_codes
from catalogue.members.requests import MemberRequest
from catalogue.models import Holding, Member

JOIN_MOST = 200
SAMPLE = 8


def _looked_at(request: MemberRequest, back: str) -> QuerySet[Holding]:
    """The holdings chosen, or all that the list had found, as far as the viewer sees them."""
    if request.POST.get("all") == "1":
        found = Browse(QueryDict(urlsplit(back).query), request.user).queryset()
        return access.visible_holdings(request.user).filter(pk__in=found.order_by().values("pk"))
    chosen = ids_from(request.POST.getlist("holding"))
    return access.visible_holdings(request.user).filter(pk__in=chosen)


@require_POST
def holdings_bulk(request: MemberRequest) -> HttpResponse:
    """``do`` says how far it has come: nothing yet, ``look`` (a last look), or the deed itself.

    The deeds are ``change``, ``status``, ``join`` and ``bin``. The first is confirmed with the
    version of each holding (``seen``), the others with the number there were (``expected``) when
    they were last looked at. ``do`` is ``again`` to choose other changes.
    """
    back = way_back(request, reverse("holdings") + "?view=list")
    looked_at = _looked_at(request, back)
    holdings = looked_at.filter(owner=request.user)
    figures = holdings.aggregate(pieces=Sum("quantity"))
    count = holdings.order_by().count()
    if not count:
        messages.error(request, _("Choose at least one of your own pieces first."))
        return redirect(back)
    step, deed = request.POST.get("do", ""), request.POST.get("deed", "")
    form = _form(request, step, request.user)
    context: dict[str, Any] = {
        "form": form,
        "types": type_options(form.read.choices),
        "back": back,
        "count": count,
        "pieces": figures["pieces"],
        "others": looked_at.order_by().count() - count,
        "sample": holdings.select_related("coin_type__denomination", "issue").order_by(
            "accession", "pk"
        )[:SAMPLE],
        "ids": [] if request.POST.get("all") == "1" else request.POST.getlist("holding"),
        "all": request.POST.get("all") == "1",
        "grades": CODES,
        "codes": currency_codes(),
        "deed": deed,
    }
    if step in {"", "again"}:
        found = Browse(QueryDict(urlsplit(back).query), request.user).queryset()
        own = access.own_holdings(request.user).filter(pk__in=found.order_by().values("pk"))
        context["found"] = own.count()
        return render(request, "holdings/bulk.html", context)
    if deed == "status":
        return status_step(request, holdings, context)
    if deed == "change":
        return _change_step(request, holdings, context)
    if deed in {"join", "bin"}:
        return _other_step(request, holdings, context)
    return render(request, "holdings/bulk.html", context)


def _form(request: MemberRequest, step: str, member: Member) -> BulkForm:
    """The form as sent; chosen again, with what was sent as a start and without complaints."""
    if not step:
        return BulkForm(owner=member)
    if step == "again":
        return BulkForm(owner=member, initial=request.POST.dict())
    return BulkForm(request.POST, owner=member)


def _change_step(
    request: MemberRequest, holdings: QuerySet[Holding], context: dict[str, Any]
) -> HttpResponse:
    """Say what would change of each; change it once that was confirmed as it was seen."""
    form: BulkForm = context["form"]
    if not form.is_valid():
        return render(request, "holdings/bulk.html", context)
    changes = form.changes()
    try:
        if request.POST.get("do") == "do":
            try:
                with doing(request.user) as now:
                    done = change_all(holdings, changes, request.POST.get("seen", ""))
                _tell(request, done, now)
                return redirect(context["back"])
            except HoldingError as error:
                context["refused"] = str(error)
        plan = plan_of(holdings, changes)
    except HoldingError as error:
        form.add_error(None, str(error))
        return render(request, "holdings/bulk.html", context)
    context |= {
        "plan": plan,
        "words": changes_in_words(plan),
        "left": left_in_words(plan),
        "already": named(holding.accession for holding in plan.already),
    }
    return render(request, "holdings/bulk_confirm.html", context)


def _tell(request: MemberRequest, done: Plan, now: Doing) -> None:
    """Say how many were changed, how to take that back, and which were left as they were."""
    count = len(done.changed)
    words = ngettext("%(n)d holding is changed.", "%(n)d holdings are changed.", count)
    messages.success(request, may_be_taken_back(words % {"n": count}, now))
    if done.left:
        which = named(holding.accession for holding, _reason in done.left)
        messages.warning(request, left_as_they_were(len(done.left), which))


def _other_step(
    request: MemberRequest, holdings: QuerySet[Holding], context: dict[str, Any]
) -> HttpResponse:
    """Join the holdings or put them into the bin, once that was confirmed."""
    if request.POST.get("do") == "do" and request.POST.get("expected") == str(context["count"]):
        try:
            with doing(request.user) as now:
                words = _do(context["deed"], holdings)
        except HoldingError as error:
            context["refused"] = str(error)
        else:
            messages.success(request, may_be_taken_back(words, now))
            return redirect(context["back"])
    elif request.POST.get("do") == "do":
        context["refused"] = _("The number of pieces has changed since you looked; look again.")
    return render(request, "holdings/bulk_confirm.html", context)


def _do(deed: str, holdings: QuerySet[Holding]) -> str:
    """Do it, and say what was done."""
    if deed == "join":
        if holdings.count() > JOIN_MOST:
            raise HoldingError(_("Join at most %(n)d lots at a time.") % {"n": JOIN_MOST})
        made = join_all(holdings)
        words = _("%(number)s is now a lot of %(n)d pieces; the others are in the bin.")
        return words % {"number": made.accession, "n": made.quantity}
    done = bin_all(holdings)
    words = ngettext("%(n)d holding is in the bin.", "%(n)d holdings are in the bin.", done)
    return words % {"n": done}
