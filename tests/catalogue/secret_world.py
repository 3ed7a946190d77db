"""A world in which everything that is one member's alone has a name nobody can mistake.

``SAMPLES`` says for each kind of record what an address or a form names it by, from whom the
sample is hidden, and what names no record at all. Asked for the first, a viewer must get just what
they get for the second.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.utils import timezone

from catalogue.holdings.actions import derive
from catalogue.holdings.changes import note_holdings
from catalogue.members.door.models import Notice
from catalogue.models import (
    Aim,
    BroughtArchive,
    Holding,
    ImportedList,
    ImportedRow,
    LabelStock,
    ListMapping,
    Member,
    Place,
    Proposal,
    ProvenanceLine,
    Receipt,
    Reservation,
    SavedSearch,
    Sheet,
    Showing,
    StatusChange,
    Stop,
    Talk,
    Want,
    WantList,
)
from series.models import CoinType, Issue, Mint, Variety
from series.types.editing import settle
from valuation.models import PriceSource, Schedule, Valuation

from .access_world import World, make_world

MARK = "Unverkennbar"
"""Stands in every text that is its owner's alone, and in no address."""
PRICE = Decimal("73519.48")
"""Likewise among the amounts."""
NOBODY = 10**15
NO_KEY = "no-such-key"


def secret(what: str) -> str:
    return f"{MARK} {what}"


@dataclass
class SecretWorld:
    """``world`` with its secrets; ``barred`` may not sign in and shows nothing to the club."""

    world: World
    barred: Member
    issue: Issue
    variety: Variety
    mint: Mint
    showing: Showing
    notice: Notice

    def __getattr__(self, name: str) -> Any:
        return getattr(self.world, name)


def make_secret_world() -> SecretWorld:
    world = make_world()
    owner = world.owner
    Member.objects.filter(pk=owner.pk).update(lists_to_club=False)
    _name_what_is_kept(owner)
    _hide(world)
    issue, variety = _unpublished(world)
    mint = Mint.objects.create(key="saltmouth", name="Saltmouth", issuer=world.coinage.issuer)
    for member in (world.other, world.curator, world.administrator):
        _own_piece(world, member)
    showing = Showing.objects.create(owner=owner, title=secret("page"), intro=secret("intro"))
    notice = Notice.objects.create(owner=owner, kind="device", agent=secret("browser"))
    made = SecretWorld(world, _barred(world), issue, variety, mint, showing, notice)
    note_holdings(list(Holding.everything.values_list("pk", flat=True)))
    settle(list(CoinType.everything.values_list("pk", flat=True)))
    return made


def _name_what_is_kept(owner: Member) -> None:
    """Places, wants, sheets, values, papers of the owner: whatever has a name of its own."""
    for place in Place.everything.filter(owner=owner):
        name = secret(f"place {place.pk}")
        Place.everything.filter(pk=place.pk).update(name=name, path=name, holder=secret("holder"))
    Receipt.objects.update(name=secret("receipt.pdf"))
    SavedSearch.objects.update(name=secret("search"))
    Aim.objects.update(name=secret("aim"))
    Want.objects.update(text=secret("want"), note=secret("want note"), highest_price=PRICE)
    WantList.objects.update(title=secret("list"), greeting=secret("greeting"), token_hash="")
    Showing.objects.update(title=secret("showing"), open_to_all=False, token_hash="")
    Talk.objects.update(title=secret("talk"), given_by=secret("speaker"), token_hash="")
    Stop.objects.update(
        heading=secret("heading"), caption=secret("caption"), notes=secret("what is said")
    )
    LabelStock.objects.update(name=secret("stock"))
    ImportedList.objects.update(name=secret("list.csv"), headings=[secret("heading")])
    ImportedRow.objects.update(reason=secret("reason"), cells=[secret("cell")])
    ListMapping.objects.update(name=secret("columns"))
    told = {"made": {"places": 1}, "left_out": [secret("left out")], "left": 1}
    BroughtArchive.objects.update(name=secret("archive.zip"), report=told)
    Sheet.objects.update(title=secret("sheet"))
    Reservation.objects.all().delete()
    PriceSource.objects.filter(owner=owner).update(name=secret("source"), note=secret("source"))
    Valuation.objects.filter(holding__owner=owner).update(single=PRICE, note=secret("value"))
    Schedule.objects.update(insured=secret("insured"), number="S-73519")


