"""Entering many pieces: one line at a time by keyboard, or by ticking the dates of a type."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_safe

from catalogue import access
from catalogue.holdings.actions import HoldingError, habits_of, next_accessions, set_problems
from catalogue.holdings.browse.plates import date_runs
from catalogue.holdings.dates.read import DateRead, mints_of, read_issue
from catalogue.holdings.dates.type_change import dates_of, issue_label
from catalogue.holdings.entry.chosen_coin import EnteredLine, chosen_coin, date_words, entered_lines
from catalogue.holdings.entry.forms import QuickForm, TickForm
from catalogue.holdings.entry.saving import SentBefore, enter, tick
from catalogue.holdings.fields import ids_from
from catalogue.holdings.finding.typeahead import (
    enterable_types,
    find_types,
    nothing_found,
    type_label,
    type_options,
)
from catalogue.holdings.grades import CODES
from catalogue.members.currency_codes import currency_codes
from catalogue.members.requests import MemberRequest
from catalogue.models import Holding, Member
from catalogue.photos.views import add_photos
from series.models import CoinType
from series.text.stored_numbers import record_number
from series.text.words import years_text

ENTRIES = "quick-entries"
LAST = "quick-entry-last"
MOST_ENTRIES = 12


@require_http_methods(["GET", "POST"])
def quick_entry(request: MemberRequest) -> HttpResponse:
    """One piece after the other: coin, date, grade, place; saved, and on to the next.

    What most pieces of a pile have in common is kept for the next one, also the coin.
    """
    member = request.user
    if request.method == "GET" and request.htmx:
        # After an undo: the lines themselves say what was done.
        list(messages.get_messages(request))
        return render(request, "holdings/_entered.html", {"lines": _lines(request)})
    habits = habits_of(member)
    last = request.session.get(LAST, {})
    folds = tuple(request.POST.getlist("fold") or last.get("folds", ()))
    started = {"grade_scale": habits.scale, "price_currency": member.currency, "quantity": 1}
    kept = last.get("kept", {})
    started |= kept | {"number": next_accessions(member)[0]}
    if "look" in request.POST:
        started |= request.POST.dict() | {"problems": request.POST.getlist("problems")}
    elif "type" in last:
        started |= {"coin_type": last["type"], "type_text": last["label"]}
    sent = request.method == "POST" and "look" not in request.POST
    form = QuickForm(
        request.POST if sent else None,
        request.FILES if sent else None,
        owner=member,
        initial=started,
        kept=kept,
        folds=folds,
    )
    if sent and form.is_valid():
        try:
            _enter(request, form, habits.visibility)
        except SentBefore as before:
            text = _("%(number)s was entered already: the form was sent twice.")
            messages.info(request, text % {"number": before.holding.accession})
        return redirect("quick-entry")
    return render(request, "holdings/quick.html", _quick_context(request, form))


def _quick_context(request: MemberRequest, form: QuickForm) -> dict[str, Any]:
    wrong = next((name for name in form.fields if name in form.errors), "")
    focus = wrong or ("date_text" if "look" in request.POST else "type_text")
    if not form.read_date.choices:
        form.fields[focus].widget.attrs["autofocus"] = True
    coin_type = form.read_type.coin_type
    return {
        "form": form,
        "focus_type": focus == "type_text" and not form.read_type.choices,
        "types": type_options(form.read_type.choices),
        "nothing_found": form.is_bound and coin_type is None,
        "lines": _lines(request),
        "picked": form.read_date.issue.pk if form.picked and form.read_date.issue else None,
        "grades": CODES,
        "codes": currency_codes(),
    } | _coin_context(request.user, coin_type, form.read_date)


def _lines(request: MemberRequest) -> list[EnteredLine]:
    return entered_lines(request.user, request.session.get(ENTRIES, []))


def _coin_context(member: Member, coin_type: CoinType | None, read: DateRead) -> dict[str, Any]:
    return {
        "chosen": chosen_coin(member, coin_type) if coin_type is not None else None,
        "read": read,
        "choices": [(issue, mints_of(issue)) for issue in read.choices],
        "said": date_words(member, read),
    }


def _enter(request: MemberRequest, form: QuickForm, visibility: str) -> None:
    """Save what the form says, and remember it for the next piece."""
    with transaction.atomic():
        made = enter(
            request.user,
            number=form.cleaned_data["number"],
            visibility=visibility,
            **form.fields_of_holding(),
        )
        set_problems(made, form.cleaned_data["problems"])
        add_photos(made, form.pictures(), trimmed=form.cleaned_data["trimmed"])
    last: dict[str, Any] = {"kept": form.kept(), "folds": request.POST.getlist("fold")}
    if made.coin_type is not None:
        last |= {"type": made.coin_type.pk, "label": type_label(made.coin_type)}
    request.session[LAST] = last
    request.session[ENTRIES] = [made.pk, *request.session.get(ENTRIES, [])][:MOST_ENTRIES]
    _say(request, made)


def _say(request: MemberRequest, made: Holding) -> None:
    words = {"number": made.accession, "label": made.label}
    if made.coin_type is not None and made.issue is None and made.date_reading:
        messages.warning(
            request,
            _("%(number)s: %(label)s. This date is none of the type's; it is kept as read.")
            % words,
        )
    else:
        messages.success(request, _("%(number)s: %(label)s") % words)


@require_safe
def quick_coin(request: MemberRequest) -> HttpResponse:
    """The coin that was chosen, with its dates, as a part of the page of quick entry."""
    return render(request, "holdings/_chosen_coin.html", _asked_coin(request.user, request))


@require_safe
def quick_date(request: MemberRequest) -> HttpResponse:
    """What is to be said of the date while it is typed, as a part of that page."""
    return render(request, "holdings/_date_said.html", _asked_coin(request.user, request))


def _asked_coin(member: Member, request: MemberRequest) -> dict[str, Any]:
    """The coin and date that the address names."""
    asked = request.GET
    pk = record_number(asked.get("coin_type"))
    coin_type = enterable_types(member).filter(pk=pk).first() if pk is not None else None
    read = DateRead()
    if coin_type is not None:
        read = read_issue(coin_type, asked.get("date_text", ""), asked.get("picked_issue", ""))
    return _coin_context(request.user, coin_type, read)


@require_safe
def type_search(request: MemberRequest) -> HttpResponse:
    """The options of the type's field for what was typed in it (``q``)."""
    text = request.GET.get("q", "")
    last = request.session.get(LAST, {}).get("type")
    found = type_options(find_types(request.user, text, last=last), text)
    note = nothing_found(request.user, text) if text.strip() and not found else ""
    return render(request, "holdings/_type_options.html", {"options": found, "note": note})


