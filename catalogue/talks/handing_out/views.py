"""The page from which all that remains of a talk is taken along, and its files of text."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods, require_safe

from catalogue.members.requests import MemberRequest
from catalogue.models import Talk
from catalogue.site.record_pages import own_or_404
from catalogue.talks.doors import OwnDoor
from catalogue.talks.handing_out import cues, words
from catalogue.talks.handing_out.forms import CaptionsForm
from catalogue.talks.queries import shown_talk
from catalogue.talks.shown import ShownStop, ShownTalk


@require_safe
def take_along(request: MemberRequest, pk: int) -> HttpResponse:
    """Everything of a talk that can be printed or kept."""
    talk = _own(request, pk)
    context = {"talk": talk, "count": talk.stops.count(), "papers": ("A4", "Letter")}
    return render(request, "talks/take_along.html", context)


@require_http_methods(["GET", "POST"])
def captions(request: MemberRequest, pk: int) -> HttpResponse:
    """Captions for a recording, or a list of the times at which the stops begin."""
    talk = _own(request, pk)
    shown = shown_talk(talk, OwnDoor())
    form = CaptionsForm(request.POST or None, stops=len(shown.stops))
    if request.method == "POST" and form.is_valid():
        return _timed(request, talk, shown, form)
    context = {"form": form, "talk": talk, "count": len(shown.stops), "times": _times_note(talk)}
    return render(request, "talks/captions.html", context)


def _timed(request: HttpRequest, talk: Talk, shown: ShownTalk, form: CaptionsForm) -> HttpResponse:
    planned = [stop.seconds * 1000 for stop in shown.stops]
    starts, lengths, note = cues.starts_of(planned), planned, _times_note(talk)
    if form.marks:
        starts, lengths = cues.from_marks(form.marks, planned)
        note = words.MARKED
    if request.POST.get("do") == "times":
        stops = [cues.Spoken(stop.number + 1, stop.heading) for stop in shown.stops]
        return _file(cues.times_list(shown.title, stops, starts, note), shown.title, "times.txt")
    spoken = [_spoken(stop, form.cleaned_data["written"]) for stop in shown.stops]
    first = starts[0] if starts else 0
    text = cues.webvtt(cues.cues(spoken, lengths, first), note)
    return _file(text, shown.title, "captions.vtt", "text/vtt")


def _spoken(stop: ShownStop, written: str) -> cues.Spoken:
    if written == "notes":
        return cues.Spoken(stop.number + 1, "", " ".join(stop.notes))
    return cues.Spoken(stop.number + 1, stop.heading, stop.caption)


@require_safe
def notes(request: MemberRequest, pk: int) -> HttpResponse:
    """What the speaker says, as plain text."""
    talk = shown_talk(_own(request, pk), OwnDoor())
    return _file(cues.notes_text(talk), talk.title, "notes.txt")


def _own(request: HttpRequest, pk: int) -> Talk:
    return own_or_404(request, Talk.objects.all(), pk)


def _times_note(talk: Talk) -> str:
    """Where the times of a talk come from."""
    rehearsed = [stop.rehearsed_seconds is not None for stop in talk.stops.all()]
    if rehearsed and all(rehearsed):
        return words.REHEARSED
    return words.PARTLY_REHEARSED if any(rehearsed) else words.PLANNED


def _file(text: str, title: str, kind: str, content_type: str = "text/plain") -> HttpResponse:
    response = HttpResponse(text, content_type=f"{content_type}; charset=utf-8")
    name = f"{slugify(title) or 'talk'}-{kind}"
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    response["Cache-Control"] = "private, no-store"
    return response