def _hide(world: World) -> None:
    """The private piece is secret in all its texts; of the others those their owner alone sees."""
    place = world.place
    for holding in Holding.objects.filter(owner=world.owner):
        holding.place, holding.price, holding.price_currency = place, PRICE, "EUR"
        holding.acquired_from = secret("dealer")
        if holding.pk == world.private.pk:
            holding.accession, holding.title = "UNVERKENNBAR.7", secret("title")
            holding.note, holding.graded_by = secret("note"), secret("grader")
            holding.date_reading = ""
            ProvenanceLine.objects.create(holding=holding, text=secret("earlier owner"))
        derive(holding)
        holding.save()
        StatusChange.objects.create(
            holding=holding, status="on_loan", on=date(2024, 2, 1), with_whom=secret("borrower")
        )
    Holding.objects.create(
        owner=world.owner,
        accession="UNVERKENNBAR.8",
        title=secret("bin"),
        deleted_at=timezone.now(),
    )
    world.private.refresh_from_db()


def _unpublished(world: World) -> tuple[Issue, Variety]:
    """What the owner proposed: a type with a date and a variety that no other member sees."""
    CoinType.objects.filter(pk=world.proposed.pk).update(name=secret("type"), first_year=1977)
    Proposal.objects.update(note=secret("proposal"))
    issue = Issue.objects.create(
        coin_type=world.proposed, key="1977", shown=f"{MARK} 77", struck_from=1977
    )
    world.proposed.refresh_from_db()
    return issue, Variety.objects.create(issue=issue, key="dot", name=secret("variety"))


def _own_piece(world: World, member: Member) -> None:
    """Whoever looks has something of each kind, so that their own pages and forms are there."""
    place = Place.objects.create(owner=member, name="Box", path="Box")
    holding = Holding.objects.create(
        owner=member,
        accession="L.1",
        coin_type=world.coinage.type,
        issue=world.coinage.issues[1],
        visibility="private",
        place=place,
    )
    Aim.objects.create(owner=member, name="Mine", series=world.coinage.series)
    Want.objects.create(owner=member, coin_type=world.coinage.type)
    WantList.objects.create(owner=member, title="My list")
    Showing.objects.create(owner=member, title="My page")
    talk = Talk.objects.create(owner=member, title="My talk")
    Stop.objects.create(talk=talk, kind="piece", holding=holding)
    Valuation.objects.create(
        holding=holding,
        single="1.00",
        on=date(2024, 3, 1),
        source=PriceSource.objects.create(owner=member, name="My notes"),
        entered_by=member,
    )
    Member.objects.filter(pk=member.pk).update(lists_to_club=False)


def _barred(world: World) -> Member:
    name = secret("member")
    barred = Member.objects.create_user("barred", name=name, is_active=False)
    Holding.objects.create(
        owner=barred, accession="B.1", coin_type=world.coinage.type, visibility="private"
    )
    return barred


# ---- what is asked for ----
Value = Callable[[SecretWorld], Any]
EVERYBODY_ELSE = frozenset({"other", "curator", "administrator"})
MEMBERS = frozenset({"other"})
NOT_KEEPERS = frozenset({"other", "curator"})


@dataclass(frozen=True)
class Sample:
    """What names a record; from whom it is ``hidden``; ``absent`` names none."""

    value: Value
    hidden: frozenset[str] = frozenset()
    absent: Any = NOBODY


def _pk(name: str) -> Value:
    return lambda world: getattr(world, name).pk


def _of(name: str) -> Value:
    return lambda world: getattr(world.coinage, name).pk


def _key(name: str) -> Value:
    return lambda world: getattr(world.coinage, name).key