@require_safe
def type_dates(request: MemberRequest, pk: int) -> HttpResponse:
    """The dates of a type as the options of a select."""
    coin_type = get_object_or_404(enterable_types(request.user), pk=pk)
    context = {"issues": [(issue, issue_label(issue)) for issue in dates_of(coin_type)]}
    return render(request, "holdings/_date_options.html", context)


@require_http_methods(["GET", "POST"])
def date_run(request: MemberRequest, key: str) -> HttpResponse:
    """Every date of a type as a box to tick; each newly ticked one becomes a piece."""
    member = request.user
    coin_type = get_object_or_404(access.visible_types(member), key=key)
    habits = habits_of(member)
    last = request.session.get(LAST, {})
    kept = last.get("kept", {})
    started = {"grade_scale": kept.get("grade_scale", habits.scale), "place": kept.get("place")}
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
            now = {"grade_scale": given["grade_scale"], "place": place}
            request.session[LAST] = last | {"kept": kept | now}
            messages.success(request, _tick_words(len(made)))
            return redirect("date-run", coin_type.key)
    own = access.own_in_hand(member)
    (run,) = date_runs([coin_type], own)
    context = {
        "form": form,
        "run": run,
        "type": run.coin_type,
        "ticked": ticked,
        "years": years_text(coin_type.first_year, coin_type.last_year),
        "grades": CODES,
    }
    return render(request, "holdings/date_run.html", context)


def _tick_words(count: int) -> str:
    if not count:
        return _("Nothing new was ticked.")
    return ngettext("%(n)d piece is entered.", "%(n)d pieces are entered.", count) % {"n": count}
