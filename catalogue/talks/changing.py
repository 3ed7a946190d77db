"""What is done to the stops of a talk: put in, moved, taken out. Each counts as an edit of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from catalogue.models import Stop, Talk
from catalogue.talks.proposing import MOST_STOPS, TooManyStops
from series.records import StaleEdit


def put_in(talk: Talk, stops: Sequence[Stop], after: int | None = None) -> None:
    """Put stops after the one of this number (from 1; 0 first, None last).

    Raises TooManyStops, and then nothing is put in.
    """
    with transaction.atomic():
        _touch(talk)
        there = list(talk.stops.order_by("position", "pk"))
        if len(there) + len(stops) > MOST_STOPS:
            raise TooManyStops(len(there) + len(stops))
        place = len(there) if after is None else min(after, len(there))
        for stop in stops:
            stop.talk = talk
        Stop.objects.bulk_create(stops)
        _renumber([*there[:place], *stops, *there[place:]])


def move(talk: Talk, seen_version: int, places: Mapping[int, float]) -> bool:
    """Put stops at the places asked for (from 1, by their ids); whether that changed anything.

    A stop that goes down stands after the one whose place it takes, one that goes up before it.
    Raises StaleEdit where the talk was changed since the version that was seen.
    """
    with transaction.atomic():
        taken = Talk.objects.select_for_update().get(pk=talk.pk)
        if taken.row_version != seen_version:
            raise StaleEdit(taken)
        there = list(talk.stops.order_by("position", "pk"))

        def place(at: tuple[int, Stop]) -> float:
            now, stop = at
            asked = places.get(stop.pk, now)
            return asked + 0.5 * ((asked > now) - (asked < now))

        ordered = [stop for _now, stop in sorted(enumerate(there, start=1), key=place)]
        if ordered == there:
            return False
        _renumber(ordered)
        _touch(talk)
    return True


def take_out(talk: Talk, stops: QuerySet[Stop]) -> int:
    """Put stops of a talk into the bin; how many."""
    with transaction.atomic():
        count: int = stops.filter(talk=talk).update(deleted_at=timezone.now())
        if count:
            _touch(talk)
    return count


def _renumber(stops: Sequence[Stop]) -> None:
    moved = []
    for position, stop in enumerate(stops):
        if stop.position != position:
            stop.position = position
            moved.append(stop)
    Stop.objects.bulk_update(moved, ["position"])


def _touch(talk: Talk) -> None:
    """Count an edit of the talk, so that an order that was seen before is refused."""
    Talk.objects.select_for_update().get(pk=talk.pk)
    talk.refresh_from_db()
    talk.save(update_fields=["changed_at"])
