"""What a member decides of doubtful rows, one by one or for all that are alike."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import QuerySet
from django.db.models.fields.json import KT

from catalogue.curation.belonging import Memory
from catalogue.importing.judging import Judge, judge_again, number_of, recount
from catalogue.importing.many_rows import write_all
from catalogue.importing.provisional import Group, group_of, why_no_type
from catalogue.models import ImportedList, ImportedRow, Member
from series.parcels import parcels

Choice, Outcome = ImportedRow.Choice, ImportedRow.Outcome
NUMBER = KT("reading__piece__fields__accession")
_JUDGED = ("outcome", "reason")


@dataclass(frozen=True)
class Decision:
    """``coin_type`` is the id of a candidate where the choice is a type."""

    choice: str
    coin_type: int | None = None
    alike: bool = False


def doubtful(brought: ImportedList) -> QuerySet[ImportedRow]:
    return ImportedRow.objects.filter(of=brought, outcome=Outcome.DOUBTFUL).order_by("line")


def unlike_any(brought: ImportedList) -> QuerySet[ImportedRow]:
    """Doubtful rows that no type is like."""
    return doubtful(brought).filter(candidates=[])


def may_have_a_type(brought: ImportedList) -> QuerySet[ImportedRow]:
    """Of those the rows of which it was not found out that a provisional type cannot be made."""
    return unlike_any(brought).exclude(choice=Choice.PROVISIONAL)


def settle(brought: ImportedList, decisions: Mapping[int, Decision]) -> int:
    """Keep what was decided of these rows (by id) of a list; returns how many are settled."""
    rows = ImportedRow.objects.filter(of=brought).exclude(outcome__in=ImportedRow.TAKEN)
    asked: dict[int, str] = {}
    for some in parcels(decisions):
        asked |= dict(rows.filter(pk__in=some).values_list("pk", "alike"))
    decided = {pk: decisions[pk] for pk in asked if not decisions[pk].alike}
    for pk, alike in asked.items():
        if decisions[pk].alike and alike:
            same = doubtful(brought).filter(alike=alike).values_list("pk", flat=True)
            decided |= {one: decisions[pk] for one in [pk, *same] if one == pk or one not in asked}
    return _decide_all(brought, decided)


def settle_all(brought: ImportedList, rows: QuerySet[ImportedRow], choice: str) -> int:
    """Decide of all these rows of a list at once; returns how many are settled."""
    decision = Decision(choice)
    return _decide_all(brought, dict.fromkeys(rows.values_list("pk", flat=True), decision))


def _decide_all(brought: ImportedList, decisions: Mapping[int, Decision]) -> int:
    """Decide of each row by its id, so many at a time that nobody waits long to write."""
    judge, why, numbers = Judge(brought.owner), _Why(brought.owner), set[str]()
    decided: list[int] = []
    for some in parcels(sorted(decisions)):
        with transaction.atomic():
            found = ImportedRow.objects.filter(of=brought, pk__in=some).order_by("line")
            rows = [row for row in found if _decide(row, decisions[row.pk])]
            why.say(rows)
            judge.judge(rows)
            write_all(rows, ["choice", "coin_type", "issue", "by_hand", "reading", *_JUDGED])
        decided += [row.pk for row in rows]
        numbers |= {number_of(row) for row in rows} - {""}
    if _is_shared(brought, numbers):
        judge_again(brought)
    else:
        recount(brought)
        brought.save(update_fields=["counts"])
    parted = parcels(decided)
    return len(decided) - sum(doubtful(brought).filter(pk__in=each).count() for each in parted)


def _is_shared(brought: ImportedList, numbers: set[str]) -> bool:
    """Whether one of these numbers stands in several rows, of which only the first may have it."""
    if not numbers:
        return False
    of_all = ImportedRow.objects.filter(of=brought).values_list(NUMBER, flat=True)
    counted = Counter(number for number in of_all.iterator() if number in numbers)
    return any(times > 1 for times in counted.values())


def _decide(row: ImportedRow, decision: Decision) -> bool:
    """Set the choice on a row, where it can have it."""
    row.coin_type_id = row.issue_id = None
    if decision.choice == Choice.TYPE:
        found: list[dict[str, Any]] = [
            each for each in row.candidates if each["type"] == decision.coin_type
        ]
        if not found:
            return False
        row.coin_type_id, row.issue_id = found[0]["type"], found[0]["issue"]
    row.choice, row.by_hand = decision.choice, True
    return True


class _Why:
    """Why rows cannot have a provisional type, found out once for a group."""

    def __init__(self, owner: Member) -> None:
        self.owner, self.memory = owner, Memory()
        self.known: dict[Group, str] = {}

    def say(self, rows: list[ImportedRow]) -> None:
        """Note it with each row that is to have one."""
        for row in rows:
            row.reading.pop("no_type", None)
            if row.choice != Choice.PROVISIONAL:
                continue
            group = group_of(row)
            if group not in self.known:
                self.known[group] = why_no_type(self.owner, row, self.memory)
            if self.known[group]:
                row.reading["no_type"] = self.known[group]


@transaction.atomic
def reopen(brought: ImportedList, pk: int) -> None:
    """Ask again what a row is that was settled by hand."""
    for row in ImportedRow.objects.filter(of=brought, pk=pk, by_hand=True):
        row.choice, row.by_hand = "", False
        row.coin_type = row.issue = None
        row.save()
    judge_again(brought)
