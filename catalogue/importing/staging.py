"""The rows of a list read, matched and judged, into rows that are kept and looked over.

Nothing of the collection is changed. Rows are kept in parcels, each in a short transaction of its
own; only when all are there is the list ready to be looked over.
"""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from django.db import transaction

from catalogue.importing.judging import Judge, number_of, recount
from catalogue.importing.keeping import headings_of, table_of
from catalogue.importing.many_rows import insert_all, write_all
from catalogue.importing.parts import parts_of
from catalogue.importing.picture_files import NO_PICTURES, Pictures
from catalogue.importing.picture_names import Named, assign
from catalogue.importing.pieces import answered, heading_of, piece_of, question_key
from catalogue.importing.reading import row_words as words
from catalogue.importing.reading.cells import Habits, habits_of, understand
from catalogue.importing.reading.lists import Mapping, Reading, Row, Table, Unread
from catalogue.importing.reading.matching import Match, match
from catalogue.importing.reference import Known, known_to
from catalogue.models import ImportedList, ImportedRow
from series.parcels import parcels
from series.text.folding import fold

Tell = Callable[[int, int], None]
PARCEL = 1_000
MOST_CANDIDATES = 6
MOST_ASKED = 200
MOST_LEFT = 200
State, Choice, Outcome = ImportedList.State, ImportedRow.Choice, ImportedRow.Outcome


def no_tell(done: int, total: int) -> None:
    """Nobody looks at how far it is."""


def stage(brought: ImportedList, pictures: Pictures = NO_PICTURES, tell: Tell = no_tell) -> None:
    """Read the rows of a list anew; ListError when its file cannot be read.

    What was settled of a row by hand stays settled where its cells are the same.
    """
    table = table_of(brought)
    mapping = Mapping.from_json(brought.mapping)
    brought.headings = headings_of(table, mapping)
    settled = _settled(brought)
    ImportedRow.objects.filter(of=brought).delete()
    reader = _Reader(brought, mapping, habits_of(table, mapping), known_to(brought.owner))
    judge = Judge(brought.owner)
    named: list[Named] = []
    rows = [row for row in _rows(table, mapping) if any(cell.strip() for cell in row.cells)]
    done = 0
    for some in parcels(rows, PARCEL):
        staged = [reader.read(row) for row in some]
        for row in staged:
            _settle_again(row, settled)
            if pictures.names:
                called = tuple(row.reading["piece"]["pictures"].items())
                named.append(Named(row.line, number_of(row), called))
        judge.judge(staged)
        with transaction.atomic():
            insert_all(staged)
        done += len(some)
        tell(done, len(rows))
    brought.left_aside = _give_pictures(brought, pictures, named)
    brought.mapping = {**brought.mapping, "asked": reader.asked()}
    brought.total = len(rows)
    brought.state, brought.message = State.REHEARSAL, ""
    recount(brought)
    brought.save()


def _give_pictures(
    brought: ImportedList, pictures: Pictures, named: list[Named]
) -> list[list[str]]:
    """Note with each row which pictures are its own; those of no row, with the reason."""
    found = assign(pictures.names, named)
    for some in parcels(found.of):
        rows = list(ImportedRow.objects.filter(of=brought, line__in=some))
        for row in rows:
            row.pictures = [list(each) for each in found.of[row.line]]
        write_all(rows, ["pictures"])
    return [[name, words.PICTURE_OF_NO_ROW] for name in found.left[:MOST_LEFT]]


def _rows(table: Table, mapping: Mapping) -> tuple[Row, ...]:
    return table.rows[mapping.skip + (1 if mapping.headed else 0) :]


def _settled(brought: ImportedList) -> dict[tuple[str, int], dict[str, Any]]:
    rows = ImportedRow.objects.filter(of=brought, by_hand=True)
    names = ("choice", "coin_type_id", "issue_id")
    return {(row.fingerprint, row.nth): {n: getattr(row, n) for n in names} for row in rows}


def _settle_again(row: ImportedRow, settled: dict[tuple[str, int], dict[str, Any]]) -> None:
    known = settled.get((row.fingerprint, row.nth))
    if known is not None:
        row.by_hand = True
        for name, value in known.items():
            setattr(row, name, value)


