"""What can be printed, own label stocks, and the sheets that were asked for."""

from __future__ import annotations

from datetime import timedelta
from pathlib import PurePath

from django.contrib import messages
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalogue import access
from catalogue.members.requests import MemberRequest
from catalogue.models import Aim, LabelStock, Sheet, WantList
from catalogue.printing import words
from catalogue.printing.forms import StockForm
from catalogue.printing.label_sheets import draw_trial
from catalogue.printing.queries import measures_of
from catalogue.printing.responses import drawn_now, file_name
from catalogue.printing.sheets import ENDINGS, PDF
from catalogue.printing.tasks import KEPT_DAYS, PENDING, TOO_LONG, ask_again, remove
from catalogue.site.record_pages import into_bin, own_or_404, saved
from catalogue.working.beats import living
from series.models import Issuer, Series

SHOWN_SHEETS = 20


@require_safe
def sheets(request: MemberRequest) -> HttpResponse:
    """Everything that can be printed, and what was made lately."""
    owner = request.user
    held = access.own_in_hand(owner)
    of_series = held.filter(coin_type__isnull=False).values("coin_type__series")
    series = Series.objects.filter(pk__in=of_series).select_related("issuer")
    context = {
        "pieces": held.count(),
        "series": series.order_by("issuer__name", "first_year", "name"),
        "countries": Issuer.objects.filter(series__in=series).distinct().order_by("name"),
        "aims": access.owned(Aim.objects.all(), owner),
        "lists": access.owned(WantList.objects.all(), owner),
        "stocks": access.owned(LabelStock.objects.all(), owner),
        "made": access.owned(Sheet.objects.all(), owner)[:SHOWN_SHEETS],
        "kept_days": KEPT_DAYS,
    }
    return render(request, "printing/sheets.html", context)


# ---- own label stock ----
@require_http_methods(["GET", "POST"])
def stock(request: MemberRequest, pk: int | None = None) -> HttpResponse:
    """A new stock, or one of one's own changed."""
    owner = request.user
    stock, name = LabelStock(owner=owner, paper=owner.paper), ""
    said = _("The stock is saved. Print its trial sheet before the labels.")
    if pk is not None:
        stock = _own_stock(request, pk)
        name, said = stock.name, _("The stock is saved.")
    form = StockForm(request.POST or None, instance=stock)
    if saved(request, form, said):
        return redirect("stock-edit", stock.pk)
    context = {"form": form, "stock": stock if pk else None, "name": name}
    return render(request, "printing/stock.html", context)


@require_POST
def stock_bin(request: MemberRequest, pk: int) -> HttpResponse:
    return into_bin(request, _own_stock(request, pk), _("The stock is in the bin."), "sheets")


@require_safe
def stock_trial(request: MemberRequest, pk: int) -> HttpResponse:
    """The outlines of all labels, to be held against the light with a sheet of them."""
    stock = _own_stock(request, pk)
    return drawn_now(request, lambda: draw_trial(measures_of(stock)), words.TRIAL_SHEET)


def _own_stock(request: MemberRequest, pk: int) -> LabelStock:
    return own_or_404(request, LabelStock.objects.all(), pk)


# ---- sheets that take long ----
@cache_control(private=True, no_store=True)
@require_safe
def sheet(request: MemberRequest, pk: int) -> HttpResponse:
    """How far a sheet is; asked again every two seconds until it is drawn or cannot be."""
    found = _own_sheet(request, pk)
    pending = found.state in PENDING
    late = pending and timezone.now() - found.made_at > TOO_LONG
    context = {
        "sheet": found,
        "pending": pending,
        "late": late,
        "nobody_draws": pending and not living().exists(),
        "share": round(100 * found.done / found.total) if found.total else 0,
        "is_pdf": found.file.endswith(PDF),
        "until": found.made_at + timedelta(days=KEPT_DAYS),
    }
    template = "printing/_sheet.html" if request.htmx else "printing/sheet.html"
    return render(request, template, context)


@cache_control(private=True, no_store=True)
@require_safe
def sheet_file(request: MemberRequest, pk: int) -> HttpResponseBase:
    found = _own_sheet(request, pk)
    if found.state != Sheet.State.READY or not default_storage.exists(found.file):
        raise Http404
    ending = PurePath(found.file).suffix
    return FileResponse(
        default_storage.open(found.file),
        content_type=ENDINGS[ending],
        filename=file_name(found.title, ending),
        as_attachment=ending != PDF,
    )


@require_POST
def sheet_again(request: MemberRequest, pk: int) -> HttpResponse:
    """Begin anew with a sheet that failed or takes too long."""
    found = _own_sheet(request, pk)
    ask_again(found)
    return redirect("sheet", found.pk)


@require_POST
def sheet_remove(request: MemberRequest, pk: int) -> HttpResponse:
    remove(_own_sheet(request, pk))
    messages.success(request, _("The sheet is taken away."))
    return redirect("sheets")


def _own_sheet(request: MemberRequest, pk: int) -> Sheet:
    return own_or_404(request, Sheet.objects.all(), pk)
