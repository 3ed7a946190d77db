"""Entering many pieces: one line at a time by keyboard, or by ticking the dates of a type."""

from __future__ import annotations

from typing import cast

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_safe

from catalogue import access
from catalogue.holdings.entry import enter, habits_of, tick
from catalogue.holdings.fields import ids_from
from catalogue.holdings.forms import issue_label
from catalogue.holdings.grades import SCALES
from catalogue.holdings.held import HELD
from catalogue.holdings.plates import date_runs
from catalogue.holdings.quick_forms import QuickForm, TickForm
from catalogue.holdings.records import HoldingError
from catalogue.holdings.typeahead import (
    enterable_types,
    find_types,
    type_options,
    type_years,
)
from catalogue.models import Holding, Member
from series.models import Issue

ENTRIES = "quick-entries"
LAST = "quick-entry-last"
MOST_ENTRIES = 12
GRADE_CODES = [grade.code for scale in SCALES.values() for grade in scale]


@require_http_methods(["GET", "POST"])
def quick_entry(request: HttpRequest) -> HttpResponse:
    """One line a piece: type, date, grade, place, pieces; saved, and on to the next."""
    member = cast("Member", request.user)
    habits = habits_of(member)
    last = request.session.get(LAST, {})
    started = {"grade_scale": last.get("scale", habits.scale), "place": last.get("place")}
    form = QuickForm(request.POST or None, owner=member, initial=started)
    if request.method == "POST" and form.is_valid():
        made = enter(member, visibility=habits.visibility, **form.fields_of_holding())
        request.session[LAST] = {"scale": made.grade_scale, "place": made.place_id}
        entries = [made.pk, *request.session.get(ENTRIES, [])]
        request.session[ENTRIES] = entries[:MOST_ENTRIES]
        _say(request, made)
        return redirect("quick-entry")
    wrong = next((name for name in form.fields if name in form.errors), "type_text")
    form.fields[wrong].widget.attrs["autofocus"] = True
    context = {
        "section": "holdings",
        "form": form,
        "focus_type": wrong == "type_text",
        "types": type_options(form.read_type.choices),
        "issues": form.read_date.choices,
        "nothing_found": form.is_bound and form.read_type.coin_type is None,
        "entries": _entries(request),
        "grades": GRADE_CODES,
    }
    return render(request, "holdings/quick.html", context)


def _say(request: HttpRequest, made: Holding) -> None:
    words = {"number": made.accession, "label": made.label}
    if made.coin_type is not None and made.issue is None and made.date_reading:
        messages.warning(
            request,
            _("%(number)s: %(label)s. This date is none of the type's; it is kept as read.")
            % words,
        )
    else:
        messages.success(request, _("%(number)s: %(label)s") % words)


def _entries(request: HttpRequest) -> list[Holding]:
    """What was entered last in this session and is still there, the newest first."""
    ids = request.session.get(ENTRIES, [])
    found = {
        holding.pk: holding
        for holding in access.own_holdings(request.user)
        .filter(pk__in=ids)
        .select_related("coin_type__denomination", "issue", "place")
    }
    return [found[pk] for pk in ids if pk in found]


@require_safe
def type_search(request: HttpRequest) -> HttpResponse:
    """The options of the type's field for what was typed in it (``q``)."""
    found = type_options(find_types(request.user, request.GET.get("q", "")))
    return render(request, "holdings/_type_options.html", {"options": found})


@require_safe
def type_dates(request: HttpRequest, pk: int) -> HttpResponse:
    """The dates of a type as options: of a select by id, or of a text field (``as=text``)."""
    coin_type = get_object_or_404(enterable_types(request.user), pk=pk)
    issues = Issue.objects.filter(coin_type=coin_type, withdrawn=False)
    issues = issues.order_by("struck_from", "position", "pk")
    context = {
        "issues": [(issue, issue_label(issue)) for issue in issues],
        "as_text": request.GET.get("as") == "text",
    }
    return render(request, "holdings/_date_options.html", context)


@require_http_methods(["GET", "POST"])
def date_run(request: HttpRequest, key: str) -> HttpResponse:
    """Every date of a type as a box to tick; each newly ticked one becomes a piece."""
    member = cast("Member", request.user)
    coin_type = get_object_or_404(access.visible_types(member), key=key)
    habits = habits_of(member)
    last = request.session.get(LAST, {})
    started = {"grade_scale": last.get("scale", habits.scale), "place": last.get("place")}
    form = TickForm(request.POST or None, owner=member, initial=started)
    ticked = ids_from(request.POST.getlist("issue"))
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data
        try:
            made = tick(
                member,
                coin_type,
                ticked,
                scale=given["grade_scale"],
                grade=given["grade"],
                place=given["place"],
            )
        except HoldingError as error:
            form.add_error(None, str(error))
        else:
            place = given["place"].pk if given["place"] else None
            request.session[LAST] = {"scale": given["grade_scale"], "place": place}
            messages.success(request, _tick_words(len(made)))
            return redirect("date-run", coin_type.key)
    own = access.own_holdings(member).filter(status__in=HELD)
    (run,) = date_runs([coin_type], own)
    context = {
        "section": "holdings",
        "form": form,
        "run": run,
        "type": run.coin_type,
        "ticked": ticked,
        "years": type_years(coin_type),
        "grades": GRADE_CODES,
    }
    return render(request, "holdings/date_run.html", context)


def _tick_words(count: int) -> str:
    if not count:
        return _("Nothing new was ticked.")
    return ngettext("%(n)d piece is entered.", "%(n)d pieces are entered.", count) % {"n": count}
