"""What becomes of each row of a list: made, changed, refused, in already, left out, or doubtful.

Nothing is changed here but the rows, which are not saved.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.db import transaction
from django.db.models import Count

from catalogue.holdings.finding.typeahead import type_label
from catalogue.importing.changing import differences
from catalogue.importing.many_rows import write_all
from catalogue.importing.provisional import value_of
from catalogue.importing.reading import row_words as words
from catalogue.models import Holding, ImportedList, ImportedPiece, ImportedRow, Member
from series.models import CoinType, Issue
from series.parcels import parcels

Outcome, Choice = ImportedRow.Outcome, ImportedRow.Choice
Verdict = tuple[str, str]


@dataclass
class Judge:
    """Judges the rows of one owner's list, parcel after parcel in the order of their lines."""

    owner: Member
    _lines: dict[str, int] = field(default_factory=dict)
    _held: dict[str, Holding] = field(default_factory=dict)
    _before: dict[str, list[Holding]] = field(default_factory=dict)
    _types: dict[int, CoinType] = field(default_factory=dict)
    _labels: dict[int, str] = field(default_factory=dict)
    _issues: dict[int, str] = field(default_factory=dict)

    def judge(self, rows: Sequence[ImportedRow]) -> None:
        """Set outcome and reason of each. A few queries for each 800 rows."""
        self._fetch(rows)
        for row in rows:
            row.outcome, said = self._verdict(row)
            beside = row.reading.get("remarks", []) if row.outcome in ImportedRow.TO_TAKE else []
            row.reason = words.and_more([said, *beside])

    def _fetch(self, rows: Sequence[ImportedRow]) -> None:
        self._held = held_by_number(self.owner, (number_of(row) for row in rows))
        self._before = came_before(self.owner, {row.fingerprint for row in rows})
        wanted = {row.coin_type_id for row in rows if row.coin_type_id} - set(self._types)
        for some in parcels(wanted):
            types = CoinType.objects.filter(pk__in=some).select_related(
                "denomination", "series__issuer"
            )
            self._types |= {one.pk: one for one in types}
            self._labels |= {one.pk: type_label(one) for one in types}
        for some in parcels({row.issue_id for row in rows if row.issue_id} - set(self._issues)):
            self._issues |= {one.pk: one.label for one in Issue.objects.filter(pk__in=some)}

    def _verdict(self, row: ImportedRow) -> Verdict:
        if row.choice == Choice.LEAVE:
            return Outcome.LEFT, words.KINDS.get(row.reading.get("kind"), words.LEFT_BY_CHOICE)
        before = self._before.get(row.fingerprint, [])
        if row.nth <= len(before):
            piece = before[row.nth - 1]
            in_bin = piece.deleted_at is not None
            return Outcome.SAME, words.in_already(piece.accession, in_bin=in_bin)
        number = number_of(row)
        if number:
            first = self._lines.setdefault(number, row.line)
            if first != row.line:
                return Outcome.REFUSED, words.number_twice(number, first)
        if row.reading.get("nothing"):
            return Outcome.REFUSED, words.NO_PIECES
        if number in self._held:
            return self._of_held(row, self._held[number])
        return self._of_new(row)

    def _of_held(self, row: ImportedRow, piece: Holding) -> Verdict:
        """The list names one of the owner's pieces by its number."""
        if piece.deleted_at is not None:
            return Outcome.REFUSED, words.number_in_bin(piece.accession)
        if _is_another(row, piece):
            means = self._label(row)
            return Outcome.REFUSED, words.number_of_another(piece.accession, piece.label, means)
        row.reading["seen"] = piece.row_version
        steps = differences(piece, row, self._types.get(row.coin_type_id or 0))
        if not steps:
            return Outcome.SAME, words.NOTHING_ELSE
        told = [(step.what, step.was, step.becomes) for step in steps]
        return Outcome.CHANGE, words.steps_in_words(told)

    def _of_new(self, row: ImportedRow) -> Verdict:
        why = row.reading.get("why", "")
        if row.choice == Choice.TYPE:
            if row.coin_type_id not in self._types:
                return Outcome.DOUBTFUL, words.NO_TYPE
            return Outcome.MAKE, words.as_type(self._label(row), "" if row.by_hand else why)
        if row.choice == Choice.UNIDENTIFIED:
            return Outcome.MAKE, words.AS_UNIDENTIFIED
        if row.choice == Choice.PROVISIONAL:
            refused = row.reading.get("no_type", "")
            if refused:
                return Outcome.DOUBTFUL, refused
            said = words.as_provisional(value_of(row), row.reading.get("country", ""))
            return Outcome.MAKE, said
        return Outcome.DOUBTFUL, why or (words.NOT_SURE if row.candidates else words.NOT_KNOWN)

    def _label(self, row: ImportedRow) -> str:
        label = self._labels.get(row.coin_type_id or 0)
        if label is None:
            return ""
        date = self._issues.get(row.issue_id or 0) or row.reading.get("date", "")
        return ", ".join(part for part in (label, date) if part)


