"""What a member decides of doubtful rows, one by one or for all that are alike."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import QuerySet

from catalogue.importing.judging import judge_again
from catalogue.importing.provisional import group_of, why_no_type
from catalogue.models import ImportedList, ImportedRow
from series.parcels import parcels

Choice, Outcome = ImportedRow.Choice, ImportedRow.Outcome


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
    decided: dict[int, ImportedRow] = {}
    asked = {row.pk: row for some in parcels(decisions) for row in rows.filter(pk__in=some)}
    for pk, row in asked.items():
        if not decisions[pk].alike:
            _decide(row, decisions[pk], decided)
    for pk, row in asked.items():
        if decisions[pk].alike and row.alike:
            same = doubtful(brought).filter(alike=row.alike)
            for one in [row, *same.exclude(pk__in=asked)]:
                _decide(one, decisions[pk], decided)
    return _save(brought, decided.values())


def settle_all(brought: ImportedList, rows: QuerySet[ImportedRow], choice: str) -> int:
    """Decide of all these rows of a list at once; returns how many are settled."""
    decided: dict[int, ImportedRow] = {}
    for row in rows:
        _decide(row, Decision(choice), decided)
    return _save(brought, decided.values())


def _decide(row: ImportedRow, decision: Decision, decided: dict[int, ImportedRow]) -> None:
    """Set the choice on a row, where it can have it."""
    row.coin_type_id = row.issue_id = None
    if decision.choice == Choice.TYPE:
        found: list[dict[str, Any]] = [
            each for each in row.candidates if each["type"] == decision.coin_type
        ]
        if not found:
            return
        row.coin_type_id, row.issue_id = found[0]["type"], found[0]["issue"]
    row.choice, row.by_hand = decision.choice, True
    decided[row.pk] = row


@transaction.atomic
def _save(brought: ImportedList, rows: Iterable[ImportedRow]) -> int:
    some = list(rows)
    _say_why_no_type(brought, some)
    ImportedRow.objects.bulk_update(
        some, ["choice", "coin_type", "issue", "by_hand", "reading"], batch_size=100
    )
    judge_again(brought)
    parted = parcels([row.pk for row in some])
    return len(some) - sum(doubtful(brought).filter(pk__in=each).count() for each in parted)


def _say_why_no_type(brought: ImportedList, rows: list[ImportedRow]) -> None:
    """Note with each row that is to have a provisional type why it cannot; once for a group."""
    known: dict[tuple[str, str], str] = {}
    for row in rows:
        row.reading.pop("no_type", None)
        if row.choice != Choice.PROVISIONAL:
            continue
        group = group_of(row)
        if group not in known:
            known[group] = why_no_type(brought.owner, [row])
        if known[group]:
            row.reading["no_type"] = known[group]


@transaction.atomic
def reopen(brought: ImportedList, pk: int) -> None:
    """Ask again what a row is that was settled by hand."""
    for row in ImportedRow.objects.filter(of=brought, pk=pk, by_hand=True):
        row.choice, row.by_hand = "", False
        row.coin_type = row.issue = None
        row.save()
    judge_again(brought)
