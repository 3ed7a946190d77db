"""What is worked out from this app's records, and whether schedules are as they were frozen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from django.db.models import Sum

from catalogue.checking import words
from catalogue.checking.derived import Derived, Values, rank_or_none
from valuation.models import Schedule, Valuation
from valuation.schedules.making import is_unchanged


def _ranks(rows: Sequence[Valuation]) -> dict[int, Values]:
    return {row.pk: {"grade_rank": rank_or_none(row.grade_scale, row.grade)} for row in rows}


DERIVED = (Derived(Valuation, ("grade_rank",), _ranks),)


def wrong_schedules() -> Iterator[str]:
    for schedule in Schedule.objects.order_by("pk"):
        if not is_unchanged(schedule):
            yield words.schedule_changed(schedule.pk)
        added = schedule.lines.aggregate(total=Sum("amount"), pieces=Sum("pieces"))
        if (added["total"] or 0, added["pieces"] or 0) != (schedule.total, schedule.pieces):
            yield words.schedule_added_wrongly(schedule.pk)
