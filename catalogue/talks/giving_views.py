"""Giving a talk: the wall, the speaker's window, a rehearsal, and its secret link."""

from __future__ import annotations

from typing import Any

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from catalogue.members.requests import MemberRequest
from catalogue.models import Stop, Talk
from catalogue.site.record_pages import own_or_404
from catalogue.site.secret_links import share, unshare, with_new_link
from catalogue.talks.doors import OwnDoor
from catalogue.talks.giving import Wall, wall
from catalogue.talks.queries import shown_talk
from catalogue.talks.rehearsals import RehearsalForm, compared, keep_rehearsal
from catalogue.talks.words import span


def _own(request: HttpRequest, pk: int) -> Talk:
    return own_or_404(request, Talk.objects.all(), pk)


def _laid(talk: Talk, name: str, number: int, notes: bool) -> Wall:
    """The owner's talk; ``name`` is that of the address of one stop, ``number`` from 1."""
    shown = shown_talk(talk, OwnDoor())
    if not 1 <= number <= max(1, len(shown.stops)):
        raise Http404
    return wall(shown, lambda at: reverse(name, args=[talk.pk, at + 1]), number - 1, notes)


def _stops(talk: Talk) -> list[Stop]:
    return list(talk.stops.order_by("position", "pk"))


@require_safe
def talk_wall(request: MemberRequest, pk: int, number: int = 1) -> HttpResponse:
    """What listeners see, for its owner to give it."""
    talk = _own(request, pk)
    context = {
        "wall": _laid(talk, "talk-wall-stop", number, notes=False),
        "channel": _channel(talk),
        "speaker_address": reverse("talk-speaker", args=[talk.pk]),
        "leave_address": talk.get_absolute_url(),
    }
    return render(request, "talks/wall.html", context)


@require_safe
def talk_speaker(request: MemberRequest, pk: int, number: int = 1) -> HttpResponse:
    talk = _own(request, pk)
    return _speaker(request, talk, "talk-speaker-stop", number)


@require_http_methods(["GET", "POST"])
def talk_rehearse(request: MemberRequest, pk: int, number: int = 1) -> HttpResponse:
    """The speaker's window once more, which keeps what each stop took."""
    talk = _own(request, pk)
    stops = _stops(talk)
    form = RehearsalForm(request.POST or None, stops=len(stops))
    if request.method == "POST" and form.is_valid():
        keep_rehearsal(talk, stops, form.cleaned_data["seconds"])
        return redirect("talk-rehearsed", talk.pk)
    return _speaker(request, talk, "talk-rehearse-stop", number, rehearsal=form)


@require_safe
def talk_rehearsed(request: MemberRequest, pk: int) -> HttpResponse:
    """What a rehearsal took at each stop, and the pace it told."""
    talk = _own(request, pk)
    headings = [stop.heading for stop in shown_talk(talk, OwnDoor()).stops]
    rows = compared(talk, _stops(talk), headings)
    context = {
        "talk": talk,
        "rows": rows,
        "rehearsed": any(row["took"] for row in rows),
        "planned_words": span(sum(row["planned"] for row in rows)),
        "took_words": span(sum(row["took"] or 0 for row in rows)),
    }
    return render(request, "talks/rehearsed.html", context)


# ---- its secret link ----
@require_safe
def talk_link(request: MemberRequest, pk: int) -> HttpResponse:
    """Who can open it, and the link just made."""
    talk = _own(request, pk)
    context = {"talk": talk, "hidden": talk.stops.filter(shown=False).count()}
    return with_new_link(request, talk, "talks/link.html", "shown-talk", context)


@require_POST
def talk_share(request: HttpRequest, pk: int) -> HttpResponse:
    talk = _own(request, pk)
    share(request, talk)
    return redirect("talk-link", talk.pk)


@require_POST
def talk_unshare(request: HttpRequest, pk: int) -> HttpResponse:
    talk = _own(request, pk)
    unshare(request, talk)
    return redirect("talk-link", talk.pk)


def _channel(talk: Talk) -> str:
    """The name by which the windows of one talk find each other within a browser."""
    return f"talk-{talk.pk}"


def _speaker(request: HttpRequest, talk: Talk, name: str, number: int, **more: Any) -> HttpResponse:
    context = {
        "wall": _laid(talk, name, number, notes=True),
        "channel": _channel(talk),
        "wall_address": reverse("talk-wall", args=[talk.pk]),
        "leave_address": talk.get_absolute_url(),
        **more,
    }
    return render(request, "talks/speaker.html", context)
