"""Notes drafted from records: what telling says at each stop, and what becomes of the notes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from django.utils import timezone

from catalogue import access
from catalogue.extensions import holding_extensions
from catalogue.holdings.grades import GradeError, grade
from catalogue.models import Holding, HoldingProblem, Stop, Talk
from catalogue.talks.drafts import Redrafted, added, changed, drafted_again, standing
from catalogue.talks.kept_drafts import drafted, kept
from catalogue.talks.met import Met, met
from series.telling.sentences import Sentence
from series.telling.story import Opening, PieceTold, Story
from series.telling.talk import Telling, tell
from series.types.telling_facts import (
    Shown,
    country_openings,
    currency_openings,
    series_openings,
    stories,
)

WORTH = "worth"


@dataclass(frozen=True)
class Told:
    """The stops of a talk, and what telling says at each of them now."""

    stops: list[Met]
    tellings: list[Telling]

    def added(self, number: int) -> list[Sentence]:
        """What would be said besides at a stop where drafts stand, or where nothing is said."""
        stop = self.stops[number].stop
        was = drafted(stop)
        if stop.notes.strip() and not standing(stop.notes, was):
            return []
        return added(stop.notes, was, self.tellings[number].sentences)

    def changed(self, number: int) -> list[Redrafted]:
        """The drafts at a stop that would be drafted otherwise now."""
        stop = self.stops[number].stop
        return changed(stop.notes, drafted(stop), self.tellings[number].sentences)


def told(talk: Talk, stops: list[Met] | None = None) -> Told:
    """What is told at each stop of a talk now. A number of queries that does not grow."""
    found = met(talk) if stops is None else stops
    return Told(found, tell(_told_from(talk, found), says_worth=talk.says_worth))


def draft(talk: Talk, only: Stop | None = None) -> int:
    """Draft the notes of all stops, or of one, as records are now; return how many changed.

    What the speaker wrote stays as it is.
    """
    now = told(talk)
    done: list[Stop] = []
    for one, telling in zip(now.stops, now.tellings, strict=True):
        stop = one.stop
        if only is not None and stop.pk != only.pk:
            continue
        before = (stop.notes, stop.drafted)
        _redraft(stop, telling, now.stops)
        if (stop.notes, stop.drafted) != before:
            done.append(stop)
    for stop in done:  # an edit form that was opened before is refused
        stop.row_version += 1
        stop.changed_at = timezone.now()
    fields = ["notes", "drafted", "row_version", "changed_at"]
    Stop.objects.bulk_update(done, fields, batch_size=100)
    return len(done)


def _redraft(stop: Stop, telling: Telling, stops: Sequence[Met]) -> None:
    stop.notes = drafted_again(stop.notes, drafted(stop), telling.sentences)
    since = stops[telling.before].stop.pk if telling.before is not None else None
    stop.drafted = kept(telling.sentences, since)


# ---- what it is told from ----
def _told_from(talk: Talk, found: Sequence[Met]) -> list[Story | Opening | None]:
    pieces = _pieces_told(talk, [one.holding for one in found if one.holding is not None])
    coins = [one for one in found if one.coin_type is not None]
    shown = [
        Shown(one.coin_type.pk, one.holding.issue_id, pieces[one.holding.pk])
        if one.holding is not None
        else Shown(one.coin_type.pk)
        for one in coins
        if one.coin_type is not None
    ]
    made: dict[int, Story | Opening | None] = {
        one.number: story for one, story in zip(coins, stories(shown), strict=True)
    }
    for kind, by_id in _openings(talk, found).items():
        made |= {
            one.number: by_id.get(one.record.pk)
            for one in found
            if one.stop.kind == kind and one.record is not None
        }
    return [made.get(one.number) for one in found]


def _openings(talk: Talk, found: Sequence[Met]) -> dict[str, Mapping[int, Opening]]:
    """What opening pages are told from: by kind of stop and the id of the record."""
    ids: dict[str, set[int]] = {kind: set() for kind in Stop.OPENINGS}
    for one in found:
        if one.is_opening and one.record is not None:
            ids[one.stop.kind].add(one.record.pk)
    made: dict[str, Mapping[int, Opening]] = {}
    if ids[Stop.Kind.COUNTRY]:
        made[Stop.Kind.COUNTRY] = country_openings(ids[Stop.Kind.COUNTRY])
    if ids[Stop.Kind.CURRENCY]:
        made[Stop.Kind.CURRENCY] = currency_openings(ids[Stop.Kind.CURRENCY])
    if ids[Stop.Kind.SERIES]:
        own = access.own_in_hand(talk.owner).filter(coin_type__isnull=False)
        held = set(own.values_list("coin_type_id", flat=True).distinct())
        made[Stop.Kind.SERIES] = series_openings(ids[Stop.Kind.SERIES], held)
    return made


def _pieces_told(talk: Talk, pieces: Sequence[Holding]) -> dict[int, PieceTold]:
    problems: dict[int, list[str]] = {}
    rows = HoldingProblem.objects.filter(holding__in=[each.pk for each in pieces]).order_by("pk")
    for problem in rows:
        problems.setdefault(problem.holding_id, []).append(str(problem))
    worths = _worths(talk, pieces) if talk.says_worth else {}
    return {
        each.pk: PieceTold(
            grade=_grade_words(each),
            rank=each.grade_rank,
            problems=tuple(problems.get(each.pk, ())),
            variety=each.variety.name if each.variety is not None else "",
            variety_note=each.variety.description if each.variety is not None else "",
            worth=worths.get(each.pk, ""),
        )
        for each in pieces
    }


def _grade_words(holding: Holding) -> str:
    try:
        return grade(holding.grade_scale, holding.grade).label if holding.grade else ""
    except GradeError:
        return ""


def _worths(talk: Talk, pieces: Sequence[Holding]) -> dict[int, str]:
    for extension in holding_extensions():
        if extension.key == WORTH:
            return extension.cells(list(pieces), talk.owner)
    return {}
