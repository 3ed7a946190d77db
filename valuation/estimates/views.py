"""Pages on which values are entered, changed and put into the bin."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from catalogue import access
from catalogue.members.requests import MemberRequest
from catalogue.site.record_pages import into_bin, saved
from series.models import Issue
from series.text.stored_numbers import record_number
from valuation.estimates.forms import ValueForm
from valuation.estimates.models import Valuation
from valuation.estimates.queries import visible_values


@transaction.atomic
def value_form(request: MemberRequest, pk: int | None = None) -> HttpResponse:
    """A new value of ``?holding=`` (id), ``?type=`` (key) or ``?issue=`` (id), or one changed."""
    value = _blank_value(request) if pk is None else _editable(request, pk)
    form = ValueForm(request.POST or None, instance=value, viewer=request.user)
    said, title = _("The value is recorded."), _("A value of %(what)s")
    if pk is not None:
        said, title = _("The value is changed."), _("Change a value of %(what)s")
    if saved(request, form, said):
        return redirect(_home(value))
    of = _subject(value)
    context = {"form": form, "value": value, "of": of, "back": _home(value)}
    return render(request, "valuation/value_form.html", context | {"title": title % {"what": of}})


@require_POST
def value_bin(request: MemberRequest, pk: int) -> HttpResponse:
    value = _editable(request, pk)
    said = _("The value is in the bin, where it stays for 90 days.")
    return into_bin(request, value, said, _home(value))


@require_POST
def value_take_back(request: MemberRequest, pk: int) -> HttpResponse:
    """Take a value out of the bin; whoever entered it may."""
    binned = Valuation.everything.filter(deleted_at__isnull=False, entered_by=request.user.pk)
    value = get_object_or_404(binned, pk=pk)
    value.take_back()
    messages.success(request, _("The value is back."))
    return redirect(_home(value))


def _blank_value(request: MemberRequest) -> Valuation:
    """A value not yet saved, of what the address names and the viewer may value."""
    asked: Any = request.GET
    if "holding" in asked:
        holdings = access.own_holdings(request.user)
        return Valuation(holding=get_object_or_404(holdings, pk=record_number(asked["holding"])))
    types = access.visible_types(request.user)
    if "issue" in asked:
        issues = Issue.objects.filter(coin_type__in=types)
        return Valuation(issue=get_object_or_404(issues, pk=record_number(asked["issue"])))
    if "type" in asked:
        return Valuation(coin_type=get_object_or_404(types, key=asked["type"]))
    raise Http404


def _editable(request: MemberRequest, pk: int) -> Valuation:
    value: Valuation = get_object_or_404(
        visible_values(request.user).select_related("holding", "coin_type", "issue__coin_type"),
        pk=pk,
    )
    own = value.holding is not None and access.may_edit_holding(request.user, value.holding)
    if not own and not access.may_edit_entry(request.user, value.entered_by_id):
        raise PermissionDenied
    return value


def _subject(value: Valuation) -> str:
    """What is valued, in words."""
    if value.holding is not None:
        return f"{value.holding.label} ({value.holding.accession})"
    if value.issue is not None:
        return f"{value.issue.coin_type}, {value.issue.label}"
    return str(value.coin_type)


def _home(value: Valuation) -> str:
    """The page to which a value belongs."""
    if value.holding is not None:
        return value.holding.get_absolute_url()
    coin_type = value.issue.coin_type if value.issue is not None else value.coin_type
    return coin_type.get_absolute_url() if coin_type is not None else reverse("worth")
