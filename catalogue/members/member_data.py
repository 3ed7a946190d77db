"""What the site keeps of a member: for the export of everything, and for erasing.

``settings.MEMBER_DATA`` lists dotted paths of :class:`MemberData`, one for each app that keeps
something, so that an upper floor's records are reached without importing it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache, reduce
from operator import or_
from pathlib import PurePosixPath
from typing import Any

from django.conf import settings
from django.db.models import Model, Q, QuerySet
from django.utils.module_loading import import_string
from django.utils.text import get_valid_filename
from django.utils.translation import gettext_lazy as _

from catalogue.members.remains import catalogue_remains
from catalogue.models import (
    Aim,
    Device,
    HandedLink,
    Holding,
    HoldingProblem,
    HoldingReference,
    LabelStock,
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
    leave_out: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Kept:
    """A table of the export: all rows of a model that a path of it leads from to the member.

    What is in the bin belongs to it. ``without``: columns that are left out.
    """

    name: str
    about: Any
    model: type[Model]
    paths: tuple[str, ...] = ("owner",)
    without: tuple[str, ...] = ()

    def table(self, member: Member) -> Table:
        rows: Any = getattr(self.model, "everything", self.model._default_manager)
        theirs = reduce(or_, (Q(**{path: member.pk}) for path in self.paths))
        return Table(self.name, self.about, rows.filter(theirs), frozenset(self.without))


@dataclass(frozen=True)
class StoredFile:
    """A file of the storage that belongs to a member, and where it goes in the export."""

    stored: str
    filed: str


@dataclass(frozen=True)
class MemberData:
    """What one app keeps of a member.

    ``kept`` are the tables of the export. ``before_erase(member)`` removes what would keep the
    member's rows from being deleted; the cascade of the database does the rest.
    ``remains(member)`` says in sentences what stays.
    """

    kept: tuple[Kept, ...]
    files: Callable[[Member], Iterator[StoredFile]] = field(default=lambda member: iter(()))
    before_erase: Callable[[Member], None] = field(default=lambda member: None)
    remains: Callable[[Member], list[str]] = field(default=lambda member: [])

    def tables(self, member: Member) -> list[Table]:
        return [kept.table(member) for kept in self.kept]


@cache
def member_data() -> tuple[MemberData, ...]:
    return tuple(import_string(path) for path in settings.MEMBER_DATA)


_OF_HOLDING = ("holding__owner",)
_TABLES = (
    Kept("account", _("Your account, without the password."), Member, ("pk",), ("password",)),
    Kept(
        "holdings",
        _("Every piece and lot you hold or held, with what is in the bin."),
        Holding,
        without=("search_text", "own_text"),
    ),
    Kept("problems", _("Problems of your pieces."), HoldingProblem, _OF_HOLDING),
    Kept(
        "observations",
        _("What you saw and measured of pieces, and what an unidentified one may be."),
        Observation,
        _OF_HOLDING,
    ),
    Kept("status_changes", _("Sold, lent, swapped …"), StatusChange, _OF_HOLDING),
    Kept("provenance", _("Earlier owners and events."), ProvenanceLine, _OF_HOLDING),
    Kept("references", _("Works in which a piece is."), HoldingReference, _OF_HOLDING),
    Kept(
        "receipts",
        _("Papers of your pieces; the files are in the folder receipts."),
        Receipt,
        _OF_HOLDING,
    ),
    Kept(
        "photographs",
        _("Photographs of your pieces; the files are in the folder photographs."),
        Photo,
        _OF_HOLDING,
    ),
    Kept("places", _("Where you keep things."), Place),
    Kept("aims", _("What you set out to complete."), Aim),
    Kept("wants", _("What you asked for by hand."), Want),
    Kept(
        "want_lists",
        _("Your want lists; the secret of a shared link is not kept and not here."),
        WantList,
        without=("token_hash",),
    ),
    Kept(
        "showings",
        _("Pages on which you show pieces; the secret of a link is not kept and not here."),
        Showing,
        without=("token_hash",),
    ),
    Kept(
        "shown_pieces",
        _("Pieces picked for those pages, and their captions."),
        ShownPiece,
        ("showing__owner",),
    ),
    Kept(
        "reservations",
        _("Spares promised to you, and spares of yours promised to others."),
        Reservation,
        ("wanted_by", *_OF_HOLDING),
    ),
    Kept(
        "proposals",
        _("Types you proposed to the catalogue and what became of them."),
        Proposal,
        ("proposed_by",),
    ),
    Kept("saved_searches", _("Searches of the holdings that you keep under a name."), SavedSearch),
    Kept("label_stocks", _("Label stock."), LabelStock),
    Kept("sheets", _("Sheets you asked for; the files are in the folder sheets."), Sheet),
    Kept(
        "handed_links",
        _("Invitations and new passwords that were handed to you."),
        HandedLink,
        ("member",),
        ("token_hash",),
    ),
    Kept(
        "devices",
        _("Browsers in which you signed in."),
        Device,
        without=("token_hash", "session_hash"),
    ),
    Kept(
        "second_factor",
        _("When you set up your second factor; its key is not here."),
        SecondFactor,
        without=("sealed_key", "last_step"),
    ),
    Kept(
        "recovery_codes",
        _("When you used your recovery codes; the codes are not kept and not here."),
        RecoveryCode,
        ("factor__owner",),
        ("code_hash",),
    ),
    Kept("notices", _("What you were told of your sign-in and have not put away."), Notice),
)


def _files(member: Member) -> Iterator[StoredFile]:
    photos = Photo.everything.filter(holding__owner=member).select_related("holding")
    for photo in photos.order_by("pk").iterator():
        name = get_valid_filename(f"{photo.holding.accession}-{photo.side}-{photo.pk}.webp")
        yield StoredFile(picture_name(photo.digest, FULL), f"photographs/{name}")
    receipts = Receipt.objects.filter(holding__owner=member).select_related("holding")
    for receipt in receipts.order_by("pk").iterator():
        name = get_valid_filename(f"{receipt.holding.accession}-{receipt.pk}-{receipt.name}")
        yield StoredFile(receipt.file, f"receipts/{name}")
    for sheet in Sheet.objects.filter(owner=member).exclude(file="").order_by("pk").iterator():
        name = get_valid_filename(
            f"{sheet.pk}-{sheet.title[:80]}{PurePosixPath(sheet.file).suffix}"
        )
        yield StoredFile(sheet.file, f"sheets/{name}")


def _before_erase(member: Member) -> None:
    """A place in a place is protected; taken apart, all of them can go."""
    Place.everything.filter(owner=member).update(within=None)


CATALOGUE = MemberData(_TABLES, _files, _before_erase, catalogue_remains)
