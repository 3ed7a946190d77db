"""The demo scenario: a small club on the islands of Halvern, its pieces, places, aims and wants.

Everything is drawn by lot from one seed, so that two demos are alike.
"""

from __future__ import annotations

import datetime
import random
from collections.abc import Callable, Iterable
from decimal import Decimal
from pathlib import Path

from django.conf import settings
from django.utils import timezone

from catalogue.demo import talk
from catalogue.demo.pictures import (
    LARGE_PX,
    PX,
    large_face,
    photographed_face,
    struck_face,
    worn_face,
)
from catalogue.holdings.actions import derive, settle_place
from catalogue.holdings.changes import note_everything, note_holdings
from catalogue.holdings.grades import rank
from catalogue.identifying.keeping import keep_open
from catalogue.models import (
    Aim,
    Holding,
    HoldingProblem,
    Member,
    Observation,
    Photo,
    Place,
    ProvenanceLine,
    StatusChange,
    Want,
    WantList,
)
from catalogue.wants.spares import offers_by_member, reserve
from series.identifying.evidence import read_evidence
from series.models import CoinType, Face, Issue, Series
from series.packs.load import load_pack
from series.picture.pictures import keep_image
from series.tracked import unannounced

SEED = 1919
PACKS = ("euro", "united-states", "halvern")
MEMBERS = (
    ("marit", "Marit Sund", "administrator"),
    ("jonas", "Jonas Fell", "curator"),
    ("ilse", "Ilse Varde", "member"),
    ("tomas", "Tomas Quay", "member"),
)
NOT_SURE = (
    {"legend": "HALV???", "diameter": "23", "diameter_within": "0.5", "colour": "grey"},
    {"year": "١٣?٨", "diameter": "21.1", "magnet": "none", "colour": "white", "script": "Arabic"},
    {"diameter": "20", "diameter_within": "1", "colour": "black", "hole": "square"},
    {"diameter": "19.0", "mass": "2.5", "legend": "ONE C?NT", "year": "19?4", "colour": "brown"},
)
GRADES = ("VG", "F", "F", "VF", "VF", "VF", "EF", "EF", "UNC")
PICTURED = 84
ON_PAPER = 8
Say = Callable[[str], None]


def build(passwords: dict[str, str], say: Say) -> None:
    """Load the packs, strike the pictures, and make the club with all that it holds."""
    lot = random.Random(SEED)
    for name in PACKS:
        load_pack(Path(settings.BASE_DIR) / "fixtures" / "packs" / name)
    say("Reference packs loaded.")
    types = list(
        CoinType.objects.filter(pack__key="halvern")
        .select_related("denomination__currency", "series__issuer")
        .prefetch_related("faces__legends", "faces__motifs", "issues__marks")
    )
    for coin_type in types:
        with unannounced():
            _picture_type(coin_type)
    say(f"{len(types)} types struck.")
    members = [
        Member.objects.create_user(
            username, passwords[username], name=name, role=role, currency="EUR"
        )
        for username, name, role in MEMBERS
    ]
    marit = members[0]
    places = _places(marit)
    shares = (0.58, 0.22, 0.14, 0.18)
    for member, share in zip(members, shares, strict=True):
        held = _holdings(lot, member, types, share, places if member is marit else [])
        if member is marit:
            _photographs(lot, held)
            _stories(lot, held)
        note_holdings(holding.pk for holding in held)
    _unidentified(marit, places)
    looked_at(marit)
    _wishes(members)
    note_everything()
    say(f"{Holding.objects.count()} holdings of {len(members)} members entered.")


