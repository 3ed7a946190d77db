"""A talk as it is given, made from its record: one form for every way of giving it."""

from __future__ import annotations

from django.utils.translation import gettext as _

from catalogue import access
from catalogue.models import Stop, Talk
from catalogue.talks import words
from catalogue.talks.doors import Door
from catalogue.talks.drafts import paragraphs, standing
from catalogue.talks.faces import faces_shown
from catalogue.talks.kept_drafts import drafted, since
from catalogue.talks.met import Met, met
from catalogue.talks.opening_lines import lines_of, years_of
from catalogue.talks.pace import USUAL_PACE, seconds_of
from catalogue.talks.shown import Light, ShownStop, ShownTalk
from series.metal.material import metal_words
from series.models import Series
from series.telling.sentences import Sentence
from series.text.words import mm, years_text

LONGEST_CAPTION = 300
BRIEFS = 2
OF_THE_PIECE = "piece"
"""What rests on the record of the piece, its worth among it, is for the speaker alone."""


def shown_talk(talk: Talk, door: Door) -> ShownTalk:
    """The whole talk for whoever comes by this door. A constant number of queries."""
    stops = None if door.own else access.stops_shown(talk)
    found = met(talk, stops)
    numbers = {one.stop.pk: one.number for one in found}
    shown: list[ShownStop] = []
    last: int | None = None
    for one in found:
        compared = since(one.stop)
        before = last if compared is None else numbers.get(compared)
        if before is not None and before >= one.number:
            before = None  # the stops were put into another order since
        shown.append(_shown(talk, one, before, door))
        if one.is_coin and shown[-1].faces:
            last = one.number
    return ShownTalk(
        title=talk.title,
        given_by=talk.given_by,
        hall=talk.hall,
        minutes=talk.minutes or 0 if door.own else 0,
        pace=pace_of(talk) if door.own else 0,
        stops=tuple(shown),
    )


def _shown(talk: Talk, one: Met, before: int | None, door: Door) -> ShownStop:
    stop = one.stop
    said = standing(stop.notes, drafted(stop))
    return ShownStop(
        number=one.number,
        kind=stop.kind,
        heading=heading_of(one),
        caption=stop.caption or caption_of(one),
        where=_where(one),
        under=under_of(one),
        changed="; ".join(_briefs(said)) if before is not None else "",
        before=before if one.is_coin else None,
        held=stop.kind != Stop.Kind.TYPE,
        chapter=one.is_opening,
        lines=lines_of(one.record) if one.is_opening else (),
        faces=faces_shown(one, door),
        lights=lights_of(stop, said, door.own),
        notes=paragraphs(stop.notes) if door.own else (),
        seconds=stop_seconds(talk, stop) if door.own else 0,
    )


# ---- what of a stop is taken from its record ----
def heading_of(one: Met) -> str:
    """The heading of a stop: its own, else what its record is called."""
    return one.stop.heading or heading_from_record(one)


def heading_from_record(one: Met) -> str:
    if one.holding is not None:
        if one.coin_type is None:
            return str(_("Not identified yet"))
        date = one.holding.date_words
        name = one.coin_type.denomination.name
        return words.capital(f"{name}, {date}" if date else name)
    if one.coin_type is not None:
        span = years_text(one.coin_type.first_year, one.coin_type.last_year, short=False)
        name = one.coin_type.denomination.name
        return words.capital(f"{name}, {span}" if span else name)
    if one.record is not None:
        return words.capital(str(one.record))
    return str(one.stop.get_kind_display()) if one.stop.kind != Stop.Kind.TEXT else ""


def caption_of(one: Met) -> str:
    """What is described of both faces, as many sentences as a caption holds."""
    faces = one.coin_type.faces.all() if one.coin_type is not None else ()
    said = {face.side: face.description.strip() for face in faces}
    caption = ""
    for side in ("obverse", "reverse"):
        longer = f"{caption} {said.get(side, '')}".strip()
        caption = longer if len(longer) <= LONGEST_CAPTION else caption
    return caption


def under_of(one: Met) -> str:
    """The line beneath the heading: metal and size and where it was struck, or years."""
    if one.coin_type is None:
        return years_of(one.record) if one.is_opening else ""
    made = (metal_words(one.coin_type.metal), mm(one.coin_type.diameter_mm))
    parts = [", ".join(part for part in made if part)]
    if one.coin_type.name != made[0]:
        parts.append(one.coin_type.name)
    if one.holding is not None and one.holding.issue is not None:
        mints = dict.fromkeys(m.mint.name for m in one.holding.issue.marks.all() if m.mint)
        parts += [_("struck at %(mint)s") % {"mint": mint} for mint in mints]
    return " · ".join(part for part in parts if part)


def _where(one: Met) -> tuple[str, ...]:
    if isinstance(one.record, Series):
        return (one.record.issuer.name, words.capital(one.record.currency.name))
    if one.coin_type is None:
        return ()
    series, money = one.coin_type.series, one.coin_type.denomination.currency
    span = years_text(series.first_year, series.last_year, short=False)
    name = f"{series.name}, {span}" if span else series.name
    return (series.issuer.name, words.capital(money.name), name)


# ---- what is said, and for how long ----
def _for_the_ear(sentence: Sentence) -> bool:
    return any(path.partition(".")[0] == OF_THE_PIECE for path in sentence.cites)


def _briefs(said: list[Sentence]) -> list[str]:
    briefs = (each.brief for each in said if not _for_the_ear(each))
    return [brief for brief in briefs if brief][:BRIEFS]


def lights_of(stop: Stop, said: list[Sentence], own: bool) -> tuple[Light, ...]:
    """The place set by hand, else those that drafted sentences point at."""
    if stop.light_side and stop.light_clock is not None:
        return (Light(stop.light_side, float(stop.light_clock), stop.light_radius),)
    return tuple(
        Light(
            each.spot.side,
            float(each.spot.clock),
            each.spot.radius,
            each.brief or (each.text if own else ""),
        )
        for each in said
        if each.spot is not None and not _for_the_ear(each)
    )


def pace_of(talk: Talk) -> int:
    return talk.pace or USUAL_PACE


def look_of(talk: Talk, stop: Stop) -> int:
    """Seconds to look at a stop; an opening page or a text has none unless they were set."""
    if stop.look_seconds is not None:
        return stop.look_seconds
    return talk.look_seconds if stop.kind in Stop.COINS else 0


def stop_seconds(talk: Talk, stop: Stop) -> int:
    return seconds_of(
        stop.notes,
        pace=pace_of(talk),
        look=look_of(talk, stop),
        rehearsed=stop.rehearsed_seconds,
    )