def _is_another(row: ImportedRow, piece: Holding) -> bool:
    """Whether the row means another coin than the piece with its number is known to be."""
    other_type = row.coin_type_id and piece.coin_type_id not in (None, row.coin_type_id)
    return bool(other_type or (row.issue_id and piece.issue_id not in (None, row.issue_id)))


def number_of(row: ImportedRow) -> str:
    """The accession number that a row gives, or ""."""
    return str(row.reading.get("piece", {}).get("fields", {}).get("accession", ""))


def held_by_number(owner: Member, numbers: Iterable[str]) -> dict[str, Holding]:
    """The owner's pieces with these numbers, with what lies in the bin."""
    found: dict[str, Holding] = {}
    for some in parcels(sorted({number for number in numbers if number})):
        rows = Holding.everything.filter(owner=owner, accession__in=some).select_related(
            "coin_type__denomination", "issue", "place"
        )
        found |= {piece.accession: piece for piece in rows}
    return found


def judge_again(brought: ImportedList) -> None:
    """Judge the rows anew that are not taken in, as things stand now."""
    judge = Judge(brought.owner)
    rows = ImportedRow.objects.filter(of=brought).exclude(outcome__in=ImportedRow.TAKEN)
    ids = list(rows.order_by("line").values_list("pk", flat=True))
    for some in parcels(ids):
        parcel = list(ImportedRow.objects.filter(pk__in=some).order_by("line"))
        before = {row.pk: (row.outcome, row.reason, row.reading.get("seen")) for row in parcel}
        judge.judge(parcel)
        stale = [
            row
            for row in parcel
            if before[row.pk] != (row.outcome, row.reason, row.reading.get("seen"))
        ]
        with transaction.atomic():
            write_all(stale, ["outcome", "reason", "reading"])
    recount(brought)
    brought.save(update_fields=["counts"])


def recount(brought: ImportedList) -> None:
    """Count the rows by outcome; the list is not saved."""
    rows = ImportedRow.objects.filter(of=brought).order_by()
    brought.counts = dict(rows.values_list("outcome").annotate(n=Count("pk")))


def came_before(owner: Member, fingerprints: set[str]) -> dict[str, list[Holding]]:
    """The pieces that rows with the same cells made or changed, in any list of the owner."""
    found: dict[str, dict[int, Holding]] = defaultdict(dict)
    for some in parcels(sorted(fingerprints)):
        pieces: Any = ImportedPiece.objects.filter(
            row__of__owner=owner, row__fingerprint__in=some
        ).select_related("row", "holding")
        for piece in pieces.order_by("holding_id"):
            found[piece.row.fingerprint][piece.holding_id] = piece.holding
    return {print_: list(pieces.values()) for print_, pieces in found.items()}
