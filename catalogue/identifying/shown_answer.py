"""An answer of the ranking with what the page shows beside it: drawings, dates, readings."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from catalogue.identifying.chances import in_figures
from series.identifying.answer import Answer, Candidate, IssueChance
from series.identifying.evidence import Evidence
from series.models import CoinType, Issue
from series.picture.drawing import fit_scale
from series.text.naming import joined
from series.text.words import years_text
from series.types.drawn import width_mm
from series.types.queries import shown_types
from series.years.calendars import CALENDARS
from series.years.reading import Reading
from series.years.readings import read_year
from series.years.struck import ShownIssue, struck

LARGEST_PX, SCALE = 92, 3.2
MOST_ISSUES_SAID = 5
MOST_READINGS = 40
ALWAYS_SHOWN, LEAST_SHOWN = 3, 0.005
EVEN = 0.02
"""Chances of issues that differ by less are not told apart on the page."""


@dataclass(frozen=True)
class CandidateRow:
    """One candidate with its record; ``likely_issue`` is the one more likely than not."""

    candidate: Candidate
    coin_type: CoinType

    @cached_property
    def issues(self) -> list[tuple[IssueChance, str]]:
        """The issues it may be, each with its chance in figures where they differ."""
        found = self.candidate.issues
        chances = [each.probability for each in found]
        differ = len(found) > 1 and max(chances) - min(chances) > EVEN
        return [(each, in_figures(each.probability) if differ else "") for each in found]

    @property
    def issues_words(self) -> str:
        """The likeliest first: "dated 1953 (90 %), 1958 (9 %)"; of many alike only how many."""
        said = [
            f"{each.label} ({chance})" if chance else each.label for each, chance in self.issues
        ]
        if len(said) > MOST_ISSUES_SAID + 1:
            first = sum(each.probability for each, _chance in self.issues[:MOST_ISSUES_SAID])
            if first < 0.5:
                return _("any of %(many)d issues") % {"many": len(said)}
            more = len(said) - MOST_ISSUES_SAID
            said = [*said[:MOST_ISSUES_SAID], _("and %(more)d more") % {"more": more}]
        return _("dated %(dates)s") % {"dates": ", ".join(said)} if said else ""

    @property
    def likely_issue(self) -> int | None:
        first = self.candidate.issues[:1]
        return first[0].issue_id if first and first[0].probability >= 0.5 else None


def rows_of(candidates: Iterable[Candidate]) -> list[CandidateRow]:
    """The candidates with their records. Two queries."""
    wanted = list(candidates)
    found = shown_types().filter(deleted_at=None).in_bulk([each.type_id for each in wanted])
    return [CandidateRow(each, found[each.type_id]) for each in wanted if each.type_id in found]


def scale_of(
    types: Iterable[CoinType],
    measured: float | None,
    *,
    largest_px: float = LARGEST_PX,
    most: float = SCALE,
) -> tuple[float, float]:
    """Pixels to the millimetre, ``most`` at most, and the mm of room that each is drawn in."""
    widths = [*map(width_mm, types), *([measured] if measured else [])]
    return fit_scale(widths, most, largest_px), max(widths, default=0.0)


def worth_showing(candidates: Sequence[Candidate]) -> list[Candidate]:
    """The first few, and of the others those that are not quite unlikely."""
    return [
        each
        for place, each in enumerate(candidates)
        if place < ALWAYS_SHOWN or each.probability >= LEAST_SHOWN
    ]


def none_leads(answer: Answer) -> bool:
    """Whether a coin that is not in the records is likelier than all types together."""
    return answer.none_of_these > 0.5


def only_date(evidence: Evidence) -> bool:
    """Whether the page is a calendar converter: a date and nothing else was put in."""
    return evidence.given == ("year",)


def shows_the_date(candidate: Candidate) -> bool:
    return any(each.kind == "year" and each.verdict == "for" for each in candidate.reasons)


@dataclass(frozen=True)
class ReadingLine:
    """One reading of the date: its calendar, the year shown, civil years, in words."""

    calendar: str
    about: str
    shown: str
    civil: str
    words: str
    struck: tuple[str, ...]


@dataclass(frozen=True)
class Readings:
    lines: list[ReadingLine]
    more: int

    @property
    def any_struck(self) -> bool:
        return any(line.struck for line in self.lines)


def readings_of(evidence: Evidence, rows: Sequence[CandidateRow]) -> Readings | None:
    """What the date may mean, and which candidates bear each reading. At most one query."""
    if not evidence.year:
        return None
    found = read_year(evidence.year, evidence.calendar)
    bearing = _bearing(found, rows)
    lines = [_line(reading, bearing) for reading in found[:MOST_READINGS]]
    return Readings(lines, max(0, len(found) - MOST_READINGS))


def _line(reading: Reading, bearing: dict[Reading, tuple[str, ...]]) -> ReadingLine:
    return ReadingLine(
        calendar=reading.calendar,
        about=CALENDARS.get(reading.calendar, ""),
        shown=years_text(reading.shown_year, reading.last_year, short=False),
        civil=years_text(reading.civil_from, reading.civil_to, short=False),
        words=reading.words,
        struck=bearing.get(reading, ()),
    )


def _bearing(
    readings: Collection[Reading], rows: Sequence[CandidateRow]
) -> dict[Reading, tuple[str, ...]]:
    """The candidates of which an issue shows a reading. One query, if there are any."""
    names = {row.coin_type.pk: _named(row.candidate) for row in rows}
    if not names:
        return {}
    issues: dict[str, list[ShownIssue]] = {}
    columns = ("coin_type_id", "shown", "calendar", "struck_from", "struck_to")
    shown = Issue.objects.filter(coin_type__in=names, withdrawn=False, fact=Issue.Fact.STRUCK)
    for pk, *date in shown.order_by().values_list(*columns):
        issues.setdefault(names[pk], []).append(ShownIssue(*date))
    found: dict[Reading, tuple[str, ...]] = {}
    for name in dict.fromkeys(names.values()):
        for reading in struck(readings, issues.get(name, ())):
            found[reading] = (*found.get(reading, ()), name)
    return found


def _named(candidate: Candidate) -> str:
    return joined(candidate.label, candidate.country)


def summary_of(answer: Answer, rows: Sequence[CandidateRow], evidence: Evidence, wrong: int) -> str:
    """The answer in a sentence, for the line that is read out as it changes."""
    said: list[Any] = []
    if only_date(evidence):
        many = len(read_year(evidence.year, evidence.calendar))
        words = ngettext(
            "The date can be read in one way.", "The date can be read in %(many)d ways.", many
        )
        said.append(words % {"many": many})
    elif evidence.given and rows:
        said.append(_likeliest(answer, rows[0].candidate))
    elif not evidence.given:
        said.append(_("Nothing to rank by yet."))
    if wrong:
        words = ngettext("One field cannot be read.", "%(many)d fields cannot be read.", wrong)
        said.append(words % {"many": wrong})
    return " ".join(said)


def _likeliest(answer: Answer, first: Candidate) -> str:
    words = _("Likeliest: %(name)s, %(chance)s.")
    if none_leads(answer):
        words = _("Likeliest: none of these, %(none)s.")
    elif answer.none_of_these > first.probability:
        words = _("Likeliest type: %(name)s, %(chance)s; none of these, %(none)s.")
    return words % {
        "name": _named(first),
        "chance": in_figures(first.probability),
        "none": in_figures(answer.none_of_these),
    }
