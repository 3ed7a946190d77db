"""The steps of a bulk change of status: what happens, a last look, and the deed."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from catalogue.history.keeping import Doing, doing, may_be_taken_back
from catalogue.holdings.actions import HoldingError
from catalogue.holdings.bulk.status import (
    Sorted,
    change_status_of_all,
    sort_by_fit,
)
from catalogue.holdings.bulk.words import left_as_they_were
from catalogue.holdings.piece.status_forms import BulkStatusForm
from catalogue.members.currency_codes import currency_codes
from catalogue.members.requests import MemberRequest
from catalogue.models import Holding

TOLD = 20  # of those left as they were, in the message after the deed


def status_step(
    request: MemberRequest, holdings: QuerySet[Holding], context: dict[str, Any]
) -> HttpResponse:
    """Ask what happens; show to which it can happen; do it once that was confirmed."""
    sent = request.POST if "on" in request.POST else None
    form = BulkStatusForm(sent, owner=request.user)
    context |= {"form": form, "codes": currency_codes()}
    if not form.is_valid():
        return render(request, "holdings/bulk_status.html", context)
    given = form.cleaned_data
    try:
        if request.POST.get("do") == "do":
            if request.POST.get("expected") == str(context["count"]):
                with doing(request.user) as now:
                    done = change_status_of_all(holdings, **given)
                _tell(request, done, given["status"], now)
                return redirect(context["back"])
            context["refused"] = _("The number of pieces has changed since you looked; look again.")
        context["sorted"] = sort_by_fit(holdings, given["status"], given["on"])
    except HoldingError as error:
        form.add_error(None, str(error))
        return render(request, "holdings/bulk_status.html", context)
    context["words"] = form.in_words()
    return render(request, "holdings/bulk_status_confirm.html", context)


def _tell(request: MemberRequest, done: Sorted, status: str, now: Doing) -> None:
    """Say how many were changed, and which were left as they were and why."""
    if done.fit:
        words = ngettext("%(n)d holding: %(status)s.", "%(n)d holdings: %(status)s.", len(done.fit))
        label = Holding.Status(status).label
        said = words % {"n": len(done.fit), "status": label}
        messages.success(request, may_be_taken_back(said, now))
    if not done.left:
        return
    told = [f"{holding.accession} ({reason})" for holding, reason in done.left[:TOLD]]
    if len(done.left) > TOLD:
        told.append(_("and %(n)d more") % {"n": len(done.left) - TOLD})
    messages.warning(request, left_as_they_were(len(done.left), ", ".join(told)))
