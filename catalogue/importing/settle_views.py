"""Settling doubtful rows in a table, by keyboard; and what holds for many at once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST

from catalogue import access
from catalogue.holdings.finding.typeahead import type_label
from catalogue.importing import tasks
from catalogue.importing.pieces import heading_of
from catalogue.importing.settling import (
    Decision,
    doubtful,
    may_have_a_type,
    reopen,
    settle,
    settle_all,
    unlike_any,
)
from catalogue.importing.views import State, own_list
from catalogue.members.requests import MemberRequest
from catalogue.models import ImportedList, ImportedRow
from series.models import Issue
from series.text.stored_numbers import record_number

A_PAGE = 20
Choice = ImportedRow.Choice
WORDS = (Choice.PROVISIONAL, Choice.UNIDENTIFIED, Choice.LEAVE)
OF_ALL = {"rest": Choice.UNIDENTIFIED, "leave": Choice.LEAVE}


@dataclass(frozen=True)
class Offered:
    """A doubtful row as it is shown: its words, what it may be, how many are like it."""

    row: ImportedRow
    cells: list[tuple[str, str]]
    candidates: list[tuple[int, str, int]]
    others: int


@require_http_methods(["GET", "POST"])
def import_settle(request: MemberRequest, pk: int) -> HttpResponse:
    """The doubtful rows of a list, a page at a time; what was chosen is kept."""
    brought = own_list(request, pk)
    if brought.state not in (State.REHEARSAL, State.BACK):
        return redirect("import", brought.pk)
    if request.method == "POST":
        _tell(request, _kept(request, brought))
        left = doubtful(brought).exists()
        return redirect("import-settle" if left else "import", brought.pk)
    page = Paginator(doubtful(brought), A_PAGE).get_page(request.GET.get("page"))
    context = {
        "brought": brought,
        "page": page,
        "offered": _offered(brought, page.object_list, request),
        "count": page.paginator.count,
        "unknown": unlike_any(brought).count(),
        "without_type": may_have_a_type(brought).count(),
    }
    return render(request, "importing/settle.html", context)


def _kept(request: MemberRequest, brought: ImportedList) -> int:
    every = request.POST.get("every", "")
    if every == Choice.PROVISIONAL:
        return settle_all(brought, may_have_a_type(brought), every)
    if every == Choice.UNIDENTIFIED:
        return settle_all(brought, unlike_any(brought), every)
    if every in OF_ALL:
        return settle_all(brought, doubtful(brought), OF_ALL[every])
    lines = {
        line: value
        for name, value in request.POST.items()
        if name.startswith("line-") and (line := record_number(name.removeprefix("line-")))
    }
    rows = {row.line: row for row in doubtful(brought).filter(line__in=list(lines))}
    decisions: dict[int, Decision] = {}
    for line, value in lines.items():
        if line in rows and (decision := _decision(request, rows[line], str(value))):
            decisions[rows[line].pk] = decision
    return settle(brought, decisions)


def _decision(request: MemberRequest, row: ImportedRow, value: str) -> Decision | None:
    """What was chosen of a row: a word, or the place of a candidate."""
    alike = f"alike-{row.line}" in request.POST
    if value in WORDS:
        return Decision(value, None, alike)
    place = record_number(value)
    if place is None or not 1 <= place <= len(row.candidates):
        return None
    return Decision(Choice.TYPE, row.candidates[place - 1]["type"], alike)


def _tell(request: MemberRequest, count: int) -> None:
    words = ngettext("%(n)d row is settled.", "%(n)d rows are settled.", count)
    messages.success(request, words % {"n": count})


def _offered(
    brought: ImportedList, rows: Iterable[ImportedRow], request: MemberRequest
) -> list[Offered]:
    """The rows with their candidates in words. Four queries."""
    some = list(rows)
    named = [each for row in some for each in row.candidates]
    types = {
        one.pk: type_label(one)
        for one in access.visible_types(request.user)
        .filter(pk__in={each["type"] for each in named})
        .select_related("denomination", "series__issuer")
    }
    issues = {
        one.pk: one.label
        for one in Issue.objects.filter(pk__in={each["issue"] for each in named if each["issue"]})
    }
    counted: dict[str, int] = {}
    for alike in doubtful(brought).order_by().values_list("alike", flat=True):
        counted[alike] = counted.get(alike, 0) + 1
    offered = []
    for row in some:
        cells = [
            (heading_of(brought.headings, n), cell) for n, cell in enumerate(row.cells) if cell
        ]
        candidates = [
            (place, _words(types[each["type"]], issues.get(each["issue"], "")),
             round(100 * each["share"]))
            for place, each in enumerate(row.candidates, 1)
            if each["type"] in types
        ]  # fmt: skip
        others = counted.get(row.alike, 1) - 1 if row.alike else 0
        offered.append(Offered(row, cells, candidates, others))
    return offered


def _words(coin_type: str, issue: str) -> str:
    return ", ".join(part for part in (coin_type, issue) if part)


@require_POST
def import_reopen(request: MemberRequest, pk: int) -> HttpResponse:
    """Ask again what a row is."""
    brought = own_list(request, pk)
    line = record_number(request.POST.get("line", ""))
    row = ImportedRow.objects.filter(of=brought, line=line or 0).first()
    if row is not None:
        reopen(brought, row.pk)
    return redirect("import-settle", brought.pk)


@require_POST
def import_answer(request: MemberRequest, pk: int) -> HttpResponse:
    """How cells are taken that may be read in two ways; the rows are read anew."""
    brought = own_list(request, pk)
    if (
        brought.state != State.REHEARSAL
        or ImportedRow.objects.filter(of=brought, outcome__in=ImportedRow.TAKEN).exists()
    ):
        messages.info(request, _("Rows of this list are in already, so they are not read anew."))
        return redirect("import", brought.pk)
    answers: dict[str, Any] = dict(brought.mapping.get("answers", {}))
    for place, asked in enumerate(brought.mapping.get("asked", [])):
        chosen = record_number(request.POST.get(f"answer-{place}", ""))
        if chosen is not None and 1 <= chosen <= len(asked["labels"]):
            answers[asked["key"]] = chosen - 1
    brought.mapping = {**brought.mapping, "answers": answers}
    tasks.read_rows(brought)
    return redirect(reverse("import", args=[brought.pk]))
