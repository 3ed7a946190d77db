"""What the site keeps of a member: for the export of everything, and for erasing.

``settings.MEMBER_DATA`` lists dotted paths of :class:`MemberData`, one for each app that keeps
something, so that an upper floor's records are reached without importing it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import PurePosixPath
from typing import Any

from django.conf import settings
from django.db.models import Model, Q, QuerySet
from django.utils.module_loading import import_string
from django.utils.text import get_valid_filename
from django.utils.translation import gettext_lazy as _

from catalogue.members.coming_back import (
    Settle,
    aimed_again,
    closed,
    held_again,
    list_again,
    mapped_again,
    placed_again,
    plainly,
    row_again,
    row_of_piece_again,
    seen_again,
    stopped_again,
)
from catalogue.members.remains import catalogue_remains
from catalogue.models import (
    Aim,
    Alteration,
    BroughtArchive,
    Deed,
    Device,
    HandedLink,
    Holding,
    HoldingProblem,
    HoldingReference,
    ImportedList,
    ImportedPiece,
    ImportedRow,
    LabelStock,
    ListMapping,
    Member,
    Notice,
    Observation,
    Photo,
    Place,
    Proposal,
    ProvenanceLine,
    Receipt,
    RecoveryCode,
    Reservation,
    SavedSearch,
    SecondFactor,
    Sheet,
    Showing,
    ShownPiece,
    StatusChange,
    Stop,
    Talk,
    Want,
    WantList,
)
from series.picture.pictures import FULL, picture_name


@dataclass(frozen=True)
class Table:
    """Rows of one model that belong to a member, in a file of this name in the export."""

    name: str
    about: Any
    rows: QuerySet[Any]


@dataclass(frozen=True)
class Kind:
    """A model of which rows belong to members; ``of`` leads from a row to its member.

    ``comes_back(record, row, member)`` settles what the columns of a row of an archive don't say,
    before it becomes a record again, or raises LeftOut. None: such rows don't come back.
    """

    name: str
    model: type[Model]
    about: Any
    of: Sequence[str] = ("owner",)
    comes_back: Settle | None = None

    def table(self, member: Member) -> Table:
        """The member's rows, with what is in the bin."""
        theirs = Q(*((path, member.pk) for path in self.of), _connector=Q.OR)
        return Table(self.name, self.about, self.model._base_manager.filter(theirs))


SECRET_COLUMNS = frozenset(
    {"password", "token_hash", "session_hash", "code_hash", "sealed_key", "last_step"}
)
MADE_COLUMNS = frozenset({"search_text", "own_text"})
NOT_EXPORTED = SECRET_COLUMNS | MADE_COLUMNS


@dataclass(frozen=True)
class StoredFile:
    """A file of the storage that belongs to a member, and where it goes in the export."""

    stored: str
    filed: str


@dataclass(frozen=True)
class MemberData:
    """What one app keeps of a member.

    ``before_erase(member)`` removes what would keep the member's rows from being deleted; the
    cascade of the database does the rest. ``remains(member)`` says in sentences what stays.
    """

    kinds: Sequence[Kind]
    files: Callable[[Member], Iterator[StoredFile]] = field(default=lambda member: iter(()))
    before_erase: Callable[[Member], None] = field(default=lambda member: None)
    remains: Callable[[Member], list[str]] = field(default=lambda member: [])

    def tables(self, member: Member) -> list[Table]:
        return [kind.table(member) for kind in self.kinds]


@cache
def member_data() -> tuple[MemberData, ...]:
    return tuple(import_string(path) for path in settings.MEMBER_DATA)


