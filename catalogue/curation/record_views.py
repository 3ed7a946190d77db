"""Pages that add and change countries, money, denominations, series, mints, people, motifs."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from catalogue import access
from catalogue.curation.country_form import CountryStartForm
from catalogue.curation.record_forms import (
    FORMS,
    CatalogueForm,
)
from catalogue.members.requests import MemberRequest
from catalogue.models import Member
from series.models import Currency, Issuer
from series.types.derived import types_using
from series.types.editing import settle


def new_view(name: str) -> Callable[[MemberRequest], HttpResponse]:
    """The view that adds a record of a kind."""
    kind = FORMS[name]

    @require_http_methods(["GET", "POST"])
    def record_new(request: MemberRequest) -> HttpResponse:
        viewer = request.user
        form = kind(request.POST or None, viewer=viewer, initial=_started(request, kind))
        if request.method == "POST" and form.is_valid() and form.save_checked():
            messages.success(request, _("%(name)s is added.") % {"name": form.instance})
            return redirect(_next(form.instance))
        return _page(request, form, kind.headings[0], name, closed=_closed(viewer, request, kind))

    return record_new


def edit_view(name: str) -> Callable[[MemberRequest, str], HttpResponse]:
    """The view in which a curator changes a record of a kind."""
    kind = FORMS[name]

    @require_http_methods(["GET", "POST"])
    def record_edit(request: MemberRequest, key: str) -> HttpResponse:
        viewer = request.user
        model: Any = kind._meta.model
        found = get_object_or_404(model.objects.all(), key=key)
        if not access.may_curate(request.user):
            raise PermissionDenied
        form = kind(request.POST or None, instance=found, viewer=viewer)
        if request.method == "POST" and form.is_valid() and form.save_checked():
            settle(sorted(types_using({kind.table: [found.pk]})))
            messages.success(request, _("%(name)s is saved.") % {"name": found})
            return redirect(_next(found))
        return _page(request, form, kind.headings[1], name)

    return record_edit


@require_http_methods(["GET", "POST"])
def country_start(request: MemberRequest) -> HttpResponse:
    """A new country with its money, a series and denominations in one short form."""
    form = CountryStartForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        series = form.save()
        messages.success(
            request,
            _("%(country)s is there. Now its first coin: the next ones can start from it.")
            % {"country": series.issuer},
        )
        return redirect(f"{reverse('type-new')}?series={series.key}")
    return render(request, "curation/country_start.html", {"form": form})


def _started(request: MemberRequest, kind: type[CatalogueForm]) -> dict[str, Any]:
    """What ``?issuer=`` and ``?currency=`` (keys) put into a new form."""
    initial: dict[str, Any] = {}
    issuer = Issuer.objects.filter(key=request.GET.get("issuer", "")).first()
    if issuer is not None and "issuer" in kind.started_by:
        initial = {"issuer": issuer.pk, "issuers": [issuer.pk]}
    if "currency" in kind.started_by:
        currency = Currency.objects.filter(key=request.GET.get("currency", "")).first()
        if currency is None and issuer is not None:
            currency = issuer.currencies.order_by("-first_year").first()
        if currency is not None:
            initial["currency"] = currency.pk
    return initial


def _closed(viewer: Member, request: MemberRequest, kind: type[CatalogueForm]) -> bool:
    """Whether the page was asked for a country or currency that only curators add to."""
    asked = {name: request.GET.get(name, "") for name in kind.started_by}
    open_to = {
        "issuer": access.issuers_to_add_to(viewer),
        "currency": access.currencies_to_add_to(viewer),
    }
    if name := ("issuer" if asked.get("issuer") else "currency" if asked.get("currency") else ""):
        return not open_to[name].filter(key=asked[name]).exists()
    return False


def _next(record: Any) -> str:
    """The page of a record, or the one on which it is seen."""
    if hasattr(record, "get_absolute_url"):
        return str(record.get_absolute_url())
    issuer = record.issuers.first() if isinstance(record, Currency) else record.issuer
    return issuer.get_absolute_url() if issuer else reverse("countries")


def _page(
    request: MemberRequest,
    form: CatalogueForm,
    heading: Promise | str,
    name: str,
    *,
    closed: bool = False,
) -> HttpResponse:
    context = {
        "form": form,
        "heading": heading,
        "kind": name,
        "history_page": f"{name}-history",
        "closed": closed,
    }
    return render(request, "curation/record_form.html", context)
