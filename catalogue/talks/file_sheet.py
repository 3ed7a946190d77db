"""A talk's own file as it is asked for on a page: at once where it is short, else by a task."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from catalogue import access
from catalogue.models import Member, Talk
from catalogue.printing.responses import Order, SheetPage
from catalogue.printing.sheets import HTML, Parameters, Progress, silent
from catalogue.site.record_pages import own_or_404
from catalogue.talks.own_file import talk_file

STOPS_AT_ONCE = 12


class TalkFileForm(forms.Form):
    notes = forms.BooleanField(
        label=_("with my notes, for me"),
        required=False,
        help_text=_("The key N then shows what you say. Give such a file to nobody."),
    )


def draw_talk_file(
    owner: Member, parameters: Parameters, progress: Progress = silent
) -> Iterator[bytes]:
    """The file of a talk of one's own."""
    talk = access.owned(Talk.objects.all(), owner).get(pk=parameters["talk"])
    return talk_file(talk, bool(parameters["notes"]), progress)


class TalkFilePage(SheetPage):
    """A talk in one file of its own."""

    kind = "talk-file"
    name = "talk-file"
    route = "talks/<number:pk>/file/"
    draw = staticmethod(draw_talk_file)
    template = "talks/file.html"
    ending = HTML

    @property
    def talk(self) -> Talk:
        return own_or_404(self.request, Talk.objects.all(), self.kwargs["pk"])

    def form(self) -> TalkFileForm:
        self.asked = self.talk
        return TalkFileForm(self.request.POST if self.request.method == "POST" else None)

    def context(self) -> dict[str, Any]:
        return {"talk": self.asked}

    def order(self, form: TalkFileForm) -> Order:
        parameters = {"talk": self.asked.pk, "notes": form.cleaned_data["notes"]}
        return Order(self.asked.title, parameters, self.asked.stops.count(), STOPS_AT_ONCE)
