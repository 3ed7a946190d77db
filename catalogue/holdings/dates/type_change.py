"""The date of a piece whose type is changed: kept where it fits, asked for where it does not."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from django.utils.translation import gettext as _

from catalogue.holdings.dates.carried import Carried, as_read, carry, may_be_of
from series.dates.words import in_words
from series.models import CoinType, Issue
from series.text.words import years_text

KEPT_AS_READ, LEFT_OPEN = "as-read", "open"


def issue_label(issue: Issue) -> str:
    """ "1947 S", with what is peculiar about it: "1949, proof", "1950, not struck"."""
    parts = [issue.label]
    if issue.purpose != Issue.Purpose.CIRCULATION:
        parts.append(str(issue.get_purpose_display()))
    if issue.fact != Issue.Fact.STRUCK:
        parts.append(str(issue.get_fact_display()))
    return ", ".join(parts)


@dataclass(frozen=True)
class DateQuestion:
    """The date a piece had under another type, and what it may be under this one."""

    was: Issue
    coin_type: CoinType | None = None
    issues: list[Issue] = field(default_factory=list)
    read: str = ""

    @cached_property
    def carried(self) -> Carried[Issue]:
        return carry(self.was, self.issues)

    @property
    def kept(self) -> Issue | None:
        """The issue that is the same date."""
        return self.carried.issue

    @property
    def reading(self) -> str:
        """What was read, or how the date is kept when it is none of the type's, as EDTF."""
        return self.read.strip() or as_read(self.was)

    @property
    def fits_years(self) -> bool:
        """No date of the type is on record, but its years are, and they hold what was read.

        Such a date goes along as read. One with a mark does not: the mark would be lost.
        """
        return not self.was.mark_text and self._of_years is True

    @property
    def _of_years(self) -> bool | None:
        kind = self.coin_type
        if kind is None or self.issues:
            return None
        return may_be_of(self.reading, kind.first_year, kind.last_year)

    @property
    def words(self) -> str:
        """What does not fit, and what to do."""
        return f"{self.reason} {_('Which date does this piece bear?')}"

    @property
    def reason(self) -> str:
        names: dict[str, Any] = {"date": self.was.label, "type": self.coin_type}
        outside = _("It was %(date)s; %(type)s was struck %(years)s, not with that date.")
        if self.coin_type and self._of_years is False:
            names["years"] = years_text(self.coin_type.first_year, self.coin_type.last_year)
            return outside % names
        if not self.issues:
            return _("It was %(date)s; no dates of %(type)s are on record.") % names
        if self.carried.not_struck:
            return _("It was %(date)s; %(type)s was not struck with that date.") % names
        if self.carried.choices:
            return _("It was %(date)s; of %(type)s several dates could be meant.") % names
        span = _span(self.issues)
        if span:
            names["years"] = span
            return outside % names
        return _("It was %(date)s, which is none of the dates of %(type)s.") % names

    def options(self) -> list[Any]:
        """What the field of the date offers: what could be meant, all others, and neither."""
        meant = self.carried.choices
        others = [issue for issue in self.issues if issue not in meant]
        found: list[Any] = [("", _("choose …"))]
        for label, some in ((_("Could be meant"), meant), (_("Dates of this type"), others)):
            if some:
                found.append((label, [(str(one.pk), issue_label(one)) for one in some]))
        return [*found, (_("None of these"), self._neither())]

    def _neither(self) -> list[tuple[str, str]]:
        open_words = (LEFT_OPEN, _("the date is not known"))
        if not self.reading:
            return [open_words]
        said = in_words(self.reading)
        words = _("keep “%(date)s” as read") % {"date": said}
        if self.was.mark_text:
            words = _("keep “%(date)s” as read, without the mark %(mark)s") % {
                "date": said,
                "mark": self.was.mark_text,
            }
        return [(KEPT_AS_READ, words), open_words]


def dates_of(coin_type: CoinType) -> list[Issue]:
    """The dates of a type that can be chosen, oldest first. One query."""
    return list(coin_type.issues.filter(withdrawn=False))


def question_of(was: Issue, coin_type: CoinType, read: str = "") -> DateQuestion:
    """What becomes of a date under another type; asked where nothing is ``kept``.

    ``read`` is what was read of it on the piece.
    """
    return DateQuestion(was, coin_type, dates_of(coin_type), read)


def _span(issues: list[Issue]) -> str:
    years = [
        year
        for issue in issues
        if issue.fact == Issue.Fact.STRUCK
        for year in (issue.struck_from, issue.struck_to)
        if year is not None
    ]
    return years_text(min(years), max(years)) if years else ""
