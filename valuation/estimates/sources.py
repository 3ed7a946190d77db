"""Pages of price sources: where values come from, and how old they are."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.db.models import Count, Max, Q
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from catalogue import access
from catalogue.members.requests import MemberRequest
from catalogue.site.record_pages import into_bin, saved
from valuation.estimates.forms import SourceForm
from valuation.estimates.models import PriceSource, Valuation
from valuation.estimates.queries import visible_sources


@require_safe
def source_list(request: MemberRequest) -> HttpResponse:
    live = Q(valuations__deleted_at__isnull=True) & (
        Q(valuations__holding__isnull=True) | Q(valuations__holding__owner=request.user.pk)
    )
    sources = visible_sources(request.user).annotate(
        values_count=Count("valuations", filter=live), newest=Max("valuations__on", filter=live)
    )
    binned = Valuation.everything.filter(
        deleted_at__isnull=False, entered_by=request.user.pk
    ).select_related("source", "holding", "coin_type", "issue__coin_type")
    return render(
        request,
        "valuation/sources.html",
        {
            "sources": [(s, access.may_edit_entry(request.user, s.owner_id)) for s in sources],
            "binned": binned.order_by("-deleted_at")[:50],
        },
    )


def source_form(request: MemberRequest, pk: int | None = None) -> HttpResponse:
    """A new source, or one changed."""
    source = None if pk is None else _editable(request, pk)
    form = SourceForm(request.POST or None, instance=source, viewer=request.user)
    said, title = _("The source is recorded."), _("A new source of values")
    if source is not None:
        said, title = _("The source is changed."), _("Change a source of values")
    if saved(request, form, said):
        return redirect("price-sources")
    context = {"form": form, "title": title, "source": source}
    return render(request, "valuation/source_form.html", context)


@require_POST
def source_bin(request: MemberRequest, pk: int) -> HttpResponse:
    """Put a source that no value names any more into the bin."""
    source = _editable(request, pk)
    if Valuation.objects.filter(source=source).exists():
        messages.error(request, _("Values still come from this source. Put those away first."))
        return redirect("price-sources")
    said = _("The source is in the bin, where it stays for 90 days.")
    return into_bin(request, source, said, "price-sources")


def _editable(request: MemberRequest, pk: int) -> PriceSource:
    source: PriceSource = get_object_or_404(visible_sources(request.user), pk=pk)
    if not access.may_edit_entry(request.user, source.owner_id):
        raise PermissionDenied
    return source
