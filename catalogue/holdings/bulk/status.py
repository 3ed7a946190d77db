"""Lending, taking back or parting with many holdings at once.

Each goes through ``records.change_status``. One that does not fit is left as it is, and it is said
why; the others are done.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import Max, QuerySet
from django.utils.translation import gettext as _

from catalogue.holdings.actions import HoldingError, change_status, why_promised
from catalogue.models import Holding, StatusChange
from series.dates.words import day_in_words

STATUS_MOST = 1000


@dataclass(frozen=True)
class Sorted:
    """The holdings to which it can happen, and the others with the reason in words."""

    fit: list[Holding]
    left: list[tuple[Holding, str]]


def sort_by_fit(holdings: QuerySet[Holding], status: str, on: datetime.date) -> Sorted:
    """Which of these holdings can be changed so, in the order of their numbers.

    Two queries. Raises HoldingError when there are more than STATUS_MOST.
    """
    rows = list(
        holdings.select_related("reservation__wanted_by").order_by("accession", "pk")[
            : STATUS_MOST + 1
        ]
    )
    if len(rows) > STATUS_MOST:
        raise HoldingError(_("Do this with at most %(n)d holdings at a time.") % {"n": STATUS_MOST})
    last = _last_changes(rows)
    reasons = [(row, _reason(row, status, on, last.get(row.pk))) for row in rows]
    return Sorted(
        [row for row, reason in reasons if not reason],
        [(row, reason) for row, reason in reasons if reason],
    )


@transaction.atomic
def change_status_of_all(
    holdings: QuerySet[Holding], status: str, on: datetime.date, **more: Any
) -> Sorted:
    """Change those that fit, each as ``change_status`` does; which they were, and why not others.

    An amount is for one holding with all its pieces.
    """
    found = sort_by_fit(holdings.select_for_update(of=("self",)), status, on)
    for holding in found.fit:
        change_status(holding, status, on, **more)
    return found


def _last_changes(rows: Iterable[Holding]) -> Mapping[int, datetime.date]:
    """The day of the last change of status, by id of the holding."""
    changes = StatusChange.objects.filter(holding__in=[row.pk for row in rows]).order_by()
    return dict(
        changes.values("holding").annotate(last=Max("on")).values_list("holding_id", "last")
    )


def _reason(holding: Holding, status: str, on: datetime.date, last: datetime.date | None) -> str:
    """Why this cannot happen to a holding; empty when it can."""
    now = holding.get_status_display()
    if holding.status == status:
        return _("it is %(status)s already") % {"status": now}
    if holding.status not in Holding.IN_HAND:
        return _("it is no longer in hand (%(status)s)") % {"status": now}
    if holding.acquired_on is not None and on < holding.acquired_on:
        return _("it was acquired later, on %(day)s") % {"day": day_in_words(holding.acquired_on)}
    if last is not None and on < last:
        return _("its status was last changed later, on %(day)s") % {"day": day_in_words(last)}
    return "" if status in Holding.IN_HAND else why_promised(holding)
