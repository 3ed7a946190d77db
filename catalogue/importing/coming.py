"""What a list is to bring, worked out before anything is locked, and laid ready.

Whatever would be slow is done here: the rows are read and their pieces made, with number, rank,
search text and history, in temporary tables (``laid_ready``). Nothing of the site is changed.
``publishing`` takes it in, after ``still_so`` has told whether what it rests on is unchanged.
Types, dates and places that are yet to be made have a place below nought in their column.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field
from operator import attrgetter
from typing import Any, Self

from django.db.models import Field, Model
from django.db.models.fields.json import KT
from django.utils import timezone
from django.utils.translation import gettext as _

from catalogue.holdings.actions import HoldingError, derive, habits_of, next_accessions
from catalogue.holdings.own_words import beside, words_of
from catalogue.importing.changing import (
    GRADED,
    apply,
    before_of,
    column_values,
    differences,
    reading_of,
)
from catalogue.importing.judging import held_by_number, number_of
from catalogue.importing.laid_ready import Laid, run
from catalogue.importing.many_rows import quoted, table_of
from catalogue.importing.part_rows import has_parts, text_of
from catalogue.importing.provisional import Plan
from catalogue.models import (
    Alteration,
    Holding,
    ImportedList,
    ImportedPiece,
    ImportedRow,
    Member,
    Place,
)
from series.models import CoinType, Issue
from series.parcels import parcels
from series.tracked import changes_between, row_of

PARCEL = 1_000
NUMBER, PLACE = KT("reading__piece__fields__accession"), KT("reading__piece__place")
Outcome, Choice = ImportedRow.Outcome, ImportedRow.Choice
YET_TO_BE = ("coin_type_id", "issue_id", "place_id")
"""The columns in which a number below nought stands for what is yet to be made."""


class ChangedMeanwhile(HoldingError):
    """What was looked over is no longer so; nothing was taken in."""


def rows_to_take(brought: ImportedList) -> Any:
    """The rows that are made or changed next, in the order of their lines."""
    return ImportedRow.objects.filter(of=brought, outcome__in=ImportedRow.TO_TAKE).order_by("line")


def _columns(model: type[Model], *names: str) -> dict[str, Field[Any, Any]]:
    fields: list[Any] = [model._meta.get_field(name) for name in names]
    return {field.column: field for field in fields}


def _of_a_holding(*without: str) -> dict[str, Field[Any, Any]]:
    fields: list[Any] = list(Holding._meta.concrete_fields)
    return {field.column: field for field in fields if field.column not in without}


HOLDING = tuple(_of_a_holding("id"))
_READ = attrgetter(*HOLDING)
_BESIDE = {**_columns(ImportedRow, "line"), **_columns(ImportedPiece, "row")}
PIECES = {**_of_a_holding("id"), **_BESIDE, "given": Holding._meta.get_field("spare")}
CHANGES = {
    **_of_a_holding(),
    **_BESIDE,
    **_columns(ImportedPiece, "before"),
    "was": Alteration._meta.get_field("before"),
    "becomes": Alteration._meta.get_field("after"),
    "seen": Holding._meta.get_field("row_version"),
    "words": Holding._meta.get_field("own_text"),
}
STORED = {"place": Holding._meta.pk, "stored": Holding._meta.pk}


@dataclass
class Coming:
    """One list that is to be taken in; use it as ``with Coming(…) as coming``."""

    brought: ImportedList
    owner: Member = field(init=False)
    plan: Plan = field(default_factory=Plan)
    numbers: set[str] = field(default_factory=set)
    names: dict[str, str] = field(default_factory=dict)
    places: dict[str, Place] = field(default_factory=dict)
    types: dict[int, CoinType] = field(default_factory=dict)
    issues: dict[int, Issue] = field(default_factory=dict)
    asked: set[int] = field(default_factory=set)
    with_parts: list[int] = field(default_factory=list)
    pieces: Laid = field(default_factory=lambda: Laid("coming_pieces", PIECES))
    changes: Laid = field(default_factory=lambda: Laid("coming_changes", CHANGES, "id"))
    stored: Laid = field(default_factory=lambda: Laid("coming_stored", STORED, "place"))
    _open: ExitStack = field(default_factory=ExitStack)

    def __post_init__(self) -> None:
        self.owner = self.brought.owner

    def __enter__(self) -> Self:
        for laid in (self.pieces, self.changes, self.stored):
            self._open.enter_context(laid)
        return self

    def __exit__(self, *of: Any) -> None:
        self._open.__exit__(*of)

    # ---- laying ready ----
    def lay_ready(self) -> None:
        """Work everything out, anew where it was before."""
        for laid in (self.pieces, self.changes):
            laid.empty()
        self.plan, self.types, self.issues, self.asked = Plan(), {}, {}, set()
        self.with_parts = []
        self._hear_numbers_and_places()
        self.places = self._places()
        for some in parcels_of(rows_to_take(self.brought).filter(outcome=Outcome.CHANGE)):
            self._fetch(some)
            held = held_by_number(self.owner, map(number_of, some))
            more = beside(piece.pk for piece in held.values())
            self.changes.add(self._change(row, held.get(number_of(row)), more) for row in some)
        rows = rows_to_take(self.brought).filter(outcome=Outcome.MAKE)
        free = next_accessions(self.owner, rows.count() + len(self.numbers))
        numbers = (number for number in free if number not in self.numbers)
        usual = habits_of(self.owner)
        start = {
            "owner": self.owner,
            "created_at": (now := timezone.now()),
            "changed_at": now,
            "grade_scale": usual.scale,
            "visibility": self.brought.mapping.get("visibility") or usual.visibility,
        }
        for some in parcels_of(rows):
            self._fetch(some)
            self.pieces.add(self._make(row, numbers, start) for row in some)

    def _hear_numbers_and_places(self) -> None:
        """The numbers that new pieces are given by the list, and its places by folded name."""
        self.numbers, self.names = set(), {}
        said = rows_to_take(self.brought).values_list("outcome", NUMBER, PLACE)
        for outcome, number, place in said.iterator(chunk_size=PARCEL):
            if outcome == Outcome.MAKE and number:
                self.numbers.add(number)
            if place:
                self.names.setdefault(place.casefold(), place)

    def _places(self) -> dict[str, Place]:
        """The owner's places by their path or, where it is the only one of it, by their name.

        One that is not there yet has its place below nought for an id.
        """
        if not self.names:
            return {}
        mine = list(Place.objects.filter(owner=self.owner).order_by("-pk"))
        found = {place.name.casefold(): place for place in mine}
        found |= {place.path.casefold(): place for place in mine}
        for folded, name in self.names.items():
            if folded not in found:
                place = Place(pk=self.plan.next_place(), owner=self.owner, name=name, path=name)
                found[folded] = place
        return {folded: found[folded] for folded in self.names}

    def _fetch(self, rows: Sequence[ImportedRow]) -> None:
        """The types and issues of these rows that are not fetched yet."""
        for some in parcels({r.coin_type_id for r in rows if r.coin_type_id} - set(self.types)):
            found = CoinType.objects.filter(pk__in=some).select_related("denomination")
            self.types |= {one.pk: one for one in found}
        wanted = {r.issue_id for r in rows if r.issue_id}
        for some in parcels(wanted - self.asked):
            self.issues |= {one.pk: one for one in Issue.objects.filter(pk__in=some)}
        self.asked |= wanted

    # ---- one row ----
    def _change(
        self, row: ImportedRow, piece: Holding | None, more: Mapping[int, list[str]]
    ) -> list[Any]:
        """The row of CHANGES for a piece that is there already."""
        if piece is None or piece.row_version != row.reading.get("seen"):
            raise ChangedMeanwhile(changed_words(number_of(row), row.line))
        seen, words, was = piece.row_version, piece.own_text, row_of(piece)
        steps = differences(piece, row, self.types.get(row.coin_type_id or 0))
        before = before_of(piece, steps)
        apply(piece, steps, self.places)
        piece.issue = self.issues.get(piece.issue_id or 0) or piece.issue
        _derived(piece, row)
        piece.own_text = words_of(piece, more.get(piece.pk, ()))
        piece.row_version += 1
        piece.changed_at = timezone.now()
        changed = changes_between(Holding, {piece.pk: was}, {piece.pk: row_of(piece)})
        told = (changed[0].before, changed[0].after) if changed else (None, None)
        return [piece.pk, *_values(piece), row.line, row.pk, before, *told, seen, words]

    def _make(
        self, row: ImportedRow, numbers: Iterator[str], start: Mapping[str, Any]
    ) -> list[Any]:
        """The row of PIECES for a new piece."""
        kept = row.reading["piece"]
        values = {**start, **column_values(kept["fields"])}
        given = bool(values.setdefault("accession", ""))
        piece = Holding(**values)
        piece.accession = piece.accession or next(numbers)
        piece.imported = text_of(row)
        if has_parts(row):
            self.with_parts.append(row.pk)
        if kept["place"]:
            piece.place = self.places[kept["place"].casefold()]
        self._say_which(piece, row)
        if piece.coin_type_id is None:
            piece.title = kept["title"]
        if piece.issue_id is None:
            piece.date_reading = reading_of(row)
        _derived(piece, row)
        piece.own_text = words_of(piece)
        return [*_values(piece), row.line, row.pk, given]

    def _say_which(self, piece: Holding, row: ImportedRow) -> None:
        if row.choice == Choice.PROVISIONAL:
            piece.coin_type_id, issue = self.plan.take(row)
            if issue is not None:
                piece.issue = issue
        elif row.choice == Choice.TYPE:
            if row.coin_type_id not in self.types:
                raise ChangedMeanwhile(_gone_words(row.line))
            piece.coin_type_id = row.coin_type_id
            piece.issue = self.issues.get(row.issue_id or 0)

    # ---- what it rests on ----
    def still_so(self) -> bool:
        """Whether all is as it was when it was laid ready; within the transaction.

        ChangedMeanwhile says what a member has to look over again. Where False is told, it is
        enough to lay it ready again.
        """
        self._refuse_changed()
        self._refuse_taken()
        self._refuse_doubles()
        same = self._same_rows() and self._same_words() and self._same_records()
        return same and not self._taken(given=False)

    def _refuse_changed(self) -> None:
        found = run(
            f"SELECT l.accession, l.line FROM {self.changes.name} l"
            f" LEFT JOIN {table_of(Holding)} h"
            " ON h.id = l.id AND h.row_version = l.seen AND h.deleted_at IS NULL"
            " WHERE h.id IS NULL ORDER BY l.line LIMIT 1"
        )
        if found:
            raise ChangedMeanwhile(changed_words(*found[0]))

    def _taken(self, *, given: bool) -> list[tuple[Any, ...]]:
        """The first new piece whose number somebody else has, of those with such a number."""
        return run(
            f"SELECT l.accession, l.line FROM {self.pieces.name} l JOIN {table_of(Holding)} h"
            " ON h.owner_id = l.owner_id AND h.accession = l.accession"
            " WHERE l.given = %s ORDER BY l.line LIMIT 1",
            [given],
        )

    def _refuse_taken(self) -> None:
        if found := self._taken(given=True):
            raise ChangedMeanwhile(_taken_words(*found[0]))

    def _refuse_doubles(self) -> None:
        """Another list may have brought the same rows since this one was read."""
        rows = table_of(ImportedRow)
        found = run(
            f"SELECT l.line FROM {self.pieces.name} l JOIN {rows} mine ON mine.id = l.row_id"
            f" JOIN {rows} theirs ON theirs.fingerprint = mine.fingerprint"
            f" JOIN {table_of(ImportedList)} lists"
            " ON lists.id = theirs.of_id AND lists.owner_id = l.owner_id"
            f" JOIN {table_of(ImportedPiece)} p ON p.row_id = theirs.id"
            " WHERE mine.outcome = %s GROUP BY l.line, mine.nth"
            " HAVING count(DISTINCT p.holding_id) >= mine.nth ORDER BY l.line LIMIT 1",
            [Outcome.MAKE.value],
        )
        if found:
            raise ChangedMeanwhile(_came_words(found[0][0]))

    def _same_rows(self) -> bool:
        """Whether the rows that are to be taken are those that are laid ready."""
        same = 0
        for laid, outcome in ((self.pieces, Outcome.MAKE), (self.changes, Outcome.CHANGE)):
            same += run(
                f"SELECT count(*) FROM {laid.name} l JOIN {table_of(ImportedRow)} r"
                f" ON r.id = l.row_id AND r.outcome = %s",
                [outcome.value],
            )[0][0]
        laid_ready = self.pieces.count() + self.changes.count()
        return bool(same == laid_ready == rows_to_take(self.brought).count())

    def _same_words(self) -> bool:
        """Whether nothing was noted beside the pieces that are changed."""
        return not run(
            f"SELECT l.id FROM {self.changes.name} l JOIN {table_of(Holding)} h"
            " ON h.id = l.id WHERE h.own_text <> l.words LIMIT 1"
        )

    def _same_records(self) -> bool:
        """Whether the places, types and dates that are named are still what they were."""
        before = {folded: _known(place) for folded, place in self.places.items()}
        now = {folded: _known(place) for folded, place in self._places().items()}
        there: set[int] = set()
        for some in parcels(self.types):
            there |= set(CoinType.objects.filter(pk__in=some).values_list("pk", flat=True))
        dates: set[int] = set()
        for some in parcels(self.issues):
            dates |= set(Issue.objects.filter(pk__in=some).values_list("pk", flat=True))
        return before == now and there == set(self.types) and dates == set(self.issues)


def _known(place: Place) -> tuple[int, str]:
    """A place by its id and path; one that is yet to be made by its path."""
    return max(place.pk, 0), place.path


def _values(piece: Holding) -> list[Any]:
    return list(_READ(piece))


def _derived(piece: Holding, row: ImportedRow) -> None:
    if not any(getattr(piece, name) for name in GRADED):
        piece.grade_rank = None
    try:
        derive(piece)
    except HoldingError as error:
        raise HoldingError(_("Line %(n)d: %(why)s") % {"n": row.line, "why": error}) from error


def parcels_of(rows: Any) -> Iterable[list[ImportedRow]]:
    """The rows, a parcel at a time, so that no more of them are in memory."""
    last = -1
    rows = rows.defer("cells", "candidates", "reason", "pictures")
    while some := list(rows.filter(line__gt=last)[:PARCEL]):
        yield some
        last = some[-1].line


def laid_column(name: str, stored: Laid) -> str:
    """A column of what is laid ready (``l``), with what is stored for a place below nought."""
    column = f"l.{quoted(name)}"
    if name not in YET_TO_BE:
        return column
    found = f"(SELECT s.stored FROM {stored.name} s WHERE s.place = {column})"
    return f"CASE WHEN {column} < 0 THEN {found} ELSE {column} END"


# ---- in words ----
def changed_words(number: str, line: int) -> str:
    return _(
        "%(number)s (line %(n)d) was changed since the list was read. Look the rows over again."
    ) % {"number": number, "n": line}


def _taken_words(number: str, line: int) -> str:
    return _(
        "%(number)s (line %(n)d) was given to another piece since the list was read. Look the "
        "rows over again."
    ) % {"number": number, "n": line}


def _came_words(line: int) -> str:
    return _("Line %(n)d came in with another list meanwhile. Look the rows over again.") % {
        "n": line
    }


def _gone_words(line: int) -> str:
    return _("The type of line %(n)d is no longer there. Look the rows over again.") % {"n": line}