OF_HOLDING = ("holding__owner",)
KINDS = (
    Kind("account", Member, _("Your account, without the password."), ("pk",)),
    Kind(
        "holdings",
        Holding,
        _("Every piece and lot you hold or held, with what is in the bin."),
        comes_back=held_again,
    ),
    Kind("problems", HoldingProblem, _("Problems of your pieces."), OF_HOLDING, comes_back=plainly),
    Kind(
        "observations",
        Observation,
        _("What you saw and measured of pieces, and what an unidentified one may be."),
        OF_HOLDING,
        comes_back=seen_again,
    ),
    Kind(
        "status_changes", StatusChange, _("Sold, lent, swapped …"), OF_HOLDING, comes_back=plainly
    ),
    Kind(
        "provenance",
        ProvenanceLine,
        _("Earlier owners and events."),
        OF_HOLDING,
        comes_back=plainly,
    ),
    Kind(
        "references",
        HoldingReference,
        _("Works in which a piece is."),
        OF_HOLDING,
        comes_back=plainly,
    ),
    Kind(
        "receipts",
        Receipt,
        _("Papers of your pieces; the files are in the folder receipts."),
        OF_HOLDING,
        comes_back=plainly,
    ),
    Kind(
        "photographs",
        Photo,
        _("Photographs of your pieces; the files are in the folder photographs."),
        OF_HOLDING,
        comes_back=plainly,
    ),
    Kind("places", Place, _("Where you keep things."), comes_back=placed_again),
    Kind("aims", Aim, _("What you set out to complete."), comes_back=aimed_again),
    Kind("wants", Want, _("What you asked for by hand."), comes_back=aimed_again),
    Kind(
        "want_lists",
        WantList,
        _("Your want lists; the secret of a shared link is not kept and not here."),
        comes_back=plainly,
    ),
    Kind(
        "showings",
        Showing,
        _("Pages on which you show pieces; the secret of a link is not kept and not here."),
        comes_back=closed,
    ),
    Kind(
        "shown_pieces",
        ShownPiece,
        _("Pieces picked for those pages, and their captions."),
        ("showing__owner",),
        comes_back=plainly,
    ),
    Kind(
        "talks",
        Talk,
        _("Talks in which you show pieces; the secret of a link is not kept and not here."),
        comes_back=plainly,
    ),
    Kind(
        "stops",
        Stop,
        _("The stops of those talks, with what you say and what listeners read."),
        ("talk__owner",),
        comes_back=stopped_again,
    ),
    Kind(
        "reservations",
        Reservation,
        _("Spares promised to you, and spares of yours promised to others."),
        ("wanted_by", *OF_HOLDING),
    ),
    Kind(
        "proposals",
        Proposal,
        _("Types you proposed to the catalogue and what became of them."),
        ("proposed_by",),
    ),
    Kind(
        "saved_searches",
        SavedSearch,
        _("Searches of the holdings that you keep under a name."),
        comes_back=plainly,
    ),
    Kind(
        "imported_lists",
        ImportedList,
        _("Lists you brought in; the files are in the folder lists."),
        comes_back=list_again,
    ),
    Kind(
        "imported_rows",
        ImportedRow,
        _("The rows of those lists."),
        ("of__owner",),
        comes_back=row_again,
    ),
    Kind(
        "imported_pieces",
        ImportedPiece,
        _("Which of your pieces a row made or changed."),
        ("row__of__owner",),
        comes_back=row_of_piece_again,
    ),
    Kind(
        "list_mappings",
        ListMapping,
        _("What the columns of your lists are."),
        comes_back=mapped_again,
    ),
    Kind("brought_archives", BroughtArchive, _("Archives like this one that you brought back.")),
    Kind("label_stocks", LabelStock, _("Label stock."), comes_back=plainly),
    Kind("sheets", Sheet, _("Sheets you asked for; the files are in the folder sheets.")),
    Kind(
        "handed_links",
        HandedLink,
        _("Invitations and new passwords that were handed to you."),
        ("member",),
    ),
    Kind("devices", Device, _("Browsers in which you signed in.")),
    Kind(
        "second_factor",
        SecondFactor,
        _("When you set up your second factor; its key is not here."),
    ),
    Kind(
        "recovery_codes",
        RecoveryCode,
        _("When you used your recovery codes; the codes are not kept and not here."),
        ("factor__owner",),
    ),
    Kind("deeds", Deed, _("What you did, and when."), ("by",)),
    Kind(
        "history",
        Alteration,
        _("What each of your records was before a change and after it, as plain values."),
        ("owner", *OF_HOLDING),
    ),
    Kind("notices", Notice, _("What you were told of your sign-in and have not put away.")),
)


def _photos(member: Member) -> Iterator[tuple[Photo, str]]:
    """Each photograph of a member, what is in the bin too, with its file's name in the export."""
    photos = Photo.everything.filter(holding__owner=member).select_related("holding")
    for photo in photos.order_by("pk").iterator():
        name = get_valid_filename(f"{photo.holding.accession}-{photo.side}-{photo.pk}.webp")
        yield photo, f"photographs/{name}"


def photo_files(member: Member) -> dict[int, str]:
    """The file's name in the export by the photograph's id."""
    return {photo.pk: name for photo, name in _photos(member)}


def _files(member: Member) -> Iterator[StoredFile]:
    for photo, name in _photos(member):
        yield StoredFile(picture_name(photo.digest, FULL), name)
    receipts = Receipt.objects.filter(holding__owner=member).select_related("holding")
    for receipt in receipts.order_by("pk").iterator():
        name = get_valid_filename(f"{receipt.holding.accession}-{receipt.pk}-{receipt.name}")
        yield StoredFile(receipt.file, f"receipts/{name}")
    for sheet in Sheet.objects.filter(owner=member).exclude(file="").order_by("pk").iterator():
        name = get_valid_filename(
            f"{sheet.pk}-{sheet.title[:80]}{PurePosixPath(sheet.file).suffix}"
        )
        yield StoredFile(sheet.file, f"sheets/{name}")
    for brought in ImportedList.objects.filter(owner=member).order_by("pk").iterator():
        yield StoredFile(
            brought.file, f"lists/{get_valid_filename(f'{brought.pk}-{brought.name}')}"
        )
        if brought.pictures:
            yield StoredFile(brought.pictures, f"lists/{brought.pk}-pictures.zip")


def _before_erase(member: Member) -> None:
    """A place in a place is protected; taken apart, all of them can go."""
    Place.everything.filter(owner=member).update(within=None)


CATALOGUE = MemberData(KINDS, _files, _before_erase, catalogue_remains)
