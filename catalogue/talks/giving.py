"""A talk laid out for giving it: its stops with their faces drawn, and where each is found."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from django.utils.html import conditional_escape
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from catalogue.talks.shown import Light, ShownFace, ShownStop, ShownTalk
from catalogue.talks.stage import face_svg, light_words, rule_svg, to_scale
from catalogue.talks.words import clock
from series.picture.coins import coin_defs

LONG, LONGEST = 28, 60
"""Letters from which a heading is set smaller, and much smaller; chosen by eye."""

MUCH_CHANGED = 75
"""Letters from which what changed is set smaller; chosen by eye."""

WORDY = 120
"""Letters from which a caption is set smaller, and its heading too; chosen by eye."""


@dataclass(frozen=True)
class StagedFace:
    """A face as it is drawn, and what has to be said of its size."""

    svg: SafeString
    words: str
    scaled: bool = True


@dataclass(frozen=True)
class Staged:
    """A stop with its faces drawn, its address, and those of the stops beside it ("" for none)."""

    stop: ShownStop
    faces: tuple[StagedFace, ...]
    address: str
    place: int = 0
    count: int = 1
    back: str = ""
    on: str = ""
    before_words: str = ""
    hidden: bool = False
    with_notes: bool = False
    after: ShownStop | None = None

    @property
    def kind(self) -> str:
        """The classes of the stop: how it is laid out, and how much is written on it."""
        words = ["chapter"] if self.stop.chapter else ["coin" if self.faces else "text"]
        if self.stop.kind == "text":
            words = ["text"]
        if len(self.faces) == 1:
            words.append("one-face")
        if self.faces:
            words.append("pictured")
        if len(self.caption) > WORDY:
            words.append("wordy")
        return " ".join(words)

    @property
    def scaled(self) -> bool:
        """Whether anything on it is drawn at the scale of the talk."""
        return any(face.scaled for face in self.faces)

    @property
    def length(self) -> str:
        letters = len(self.stop.heading)
        return "longest" if letters > LONGEST else "long" if letters > LONG else ""

    @property
    def where(self) -> tuple[str, ...]:
        return tuple(name for name in self.stop.where if name)

    @property
    def changed_length(self) -> str:
        return "long" if len(self.stop.changed) > MUCH_CHANGED else ""

    @property
    def caption(self) -> str:
        """What stands under the heading beside the line of the record."""
        return "" if self.stop.caption == self.stop.under else self.stop.caption

    @property
    def seconds(self) -> int | str:
        return self.stop.seconds if self.with_notes else ""

    @property
    def number_words(self) -> str:
        return stop_words(self.place, self.count)

    @property
    def planned_words(self) -> str:
        seconds = self.stop.seconds
        words = ngettext("planned %(n)d second", "planned %(n)d seconds", seconds)
        return words % {"n": seconds} if seconds else ""

    @property
    def light_words(self) -> list[str]:
        """Where each light is; what is there stands in the notes."""
        return [light_words(replace(light, words="")) for light in self.stop.lights]

    @property
    def paragraphs(self) -> list[SafeString]:
        """The notes, the words that a light belongs to marked."""
        return [_spotted(text, self.stop.lights) for text in self.stop.notes]


@dataclass(frozen=True)
class Wall:
    """All that a page of the wall needs; ``at`` is the place among the stops that is shown first.

    ``notes``: whether the speaker's notes may stand on the page.
    """

    talk: ShownTalk
    stops: tuple[Staged, ...]
    at: int = 0
    notes: bool = False

    @property
    def defs(self) -> SafeString:
        return coin_defs()

    @property
    def rule(self) -> SafeString:
        return mark_safe(rule_svg(self.talk.widest_mm))

    @property
    def hall(self) -> str:
        return "light-hall" if self.talk.hall == "light" else "dark-hall"

    @property
    def progress(self) -> float:
        return round(1000 * (self.at + 1) / max(1, len(self.stops)), 1)

    @property
    def progress_words(self) -> str:
        return stop_words(self.at, len(self.stops))

    @property
    def ticks(self) -> list[float]:
        """Where chapters begin on the line of progress, but for the first stop."""
        count = max(1, len(self.stops))
        return [
            round(1000 * place / count, 1)
            for place, each in enumerate(self.stops)
            if place and each.stop.chapter
        ]

    @property
    def planned(self) -> int:
        """The seconds there are: as set, else what all stops take."""
        return self.talk.minutes * 60 or sum(each.stop.seconds for each in self.stops)

    @property
    def planned_words(self) -> str:
        return clock(self.planned)


def stop_words(place: int, count: int) -> str:
    return _("Stop %(n)d of %(all)d") % {"n": place + 1, "all": count}


def wall(
    talk: ShownTalk,
    address: Callable[[int], str],
    at: int = 0,
    notes: bool = False,
    all_seen: bool = False,
) -> Wall:
    """A talk laid out; ``address`` gives that of the stop at a place, ``all_seen`` hides none."""
    at = min(max(0, at), max(0, len(talk.stops) - 1))
    staged = tuple(
        Staged(
            stop,
            _staged_faces(stop, talk.widest_mm, notes),
            address(place),
            place=place,
            count=len(talk.stops),
            back=address(place - 1) if place else "",
            on=address(place + 1) if place + 1 < len(talk.stops) else "",
            before_words=_before_words(stop, talk.stops),
            hidden=not all_seen and place != at,
            with_notes=notes,
            after=talk.stops[place + 1] if place + 1 < len(talk.stops) else None,
        )
        for place, stop in enumerate(talk.stops)
    )
    return Wall(talk, staged, at, notes)


def _staged_faces(stop: ShownStop, widest_mm: float, notes: bool) -> tuple[StagedFace, ...]:
    """The faces; what a light points at is told in a sentence of the notes, so only with these."""
    told = (light if notes else replace(light, words="") for light in stop.lights)
    lights = list(enumerate(told))
    return tuple(
        StagedFace(
            mark_safe(face_svg(face, widest_mm, stop.held, lights)),
            _size_words(face),
            to_scale(face),
        )
        for face in stop.faces
    )


def _size_words(face: ShownFace) -> str:
    return "" if face.trimmed or not face.width_mm else _("a photograph, not to scale")


def _before_words(stop: ShownStop, stops: Sequence[ShownStop]) -> str:
    if stop.before is None:
        return ""
    before = next((each for each in stops if each.number == stop.before), None)
    if before is None or not before.faces:
        return ""
    return _("the one before: %(what)s") % {"what": before.heading}


def _spotted(text: str, lights: Sequence[Light]) -> SafeString:
    """A paragraph, each light's words in it marked with the number of the light."""
    parts: list[str] = [str(conditional_escape(text))]
    for at, light in enumerate(lights):
        words = str(conditional_escape(light.words))
        for place, part in enumerate(parts):
            if words and not part.startswith("<span") and words in part:
                head, tail = part.split(words, 1)
                marked = f'<span class="spot" data-light="{at}">{words}</span>'
                parts[place : place + 1] = [head, marked, tail]
                break
    return mark_safe("".join(parts))