SAMPLES: dict[str, Sample] = {
    # one member's alone
    "place": Sample(_pk("place"), EVERYBODY_ELSE),
    "private": Sample(_pk("private"), EVERYBODY_ELSE),
    "member": Sample(_pk("barred"), NOT_KEEPERS),
    "aim": Sample(_pk("aim"), EVERYBODY_ELSE),
    "source": Sample(_pk("source"), EVERYBODY_ELSE),
    "notice": Sample(_pk("notice"), EVERYBODY_ELSE),
    "stop": Sample(_pk("stop"), EVERYBODY_ELSE),
    "number": Sample(lambda world: world.private.accession, EVERYBODY_ELSE, "NOBODY.7"),
    "stock": Sample(lambda world: f"own-{world.stock.pk}", EVERYBODY_ELSE, f"own-{NOBODY}"),
    "which": Sample(lambda world: f"place:{world.place.pk}", EVERYBODY_ELSE, f"place:{NOBODY}"),
    "deed": Sample(_pk("deed"), EVERYBODY_ELSE),
    "told": Sample(
        lambda world: f"{world.private.pk}-{world.proposed.pk}", EVERYBODY_ELSE, f"{NOBODY}-1"
    ),
    "found": Sample(
        lambda world: f"/holdings/?owner=any&place={world.place.pk}",
        EVERYBODY_ELSE,
        f"/holdings/?owner=any&place={NOBODY}",
    ),
    "asked": Sample(
        lambda world: f"owner=any&place={world.place.pk}",
        EVERYBODY_ELSE,
        f"owner=any&place={NOBODY}",
    ),
    # a proposed type, seen by who proposed it and by curators
    "type": Sample(_pk("proposed"), MEMBERS),
    "type-key": Sample(lambda world: world.proposed.key, MEMBERS, NO_KEY),
    "issue": Sample(_pk("issue"), MEMBERS),
    "variety": Sample(_pk("variety"), MEMBERS),
    # the reference catalogue, which is for all
    "country": Sample(_of("issuer")),
    "currency": Sample(_of("currency")),
    "series": Sample(_of("series")),
    "denomination": Sample(_of("denomination")),
    "mint": Sample(_pk("mint")),
    "motif": Sample(_pk("motif")),
    "country-key": Sample(_key("issuer")),
    "currency-key": Sample(_key("currency")),
    "series-key": Sample(_key("series")),
    "denomination-key": Sample(_key("denomination")),
}


# Addresses of which everybody is asked on a record of their own: another's is not there for them.
OF_ONES_OWN: dict[str, type[Any]] = {
    "aim-edit": Aim,
    "holding-edit": Holding,
    "holding-undo": Holding,
    "place-edit": Place,
    "reserve": Holding,
    "showing-pieces": Showing,
    "talk-add": Talk,
    "talk-leave-out": Talk,
    "valuation-edit": Valuation,
    "want-edit": Want,
    "want-list-edit": WantList,
}


def own_record(member: Member, model: type[Any]) -> Any:
    if model is Valuation:
        return model.objects.filter(holding__owner=member).first()
    return model.objects.filter(owner=member).order_by("pk").first()


# ---- what is sent beside it, so that what is asked for is read ----
Beside = Callable[[SecretWorld], dict[str, Any]]


def _holding_form(world: SecretWorld) -> dict[str, Any]:
    return {
        "type_text": str(world.proposed) + " — First, Testland",
        "coin_type": world.coinage.type.pk,
        "accession": "N.1",
        "title": "A piece",
        "quantity": "1",
        "grade_scale": "british",
        "visibility": "club",
    }


def _known_type(world: SecretWorld) -> dict[str, Any]:
    label = f"{world.coinage.type} — First, Testland"
    return _holding_form(world) | {"type_text": label, "coin_type": world.coinage.type.pk}


def _changed_type(world: SecretWorld) -> dict[str, Any]:
    return _known_type(world) | {"shown_type": "", "issue": "", "variety": ""}


def _quick(world: SecretWorld) -> dict[str, Any]:
    label = f"{world.proposed} — First, Testland"
    return {"type_text": label, "quantity": "1", "grade_scale": "british", "date_text": "1977"}


def _aim(world: SecretWorld) -> dict[str, Any]:
    return {
        "name": "An aim",
        "unit": "date",
        "purposes": "circulation",
        "grade_scale": "british",
        "commemoratives": "on",
    }


