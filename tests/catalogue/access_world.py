"""One of everything, belonging to one member, and how each address is filled from it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.utils import timezone
from PIL import Image

from catalogue.members.links import make_invitation
from catalogue.members.models import hash_token, new_token
from catalogue.models import (
    Aim,
    Device,
    HandedLink,
    Holding,
    LabelStock,
    Member,
    Photo,
    Place,
    Proposal,
    Receipt,
    Reservation,
    SavedSearch,
    Sheet,
    Showing,
    ShownPiece,
    Want,
    WantList,
)
from series.models import CoinType, Face, Mint, Motif, Person
from series.picture.pictures import keep_image
from tests.conftest import Coinage, make_coinage
from valuation.models import PriceSource, Schedule, Valuation
from valuation.schedules.making import Terms, make_schedule


@dataclass
class World:
    """``owner`` has everything here; ``other``, ``curator`` and ``administrator`` look at it."""

    owner: Member
    other: Member
    curator: Member
    administrator: Member
    coinage: Coinage
    proposed: CoinType
    motif: Motif
    person: Person
    holding: Holding
    private: Holding
    public: Holding
    photo: Photo
    private_photo: Photo
    public_photo: Photo
    receipt: Receipt
    search: SavedSearch
    place: Place
    binned_place: Place
    aim: Aim
    want: Want
    want_list: WantList
    list_token: str
    showing: Showing
    showing_token: str
    reservation: Reservation
    stock: LabelStock
    sheet: Sheet
    proposal: Proposal
    source: PriceSource
    value: Valuation
    type_value: Valuation
    schedule: Schedule
    link_token: str
    invitation: HandedLink
    device: Device


def make_world() -> World:
    """One of everything in the database; the members have no password."""
    owner, other, curator, administrator = (
        Member.objects.create_user(name, role=role, name=name)
        for name, role in (
            ("owner", "member"),
            ("other", "member"),
            ("curator", "curator"),
            ("administrator", "administrator"),
        )
    )
    coinage = make_coinage()
    kept = keep_image(Image.new("RGB", (24, 24), "#a08050"))
    Face.objects.filter(coin_type=coinage.type).update(picture=kept.digest)
    proposed = CoinType.objects.create(
        key="testland-proposed",
        series=coinage.series,
        denomination=coinage.denomination,
        standing=CoinType.Standing.PROPOSED,
    )
    proposal = Proposal.objects.create(coin_type=proposed, proposed_by=owner)

    def hold(accession: str, visibility: str) -> Holding:
        return Holding.objects.create(
            owner=owner,
            accession=accession,
            coin_type=coinage.type,
            issue=coinage.issues[0],
            visibility=visibility,
            quantity=2,
            spare=True,
        )

    def photograph(holding: Holding) -> Photo:
        return Photo.objects.create(holding=holding, digest=kept.digest, width=24, height=24)

    holding, private, public = hold("A.1", "club"), hold("A.2", "private"), hold("A.3", "public")
    place = Place.objects.create(owner=owner, name="Cabinet", path="Cabinet")
    paper = default_storage.save("receipts/bill.pdf", ContentFile(b"%PDF-1.7"))
    drawn = default_storage.save("sheets/labels.pdf", ContentFile(b"%PDF-1.7"))
    source = PriceSource.objects.create(owner=owner, name="Own notes")
    shared = PriceSource.objects.create(name="A list")
    day = date(2024, 3, 1)
    want_list = WantList.objects.create(owner=owner, title="List")
    list_token = new_token()
    WantList.objects.filter(pk=want_list.pk).update(token_hash=hash_token(list_token))
    showing = Showing.objects.create(owner=owner, title="Page", open_to_all=True)
    showing_token = showing.new_link(timezone.now() + timedelta(days=30))
    link_token = make_invitation(administrator, "member")
    value = Valuation.objects.create(
        holding=holding, single="20.00", on=day, source=source, entered_by=owner
    )
    terms = Terms("The owner", "", "", day, "EUR", Decimal(10), Decimal(1))
    for shown in (holding, private):  # of which the second stays hidden
        ShownPiece.objects.create(showing=showing, holding=shown, picked=True)
    return World(
        owner=owner,
        other=other,
        curator=curator,
        administrator=administrator,
        coinage=coinage,
        proposed=proposed,
        motif=Motif.objects.create(key="gull", name="gull"),
        person=Person.objects.create(key="engraver", name="An Engraver"),
        holding=holding,
        private=private,
        public=public,
        photo=photograph(holding),
        private_photo=photograph(private),
        public_photo=photograph(public),
        receipt=Receipt.objects.create(
            holding=holding, name="bill.pdf", file=paper, content_type="application/pdf", size=8
        ),
        search=SavedSearch.objects.create(owner=owner, name="Spares", asked="spare=yes"),
        place=place,
        binned_place=Place.objects.create(
            owner=owner, name="Old box", path="Old box", deleted_at=timezone.now()
        ),
        aim=Aim.objects.create(owner=owner, name="All", series=coinage.series),
        want=Want.objects.create(owner=owner, coin_type=coinage.type),
        want_list=want_list,
        list_token=list_token,
        showing=showing,
        showing_token=showing_token,
        reservation=Reservation.objects.create(
            holding=public, wanted_by=other, coin_type=coinage.type
        ),
        stock=LabelStock.objects.create(
            owner=owner,
            name="Small",
            rows=8,
            columns=3,
            width_mm=60,
            height_mm=30,
            left_mm=5,
            top_mm=5,
        ),
        sheet=Sheet.objects.create(
            owner=owner, kind="labels", title="Labels", file=drawn, state="ready"
        ),
        proposal=proposal,
        source=source,
        value=value,
        type_value=Valuation.objects.create(
            coin_type=coinage.type,
            grade="VF",
            single="8.00",
            on=day,
            source=shared,
            entered_by=owner,
        ),
        schedule=make_schedule(owner, terms, Holding.objects.all()),
        link_token=link_token,
        invitation=HandedLink.objects.get(),
        device=Device.objects.create(owner=owner, token_hash=hash_token("a browser")),
    )


Fill = Callable[[World], dict[str, Any]]


def _pk(name: str) -> Fill:
    return lambda world: {"pk": getattr(world, name).pk}


def _key(name: str) -> Fill:
    return lambda world: {"key": getattr(world.coinage, name).key}


def _token(name: str) -> Fill:
    return lambda world: {"token": getattr(world, name)}


def _face(world: World) -> dict[str, Any]:
    return {"key": world.coinage.type.key, "side": "obverse", "size": "small"}


def _photo(name: str) -> Fill:
    return lambda world: {"pk": getattr(world, name).pk, "size": "small"}


def _shown(**more: str) -> Fill:
    """Behind the secret link of a page for others: with the ids of these records."""
    return lambda world: {
        "token": world.showing_token,
        **{part: getattr(world, name).pk for part, name in more.items()},
    }


def _opened(**more: str) -> Fill:
    """The same behind its open address or its owner's."""
    return lambda world: {
        "pk": world.showing.pk,
        **{part: getattr(world, name).pk for part, name in more.items()},
    }


