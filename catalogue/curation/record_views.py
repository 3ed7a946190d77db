"""Pages that add and change countries, money, denominations, series, mints, people, motifs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from catalogue import access
from catalogue.curation.country_form import CountryStartForm
from catalogue.curation.record_forms import (
    CatalogueForm,
    CurrencyForm,
    DenominationForm,
    IssuerForm,
    MintForm,
    MotifForm,
    PersonForm,
    SeriesForm,
)
from catalogue.members.requests import MemberRequest
from catalogue.models import Member
from series.models import Currency, Issuer
from series.types.derived import types_using
from series.types.editing import settle


@dataclass(frozen=True)
class Kind:
    """A kind of record: its form, its headings, and how it is named among derived columns."""

    form: type[CatalogueForm]
    new: Promise | str
    edit: Promise | str
    table: str
    asked: tuple[str, ...] = ()
    """What ``?name=key`` may start: fields that name a country or a currency."""


KINDS = {
    "issuer": Kind(
        IssuerForm, gettext_lazy("Add a country"), gettext_lazy("Change the country"), "issuers"
    ),
    "currency": Kind(
        CurrencyForm,
        gettext_lazy("Add a currency"),
        gettext_lazy("Change the currency"),
        "currencies",
        ("issuer",),
    ),
    "series": Kind(
        SeriesForm,
        gettext_lazy("Add a series"),
        gettext_lazy("Change the series"),
        "series",
        ("issuer", "currency"),
    ),
    "denomination": Kind(
        DenominationForm,
        gettext_lazy("Add a denomination"),
        gettext_lazy("Change the denomination"),
        "denominations",
        ("currency",),
    ),
    "mint": Kind(
        MintForm, gettext_lazy("Add a mint"), gettext_lazy("Change the mint"), "mints", ("issuer",)
    ),
    "person": Kind(
        PersonForm, gettext_lazy("Add a person"), gettext_lazy("Change the person"), "people"
    ),
    "motif": Kind(
        MotifForm, gettext_lazy("Add a motif"), gettext_lazy("Change the motif"), "motifs"
    ),
}


def new_view(name: str) -> Callable[[MemberRequest], HttpResponse]:
    """The view that adds a record of a kind."""
    kind = KINDS[name]

    @require_http_methods(["GET", "POST"])
    def record_new(request: MemberRequest) -> HttpResponse:
        form = kind.form(request.POST or None, viewer=request.user, initial=_started(request, kind))
        if request.method == "POST" and form.is_valid() and form.save_checked():
            messages.success(request, _("%(name)s is added.") % {"name": form.instance})
            return redirect(_next(form.instance))
        return _page(request, form, kind.new, name, closed=_closed(request.user, request, kind))

    return record_new


def edit_view(name: str) -> Callable[[MemberRequest, str], HttpResponse]:
    """The view in which a curator changes a record of a kind."""
    kind = KINDS[name]

    @require_http_methods(["GET", "POST"])
    def record_edit(request: MemberRequest, key: str) -> HttpResponse:
        model: Any = kind.form._meta.model
        found = get_object_or_404(model.objects.all(), key=key)
        if not access.may_curate(request.user):
            raise PermissionDenied
        form = kind.form(request.POST or None, instance=found, viewer=request.user)
        if request.method == "POST" and form.is_valid() and form.save_checked():
            settle(sorted(types_using({kind.table: [found.pk]})))
            messages.success(request, _("%(name)s is saved.") % {"name": found})
            return redirect(_next(found))
        return _page(request, form, kind.edit, name)

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


def _started(request: MemberRequest, kind: Kind) -> dict[str, Any]:
    """What ``?issuer=`` and ``?currency=`` (keys) put into a new form."""
    initial: dict[str, Any] = {}
    issuer = Issuer.objects.filter(key=request.GET.get("issuer", "")).first()
    if issuer is not None and "issuer" in kind.asked:
        initial = {"issuer": issuer.pk, "issuers": [issuer.pk]}
    if "currency" in kind.asked:
        currency = Currency.objects.filter(key=request.GET.get("currency", "")).first()
        if currency is None and issuer is not None:
            currency = issuer.currencies.order_by("-first_year").first()
        if currency is not None:
            initial["currency"] = currency.pk
    return initial


def _closed(viewer: Member, request: MemberRequest, kind: Kind) -> bool:
    """Whether the page was asked for a country or currency that only curators add to."""
    asked = {name: request.GET.get(name, "") for name in kind.asked}
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
        "closed": closed,
    }
    return render(request, "curation/record_form.html", context)