def _label(world: SecretWorld) -> dict[str, Any]:
    return {
        "stock": "ready-0",
        "first": "1",
        "content": "full",
        "order": "coin",
        "shape": "round",
        "paper": "A4",
        "do": "anyway",
    }


def _bulk(world: SecretWorld) -> dict[str, Any]:
    mine = Holding.objects.filter(owner=world.world.other).values_list("pk", flat=True)
    return {"holding": list(mine), "deed": "change", "do": "look"}


BESIDE: dict[str, Beside] = {
    "identify-compare a": lambda world: {"b": world.coinage.type.key},
    "identify-compare b": lambda world: {"a": world.coinage.type.key},
    "identify-compare of": lambda world: {"of": world.coinage.type.key},
    "quick-coin picked_issue": lambda world: {"coin_type": world.coinage.type.pk},
    "quick-date picked_issue": lambda world: {"coin_type": world.coinage.type.pk},
    "holding-new issue": lambda world: {"type": world.coinage.type.key} | _known_type(world),
    "holding-new": _holding_form,
    "holding-new variety": _changed_type,
    "holding-new place": _known_type,
    "holding-new date_was": lambda world: _known_type(world) | {"issue": "as-read"},
    "holding-new shown_type": lambda world: _holding_form(world) | {"coin_type": ""},
    "holding-dates": _holding_form,
    "holding-dates holding": _known_type,
    "holding-dates variety": _changed_type,
    "holding-dates date_was": lambda world: _known_type(world) | {"issue": "as-read"},
    "holding-dates shown_type": lambda world: _holding_form(world) | {"coin_type": ""},
    "quick-entry": _quick,
    "date-run": lambda world: {"grade_scale": "british"},
    "aim-new": _aim,
    "want-new": lambda world: {"text": "something", "grade_scale": "british"},
    "want-new issue": lambda world: {
        "coin_type": world.coinage.type.pk,
        "type": world.coinage.type.key,
        "grade_scale": "british",
    },
    "want-list-new": lambda world: {"title": "A list"},
    "labels-sheet": _label,
    "album-sheet": lambda world: {"paper": "A4", "coins": "photographs", "clearance": "2"},
    "showing-new": lambda world: {"title": "A page", "which": "these"},
    "talk-new": lambda world: {"title": "A talk", "which": "all", "order": "ladder"},
    "holdings-bulk": _bulk,
    "holdings-bulk holding": lambda world: {"deed": "change", "do": "look", "grade_do": "clear"},
    "holdings-bulk back": lambda world: {"all": "1"},
    "holdings-bulk coin_type": lambda world: (
        _bulk(world) | {"type_do": "set", "type_text": f"{world.proposed} — First, Testland"}
    ),
    "holdings-bulk picked_type": lambda world: _bulk(world) | {"type_do": "set", "type_text": "x"},
    "saved-searches": lambda world: {"name": "Kept"},
    "identify-keep": lambda world: {"legend": "LIB"},
    "identify-keep issue": lambda world: {"legend": "LIB", "type": world.coinage.type.pk},
    "place-new": lambda world: {"name": "A drawer", "kind": "drawer"},
    "valuation-new": lambda world: {
        "type": world.coinage.type.key,
        "single": "5",
        "currency": "EUR",
        "on": "2024-03-01",
        "basis": "retail",
        "grade_scale": "british",
    },
    "schedule-new": lambda world: {
        "insured": "Other",
        "as_of": "2024-03-01",
        "currency": "EUR",
        "which": "all",
        "threshold": "1",
        "bulk_rate": "1",
    },
    "type-join": lambda world: {"answer": "The same"},
}
for _made, _changed in (
    ("holding-new", "holding-edit"),
    ("aim-new", "aim-edit"),
    ("want-new", "want-edit"),
    ("want-list-new", "want-list-edit"),
    ("place-new", "place-edit"),
    ("valuation-new", "valuation-edit"),
):
    for _row in [row for row in BESIDE if row.split()[0] == _made]:
        BESIDE[_row.replace(_made, _changed)] = BESIDE[_row]
