"""The life of a piece, for its owner: what its records say of each day, and what was changed.

What stands in a record of its own (a loan, a photograph, a promise, a value) is told from that
record on its day; the history tells the rest, also what is no longer there.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import Any

from django.db.models import Model
from django.utils import timezone

from catalogue import access
from catalogue.extensions import holding_extensions
from catalogue.history import words
from catalogue.history.steps import Names, steps_of
from catalogue.history.taking_back import standing
from catalogue.members.requests import Viewer
from catalogue.models import Alteration, Deed, Holding, Photo, Reservation, StatusChange
from series.dates.words import day_in_words

SHOWN = 10
"""More than these are folded."""
MOST = 200
"""More changes than these stand on the page of the history alone."""

Row = tuple[str, int]
_Done = tuple[Deed, list[Alteration]]
_STATUS = StatusChange._meta.label_lower


@dataclass(frozen=True)
class Event:
    """Something that happened on a day, in words, and who did it; ``deed`` where one is known."""

    on: date
    lines: list[str]
    by: str = ""
    at: datetime | None = None
    deed: Deed | None = None

    @property
    def order(self) -> tuple[date, time]:
        return self.on, self.at.time() if self.at is not None else time.max


@dataclass(frozen=True)
class Last:
    """The last change of a record that may be taken back, and what that would take back."""

    deed: Deed
    undo: list[str]


@dataclass(frozen=True)
class Life:
    """The newest first. ``undo`` says what taking back the last change would take back."""

    shown: list[Event]
    folded: list[Event]
    undo: list[str] = field(default_factory=list)
    last: Deed | None = None
    since: str = ""


def life_of(holding: Holding, viewer: Viewer) -> Life:
    """The life of a piece; nothing for whoever may not see what only its owner sees."""
    rows = list(
        access.history_of(viewer, holding).select_related("deed__by").order_by("-pk")[:MOST]
    )[::-1]
    if not access.may_see_private(viewer, holding):
        return Life([], [])
    names = Names(rows, viewer)
    told, dated = _dated(holding, viewer)
    of_deed: dict[Deed, list[Alteration]] = {}
    for row in rows:
        of_deed.setdefault(row.deed, []).append(row)
    deeds = list(of_deed.items())
    changes = [_change(deed, some, names, told, viewer) for deed, some in deeds]
    why = next((row.deed.why for row in rows if _is_entry(row)), "")
    entered = _event(holding.created_at, [words.entered(why)])
    events = [entered, *dated, *(each for each in changes if each.lines)]
    events.sort(key=lambda event: event.order, reverse=True)
    last = last_of(deeds)
    undo = [step.words for step in steps_of(last[1], names)] if last else []
    known = not rows or any(_is_entry(row) for row in rows) or len(rows) == MOST
    return Life(
        events[:SHOWN],
        events[SHOWN:],
        undo,
        last[0] if last and undo else None,
        "" if known else day_in_words(timezone.localdate(rows[0].deed.at)),
    )


def last_change(record: Model, viewer: Viewer) -> Last | None:
    """The last change of a record of the catalogue, for whoever may take it back."""
    if not access.may_undo(viewer, record):
        return None
    rows = access.history_of(viewer, record).select_related("deed").order_by("-pk")
    newest = list(rows[:MOST])[::-1]
    of_deed: dict[Deed, list[Alteration]] = {}
    for row in newest:
        of_deed.setdefault(row.deed, []).append(row)
    last = last_of(list(of_deed.items()))
    undo = [step.words for step in steps_of(last[1], Names(newest, viewer))] if last else []
    return Last(last[0], undo) if last and undo else None


def events_of(record: Any, viewer: Viewer) -> list[Event]:
    """What was changed of a record beside its pieces, and when it was entered; newest first."""
    rows = list(access.history_of(viewer, record).select_related("deed__by").order_by("-pk")[:MOST])
    names = Names(rows, viewer)
    of_deed: dict[Deed, list[Alteration]] = {}
    for row in rows[::-1]:
        of_deed.setdefault(row.deed, []).append(row)
    changes = [_change(deed, some, names, set(), viewer) for deed, some in of_deed.items()]
    why = next((row.deed.why for row in rows if _is_entry(row)), "")
    entered = _event(record.created_at, [words.entered(why)])
    return [*(each for each in changes[::-1] if each.lines), entered]


def named_doer(deed: Deed, viewer: Viewer) -> str:
    """Who did it, where the viewer may know that member; "" for the viewer and for nobody."""
    if deed.by is None or deed.by.pk == viewer.pk:
        return ""
    return str(deed.by) if deed.by.is_active or access.may_keep_members(viewer) else ""


def _is_entry(row: Alteration) -> bool:
    return row.before is None and row.row == row.subject


def last_of(deeds: list[_Done]) -> _Done | None:
    """The last change that was not taken back; none where that is the entry itself."""
    left = standing({deed.pk: deed.takes_back_id for deed, _rows in deeds})
    found = next((each for each in deeds if left and each[0].pk == left[0]), None)
    return None if found is None or any(_is_entry(row) for row in found[1]) else found


def _change(
    deed: Deed, rows: list[Alteration], names: Names, told: set[Row], viewer: Viewer
) -> Event:
    """What a deed did, without what is told from a record of its own."""
    left = [row for row in rows if row.before is not None or (row.row, row.row_id) not in told]
    steps = steps_of(left, names)
    if any(row.row == _STATUS for row in rows):  # which is told on its own day
        steps = [step for step in steps if step.what != "status"]
    lines = [step.words for step in steps]
    if lines and deed.takes_back_id is not None:
        lines = [f"taken back: {line}" for line in lines]
    return _event(deed.at, lines, named_doer(deed, viewer), deed)


def _event(at: datetime, lines: list[str], by: str = "", deed: Deed | None = None) -> Event:
    local = timezone.localtime(at)
    return Event(local.date(), lines, by, local, deed)


# ---- what stands in records ----
def _dated(holding: Holding, viewer: Viewer) -> tuple[set[Row], list[Event]]:
    """What its records tell of a piece, and in which rows that stands."""
    told: set[Row] = set()
    events = [*_acquired_and_graded(holding), *_photographed(holding, told)]
    for change in holding.status_changes.all():
        told.add((_STATUS, change.pk))
        said = (change.get_status_display(), change.with_whom, change.paid, change.note)
        events.append(Event(change.on, [words.happened(*map(str, said))]))
    promise: Any = getattr(holding, "reservation", None)
    if promise is not None:
        told.add((Reservation._meta.label_lower, promise.pk))
        events.append(_event(promise.made_at, [words.promised(str(promise.wanted_by))]))
    seen: Any = getattr(holding, "observation", None)
    if seen is not None:
        events.append(_event(seen.kept_at, [words.LOOKED_AT]))
    for extension in holding_extensions():
        for happening in extension.life(holding, viewer):
            told.add(happening.row)
            events.append(Event(happening.on, [happening.words]))
    return told, events


def _acquired_and_graded(holding: Holding) -> Iterator[Event]:
    if holding.acquired_on is not None:
        price = f"{holding.price_currency} {holding.price}" if holding.price is not None else ""
        yield Event(holding.acquired_on, [words.acquired(holding.acquired_from, price)])
    if holding.graded_on is not None:
        yield Event(holding.graded_on, [words.graded(holding.grade, holding.graded_by)])


def _photographed(holding: Holding, told: set[Row]) -> Iterator[Event]:
    """The photographs that are there, those taken or brought in on one day together."""
    of_day: dict[tuple[date, bool], list[Photo]] = defaultdict(list)
    photos: Iterable[Photo] = holding.photos.all()
    for photo in photos:
        told.add((Photo._meta.label_lower, photo.pk))
        day = photo.taken_on or timezone.localdate(photo.created_at)
        of_day[day, photo.taken_on is not None].append(photo)
    for (day, dated), some in of_day.items():
        line = words.photographed([str(each.get_side_display()) for each in some])
        yield Event(day, [line]) if dated else _event(some[0].created_at, [line])
