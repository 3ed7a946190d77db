"""Bringing a list in, step by step: the file, its columns, the rehearsal, the result."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalogue import access
from catalogue.holdings.actions import habits_of
from catalogue.holdings.bulk.words import named as some_of
from catalogue.importing import tasks
from catalogue.importing.forms import BringForm, ColumnsForm, known_mappings
from catalogue.importing.keeping import (
    bring,
    choose_sheet,
    headings_of,
    proposal_for,
    remember,
    remove,
    tables_of,
)
from catalogue.importing.reading.lists import ListError, Mapping, Table
from catalogue.importing.taking_back import Touched, take_back, touched
from catalogue.members.currency_codes import currency_codes
from catalogue.members.requests import MemberRequest
from catalogue.models import ImportedList, ImportedRow, ListMapping
from catalogue.site.record_pages import own_or_404
from catalogue.working.beats import living

SHOWN_LISTS = 50
A_PAGE = 50
LOOKED_OVER = 5_000
"""Of so many pieces it is said beforehand that they were used, of more when they are taken back."""
State, Outcome = ImportedList.State, ImportedRow.Outcome
IN_ORDER = (
    Outcome.DOUBTFUL,
    Outcome.REFUSED,
    Outcome.CHANGE,
    Outcome.MAKE,
    Outcome.CHANGED,
    Outcome.MADE,
    Outcome.SAME,
    Outcome.LEFT,
)


@require_http_methods(["GET", "POST"])
def imports(request: MemberRequest) -> HttpResponse:
    """Bring a list; those that were brought; the mappings that are remembered."""
    form = BringForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        file = form.cleaned_data["file"]
        try:
            brought = bring(request.user, file, file.name, form.cleaned_data["pictures"])
        except ListError as refused:
            form.add_error("file", str(refused))
        else:
            return redirect("import", brought.pk)
    context = {
        "form": form,
        "lists": access.owned(ImportedList.objects.all(), request.user)[:SHOWN_LISTS],
        "known": access.owned(ListMapping.objects.all(), request.user),
    }
    return render(request, "importing/imports.html", context)


@require_safe
def import_page(request: MemberRequest, pk: int) -> HttpResponse:
    """Where a list stands: its columns, how far it is, the rehearsal, or what became of it."""
    brought = own_list(request, pk)
    if brought.state in (State.COLUMNS, State.FAILED):
        return redirect("import-columns", brought.pk)
    if brought.state in tasks.PENDING:
        return _progress(request, brought)
    if request.htmx:  # it was looked at how far it is: now it is done
        answer = HttpResponse()
        answer["HX-Refresh"] = "true"
        return answer
    return render(request, "importing/import.html", _rehearsal(request, brought))


def _progress(request: MemberRequest, brought: ImportedList) -> HttpResponse:
    context = {
        "brought": brought,
        "nobody_works": not living().exists(),
        "share": round(100 * brought.done / brought.total) if brought.total else 0,
    }
    template = "importing/_progress.html" if request.htmx else "importing/progress.html"
    return render(request, template, context)


def _rehearsal(request: MemberRequest, brought: ImportedList) -> dict[str, Any]:
    """The counts of the rows, and a page of those of one outcome."""
    counts = [(Outcome(name), brought.counts.get(name, 0)) for name in IN_ORDER]
    there = [(outcome, count) for outcome, count in counts if count]
    asked = request.GET.get("rows", "")
    chosen = asked if asked in Outcome.values else ""
    rows = ImportedRow.objects.filter(of=brought).select_related("piece__holding")
    rows = rows.filter(outcome=chosen) if chosen else rows
    figures = brought.counts
    taken = figures.get(Outcome.MADE, 0) + figures.get(Outcome.CHANGED, 0)
    return {
        "brought": brought,
        "counts": there,
        "chosen": chosen,
        "page": _page(request, rows.order_by("line")),
        "doubtful": figures.get(Outcome.DOUBTFUL, 0),
        "to_make": figures.get(Outcome.MAKE, 0),
        "to_change": figures.get(Outcome.CHANGE, 0),
        "taken": taken,
        "asked": _questions(brought),
        "touched": some_of(touched(brought)) if brought.taken_at and taken <= LOOKED_OVER else "",
    }


def _questions(brought: ImportedList) -> list[dict[str, Any]]:
    """The cells that may be read in two ways, each with the place of the way that is taken."""
    answers = brought.mapping.get("answers", {})
    asked = brought.mapping.get("asked", [])
    return [{**one, "chosen": answers.get(one["key"], 0)} for one in asked]


def _page(request: MemberRequest, rows: QuerySet[ImportedRow]) -> Any:
    return Paginator(rows, A_PAGE).get_page(request.GET.get("page"))


# ---- the columns ----
@require_http_methods(["GET", "POST"])
def import_columns(request: MemberRequest, pk: int) -> HttpResponse:
    """What each column is, as it seems, as it was remembered, or as it is corrected."""
    brought = own_list(request, pk)
    if _is_taken(brought):
        messages.info(request, _("Rows of this list are in already, so its columns stay."))
        return redirect("import", brought.pk)
    try:
        tables = tables_of(brought)
    except ListError as refused:
        return render(request, "importing/gone.html", {"brought": brought, "why": refused})
    table = _chosen_table(request, brought, tables)
    if request.method == "POST" and "known" in request.POST:
        return _use_known(request, brought)
    form = _columns_form(request, brought, table)
    if request.method == "POST" and "column-0" in request.POST and form.is_valid():
        _keep_columns(brought, table, form)
        return redirect("import", brought.pk)
    context = {
        "brought": brought,
        "form": form,
        "columns": list(form.columns()),
        "table": table,
        "tables": tables,
        "known": known_mappings(brought),
        "codes": currency_codes(),
    }
    return render(request, "importing/columns.html", context)


def _chosen_table(
    request: MemberRequest, brought: ImportedList, tables: tuple[Table, ...]
) -> Table:
    named = request.POST.get("sheet", "") if request.method == "POST" else ""
    if named and named != brought.sheet:
        choose_sheet(brought, named)
    return next((table for table in tables if table.name[:200] == brought.sheet), tables[0])


def _columns_form(request: MemberRequest, brought: ImportedList, table: Table) -> ColumnsForm:
    kept = brought.mapping
    initial = {
        "headed": kept.get("headed", True),
        "skip": kept.get("skip", 0),
        "currency": kept.get("currency", request.user.currency),
        "visibility": kept.get("visibility", habits_of(request.user).visibility),
    }
    sent = request.POST if request.method == "POST" and "column-0" in request.POST else None
    return ColumnsForm(brought, proposal_for(table), sent, initial=initial)


def _keep_columns(brought: ImportedList, table: Table, form: ColumnsForm) -> None:
    """Keep what the columns are, and have the rows read by it."""
    answers = brought.mapping.get("answers", {})
    brought.mapping = form.mapping() | ({"answers": answers} if answers else {})
    brought.headings = headings_of(table, Mapping.from_json(brought.mapping))
    brought.total = len(table.rows)
    if form.cleaned_data["save_as"]:
        remember(brought, form.cleaned_data["save_as"])
    tasks.read_rows(brought)


def _use_known(request: MemberRequest, brought: ImportedList) -> HttpResponse:
    """Take what was remembered under a name."""
    mine = access.owned(ListMapping.objects.all(), request.user)
    known = next((one for one in mine if one.name == request.POST.get("known")), None)
    if known is not None:
        brought.mapping = {**brought.mapping, **known.mapping}
        brought.save()
    return redirect("import-columns", brought.pk)


# ---- deeds ----
@require_POST
def import_take(request: MemberRequest, pk: int) -> HttpResponse:
    """Take in all rows that are to be made or changed."""
    brought = own_list(request, pk)
    if brought.state in (State.REHEARSAL, State.BACK):
        tasks.take_in(brought)
    return redirect("import", brought.pk)


@require_POST
def import_back(request: MemberRequest, pk: int) -> HttpResponse:
    """Take the whole list back."""
    brought = own_list(request, pk)
    try:
        count = take_back(brought)
    except Touched as refused:
        messages.error(request, str(refused))
    else:
        words = ngettext(
            "The list is taken back: %(n)d piece is as it was before.",
            "The list is taken back: %(n)d pieces are as they were before.",
            count,
        )
        messages.success(request, words % {"n": count})
    return redirect("import", brought.pk)


@require_POST
def import_again(request: MemberRequest, pk: int) -> HttpResponse:
    """Go on with a list whose task is lost."""
    brought = own_list(request, pk)
    tasks.begin_again(brought)
    return redirect("import", brought.pk)


@require_POST
def import_remove(request: MemberRequest, pk: int) -> HttpResponse:
    """Remove a list of which nothing is in; of others the way back would be lost."""
    brought = own_list(request, pk)
    if _is_taken(brought):
        messages.error(request, _("Its pieces are in. Take the list back first, then remove it."))
        return redirect("import", brought.pk)
    remove(brought)
    messages.success(request, _("The list is removed."))
    return redirect("imports")


@require_POST
def mapping_forget(request: MemberRequest, pk: int) -> HttpResponse:
    own_or_404(request, ListMapping.objects.all(), pk).delete()
    messages.success(request, _("These columns are no longer remembered."))
    return redirect("imports")


def own_list(request: MemberRequest, pk: int) -> ImportedList:
    return own_or_404(request, ImportedList.objects.select_related("owner"), pk)


def _is_taken(brought: ImportedList) -> bool:
    return ImportedRow.objects.filter(of=brought, outcome__in=ImportedRow.TAKEN).exists()
