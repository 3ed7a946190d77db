"""One stop of a talk: what is said and shown there, drafted again, taken out."""

from __future__ import annotations

from django.contrib import messages
from django.db.models import QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from catalogue.members.requests import MemberRequest
from catalogue.models import Stop, Talk
from catalogue.site.record_pages import saved
from catalogue.talks import words
from catalogue.talks.changing import take_out
from catalogue.talks.cited import sourced
from catalogue.talks.doors import OwnDoor
from catalogue.talks.drafting import draft, told
from catalogue.talks.drafts import standing
from catalogue.talks.forms import StopForm
from catalogue.talks.kept_drafts import drafted
from catalogue.talks.pace import words_in
from catalogue.talks.plan import kept_private, pictures_of, talk_address
from catalogue.talks.queries import (
    caption_of,
    heading_from_record,
    heading_of,
    pace_of,
    stop_seconds,
    under_of,
)
from catalogue.talks.views import own_talk
from series.types.drawn import width_mm

FACE_PX = 170
MEDIUM = OwnDoor("medium")


@require_http_methods(["GET", "POST"])
def talk_stop(request: MemberRequest, pk: int, stop: int) -> HttpResponse:
    """What is said and shown at a stop, and which records its drafted sentences rest on."""
    talk = own_talk(request, pk)
    now = told(talk)
    one = next((each for each in now.stops if each.stop.pk == stop), None)
    if one is None:
        raise Http404
    usual = {
        "heading": heading_from_record(one),
        "caption": caption_of(one),
        "look_seconds": str(talk.look_seconds if one.is_coin else 0),
    }
    was = one.stop.notes
    form = StopForm(request.POST or None, instance=one.stop, private=kept_private(one), usual=usual)
    if saved(request, form, _("The stop is saved.")):
        following = request.POST.get("do") == "next" and one.number + 1 < len(now.stops)
        if following:
            return redirect("talk-stop", talk.pk, now.stops[one.number + 1].stop.pk)
        return redirect(talk_address(talk, one.stop))
    drafts = standing(was, drafted(one.stop))
    context = {
        "talk": talk,
        "form": form,
        "one": one,
        "heading": heading_of(one),
        "under": under_of(one),
        "pictures": pictures_of(one, MEDIUM),
        "scale": FACE_PX / width_mm(one.coin_type) if one.coin_type is not None else 1,
        "picture": MEDIUM.photo(one.stop.photo) if one.stop.photo is not None else "",
        "sourced": sourced(drafts, one, now),
        "changed": now.changed(one.number),
        "added": now.added(one.number) if was.strip() else [],
        "can_draft": bool(now.tellings[one.number].sentences),
        "before": now.stops[one.number - 1].stop if one.number else None,
        "after": now.stops[one.number + 1].stop if one.number + 1 < len(now.stops) else None,
        "total": len(now.stops),
        "words": words_in(was),
        "takes": words.span(stop_seconds(talk, one.stop)),
        "pace": pace_of(talk),
    }
    return render(request, "talks/stop.html", context)


def _own_stop(talk: Talk, pk: int) -> QuerySet[Stop]:
    found: QuerySet[Stop] = talk.stops.filter(pk=pk)
    if not found.exists():
        raise Http404
    return found


@require_POST
def talk_stop_draft(request: MemberRequest, pk: int, stop: int) -> HttpResponse:
    """Draft the notes of one stop as the records are now."""
    talk = own_talk(request, pk)
    found = _own_stop(talk, stop).get()
    done = draft(talk, found)
    messages.success(
        request,
        _("The notes are drafted again; what you wrote yourself stays.")
        if done
        else _("The notes are as the records are already."),
    )
    return redirect("talk-stop", talk.pk, found.pk)


@require_POST
def talk_stop_remove(request: MemberRequest, pk: int, stop: int) -> HttpResponse:
    talk = own_talk(request, pk)
    take_out(talk, _own_stop(talk, stop))
    messages.success(
        request, _("The stop is taken out. “Recent changes” puts it back, with its notes.")
    )
    return redirect(talk_address(talk))
