"""Types and dates in a bulk change: what each holding becomes, with few queries for many."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from catalogue.holdings.dates.carried import carry_reading
from catalogue.holdings.dates.read import DateRead, read_issue
from catalogue.holdings.dates.type_change import DateQuestion, dates_of, issue_label
from catalogue.models import Holding
from series.models import CoinType, Issue, Variety


class LeftAlone(Exception):
    """A holding to which a change cannot happen; the text says why."""


@dataclass(frozen=True)
class TypeAndDate:
    """What a holding becomes."""

    coin_type: CoinType | None
    issue: Issue | None
    reading: str
    variety: Variety | None
    type_changed: bool = False


class Dates:
    """The type and date that holdings are to have; None leaves either as it is.

    An empty ``date`` clears it; ``as_read`` keeps one that is none of its type's as text.
    """

    def __init__(self, coin_type: CoinType | None, date: str | None, as_read: bool) -> None:
        self.coin_type, self.date, self.as_read = coin_type, date, as_read
        self._read: dict[int | None, DateRead] = {}
        self._issues = dates_of(coin_type) if coin_type is not None else []
        varieties = Variety.objects.filter(issue__in=self._issues) if coin_type else ()
        self._varieties = {(each.issue_id, each.name): each for each in varieties}

    def of(self, holding: Holding) -> TypeAndDate | None:
        """What the holding becomes; None when neither is to change. LeftAlone if it cannot be."""
        retyped = self.coin_type is not None and holding.coin_type_id != self.coin_type.pk
        if self.date is None:
            return self._retyped(holding) if retyped else None
        coin_type = self.coin_type or holding.coin_type
        issue, reading = self._dated(coin_type, self.date)
        variety = None
        if issue is not None and issue == holding.issue:
            variety, reading = holding.variety, holding.date_reading
        return TypeAndDate(coin_type, issue, reading, variety, retyped)

    def _dated(self, coin_type: CoinType | None, date: str) -> tuple[Issue | None, str]:
        if not date:
            return None, ""
        key = coin_type.pk if coin_type is not None else None
        if key not in self._read:
            self._read[key] = read_issue(coin_type, date)
        read = self._read[key]
        if read.issue is not None:
            return read.issue, ""
        names = {"date": date, "type": coin_type}
        if read.choices:
            labels = ", ".join(issue_label(issue) for issue in read.choices)
            raise LeftAlone(_("of %(type)s it could be %(labels)s") % (names | {"labels": labels}))
        if coin_type is not None and not (self.as_read and read.reading):
            raise LeftAlone(_("%(date)s is none of the dates of %(type)s") % names)
        if read.error:
            raise LeftAlone(read.error)
        return None, read.reading

    def _retyped(self, holding: Holding) -> TypeAndDate:
        """The holding with its own date under the new type."""
        was = holding.issue
        if was is None:
            issue = carry_reading(holding.date_reading, self._issues).issue
            return TypeAndDate(self.coin_type, issue, holding.date_reading, None, True)
        reading = holding.date_reading
        question = DateQuestion(was, self.coin_type, self._issues, reading)
        issue = question.kept
        if issue is None:
            if not (question.reading and (self.as_read or question.fits_years)):
                raise LeftAlone(question.reason)
            reading = question.reading
        return TypeAndDate(self.coin_type, issue, reading, self._variety(holding, issue), True)

    def _variety(self, holding: Holding, issue: Issue | None) -> Variety | None:
        """The variety of the same name of the new date."""
        if holding.variety is None:
            return None
        same = self._varieties.get((issue.pk if issue else 0, holding.variety.name))
        if same is None:
            raise LeftAlone(
                _("its variety “%(name)s” is none of the new date's") % {"name": holding.variety}
            )
        return same
