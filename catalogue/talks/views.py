"""A member's talks: made from a selection, planned, changed, put into the bin."""

from __future__ import annotations

from django.contrib import messages
from django.db import transaction
from django.db.models import Count, Q
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalogue import access
from catalogue.holdings.fields import ids_from
from catalogue.members.requests import MemberRequest
from catalogue.models import Stop, Talk
from catalogue.printing.selection import in_words
from catalogue.site.record_pages import into_bin, own_or_404, saved
from catalogue.talks import proposing
from catalogue.talks.adding import may_add
from catalogue.talks.changing import move, put_in, take_out
from catalogue.talks.drafting import draft
from catalogue.talks.forms import AddStopsForm, NewTalkForm, TalkForm
from catalogue.talks.pace import USUAL_PACE
from catalogue.talks.plan import plan_of
from catalogue.talks.proposing import MOST_STOPS, Line, TooManyStops
from series.records import StaleEdit
from series.text.stored_numbers import whole_number

PLACE = "place-"


def own_talk(request: MemberRequest, pk: int) -> Talk:
    return own_or_404(request, Talk.objects.all(), pk)


@require_safe
def talks(request: MemberRequest) -> HttpResponse:
    live = Count("stops", filter=Q(stops__deleted_at__isnull=True))
    found = access.owned(Talk.objects.all(), request.user).annotate(stop_count=live)
    return render(request, "talks/talks.html", {"talks": found})


@require_http_methods(["GET", "POST"])
def talk_new(request: MemberRequest) -> HttpResponse:
    """A new talk of what an address of browsing finds, or of the pieces ticked there."""
    member, query = request.user, request.GET.urlencode()
    absent = proposing.missing(member, query)
    offered = list(absent[: proposing.MOST_MISSING])
    counts = {
        which: len(proposing.lines_of(member, query, which)) for which, _said in proposing.WHICH
    }
    form = NewTalkForm(
        request.POST or None,
        instance=Talk(owner=member, title=proposing.title_of(member, query)),
        missing=offered,
        counts=counts,
    )
    if request.method == "POST" and form.is_valid():
        made = _made(request, form, query)
        if made is not None:
            return redirect(made)
    context = {
        "form": form,
        "pieces": counts["all"],
        "said": in_words(member, query),
        "most": MOST_STOPS,
        "more_missing": max(0, absent.count() - len(offered)) if offered else 0,
    }
    return render(request, "talks/talk_new.html", context)


def _made(request: MemberRequest, form: NewTalkForm, query: str) -> Talk | None:
    """The talk with its stops and drafted notes, or None, and the form says why."""
    asked = form.cleaned_data
    lines = proposing.lines_of(request.user, query, asked["which"])
    lines += [Line(each.pk) for each in asked.get("missing") or ()]
    try:
        stops = proposing.stops_for(lines, asked["order"], with_openings=asked["openings"])
    except TooManyStops as error:
        form.add_error(None, str(error))
        return None
    with transaction.atomic():
        made: Talk = form.save()
        put_in(made, stops)
        draft(made)
    return made


@require_safe
def talk(request: MemberRequest, pk: int) -> HttpResponse:
    """The plan: all stops in order, how long each takes, and what to leave out to fit."""
    found = own_talk(request, pk)
    context = {"talk": found, "plan": plan_of(found), "usual_pace": USUAL_PACE, "most": MOST_STOPS}
    return render(request, "talks/talk.html", context)


@require_http_methods(["GET", "POST"])
def talk_edit(request: MemberRequest, pk: int) -> HttpResponse:
    found = own_talk(request, pk)
    form = TalkForm(request.POST or None, instance=found)
    if saved(request, form, _("The talk is saved.")):
        return redirect(found)
    return render(request, "talks/talk_form.html", {"form": form, "talk": found})


@require_POST
def talk_remove(request: MemberRequest, pk: int) -> HttpResponse:
    found = own_talk(request, pk)
    found.end_link()
    return into_bin(request, found, _("The talk is in the bin."), "talks")


@require_POST
def talk_order(request: MemberRequest, pk: int) -> HttpResponse:
    """Put the stops into the order of the numbers that were typed beside them."""
    found = own_talk(request, pk)
    places: dict[int, float] = {}
    for name, text in request.POST.items():
        stop = whole_number(name.removeprefix(PLACE)) if name.startswith(PLACE) else None
        if stop is None:
            continue
        place = whole_number(str(text).strip())
        if place is None or not 0 <= place <= MOST_STOPS:
            said = _("“%(text)s” is no place in the talk: give a number from 1 to %(n)d.")
            messages.error(request, said % {"text": str(text)[:20], "n": found.stops.count()})
            return redirect(found)
        places[stop] = place
    try:
        changed = move(found, whole_number(request.POST.get("row_version", "")) or 0, places)
    except StaleEdit:
        messages.error(
            request,
            _("The talk was changed since this page was opened; its order is as it stands now."),
        )
    else:
        if changed:
            messages.success(request, _("The order is saved."))
    return redirect(found)


@require_http_methods(["GET", "POST"])
def talk_add(request: MemberRequest, pk: int) -> HttpResponse:
    """Put in a text, opening pages, pieces by their numbers, types that are not held."""
    found = own_talk(request, pk)
    form = AddStopsForm(request.POST or None, talk=found, **may_add(found))
    if request.method == "POST" and form.is_valid():
        stops = form.stops()
        put_in(found, stops, form.cleaned_data["after"])
        words = ngettext("%(n)d stop is put in.", "%(n)d stops are put in.", len(stops))
        messages.success(request, words % {"n": len(stops)})
        return redirect(found)
    return render(request, "talks/talk_add.html", {"form": form, "talk": found})


@require_POST
def talk_draft(request: MemberRequest, pk: int) -> HttpResponse:
    """Draft the notes of every stop as the records are now."""
    found = own_talk(request, pk)
    count = draft(found)
    words = ngettext(
        "The notes of %(n)d stop are drafted; what you wrote yourself stays.",
        "The notes of %(n)d stops are drafted; what you wrote yourself stays.",
        count,
    )
    said = words % {"n": count} if count else _("The notes are as the records are already.")
    messages.success(request, said)
    return redirect(found)


@require_POST
def talk_leave_out(request: MemberRequest, pk: int) -> HttpResponse:
    """Take the ticked stops out of the talk."""
    found = own_talk(request, pk)
    count = take_out(found, Stop.objects.filter(pk__in=ids_from(request.POST.getlist("stop"))))
    words = ngettext("%(n)d stop is taken out.", "%(n)d stops are taken out.", count)
    messages.success(request, words % {"n": count} if count else _("Tick a stop first."))
    return redirect(found)
