"""What the site keeps of a member: for the export of everything, and for erasing.

``settings.MEMBER_DATA`` lists dotted paths of :class:`MemberData`, one for each app that keeps
something, so that an upper floor's records are reached without importing it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import PurePosixPath
from typing import Any

from django.conf import settings
from django.db.models import Q, QuerySet
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

    tables: Callable[[Member], list[Table]]
    files: Callable[[Member], Iterator[StoredFile]] = field(default=lambda member: iter(()))
    before_erase: Callable[[Member], None] = field(default=lambda member: None)
    remains: Callable[[Member], list[str]] = field(default=lambda member: [])


@cache
def member_data() -> tuple[MemberData, ...]:
    return tuple(import_string(path) for path in settings.MEMBER_DATA)


def _tables(member: Member) -> list[Table]:
    def of_holdings(manager: Any) -> QuerySet[Any]:
        return manager.filter(holding__owner=member)

    return [
        Table(
            "account",
            _("Your account, without the password."),
            Member.objects.filter(pk=member.pk),
            frozenset({"password"}),
        ),
        Table(
            "holdings",
            _("Every piece and lot you hold or held, with what is in the bin."),
            Holding.everything.filter(owner=member),
            frozenset({"search_text", "own_text"}),
        ),
        Table("problems", _("Problems of your pieces."), of_holdings(HoldingProblem.objects)),
        Table(
            "observations",
            _("What you saw and measured of pieces, and what an unidentified one may be."),
            of_holdings(Observation.objects),
        ),
        Table("status_changes", _("Sold, lent, swapped …"), of_holdings(StatusChange.objects)),
        Table("provenance", _("Earlier owners and events."), of_holdings(ProvenanceLine.objects)),
        Table("references", _("Works in which a piece is."), of_holdings(HoldingReference.objects)),
        Table(
            "receipts",
            _("Papers of your pieces; the files are in the folder receipts."),
            of_holdings(Receipt.objects),
        ),
        Table(
            "photographs",
            _("Photographs of your pieces; the files are in the folder photographs."),
            of_holdings(Photo.everything),
        ),
        Table("places", _("Where you keep things."), Place.everything.filter(owner=member)),
        Table("aims", _("What you set out to complete."), Aim.everything.filter(owner=member)),
        Table("wants", _("What you asked for by hand."), Want.everything.filter(owner=member)),
        Table(
            "want_lists",
            _("Your want lists; the secret of a shared link is not kept and not here."),
            WantList.everything.filter(owner=member),
            frozenset({"token_hash"}),
        ),
        Table(
            "showings",
            _("Pages on which you show pieces; the secret of a link is not kept and not here."),
            Showing.everything.filter(owner=member),
            frozenset({"token_hash"}),
        ),
        Table(
            "shown_pieces",
            _("Pieces picked for those pages, and their captions."),
            ShownPiece.objects.filter(showing__owner=member),
        ),
        Table(
            "reservations",
            _("Spares promised to you, and spares of yours promised to others."),
            Reservation.objects.filter(Q(wanted_by=member) | Q(holding__owner=member)),
        ),
        Table(
            "proposals",
            _("Types you proposed to the catalogue and what became of them."),
            Proposal.objects.filter(proposed_by=member),
        ),
        Table(
            "saved_searches",
            _("Searches of the holdings that you keep under a name."),
            SavedSearch.objects.filter(owner=member),
        ),
        Table("label_stocks", _("Label stock."), LabelStock.everything.filter(owner=member)),
        Table(
            "sheets",
            _("Sheets you asked for; the files are in the folder sheets."),
            Sheet.objects.filter(owner=member),
        ),
        Table(
            "handed_links",
            _("Invitations and new passwords that were handed to you."),
            HandedLink.objects.filter(member=member),
            frozenset({"token_hash"}),
        ),
        Table(
            "devices",
            _("Browsers in which you signed in."),
            Device.objects.filter(owner=member),
            frozenset({"token_hash", "session_hash"}),
        ),
        Table(
            "second_factor",
            _("When you set up your second factor; its key is not here."),
            SecondFactor.objects.filter(owner=member),
            frozenset({"sealed_key", "last_step"}),
        ),
        Table(
            "recovery_codes",
            _("When you used your recovery codes; the codes are not kept and not here."),
            RecoveryCode.objects.filter(factor__owner=member),
            frozenset({"code_hash"}),
        ),
        Table(
            "notices",
            _("What you were told of your sign-in and have not put away."),
            Notice.objects.filter(owner=member),
        ),
    ]


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


CATALOGUE = MemberData(_tables, _files, _before_erase, catalogue_remains)
