"""Taking a list in: all rows that are to be made or changed, or none.

Pictures are decoded and stored before; then everything is done in one transaction, so that
whoever is killed in the middle leaves nothing of it. How long it holds the write lock of SQLite is
measured by ``bench_import``: it grows with the rows, some 2 s for 2,000, so that a list of tens of
thousands keeps others there waiting (not on PostgreSQL).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from catalogue.curation.belonging import NowhereYet
from catalogue.history.keeping import doing
from catalogue.holdings.actions import (
    HoldingError,
    derive,
    habits_of,
    lock_numbers,
    next_accessions,
)
from catalogue.holdings.changes import note_everything, note_holdings, note_made
from catalogue.holdings.own_words import words_of
from catalogue.importing.changing import (
    GRADED,
    apply,
    before_of,
    column_values,
    differences,
    reading_of,
)
from catalogue.importing.judging import came_before, held_by_number, number_of, recount
from catalogue.importing.part_rows import make_parts, text_of
from catalogue.importing.picture_files import NO_PICTURES, Pictures
from catalogue.importing.provisional import Made, make_types
from catalogue.importing.staging import Tell, no_tell
from catalogue.models import (
    Holding,
    ImportedList,
    ImportedPiece,
    ImportedRow,
    Member,
    Photo,
    Place,
)
from series.models import CoinType, Issue
from series.parcels import parcels
from series.picture.pictures import Kept, PictureRefused

PARCEL = 1_000
NOTED_EACH = 5_000
"""So many pieces are noted one by one; more are noted as one great change."""
Outcome, Choice, State = ImportedRow.Outcome, ImportedRow.Choice, ImportedList.State
Photos = dict[int, list[tuple[str, Kept]]]


class ChangedMeanwhile(HoldingError):
    """What was looked over is no longer so; nothing was taken in."""


def publish(
    brought: ImportedList, pictures: Pictures = NO_PICTURES, tell: Tell = no_tell
) -> list[list[str]]:
    """Take in what is to be made and changed; the pictures that could not be, with the reason.

    HoldingError says why nothing was taken in. Done twice, it adds nothing the second time.
    """
    photos, refused = _store_pictures(brought, pictures, tell)
    said = _said(brought)
    why = _("The list %(name)s taken in") % {"name": brought.name}
    with (
        transaction.atomic(),
        doing(brought.owner, why, back_at=brought.get_absolute_url()),
    ):
        kept = ImportedList.objects.select_for_update().get(pk=brought.pk)
        _Taking(kept, photos, said).run()
        kept.left_aside = [*kept.left_aside, *refused]
        kept.message = ""
        kept.taken_at = timezone.now()
        recount(kept)
        open_rows = kept.counts.get(Outcome.DOUBTFUL, 0)
        kept.state = State.REHEARSAL if open_rows else State.DONE
        kept.save()
    brought.refresh_from_db()
    return refused


def rows_to_take(brought: ImportedList) -> Any:
    """The rows that are made or changed next, in the order of their lines."""
    return ImportedRow.objects.filter(of=brought, outcome__in=ImportedRow.TO_TAKE).order_by("line")


def _store_pictures(
    brought: ImportedList, pictures: Pictures, tell: Tell
) -> tuple[Photos, list[list[str]]]:
    """Store the pictures of the rows that are taken in; OSError when the disk takes no more."""
    rows = rows_to_take(brought).exclude(pictures=[]).values_list("pk", "pictures")
    wanted = [(pk, name, side) for pk, named in rows for name, side in named]
    stored: Photos = {}
    refused = []
    there = set(pictures.names)
    for done, (pk, name, side) in enumerate(wanted, 1):
        try:
            if name not in there:
                raise PictureRefused(_("It was not brought along this time."))
            stored.setdefault(pk, []).append((side, pictures.keep(name)))
        except PictureRefused as reason:
            refused.append([name, str(reason)])
        tell(done, len(wanted))
    return stored, refused


@dataclass(frozen=True)
class _Said:
    """The numbers that new pieces are given by the list, and its places by their folded names."""

    numbers: set[str]
    places: dict[str, str]


def _said(brought: ImportedList) -> _Said:
    said = _Said(set(), {})
    for row in rows_to_take(brought).iterator(chunk_size=PARCEL):
        if row.outcome == Outcome.MAKE and (number := number_of(row)):
            said.numbers.add(number)
        if place := row.reading["piece"]["place"]:
            said.places.setdefault(place.casefold(), place)
    return said


@dataclass
class _Taking:
    """One list that is being taken in, within a transaction."""

    brought: ImportedList
    photos: Photos
    said: _Said
    owner: Member = field(init=False)
    new: list[int] = field(default_factory=list)
    changed: list[int] = field(default_factory=list)
    places: dict[str, Place] = field(default_factory=dict)
    types: dict[int, CoinType] = field(default_factory=dict)
    issues: dict[int, Issue] = field(default_factory=dict)
    made: Made = field(default_factory=Made)

    def run(self) -> None:
        self.owner = self.brought.owner
        lock_numbers(self.owner)
        rows = rows_to_take(self.brought)
        provisional = rows.filter(outcome=Outcome.MAKE, choice=Choice.PROVISIONAL)
        try:
            self.made = make_types(self.owner, provisional)
        except NowhereYet as error:
            raise HoldingError(str(error)) from error
        self._find_places()
        self._change(rows.filter(outcome=Outcome.CHANGE))
        self._make(rows.filter(outcome=Outcome.MAKE))
        self._note()
        for before, after in ((Outcome.MAKE, Outcome.MADE), (Outcome.CHANGE, Outcome.CHANGED)):
            ImportedRow.objects.filter(of=self.brought, outcome=before).update(outcome=after)
        kinds = {**self.brought.made}
        for name, ids in self.made.kinds.items():
            kinds[name] = [*kinds.get(name, []), *ids]
        self.brought.made = kinds

    def _note(self) -> None:
        note_holdings(self.changed)
        if len(self.new) > NOTED_EACH:
            note_everything()
        else:
            note_made(self.new)

    def _find_places(self) -> None:
        """The owner's places by their path or, where it is the only one of it, by their name."""
        names = self.said.places
        if not names:
            return
        mine = list(Place.objects.filter(owner=self.owner).order_by("-pk"))
        found = {place.name.casefold(): place for place in mine}
        found |= {place.path.casefold(): place for place in mine}
        for folded, name in names.items():
            if folded not in found:
                found[folded] = Place.objects.create(owner=self.owner, name=name, path=name)
                self.made.kinds["places"].append(found[folded].pk)
        self.places = {folded: found[folded] for folded in names}

    # ---- what is there already ----
    def _change(self, rows: Any) -> None:
        some = list(rows)
        held = held_by_number(self.owner, map(number_of, some))
        self._fetch(some)
        columns, changed, befores = {"row_version", "changed_at"}, [], []
        for row in some:
            piece = held.get(number_of(row))
            if piece is None or piece.row_version != row.reading.get("seen"):
                raise ChangedMeanwhile(_changed_words(row))
            steps = differences(piece, row, self.types.get(row.coin_type_id or 0))
            before = before_of(piece, steps)
            apply(piece, steps, self.places)
            piece.issue = self.issues.get(piece.issue_id or 0) or piece.issue
            _derived(piece, row)
            piece.row_version += 1
            piece.changed_at = timezone.now()
            columns |= {name.removesuffix("_id") for name in before}
            changed.append(piece)
            befores.append(before)
        derived = {"grade_rank", "search_text", "grade", "grade_obverse", "grade_reverse"}
        Holding.objects.bulk_update(changed, sorted(columns | derived), batch_size=20)
        self._link(some, changed, befores)
        self.changed = [piece.pk for piece in changed]

    # ---- what is new ----
    def _make(self, rows: Any) -> None:
        given = self.said.numbers
        taken = held_by_number(self.owner, given)
        if taken:
            first = next(row for row in rows if number_of(row) in taken)
            raise ChangedMeanwhile(_taken_words(first))
        count = rows.count()
        free = next_accessions(self.owner, count + len(given))
        numbers = (number for number in free if number not in given)
        usual = habits_of(self.owner)
        start = {
            "owner": self.owner,
            "grade_scale": usual.scale,
            "visibility": self.brought.mapping.get("visibility") or usual.visibility,
        }
        for some in _parcels_of(rows):
            self._refuse_doubles(some)
            self._fetch(some)
            pieces = [self._piece(row, numbers, start) for row in some]
            Holding.objects.bulk_create(pieces)
            for name, ids in make_parts(self.brought, some, pieces).items():
                self.made.kinds[name] += ids
            self._link(some, pieces, [None] * len(some))
            self.new += [piece.pk for piece in pieces]

    def _refuse_doubles(self, rows: Sequence[ImportedRow]) -> None:
        """Another list may have brought the same rows since this one was read."""
        before = came_before(self.owner, {row.fingerprint for row in rows})
        for row in rows:
            if row.nth <= len(before.get(row.fingerprint, ())):
                raise ChangedMeanwhile(_came_words(row))

    def _piece(self, row: ImportedRow, numbers: Iterator[str], start: Mapping[str, Any]) -> Holding:
        kept = row.reading["piece"]
        values = {**start, **column_values(kept["fields"])}
        values.setdefault("accession", "")
        piece = Holding(**values)
        piece.accession = piece.accession or next(numbers)
        piece.imported = text_of(row)
        if kept["place"]:
            piece.place = self.places[kept["place"].casefold()]
        piece.coin_type, piece.issue = self._type_of(row)
        if piece.coin_type is None:
            piece.title = kept["title"]
        if piece.issue is None:
            piece.date_reading = reading_of(row)
        _derived(piece, row)
        piece.own_text = words_of(piece)
        return piece

    def _type_of(self, row: ImportedRow) -> tuple[CoinType | None, Issue | None]:
        if row.choice == Choice.PROVISIONAL:
            return self.made.of_rows[row.pk]
        if row.choice != Choice.TYPE:
            return None, None
        coin_type = self.types.get(row.coin_type_id or 0)
        if coin_type is None:
            raise ChangedMeanwhile(_gone_words(row))
        return coin_type, self.issues.get(row.issue_id or 0)

    def _fetch(self, rows: Sequence[ImportedRow]) -> None:
        """The types and issues of these rows that are not fetched yet."""
        for some in parcels({r.coin_type_id for r in rows if r.coin_type_id} - set(self.types)):
            found = CoinType.objects.filter(pk__in=some).select_related("denomination")
            self.types |= {one.pk: one for one in found}
        for some in parcels({r.issue_id for r in rows if r.issue_id} - set(self.issues)):
            self.issues |= {one.pk: one for one in Issue.objects.filter(pk__in=some)}

    def _link(
        self,
        rows: Sequence[ImportedRow],
        pieces: Sequence[Holding],
        befores: Sequence[dict[str, Any] | None],
    ) -> None:
        """Note which row made or changed which piece, with the photographs it brought."""
        fresh = [
            photo
            for row, piece in zip(rows, pieces, strict=True)
            for photo in self._photos(row, piece)
        ]
        of: dict[int, list[int]] = defaultdict(list)
        for photo in Photo.objects.bulk_create(fresh, batch_size=500):
            of[photo.holding_id].append(photo.pk)
        ImportedPiece.objects.bulk_create(
            [
                ImportedPiece(
                    row=row,
                    holding=piece,
                    version=piece.row_version,
                    before=before,
                    photos=of.get(piece.pk, []),
                )
                for row, piece, before in zip(rows, pieces, befores, strict=True)
            ],
            batch_size=500,
        )

    def _photos(self, row: ImportedRow, piece: Holding) -> Iterator[Photo]:
        stored = self.photos.get(row.pk, [])
        first = piece.photos.count() if stored else 0
        for position, (side, kept) in enumerate(stored, first):
            yield Photo(
                holding=piece,
                side=side,
                digest=kept.digest,
                width=kept.width,
                height=kept.height,
                position=position,
            )


