"""The plan of a talk: every stop with its picture and its time, and what to leave out."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

from django.urls import reverse

from catalogue.models import Holding, Stop, Talk
from catalogue.talks import words
from catalogue.talks.doors import OwnDoor
from catalogue.talks.met import Met, met
from catalogue.talks.pace import RESPECTS, Weighed, leave_out, loss_of, words_in
from catalogue.talks.queries import heading_of, stop_seconds, under_of
from catalogue.talks.remembered import redrafted
from series.models import CoinType
from series.types.drawn import width_mm

SCALE, LARGEST_PX = 2.1, 62
"""Pixels to the millimetre on the plan, and those of the widest coin; chosen by eye."""
SMALL = OwnDoor("small")


@dataclass
class Row:
    """A stop on the plan. ``number`` counts from 1; ``at`` is when it begins, in seconds."""

    one: Met
    number: int
    heading: str
    under: str
    seconds: int
    at: int
    redrafted: int = 0
    pictures: dict[str, str] = field(default_factory=dict)

    @property
    def stop(self) -> Stop:
        return self.one.stop

    @property
    def pk(self) -> str:
        """The stop's id as it stands in addresses, which is not written as an amount would be."""
        return str(self.stop.pk)

    @property
    def place(self) -> str:
        return str(self.number)

    @property
    def takes(self) -> str:
        return words.clock(self.seconds)

    @property
    def begins(self) -> str:
        return words.clock(self.at)

    @property
    def hidden(self) -> bool:
        """Whether whoever has the secret link is not shown this stop."""
        return not self.stop.shown or (kept_private(self.one) and not self.stop.though_private)


@dataclass
class Plan:
    talk: Talk
    rows: list[Row]
    leave_out: list[Row] | None
    """What to leave out to fit: empty where it fits, None where leaving out does not help."""

    @property
    def seconds(self) -> int:
        return sum(row.seconds for row in self.rows)

    @property
    def span(self) -> str:
        return words.span(self.seconds)

    @property
    def about(self) -> str:
        """The same to the minute, where there are any."""
        whole = round(self.seconds / 60) * 60
        return words.span(whole or self.seconds)

    @property
    def over(self) -> int:
        """Seconds beyond the minutes there are, below 0 where there is time left."""
        return self.seconds - self.talk.minutes * 60 if self.talk.minutes else 0

    @property
    def over_words(self) -> str:
        minutes = self.talk.minutes
        return words.over_or_under(self.seconds, minutes) if minutes else ""

    @property
    def saved(self) -> str:
        """What leaving out saves, in words."""
        return words.span(sum(row.seconds for row in self.leave_out or ()))

    @property
    def rehearsed(self) -> int:
        return sum(row.stop.rehearsed_seconds is not None for row in self.rows)

    @property
    def redrafted(self) -> int:
        return sum(row.redrafted for row in self.rows)

    @property
    def undrafted(self) -> int:
        """Stops that show something and at which nothing is said yet."""
        return sum(
            not row.stop.notes.strip() and row.stop.kind != Stop.Kind.TEXT for row in self.rows
        )

    @cached_property
    def types(self) -> list[CoinType]:
        found = {r.one.coin_type.pk: r.one.coin_type for r in self.rows if r.one.coin_type}
        return list(found.values())

    @cached_property
    def scale(self) -> float:
        """Pixels to the millimetre, one for the whole plan."""
        widths = [width_mm(coin_type) for coin_type in self.types]
        return round(min(SCALE, LARGEST_PX / max(widths)), 3) if widths else SCALE


def plan_of(talk: Talk) -> Plan:
    """The plan of a talk; a number of queries that does not grow."""
    found = met(talk, talk.stops.defer("drafted"))
    again = redrafted(talk, found)
    rows: list[Row] = []
    at = 0
    for one in found:
        seconds = stop_seconds(talk, one.stop)
        row = Row(one, one.number + 1, heading_of(one), under_of(one), seconds, at)
        row.redrafted = len(again.get(one.number, ()))
        row.pictures = pictures_of(one, SMALL)
        rows.append(row)
        at += seconds
    return Plan(talk, rows, _too_much(talk, rows, at))


def pictures_of(one: Met, door: OwnDoor) -> dict[str, str]:
    """The photographs of a piece that can be drawn to scale, by side."""
    return {side: door.photo(photo) for side, photo in one.photos.items() if photo.trimmed}


def kept_private(one: Met) -> bool:
    """Whether what a stop shows is a piece, or a picture of one, that its owner keeps private."""
    photo = one.stop.photo
    pieces = (one.holding, photo.holding if photo is not None else None)
    return any(p is not None and p.visibility == Holding.Visibility.PRIVATE for p in pieces)


# ---- what to leave out ----
def _too_much(talk: Talk, rows: list[Row], seconds: int) -> list[Row] | None:
    over = seconds - talk.minutes * 60 if talk.minutes else 0
    if over <= 0:
        return []
    weighed, before = [], None
    for row in rows:
        if not row.one.is_coin:
            continue
        differs = _differs(row.one.coin_type, before)
        loss = loss_of(words_in(row.stop.notes), differs)
        weighed.append(Weighed(row.number, row.seconds, loss))
        before = row.one.coin_type
    found = leave_out(weighed, over)
    if found is None:
        return None
    return [rows[each.number - 1] for each in found]


def _differs(coin_type: CoinType | None, before: CoinType | None) -> int:
    """In how many of pace.RESPECTS a coin differs from the one before."""
    if coin_type is None or before is None:
        return len(RESPECTS)
    if coin_type.pk == before.pk:
        return 0
    return sum(a != b for a, b in zip(_respects(coin_type), _respects(before), strict=True))


def _respects(coin_type: CoinType) -> tuple[object, ...]:
    described = frozenset(face.description for face in coin_type.faces.all() if face.side != "edge")
    return (
        coin_type.series.issuer_id,
        coin_type.denomination_id,
        coin_type.series_id,
        coin_type.metal,
        described,
    )


def talk_address(talk: Talk, stop: Stop | None = None) -> str:
    """The plan, at one of its stops."""
    address = reverse("talk", args=[talk.pk])
    return f"{address}#stop-{stop.pk}" if stop is not None else address
