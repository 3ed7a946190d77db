"""What can be printed, own label stocks, and the sheets that were asked for."""

from __future__ import annotations

from datetime import timedelta
from typing import Any, cast

from django.contrib import messages
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalogue import access
from catalogue.models import Aim, LabelStock, Member, Sheet, WantList
from catalogue.printing.forms import StockForm
from catalogue.printing.label_sheets import draw_trial
from catalogue.printing.queries import measures_of
from catalogue.printing.responses import drawn_now
from catalogue.printing.tasks import KEPT_DAYS, PENDING, TOO_LONG, ask_again, remove
from catalogue.working.beats import living
from series.models import Issuer, Series

SHOWN_SHEETS = 20


@require_safe
def sheets(request: HttpRequest) -> HttpResponse:
    """Everything that can be printed, and what was made lately."""
    owner = cast("Member", request.user)
    held = access.own_in_hand(owner)
    of_series = held.filter(coin_type__isnull=False).values("coin_type__series")
    series = Series.objects.filter(pk__in=of_series).select_related("issuer")
    context = {
        "section": "sheets",
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
def stock_new(request: HttpRequest) -> HttpResponse:
    owner = cast("Member", request.user)
    stock = LabelStock(owner=owner, paper=owner.paper)
    form = StockForm(request.POST or None, instance=stock)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, _("The stock is saved. Print its trial sheet before the labels."))
        return redirect("stock-edit", stock.pk)
    return render(request, "printing/stock.html", {"section": "sheets", "form": form})


@require_http_methods(["GET", "POST"])
def stock_edit(request: HttpRequest, pk: int) -> HttpResponse:
    stock = _own_stock(request, pk)
    form = StockForm(request.POST or None, instance=stock)
    if request.method == "POST" and form.is_valid() and form.save_checked():
        messages.success(request, _("The stock is saved."))
        return redirect("stock-edit", stock.pk)
    name = LabelStock.objects.values_list("name", flat=True).get(pk=pk)
    context = {"section": "sheets", "form": form, "stock": stock, "name": name}
    return render(request, "printing/stock.html", context)


@require_POST
def stock_bin(request: HttpRequest, pk: int) -> HttpResponse:
    _own_stock(request, pk).bin()
    messages.success(request, _("The stock is in the bin."))
    return redirect("sheets")


@require_safe
def stock_trial(request: HttpRequest, pk: int) -> HttpResponse:
    """The outlines of all labels, to be held against the light with a sheet of them."""
    stock = _own_stock(request, pk)
    return drawn_now(request, lambda: draw_trial(measures_of(stock)), _("Trial sheet"))


def _own_stock(request: HttpRequest, pk: int) -> LabelStock:
    return get_object_or_404(access.owned(LabelStock.objects.all(), request.user), pk=pk)


# ---- sheets that take long ----
@require_safe
def sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """How far a sheet is; asked again every two seconds until it is drawn or cannot be."""
    found = _own_sheet(request, pk)
    pending = found.state in PENDING
    late = pending and timezone.now() - found.made_at > TOO_LONG
    context = {
        "section": "sheets",
        "sheet": found,
        "pending": pending,
        "late": late,
        "nobody_draws": pending and not living().exists(),
        "share": round(100 * found.done / found.total) if found.total else 0,
        "until": found.made_at + timedelta(days=KEPT_DAYS),
    }
    asked_again: Any = getattr(request, "htmx", False)
    template = "printing/_sheet.html" if asked_again else "printing/sheet.html"
    answer = render(request, template, context)
    answer["Cache-Control"] = "private, no-store"
    return answer


@require_safe
def sheet_file(request: HttpRequest, pk: int) -> HttpResponseBase:
    found = _own_sheet(request, pk)
    if found.state != Sheet.State.READY or not default_storage.exists(found.file):
        raise Http404
    name = f"{slugify(found.title) or 'sheet'}.pdf"
    answer = FileResponse(
        default_storage.open(found.file), content_type="application/pdf", filename=name
    )
    answer["Cache-Control"] = "private, no-store"
    return answer


@require_POST
def sheet_again(request: HttpRequest, pk: int) -> HttpResponse:
    """Begin anew with a sheet that failed or takes too long."""
    found = _own_sheet(request, pk)
    ask_again(found)
    return redirect("sheet", found.pk)


@require_POST
def sheet_remove(request: HttpRequest, pk: int) -> HttpResponse:
    remove(_own_sheet(request, pk))
    messages.success(request, _("The sheet is taken away."))
    return redirect("sheets")


def _own_sheet(request: HttpRequest, pk: int) -> Sheet:
    return get_object_or_404(access.owned(Sheet.objects.all(), request.user), pk=pk)