def _picture_type(coin_type: CoinType) -> None:
    struck = [i for i in coin_type.issues.all() if i.fact == Issue.Fact.STRUCK]
    issue = struck[len(struck) // 2] if struck else None
    px = LARGE_PX if coin_type.key in talk.GAPS else PX
    for face in coin_type.faces.all():
        if face.side != "edge":
            face.picture = keep_image(struck_face(coin_type, face, issue, px)).digest
            face.picture_credit = "drawn by Exergue"
            Face.objects.filter(pk=face.pk).update(
                picture=face.picture, picture_credit=face.picture_credit
            )


def _places(owner: Member) -> list[Place]:
    def place(name: str, kind: str, within: Place | None = None, **more: object) -> Place:
        made = Place(owner=owner, name=name, kind=kind, within=within, **more)
        settle_place(made)
        return made

    cabinet = place("Cabinet", "cabinet")
    drawers = [place(f"drawer {n}", "drawer", cabinet) for n in (1, 2, 3)]
    albums = [place(f"Album {n}", "album") for n in (1, 2)]
    pages = [
        place(f"page {n}", "page", album, holder="pocket page", inner_mm=Decimal(35))
        for album in albums
        for n in (1, 2, 3, 4, 5)
    ]
    box = place("Box of spares", "box")
    return [*pages, *drawers, box]


def _holdings(
    lot: random.Random, member: Member, types: list[CoinType], share: float, places: list[Place]
) -> list[Holding]:
    held = []
    ordered = sorted(types, key=lambda t: (t.series.first_year or 0, t.denomination.sort_value))
    rows: list[tuple[CoinType, Issue, bool]] = []
    for coin_type in ordered:
        for issue in coin_type.issues.all():
            if issue.fact != Issue.Fact.STRUCK:
                continue
            dear = coin_type.metal.startswith("silver") or issue.purpose != "circulation"
            if lot.random() < share * (0.45 if dear else 1.0):
                rows.append((coin_type, issue, False))
                if lot.random() < 0.16:
                    rows.append((coin_type, issue, True))
    years: dict[int, int] = {}
    today = timezone.localdate()
    for position, (coin_type, issue, spare) in enumerate(rows):
        year = lot.randint(2014, today.year)
        years[year] = years.get(year, 0) + 1
        grade = lot.choice(GRADES[:5] if spare else GRADES)
        if issue.purpose == Issue.Purpose.PROOF:
            grade = "FDC"
        holding = Holding(
            owner=member,
            accession=f"{year}.{years[year]:03}",
            coin_type=coin_type,
            issue=issue,
            grade=grade,
            quantity=lot.choice((2, 3, 5)) if spare and lot.random() < 0.3 else 1,
            spare=spare,
            visibility=Holding.Visibility.PRIVATE if lot.random() < 0.06 else "club",
            acquired_on=datetime.date(year, lot.randint(1, 9), lot.randint(1, 28)),
            acquired_from=lot.choice(
                ("Saltmouth coin evening", "a dealer at Carrow", "found in change", "")
            ),
        )
        if holding.acquired_on and holding.acquired_on > today:
            holding.acquired_on = today
        if lot.random() < 0.6 and holding.acquired_from != "found in change":
            holding.price = Decimal(lot.randint(2, 60)) / 4
            holding.price_currency = "EUR"
        if places:
            fit = places[-1] if spare else places[position * (len(places) - 1) // len(rows)]
            holding.place = fit
        if coin_type.mass_g and lot.random() < 0.35:
            worn = Decimal(max(0, 63 - rank("british", grade))) / 2600
            holding.mass_g = (coin_type.mass_g * (1 - worn)).quantize(Decimal("0.01"))
            holding.mass_within = Decimal("0.005")
        derive(holding)
        held.append(holding)
    Holding.objects.bulk_create(held)
    return held


def _photographs(lot: random.Random, held: list[Holding]) -> None:
    """Both faces of some pieces, most of them trimmed to the edge, a few on paper."""
    wanted = [h for h in held if not h.spare]
    silver = [h for h in wanted if h.coin_type and h.coin_type.metal.startswith("silver")]
    first = [h for h in wanted if h.coin_type and h.coin_type.series.key == "halvern-first-marl"]
    best = _best_of_types(h for h in wanted if h.coin_type and talk.shows(h.coin_type))
    sure = list(dict.fromkeys([*best, *silver, *first[:40]]))
    rest = [h for h in wanted if h not in sure]
    chosen = sorted(
        [*sure, *lot.sample(rest, max(0, min(len(rest), PICTURED - len(sure))))],
        key=lambda h: (h.coin_type_id or 0, h.pk),
    )
    small = [holding for holding in chosen if holding not in best]
    on_paper = set(small[:: max(1, len(small) // ON_PAPER)][:ON_PAPER])
    photos = []
    for holding in chosen:
        coin_type, issue = holding.coin_type, holding.issue
        if coin_type is None or issue is None:
            continue
        make = large_face if holding in best else worn_face
        if holding in on_paper:
            make = photographed_face
        for position, face in enumerate(f for f in coin_type.faces.all() if f.side != "edge"):
            kept = keep_image(make(coin_type, face, issue, holding.grade_rank or 30, holding.pk))
            photos.append(
                Photo(
                    holding=holding,
                    side=face.side,
                    digest=kept.digest,
                    width=kept.width,
                    height=kept.height,
                    trimmed=holding not in on_paper,
                    position=position,
                )
            )
    Photo.objects.bulk_create(photos)


def _best_of_types(held: Iterable[Holding]) -> set[Holding]:
    """Of each type the piece in the highest grade, which a talk shows if it is photographed."""
    best: dict[int | None, Holding] = {}
    for holding in held:
        first = best.setdefault(holding.coin_type_id, holding)
        if (holding.grade_rank or 0) > (first.grade_rank or 0):
            best[holding.coin_type_id] = holding
    return set(best.values())


def _stories(lot: random.Random, held: list[Holding]) -> None:
    """Problems, provenance, a loan, a sale: what happens to pieces."""
    kinds = list(HoldingProblem.Kind.values)
    problems = [
        HoldingProblem(holding=h, kind=lot.choice(kinds)) for h in lot.sample(held, len(held) // 12)
    ]
    HoldingProblem.objects.bulk_create(problems)
    silver = [h for h in held if h.coin_type and h.coin_type.metal.startswith("silver")]
    for holding in silver[:4]:
        for position, (when, text) in enumerate(
            (("1931~", "from the till of the ferry office"), ("1974", "estate of K. Holm, Carrow"))
        ):
            ProvenanceLine.objects.create(holding=holding, when=when, text=text, position=position)
    today = timezone.localdate()
    for holding, status, whom in (
        (held[3], Holding.Status.ON_LOAN, "Saltmouth museum"),
        (held[11], Holding.Status.SOLD, "a member of the club at Dunhead"),
        (held[17], Holding.Status.GIVEN, "a niece"),
    ):
        StatusChange.objects.create(holding=holding, status=status, on=today, with_whom=whom)
        holding.status = status
        if status != Holding.Status.ON_LOAN:
            holding.place, holding.spare = None, False
        holding.save()


def _unidentified(owner: Member, places: list[Place]) -> None:
    year = timezone.localdate().year
    for number, (title, reading, mass, diameter) in enumerate(
        (
            ("worn bronze with a bird", "19X8", "2.95", "20.1"),
            ("holed brass, foreign letters", "", "3.10", "22.4"),
            ("square zinc token", "[1917,1919]", "3.7", "20.9"),
        ),
        start=901,
    ):
        holding = Holding(
            owner=owner,
            accession=f"{year}.{number}",
            title=title,
            date_reading=reading,
            mass_g=Decimal(mass),
            mass_within=Decimal("0.05"),
            diameter_mm=Decimal(diameter),
            diameter_within=Decimal("0.1"),
            place=places[-1],
            grade="VG",
        )
        derive(holding)
        holding.save()


def looked_at(owner: Member) -> None:
    """Pieces kept as not sure: what was seen of each is worn, rough or foreign; one is likely.

    The last is as if its pack had been loaded since: its owner has not heard of it yet.
    """
    for seen in NOT_SURE:
        piece = keep_open(owner, read_evidence(seen))
    Observation.objects.filter(holding=piece).update(told_type=None, told_at=None)


def _wishes(members: list[Member]) -> None:
    first = Series.objects.get(key="halvern-first-marl")
    reform = Series.objects.get(key="halvern-reform")
    marit, jonas, ilse, tomas = members
    aims = [
        Aim(owner=marit, name="First Marl, every date", unit="date", series=first),
        Aim(
            owner=marit,
            name="Reform, every type in fine or better",
            unit="type",
            series=reform,
            lowest_grade="VF",
            lowest_rank=rank("british", "VF"),
        ),
        Aim(
            owner=marit,
            name="One of each denomination",
            unit="denomination",
            issuer=first.issuer,
        ),
        Aim(owner=jonas, name="First Marl with mints", unit="date_mint", series=first),
        Aim(owner=ilse, name="Reform, every date", unit="date", series=reform),
        Aim(owner=tomas, name="Every type of Halvern", unit="type", issuer=first.issuer),
    ]
    Aim.objects.bulk_create(aims)
    crown = CoinType.objects.get(key="halvern-board-1-crown")
    Want.objects.create(
        owner=marit,
        coin_type=crown,
        lowest_grade="F",
        lowest_rank=rank("british", "F"),
        highest_price=Decimal(180),
        price_currency="EUR",
    )
    Want.objects.create(owner=marit, text="Any quay token of 1919 with a counterstamp")
    wants = WantList.objects.create(
        owner=marit,
        title="What I look for",
        greeting="Write to me before the coin evening, please.",
    )
    wants.aims.set(Aim.objects.filter(owner=marit))
    for other, offers in list(offers_by_member(jonas).items())[:1]:
        reserve(offers[0].holding, other)