def _sized(fill: Fill, **more: str) -> Fill:
    return lambda world: {**fill(world), "size": "small", **more}


def _type_face(fill: Fill, name: str = "type") -> Fill:
    return lambda world: {
        **_sized(fill, side="obverse")(world),
        "key": (world.proposed if name == "proposed" else world.coinage.type).key,
    }


def _proposed(world: World) -> dict[str, Any]:
    return {"key": world.proposed.key}


def _mint(world: World) -> dict[str, Any]:
    mint, _made = Mint.objects.get_or_create(key="mint", defaults={"name": "A mint"})
    return {"key": mint.key}


def _unidentified(world: World) -> dict[str, Any]:
    piece, _made = Holding.objects.get_or_create(
        owner=world.owner, accession="A.9", visibility="club"
    )
    return {"pk": piece.pk}


# How the parts of an address are filled, by "name" or "name:variant" as in the table.
ARGUMENTS: dict[str, Fill] = {
    "handed-link": _token("link_token"),
    "handed-link:made-up": lambda world: {"token": "made-up"},
    "member": _pk("owner"),
    "member-role": _pk("owner"),
    "member-sign-in": _pk("owner"),
    "reset-member": _pk("owner"),
    "remove-second-factor": _pk("owner"),
    "device-end": _pk("device"),
    "withdraw-invitation": _pk("invitation"),
    "country": _key("issuer"),
    "country-timeline": _key("issuer"),
    "country-motifs": _key("issuer"),
    "denomination": _key("denomination"),
    "series": _key("series"),
    "type": _key("type"),
    "type:proposed": lambda world: {"key": world.proposed.key},
    "face-picture": _face,
    "issuer-edit": _key("issuer"),
    "currency-edit": _key("currency"),
    "series-edit": _key("series"),
    "denomination-edit": _key("denomination"),
    "mint-edit": _mint,
    "person-edit": lambda world: {"key": world.person.key},
    "motif-edit": lambda world: {"key": world.motif.key},
    "type-like": _key("type"),
    "type-like:proposed": _proposed,
    "type-propose": _key("type"),
    "type-propose:proposed": _proposed,
    "type-edit": _key("type"),
    "type-edit:proposed": _proposed,
    "type-join": _key("type"),
    "type-join:proposed": _proposed,
    "issue-edit": lambda world: {"key": world.coinage.type.key, "issue_key": "1931"},
    "type-from-holding": _unidentified,
    "type-from-holding:private": _pk("private"),
    "proposal": _pk("proposal"),
    "motif": lambda world: {"key": world.motif.key},
    "person": lambda world: {"key": world.person.key},
    "holding": _pk("holding"),
    "holding:private": _pk("private"),
    "holding:public": _pk("public"),
    "holding-card": _pk("holding"),
    "holding-card:private": _pk("private"),
    "holding-card:public": _pk("public"),
    "type-dates": lambda world: {"pk": world.coinage.type.pk},
    "type-dates:proposed": _pk("proposed"),
    "date-run": _key("type"),
    "date-run:proposed": lambda world: {"key": world.proposed.key},
    "holding-edit": _pk("holding"),
    "holding-edit:private": _pk("private"),
    "holding-copy": _pk("holding"),
    "holding-copy:private": _pk("private"),
    "holding-split": _pk("holding"),
    "holding-split:private": _pk("private"),
    "holding-status": _pk("holding"),
    "holding-status:private": _pk("private"),
    "holding-bin": _pk("holding"),
    "holding-bin:private": _pk("private"),
    "receipt": _pk("receipt"),
    "receipt-add": _pk("holding"),
    "receipt-add:private": _pk("private"),
    "receipt-remove": _pk("receipt"),
    "saved-search": _pk("search"),
    "search-remove": _pk("search"),
    "place-edit": _pk("place"),
    "place-bin": _pk("place"),
    "bin-take-back": lambda world: {"kind": "place", "pk": world.binned_place.pk},
    "photo": _photo("photo"),
    "photo:private": _photo("private_photo"),
    "photo:public": _photo("public_photo"),
    "photo-edit": _pk("photo"),
    "photo-edit:private": _pk("private_photo"),
    "photo-remove": _pk("photo"),
    "photo-remove:private": _pk("private_photo"),
    "photo-add": _pk("holding"),
    "photo-add:private": _pk("private"),
    "aim": _pk("aim"),
    "aim-edit": _pk("aim"),
    "aim-remove": _pk("aim"),
    "aim-list": _pk("aim"),
    "spare-ask": _pk("private"),
    "spare-ask:free": _pk("holding"),
    "want-edit": _pk("want"),
    "want-remove": _pk("want"),
    "member-wants": _pk("owner"),
    "reserve": _pk("private"),
    "reservation-end": _pk("reservation"),
    "want-list": _pk("want_list"),
    "want-list-csv": _pk("want_list"),
    "want-list-edit": _pk("want_list"),
    "want-list-remove": _pk("want_list"),
    "want-list-share": _pk("want_list"),
    "want-list-unshare": _pk("want_list"),
    "shared-list": _token("list_token"),
    "shared-list:made-up": lambda world: {"token": "made-up"},
    "shared-list-csv": _token("list_token"),
    "shared-list-csv:made-up": lambda world: {"token": "made-up"},
    "showing": _pk("showing"),
    "showing-edit": _pk("showing"),
    "showing-pieces": _pk("showing"),
    "showing-remove": _pk("showing"),
    "showing-share": _pk("showing"),
    "showing-unshare": _pk("showing"),
    "showing-preview": _pk("showing"),
    "showing-preview-piece": _opened(piece="holding"),
    "shown": _shown(),
    "shown:made-up": lambda world: {"token": "made-up"},
    "shown-piece": _shown(piece="holding"),
    "shown-piece:hidden": _shown(piece="private"),
    "shown-piece:other": _shown(piece="public"),
    "shown-photo": _sized(_shown(photo="photo")),
    "shown-photo:hidden": _sized(_shown(photo="private_photo")),
    "shown-photo:other": _sized(_shown(photo="public_photo")),
    "shown-face": _type_face(_shown()),
    "shown-face:other": _type_face(_shown(), "proposed"),
    "open-showing": _pk("showing"),
    "open-showing-piece": _opened(piece="holding"),
    "open-showing-piece:hidden": _opened(piece="private"),
    "open-showing-photo": _sized(_opened(photo="photo")),
    "open-showing-photo:hidden": _sized(_opened(photo="private_photo")),
    "open-showing-face": _type_face(_opened()),
    "valuation-edit": _pk("value"),
    "valuation-edit:type": _pk("type_value"),
    "valuation-bin": _pk("value"),
    "valuation-bin:type": _pk("type_value"),
    "valuation-take-back": _pk("value"),
    "price-source-edit": _pk("source"),
    "price-source-bin": _pk("source"),
    "ladder-sheet": _key("issuer"),
    "stock-edit": _pk("stock"),
    "stock-bin": _pk("stock"),
    "stock-trial": _pk("stock"),
    "sheet": _pk("sheet"),
    "sheet-again": _pk("sheet"),
    "sheet-file": _pk("sheet"),
    "sheet-remove": _pk("sheet"),
    "wants-sheet": _pk("want_list"),
    "album-of-aim": _pk("aim"),
    "album-of-wants": _pk("want_list"),
    "shared-list-sheet": _token("list_token"),
    "shared-list-sheet:made-up": lambda world: {"token": "made-up"},
    "schedule": _pk("schedule"),
    "schedule-file": _pk("schedule"),
    "schedule-csv": _pk("schedule"),
    "schedule-delete": _pk("schedule"),
}

