"""Taking a list in: all rows that are to be made or changed, or none.

Pictures are decoded and stored before, and everything is laid ready beside the site's tables
(``coming``), which keeps nobody from writing. Then one transaction takes it in by a few statements
over all rows at once; whoever is killed before or in it leaves nothing. How long that holds
SQLite's write lock is measured by ``bench_import``.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from catalogue.curation.belonging import NowhereYet
from catalogue.history.keeping import doing, keep_of_pieces
from catalogue.holdings.actions import HoldingError, lock_numbers
from catalogue.holdings.changes import note_everything, note_holdings, note_made
from catalogue.importing.coming import HOLDING, Coming, laid_column, rows_to_take
from catalogue.importing.judging import recount
from catalogue.importing.laid_ready import Laid, run
from catalogue.importing.many_rows import quoted, table_of
from catalogue.importing.part_rows import make_parts
from catalogue.importing.picture_files import NO_PICTURES, Pictures
from catalogue.importing.provisional import Made, make_types
from catalogue.importing.staging import Tell, no_tell
from catalogue.models import Holding, ImportedList, ImportedPiece, ImportedRow, Photo, Place
from series.parcels import parcels
from series.picture.pictures import Kept, PictureRefused

NOTED_EACH = 5_000
"""So many pieces are noted one by one; more are noted as one great change."""
Outcome, State = ImportedRow.Outcome, ImportedList.State
Photos = dict[int, list[tuple[str, Kept]]]


def publish(
    brought: ImportedList, pictures: Pictures = NO_PICTURES, tell: Tell = no_tell
) -> list[list[str]]:
    """Take in what is to be made and changed; the pictures that could not be, with the reason.

    HoldingError says why nothing was taken in. Done twice, it adds nothing the second time.
    """
    photos, refused = _store_pictures(brought, pictures, tell)
    why = _("The list %(name)s taken in") % {"name": brought.name}
    with (
        doing(brought.owner, why, back_at=brought.get_absolute_url()),
        Coming(brought) as coming,
    ):
        coming.lay_ready()
        with transaction.atomic():
            kept = ImportedList.objects.select_for_update().get(pk=brought.pk)
            lock_numbers(brought.owner)
            if not coming.still_so():
                coming.lay_ready()
                coming.still_so()
            made = _Taking(kept, coming, photos).run()
            _note_with_list(kept, made, refused)
    brought.refresh_from_db()
    return refused


def _note_with_list(kept: ImportedList, made: Made, refused: list[list[str]]) -> None:
    """Say with the list what became of it."""
    kinds = {**kept.made}
    for name, ids in made.kinds.items():
        kinds[name] = [*kinds.get(name, []), *ids]
    kept.made = kinds
    kept.left_aside = [*kept.left_aside, *refused]
    kept.message = ""
    kept.taken_at = timezone.now()
    recount(kept)
    open_rows = kept.counts.get(Outcome.DOUBTFUL, 0)
    kept.state = State.REHEARSAL if open_rows else State.DONE
    kept.save()


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


@dataclass
class _Taking:
    """What is laid ready goes in, within the transaction."""

    brought: ImportedList
    coming: Coming
    photos: Photos
    made: Made = field(default_factory=Made)

    def run(self) -> Made:
        try:
            self.made = make_types(self.coming.owner, self.coming.plan)
        except NowhereYet as error:
            raise HoldingError(str(error)) from error
        self._make_places()
        self.coming.stored.add(list(self.made.ids.items()))
        self._change()
        self._make()
        pieces, changes = self.coming.pieces, self.coming.changes
        self._link(pieces, _OF_NEW, "NULL")
        self._make_parts()
        self._link(changes, _OF_KNOWN, "l.before")
        self._hang_photos()
        self._note()
        for before, after in ((Outcome.MAKE, Outcome.MADE), (Outcome.CHANGE, Outcome.CHANGED)):
            ImportedRow.objects.filter(of=self.brought, outcome=before).update(outcome=after)
        return self.made

    def _make_places(self) -> None:
        for place in self.coming.places.values():
            if place.pk < 0:
                stored = Place.objects.create(
                    owner=self.coming.owner, name=place.name, path=place.path
                )
                self.made.ids[place.pk] = stored.pk
                self.made.kinds["places"].append(stored.pk)

    def _make(self) -> None:
        names = ", ".join(map(quoted, HOLDING))
        values = ", ".join(laid_column(name, self.coming.stored) for name in HOLDING)
        run(
            f"INSERT INTO {table_of(Holding)} ({names}) SELECT {values}"
            f" FROM {self.coming.pieces.name} l ORDER BY l.line"
        )
        keep_of_pieces(self.coming.pieces.name, _OF_NEW, was="NULL", becomes="'{}'")

    def _change(self) -> None:
        values = ", ".join(
            f"{quoted(name)} = {laid_column(name, self.coming.stored)}"
            for name in HOLDING
            if name not in ("owner_id", "created_at")
        )
        table = table_of(Holding)
        run(
            f"UPDATE {table} SET {values} FROM {self.coming.changes.name} l WHERE l.id = {table}.id"
        )
        differs = f"{_OF_KNOWN} AND l.becomes IS NOT NULL"
        keep_of_pieces(self.coming.changes.name, differs, was="l.was", becomes="l.becomes")

    def _link(self, laid: Laid, pieces: str, before: str) -> None:
        """Note which row made or changed which piece."""
        run(
            f"INSERT INTO {table_of(ImportedPiece)} (row_id, holding_id, version, photos, before)"
            f" SELECT l.row_id, h.id, h.row_version, '[]', {before} FROM {laid.name} l"
            f" JOIN {table_of(Holding)} h ON {pieces} ORDER BY l.line"
        )

    def _make_parts(self) -> None:
        """References, statuses and worths of the new pieces whose rows say any."""
        for some in parcels(self.coming.with_parts):
            linked = list(
                ImportedPiece.objects.filter(row__in=some).select_related("row", "holding")
            )
            rows, pieces = [each.row for each in linked], [each.holding for each in linked]
            for name, ids in make_parts(self.brought, rows, pieces).items():
                self.made.kinds[name] += ids

    def _hang_photos(self) -> None:
        """The photographs that came along, each with its piece."""
        for some in parcels(self.photos):
            linked = ImportedPiece.objects.filter(row__in=some).select_related("holding")
            by_row = {piece.row_id: piece for piece in linked}
            fresh = [
                photo for row in some for photo in _photos_of(by_row[row].holding, self.photos[row])
            ]
            of: dict[int, list[int]] = defaultdict(list)
            for photo in Photo.objects.bulk_create(fresh, batch_size=500):
                of[photo.holding_id].append(photo.pk)
            for piece in by_row.values():
                piece.photos = of[piece.holding_id]
            ImportedPiece.objects.bulk_update(by_row.values(), ["photos"], batch_size=100)

    def _note(self) -> None:
        """Note what was changed, so that every process looks at it."""
        if self.coming.pieces.count() + self.coming.changes.count() > NOTED_EACH:
            note_everything()
            return
        note_holdings(pk for (pk,) in run(f"SELECT id FROM {self.coming.changes.name}"))
        of_list = ImportedPiece.objects.filter(row__of=self.brought, before__isnull=True)
        fresh = of_list.filter(row__outcome=Outcome.MAKE)
        note_made(fresh.values_list("holding_id", flat=True))


_OF_NEW = "h.owner_id = l.owner_id AND h.accession = l.accession"
_OF_KNOWN = "h.id = l.id"


def _photos_of(piece: Holding, stored: list[tuple[str, Kept]]) -> Iterator[Photo]:
    for position, (side, kept) in enumerate(stored, piece.photos.count()):
        yield Photo(
            holding=piece,
            side=side,
            digest=kept.digest,
            width=kept.width,
            height=kept.height,
            position=position,
        )
