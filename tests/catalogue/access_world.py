"""One of everything, belonging to one member."""

from __future__ import annotations

import io
import json
import zipfile
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.utils import timezone
from PIL import Image

from catalogue.history.keeping import doing
from catalogue.members.links import make_invitation
from catalogue.members.models import hash_token, new_token
from catalogue.models import (
    Aim,
    BroughtArchive,
    Deed,
    Device,
    HandedLink,
    Holding,
    ImportedList,
    ImportedRow,
    LabelStock,
    ListMapping,
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
    Stop,
    Talk,
    Want,
    WantList,
)
from series.models import CoinType, Face, Motif, Person
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
    brought: ImportedList
    archive: BroughtArchive
    known: ListMapping
    place: Place
    binned_place: Place
    aim: Aim
    deed: Deed
    want: Want
    want_list: WantList
    list_token: str
    showing: Showing
    showing_token: str
    talk: Talk
    talk_token: str
    stop: Stop
    text_stop: Stop
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


def _brought(owner: Member) -> ImportedList:
    """A list that is looked over: one row may be taken in, one is doubtful."""
    listed = default_storage.save("lists/ledger.csv", ContentFile(b"Coin\nA disc\nA ring\n"))
    brought = ImportedList.objects.create(
        owner=owner,
        name="ledger.csv",
        file=listed,
        digest="0" * 64,
        sheet="ledger",
        headings=["Coin"],
        mapping={"headed": True, "skip": 0, "fields": ["title"]},
        state=ImportedList.State.REHEARSAL,
        counts={"make": 1, "doubtful": 1},
        total=2,
    )
    for line, words, outcome in ((2, "A disc", "make"), (3, "A ring", "doubtful")):
        piece = {"fields": {}, "place": "", "title": words, "imported": f"Coin: {words}"}
        ImportedRow.objects.create(
            of=brought,
            line=line,
            cells=[words],
            reading={"kind": "coin", "piece": piece},
            fingerprint=words,
            choice="unidentified" if outcome == "make" else "",
            by_hand=outcome == "make",
            outcome=outcome,
        )
    return brought


def _archive(owner: Member) -> BroughtArchive:
    """An archive that is looked over; it holds one place more than there is."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as made:
        made.writestr("json/holdings.json", "[\n\n]\n")
        made.writestr("json/places.json", json.dumps({"id": 1, "name": "Chest", "owner_id": 1}))
    file = default_storage.save("archives/all.zip", ContentFile(out.getvalue()))
    report = {"made": {"places": 1}, "left_out": [], "left": 0}
    return BroughtArchive.objects.create(
        owner=owner, name="all.zip", file=file, state="rehearsal", report=report
    )


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

    with doing(owner) as now:
        aim = Aim.objects.create(owner=owner, name="All", series=coinage.series)
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
    talk = Talk.objects.create(owner=owner, title="Talk", minutes=1)
    talk_token = talk.new_link(timezone.now() + timedelta(days=30))
    link_token = make_invitation(administrator, "member")
    value = Valuation.objects.create(
        holding=holding, single="20.00", on=day, source=source, entered_by=owner
    )
    terms = Terms("The owner", "", "", day, "EUR", Decimal(10), Decimal(1))
    for shown in (holding, private):  # of which the second stays hidden
        ShownPiece.objects.create(showing=showing, holding=shown, picked=True)
    # Which stays hidden behind the link, though it is not unticked.
    Stop.objects.create(talk=talk, kind="piece", holding=private, position=1)
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
        aim=aim,
        deed=Deed.objects.get(pk=now.number),
        want=Want.objects.create(owner=owner, coin_type=coinage.type),
        want_list=want_list,
        list_token=list_token,
        showing=showing,
        showing_token=showing_token,
        talk=talk,
        talk_token=talk_token,
        stop=Stop.objects.create(talk=talk, kind="piece", holding=holding, look_seconds=90),
        text_stop=Stop.objects.create(talk=talk, kind="text", heading="Thanks", position=2),
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
        brought=_brought(owner),
        archive=_archive(owner),
        known=ListMapping.objects.create(owner=owner, name="Ledger", headings=["Coin"]),
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