# What an address needs after its question mark.
ASKED: dict[str, Callable[[World], str]] = {
    "identify:again": lambda world: f"holding={_unidentified(world)['pk']}",
    "identify:private": lambda world: f"holding={world.private.pk}",
    "identify-compare:two": lambda world: (
        f"a={world.coinage.type.key}&b={world.proposed.key}&diameter=23"
    ),
    "album-sheet:series": lambda world: f"series={world.coinage.series.key}",
    "valuation-new": lambda world: f"holding={world.holding.pk}",
    "valuation-new:type": lambda world: f"type={world.coinage.type.key}",
}

# What is sent with a POST where an empty one would not reach the rule that is to be seen.
SENT: dict[str, Callable[[World], dict[str, Any]]] = {
    "member-role": lambda world: {"role": "curator"},
    "member-sign-in": lambda world: {"allowed": "yes"},
    "invite": lambda world: {"role": "member"},
    "date-run": lambda world: {"grade_scale": "british"},
    "date-run:proposed": lambda world: {"grade_scale": "british"},
    "holding-split": lambda world: {"pieces": "1"},
    "holding-split:private": lambda world: {"pieces": "1"},
    "holding-status": lambda world: {"status": "on_loan", "on": "2024-03-01"},
    "holding-status:private": lambda world: {"status": "on_loan", "on": "2024-03-01"},
    "holdings-bulk": lambda world: {"holding": world.holding.pk},
    "reserve": lambda world: {"member": world.other.pk},
    "identify-keep": lambda world: {"legend": "LIB"},
    "identify-keep:again": lambda world: {"legend": "LIB", "holding": _unidentified(world)["pk"]},
    "identify-keep:private": lambda world: {"legend": "LIB", "holding": world.private.pk},
    "identify-keep:type": lambda world: {"legend": "LIB", "type": world.coinage.type.pk},
    "identify-keep:proposed": lambda world: {"legend": "LIB", "type": world.proposed.pk},
}
