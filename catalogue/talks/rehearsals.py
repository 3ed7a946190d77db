"""A talk rehearsed: the seconds at each stop, and the pace they tell."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from catalogue.models import Stop, Talk
from catalogue.talks.pace import measured_pace, seconds_of, words_in
from catalogue.talks.queries import look_of, pace_of
from series.text.stored_numbers import record_number

LONGEST = 6 * 60 * 60
"""Seconds: the longest that one stop may take."""


class RehearsalForm(forms.Form):
    """Seconds at each stop of a talk, in order; 0 where it was left out."""

    seconds = forms.CharField(
        label=gettext_lazy("Seconds at each stop, in order, 0 where you left it out"),
        max_length=20_000,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    def __init__(self, *args: Any, stops: int, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.stops = stops

    def clean_seconds(self) -> list[int]:
        read = [record_number(word) for word in self.cleaned_data["seconds"].split()]
        seconds = [number for number in read if number is not None and number <= LONGEST]
        if len(seconds) != len(read):
            raise forms.ValidationError(
                _("Give whole numbers of seconds with spaces between, like 40 55 62.")
            )
        if len(seconds) != self.stops:
            raise forms.ValidationError(
                _(
                    "The talk has %(stops)d stops, but these are %(given)d numbers. If you changed "
                    "the talk since you began, rehearse it again."
                )
                % {"stops": self.stops, "given": len(seconds)}
            )
        if not any(seconds):
            raise forms.ValidationError(_("No time was taken: begin, and step through the talk."))
        return seconds


@transaction.atomic
def keep_rehearsal(talk: Talk, stops: list[Stop], seconds: list[int]) -> None:
    """Keep what each stop took, and the pace; a pace that cannot be told stays as it was."""
    for stop, took in zip(stops, seconds, strict=True):
        stop.rehearsed_seconds = took or None
    Stop.objects.bulk_update(stops, ["rehearsed_seconds"])
    pace = measured_pace(
        (words_in(stop.notes), took, look_of(talk, stop))
        for stop, took in zip(stops, seconds, strict=True)
    )
    if pace is not None:
        Talk.objects.filter(pk=talk.pk).update(pace=pace)
        talk.pace = pace


def compared(talk: Talk, stops: list[Stop], headings: list[str]) -> list[dict[str, Any]]:
    """What each stop took beside what its words take at the pace; None where none was kept."""
    pace = pace_of(talk)
    return [
        {
            "number": place,
            "heading": heading,
            "planned": seconds_of(stop.notes, pace=pace, look=look_of(talk, stop)),
            "took": stop.rehearsed_seconds,
        }
        for place, (stop, heading) in enumerate(zip(stops, headings, strict=True), 1)
    ]
