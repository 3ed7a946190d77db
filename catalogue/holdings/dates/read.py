"""What a date written for a piece means: an issue of its type, one of several, or a reading."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from django.db.models import Prefetch
from django.utils.translation import gettext as _

from catalogue.holdings.finding.coin_words import close
from series.dates.words import in_words
from series.dates.written import DateError, Edtf, read_date_input
from series.models import CoinType, Issue, Mark
from series.text.words import years_text


@dataclass(frozen=True)
class DateRead:
    """What a text in the date's field means for a type.

    Either an issue, or issues to choose from, or a reading in EDTF that is none of its dates.
    ``doubt`` says why a reading can hardly be right: it is kept only when it is asked for twice.
    """

    issue: Issue | None = None
    choices: list[Issue] = field(default_factory=list)
    reading: str = ""
    doubt: str = ""
    error: str = ""


def read_issue(coin_type: CoinType | None, text: str, picked: str = "") -> DateRead:
    """The issue of a type by its date as written ("1947 S"), else what was read, as EDTF.

    An issue that was picked counts as long as the text can mean it. Without a date the only
    issue of a type is taken. One query, and two for the marks.
    """
    issues = issues_of(coin_type) if coin_type is not None else []
    struck = [issue for issue in issues if issue.fact != Issue.Fact.NOT_STRUCK]
    one = _picked(struck, picked)
    if not text.strip():
        return DateRead(one or (struck[0] if len(struck) == 1 else None))
    if one is not None and one in _meant(struck, text):
        return DateRead(one)
    if one is not None:
        return DateRead(
            error=_("You wrote %(text)s and chose %(date)s: leave one of them out.")
            % {"text": text.strip(), "date": one.label}
        )
    found = _meant(struck, text)
    if len(found) == 1:
        return DateRead(found[0])
    if found:
        return DateRead(choices=found, error=_("It was struck in several ways: choose one."))
    try:
        read = read_date_input(text)
    except DateError as error:
        return DateRead(error=str(error))
    return DateRead(reading=str(read), doubt=_doubt(coin_type, issues, text, read))


def issues_of(coin_type: CoinType) -> list[Issue]:
    """All dates of a type with their marks, in order of years."""
    marks = Mark.objects.select_related("mint")
    issues = coin_type.issues.filter(withdrawn=False)
    return list(issues.prefetch_related(Prefetch("marks", queryset=marks)))


def mints_of(issue: Issue) -> str:
    """The mints that the marks of an issue (prefetched) name: "Saltmouth"."""
    return ", ".join(mark.mint.name for mark in issue.marks.all() if mark.mint is not None)


def _picked(issues: list[Issue], picked: str) -> Issue | None:
    return next((issue for issue in issues if str(issue.pk) == picked), None)


def _meant(issues: list[Issue], text: str) -> list[Issue]:
    """The issues whose label the text is, else those that show it, else those of that year."""
    wanted = close(text)
    ways: tuple[Callable[[Issue], str], ...] = (
        lambda issue: close(issue.label),
        lambda issue: close(issue.shown),
        lambda issue: str(issue.struck_from),
    )
    for way in ways:
        found = [issue for issue in issues if wanted and way(issue) == wanted]
        if found:
            return found
    return []


def _doubt(coin_type: CoinType | None, issues: list[Issue], text: str, read: Edtf) -> str:
    never = [issue for issue in issues if issue.fact == Issue.Fact.NOT_STRUCK]
    if _meant(never, text):
        return _("%(date)s was not struck.") % {"date": _meant(never, text)[0].label}
    if coin_type is None or not _outside(read, coin_type.first_year, coin_type.last_year):
        return ""
    years = years_text(coin_type.first_year, coin_type.last_year, short=False)
    return _("%(date)s lies outside %(years)s.") % {"date": in_words(str(read)), "years": years}


def _outside(read: Edtf, first: int | None, last: int | None) -> bool:
    """Whether none of the years that a reading may mean lies between these."""
    years = read.candidate_years
    if years is not None:
        return not any((first or year) <= year <= (last or year) for year in years)
    too_early = first is not None and read.upper_year is not None and read.upper_year < first
    too_late = last is not None and read.lower_year is not None and read.lower_year > last
    return too_early or too_late
