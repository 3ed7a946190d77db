"""A member who has something of everything, for the export and for erasing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime
from hashlib import sha256
from typing import Any

import pytest
from axes.models import AccessAttempt
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from PIL import Image

from catalogue.history.keeping import doing
from catalogue.members.door.second_factor import begin, confirm
from catalogue.members.links import make_reset
from catalogue.models import (
    Aim,
    BroughtArchive,
    Device,
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
    Reservation,
    SavedSearch,
    Sheet,
    Showing,
    ShownPiece,
    StatusChange,
    Stop,
    Talk,
    Want,
    WantList,
)
from series.models import Denomination
from series.picture.pictures import FULL, keep_image, picture_name
from valuation.models import (
    PriceSource,
    Schedule,
    ScheduleLine,
    ScheduleNumbers,
    SchedulePhoto,
    Valuation,
)

from .door_steps import code_of

NAME = "zerlina-quux"


@dataclass
class Collection:
    owner: Member
    holding: Holding
    picture: str
    receipt: str
    sheet: str
    listed: str
    shared_value: Valuation


@pytest.fixture
def full_collection(
    make_member: Callable[..., Member],
    make_holding: Callable[..., Holding],
    coinage: Any,
    other: Member,
    administrator: Member,
) -> Collection:
    """The collection of a member with a name found nowhere else, with a row in every table."""
    owner = make_member(NAME, email=f"{NAME}@example.org")
    cabinet = Place.objects.create(owner=owner, name="Cabinet", path="Cabinet")
    drawer = Place.objects.create(
        owner=owner, name="Drawer", within=cabinet, path="Cabinet, Drawer"
    )
    holding = make_holding(
        owner=owner,
        accession="Z.001",
        issue=coinage.issues[1],
        place=drawer,
        price="12.50",
        price_currency="EUR",
        note="bought at the fair, “as found”; naïve",
    )
    make_holding(owner=owner, accession="Z.002", spare=True).bin()
    with doing(owner, "put down what is wrong with it"):
        HoldingProblem.objects.create(holding=holding, kind="cleaned")
        Denomination.objects.update(note="a remark")
    StatusChange.objects.create(holding=holding, status="held", on=date(2024, 5, 1))
    ProvenanceLine.objects.create(holding=holding, text="an aunt")
    HoldingReference.objects.create(holding=holding, work="A handbook", number="12")
    Observation.objects.create(holding=holding, texts={"legend": "LIB?RTY"})

    kept = keep_image(Image.new("RGB", (40, 40), "#b08040"))
    Photo.objects.create(holding=holding, digest=kept.digest, width=40, height=40)
    receipt = default_storage.save("receipts/bill.pdf", ContentFile(b"%PDF-1.7 bill"))
    Receipt.objects.create(
        holding=holding, name="bill.pdf", file=receipt, content_type="application/pdf", size=13
    )
    sheet = default_storage.save("sheets/labels.pdf", ContentFile(b"%PDF sheet"))
    Sheet.objects.create(owner=owner, kind="labels", title="Labels", file=sheet, state="ready")

    listed = default_storage.save("lists/ledger.csv", ContentFile(b"Coin\nA disc\n"))
    brought = ImportedList.objects.create(
        owner=owner,
        name="ledger.csv",
        file=listed,
        digest=sha256(b"Coin\nA disc\n").hexdigest(),
        headings=["Coin"],
        mapping={"headed": True, "skip": 0, "fields": ["title"]},
        counts={"made": 1},
        state="done",
        taken_at=datetime(2024, 5, 1, 12, tzinfo=UTC),
        made={"places": [drawer.pk]},
    )
    line = ImportedRow.objects.create(
        of=brought, line=2, cells=["A disc"], fingerprint="1" * 64, outcome="made"
    )
    ImportedPiece.objects.create(row=line, holding=holding, version=1)
    ListMapping.objects.create(owner=owner, name="Ledger")
    archive = default_storage.save("archives/all.zip", ContentFile(b"PK"))
    BroughtArchive.objects.create(owner=owner, name="all.zip", file=archive, state="rehearsal")

    aim = Aim.objects.create(owner=owner, name="All of it", series=coinage.series)
    Want.objects.create(owner=owner, coin_type=coinage.type, highest_price="3.00")
    want_list = WantList.objects.create(owner=owner, title="List", token_hash="f" * 64)
    want_list.aims.add(aim)
    SavedSearch.objects.create(owner=owner, name="Bronze", asked="metal=bronze")
    showing = Showing.objects.create(owner=owner, title="Page", token_hash="e" * 64)
    ShownPiece.objects.create(showing=showing, holding=holding, caption="Look here")
    talk = Talk.objects.create(owner=owner, title="Talk", token_hash="b" * 64)
    Stop.objects.create(talk=talk, kind="piece", holding=holding, notes="Look at the rim.")
    Reservation.objects.create(holding=holding, wanted_by=other, coin_type=coinage.type)
    theirs = make_holding(owner=other, spare=True)
    Reservation.objects.create(holding=theirs, wanted_by=owner, coin_type=coinage.type)
    Proposal.objects.create(coin_type=coinage.type, proposed_by=owner, state="accepted")
    LabelStock.objects.create(
        owner=owner, name="Small", rows=8, columns=3, width_mm=60, height_mm=30, left_mm=5, top_mm=5
    )
    make_reset(owner, administrator)
    factor = begin(owner)
    confirm(factor, code_of(factor))
    Device.objects.create(owner=owner, token_hash="d" * 64, agent="Firefox/140.0")
    Notice.objects.create(owner=owner, kind="link", by=administrator)
    Notice.objects.create(owner=other, kind="link", by=owner)
    AccessAttempt.objects.create(
        username=NAME,
        ip_address="192.0.2.1",
        user_agent="",
        failures_since_start=1,
        get_data="",
        post_data="",
    )

    own_source = PriceSource.objects.create(owner=owner, name="Own notes", kind="own")
    shared = PriceSource.objects.create(name="A price list")
    day = date(2024, 3, 1)
    Valuation.objects.create(
        holding=holding, single="20.00", on=day, source=own_source, entered_by=owner
    )
    shared_value = Valuation.objects.create(
        coin_type=coinage.type, grade="VF", single="8.00", on=day, source=shared, entered_by=owner
    )
    schedule = Schedule.objects.create(
        owner=owner, number="1", insured=NAME, as_of=day, currency="EUR", threshold="10"
    )
    ScheduleNumbers.objects.create(owner=owner, year=day.year, highest=1)
    ScheduleLine.objects.create(schedule=schedule, position=1, holding=holding, amount="20.00")
    SchedulePhoto.objects.create(schedule=schedule, digest=kept.digest)
    picture = picture_name(kept.digest, FULL)
    return Collection(owner, holding, picture, receipt, sheet, listed, shared_value)
