"""Pages and files of insurance schedules; each is its owner's alone."""

from __future__ import annotations

import csv
from decimal import Decimal
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from catalogue import access
from catalogue.members.requests import MemberRequest
from catalogue.site.csv_cells import cell
from catalogue.site.record_pages import own_or_404
from catalogue.site.stored_files import delete_unnamed, named_by
from valuation.schedules.drawing import fields_in_words
from valuation.schedules.forms import ScheduleForm
from valuation.schedules.making import NothingToList, is_unchanged, make_schedule
from valuation.schedules.models import Schedule, ScheduleLine
from valuation.schedules.object_id import FIELDS, label

PER_PAGE = 100


@require_safe
def schedule_list(request: MemberRequest) -> HttpResponse:
    schedules = access.owned(Schedule.objects.all(), request.user)
    page = Paginator(schedules, PER_PAGE).get_page(request.GET.get("page"))
    return render(request, "valuation/schedules.html", {"page": page})


def schedule_new(request: MemberRequest) -> HttpResponse:
    form = ScheduleForm(request.POST or None, viewer=request.user)
    if request.method == "POST" and form.is_valid():
        try:
            schedule = make_schedule(request.user, form.terms(), form.holdings())
        except NothingToList as problem:
            form.add_error("which", str(problem))
        else:
            messages.success(
                request, _("Schedule %(number)s is made.") % {"number": schedule.number}
            )
            return redirect(schedule)
    return render(request, "valuation/schedule_form.html", {"form": form})


@require_safe
def schedule_page(request: MemberRequest, pk: int) -> HttpResponse:
    schedule = _own(request, pk)
    lines = list(schedule.lines.all())
    items = [line for line in lines if not line.grouped]
    page = Paginator(items, PER_PAGE).get_page(request.GET.get("page"))
    return render(
        request,
        "valuation/schedule.html",
        {
            "schedule": schedule,
            "page": page,
            "described": [
                (line, fields_in_words(line.facts["object_id"])) for line in page.object_list
            ],
            "groups": [line for line in lines if line.grouped],
            "unchanged": is_unchanged(schedule),
            "without_photographs": sum(
                not line.facts["object_id"]["photographs"] for line in items
            ),
            "unvalued": sum(line.facts["unvalued"] for line in lines if line.grouped),
        },
    )


@cache_control(private=True, no_store=True)
@require_safe
def schedule_csv(request: MemberRequest, pk: int) -> HttpResponse:
    """The schedule as a table (RFC 4180), one row a line."""
    schedule = _own(request, pk)
    response = HttpResponse(content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{schedule.number}.csv"'
    writer = csv.writer(response)
    heading = ["Line", "Kind", "Inventory number", "Piece", "Country", "Series", "Pieces"]
    heading += ["Each", "Amount", "Currency", "Grade", "Value", "Rate of exchange"]
    writer.writerow([*heading, *(label(field) for field in FIELDS)])
    for line in schedule.lines.all():
        writer.writerow([cell(text) for text in _row(schedule, line)])
    writer.writerow(["Total", "", "", "", "", "", schedule.pieces, "", schedule.total])
    return response


def schedule_delete(request: MemberRequest, pk: int) -> HttpResponse:
    schedule = _own(request, pk)
    if request.method == "POST":
        number = schedule.number
        named = named_by(schedule.photographs.all())
        schedule.delete()
        delete_unnamed(named)
        messages.success(request, _("Schedule %(number)s is deleted.") % {"number": number})
        return redirect("schedules")
    return render(request, "valuation/schedule_delete.html", {"schedule": schedule})


def _own(request: HttpRequest, pk: int) -> Schedule:
    return own_or_404(request, Schedule.objects.all(), pk)


def _row(schedule: Schedule, line: ScheduleLine) -> list[str]:
    facts: dict[str, Any] = line.facts
    amount = [str(line.amount), schedule.currency]
    if line.grouped:
        words = _("%(valued)d with a value, together %(known)s; %(rest)d at %(rate)s each") % {
            "valued": facts["valued"],
            "known": Decimal(facts["known"]),
            "rest": facts["unvalued"],
            "rate": Decimal(facts["rate"]),
        }
        where = [facts["country"], facts["series"], str(line.pieces)]
        return [str(line.position), _("together"), "", "", *where, "", *amount, "", words]
    said = facts["object_id"]
    return [
        str(line.position),
        _("one by one"),
        facts["inventory_number"],
        facts["label"],
        facts["country"],
        facts["series"],
        str(line.pieces),
        facts["each"],
        *amount,
        facts["grade"],
        facts["value"]["words"],
        facts["rate"],
        *(_text(said[field]) for field in FIELDS),
    ]


def _text(said: Any) -> str:
    if not isinstance(said, list):
        return str(said)
    return "; ".join(x if isinstance(x, str) else f"{x['side']} {x['digest']}" for x in said)