@dataclass
class _Reader:
    brought: ImportedList
    mapping: Mapping
    habits: Habits
    known: Known
    nths: Counter[str] = field(default_factory=Counter)
    questions: dict[str, dict[str, Any]] = field(default_factory=dict)

    def read(self, row: Row) -> ImportedRow:
        """One row with all that follows from it alone."""
        options = self.brought.mapping
        headings = self.brought.headings
        reading = understand(row, self.mapping, self.habits)
        answers = options.get("answers", {})
        values = answered(reading, answers)
        currency = options.get("currency", "")
        piece = piece_of(row, headings, self.mapping, reading, answers, currency)
        reading = _with(reading, values)
        found = match(reading, self.known.reference) if reading.kind == "coin" else None
        staged = ImportedRow(of=self.brought, line=row.line, cells=list(row.cells))
        staged.fingerprint = _fingerprint(headings, row)
        self.nths[staged.fingerprint] += 1
        staged.nth = self.nths[staged.fingerprint]
        staged.reading = {
            "kind": reading.kind,
            "piece": vars(piece),
            "parts": vars(parts_of(row, headings, self.mapping, values, currency)),
            **_coin(values),
            "remarks": [*_unread(reading, headings), *self._asked(reading, headings, answers)],
            "why": found.why if found else "",
            "nothing": any(map(_is_nought, reading.unread)),
        }
        self._choose(staged, found)
        return staged

    def _choose(self, row: ImportedRow, found: Match | None) -> None:
        """What the row means, where that is sure; a row that is no piece is left out."""
        if found is None:
            row.choice = Choice.LEAVE
            return
        ids, issues = self.known.types, self.known.issues
        row.candidates = [
            {
                "type": ids[one.type_key],
                "issue": issues.get((one.type_key, one.issue_key or "")),
                "share": round(one.share, 4),
            }
            for one in found.candidates[:MOST_CANDIDATES]
            if one.type_key in ids
        ]
        if found.sure and row.candidates:
            first = row.candidates[0]
            row.choice = Choice.TYPE
            row.coin_type_id, row.issue_id = first["type"], first["issue"]
        row.alike = _alike(row)

    def _asked(
        self, reading: Reading, headings: list[str], answers: dict[str, int]
    ) -> Iterator[str]:
        """How each cell that may be read in two ways is taken; the question is noted."""
        for question in reading.questions:
            if not question.choices:
                continue
            key = question_key(question.field, question.text)
            labels = [choice.label for choice in question.choices]
            chosen = min(max(answers.get(key, 0), 0), len(labels) - 1)
            heading = heading_of(headings, question.column)
            asked = {"heading": heading, "text": question.text, "labels": labels, "rows": 0}
            if key in self.questions or len(self.questions) < MOST_ASKED:
                self.questions.setdefault(key, asked)["rows"] += 1
            yield words.asked_in_words(heading, question.text, labels[chosen])

    def asked(self) -> list[dict[str, Any]]:
        """The questions of the whole list, those of most rows first."""
        found = [{"key": key, **asked} for key, asked in self.questions.items()]
        return sorted(found, key=lambda asked: -asked["rows"])


def _with(reading: Reading, values: dict[str, Any]) -> Reading:
    return Reading(
        reading.line, reading.kind, values, reading.questions, reading.unread, reading.rest,
        reading.carried,
    )  # fmt: skip


def _coin(values: dict[str, Any]) -> dict[str, Any]:
    """What the row says of the coin, as far as a provisional type or a date needs it."""
    said: dict[str, Any] = {}
    if country := values.get("country"):
        said |= {"country": country.name or country.text, "country_code": country.code}
    if value := values.get("denomination"):
        said |= {"value": value.text, "unit": value.unit, "units": list(value.units)}
        said["number"] = "" if value.number is None else str(value.number)
    if day := values.get("date"):
        said |= {"date": " ".join([day.shown or day.text, *day.marks])}
        said |= {"edtf": day.edtf, "shown": day.shown, "first": day.first, "last": day.last}
        said |= {"marks": list(day.marks), "purpose": day.purpose}
    for name in ("metal", "series", "title", "currency", "mint_mark"):
        if values.get(name):
            said[name] = str(values[name])
    return said


def _unread(reading: Reading, headings: list[str]) -> Iterator[str]:
    for cell in reading.unread:
        heading = heading_of(headings, cell.column)
        yield words.unread_in_words(heading, cell.text, cell.why)


def _is_nought(cell: Unread) -> bool:
    """Whether a cell says that there are no pieces."""
    return cell.field == "quantity" and not cell.text.strip(" 0.,")


def _fingerprint(headings: list[str], row: Row) -> str:
    """The same for rows whose cells say the same under the same headings."""
    cells = [(heading_of(headings, n), cell.strip()) for n, cell in enumerate(row.cells)]
    said = json.dumps([pair for pair in cells if pair[1]], ensure_ascii=False)
    return hashlib.sha256(said.encode()).hexdigest()


_folded = lru_cache(maxsize=2_000)(fold)


def _alike(row: ImportedRow) -> str:
    """The same for rows of one country and value that may mean the same types."""
    said = [_folded(row.reading.get(name, "")) for name in ("country", "value")]
    types = sorted({candidate["type"] for candidate in row.candidates})
    if not any(said) and not types:
        said.append(fold(row.reading["piece"]["title"]))
    return hashlib.sha256(json.dumps([said, types]).encode()).hexdigest()