def _derived(piece: Holding, row: ImportedRow) -> None:
    if not any(getattr(piece, name) for name in GRADED):
        piece.grade_rank = None
    try:
        derive(piece)
    except HoldingError as error:
        raise HoldingError(_("Line %(n)d: %(why)s") % {"n": row.line, "why": error}) from error


def _parcels_of(rows: Any) -> Iterable[list[ImportedRow]]:
    """The rows, a parcel at a time, so that no more of them are in memory."""
    last = -1
    while some := list(rows.filter(line__gt=last)[:PARCEL]):
        yield some
        last = some[-1].line


def _changed_words(row: ImportedRow) -> str:
    return _(
        "%(number)s (line %(n)d) was changed since the list was read. Look the rows over again."
    ) % {"number": number_of(row), "n": row.line}


def _taken_words(row: ImportedRow) -> str:
    return _(
        "%(number)s (line %(n)d) was given to another piece since the list was read. Look the "
        "rows over again."
    ) % {"number": number_of(row), "n": row.line}


def _came_words(row: ImportedRow) -> str:
    return _("Line %(n)d came in with another list meanwhile. Look the rows over again.") % {
        "n": row.line
    }


def _gone_words(row: ImportedRow) -> str:
    return _("The type of line %(n)d is no longer there. Look the rows over again.") % {
        "n": row.line
    }
