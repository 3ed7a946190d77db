"""A deed is taken back whole, or not at all and it is said why."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from catalogue.history.keeping import doing
from catalogue.history.taking_back import CannotTakeBack, standing, take_back
from catalogue.holdings.actions import change_status, derive, join, split
from catalogue.holdings.bulk.change import bin_all, change_all
from catalogue.holdings.bulk.plan import Changes, plan_of
from catalogue.holdings.places.tree import remove_place
from catalogue.models import (
    Alteration,
    Deed,
    Holding,
    HoldingProblem,
    Member,
    Place,
    ProvenanceLine,
    Reservation,
)
from tests.conftest import make_coinage

MakeHolding = Callable[..., Holding]


def _last() -> Deed:
    return Deed.objects.order_by("-pk")[0]


def _state() -> dict[str, Any]:
    """Everything that is kept of pieces and places, but for versions and times."""
    models = (Holding, HoldingProblem, Place, ProvenanceLine, Reservation)
    dropped = {"row_version", "changed_at", "made_at", "_state"}
    return {
        f"{model.__name__} {row.pk}": {k: v for k, v in vars(row).items() if k not in dropped}
        for model in models
        for row in model._base_manager.order_by("pk")
    }


@pytest.fixture
def make_holding(make_holding: MakeHolding) -> MakeHolding:
    """Pieces as the site saves them, with what follows from their columns."""

    def make(**fields: Any) -> Holding:
        piece = make_holding(**fields)
        derive(piece)
        piece.save()
        piece.refresh_from_db()
        return piece

    return make


@pytest.fixture
def drawer(member: Member) -> Place:
    return Place.objects.create(owner=member, name="Drawer", path="Drawer")


@pytest.fixture
def pieces(make_holding: MakeHolding) -> list[Holding]:
    return [make_holding(grade=grade) for grade in ("VF", "EF", "F")]


def test_a_bulk_change_is_taken_back_as_one(
    member: Member, pieces: list[Holding], drawer: Place
) -> None:
    before = _state()
    changes = Changes(values={"place": drawer, "grade": "UNC", "grade_scale": "british"})
    with doing(member):
        changes = Changes(values=changes.values, add_problem="holed")
        change_all(Holding.objects.all(), changes, plan_of(Holding.objects.all(), changes).versions)
    assert _state() != before
    take_back(_last(), member)
    assert _state() == before
    assert _last().takes_back is not None


def test_one_touched_piece_refuses_all_and_is_named(
    member: Member, pieces: list[Holding], drawer: Place
) -> None:
    with doing(member):
        Holding.objects.update(place=drawer)
    deed = _last()
    pieces[1].refresh_from_db()
    pieces[1].note = "looked at again"
    pieces[1].save()
    before = _state()
    with pytest.raises(CannotTakeBack, match=r"^T\.002 was changed since; nothing is taken back"):
        take_back(deed, member)
    assert _state() == before


def test_a_problem_added_since_is_a_touch(member: Member, pieces: list[Holding]) -> None:
    with doing(member):
        Holding.objects.update(spare=True)
    deed = _last()
    HoldingProblem.objects.create(holding=pieces[2], kind="bent")
    with pytest.raises(CannotTakeBack, match=r"T\.003"):
        take_back(deed, member)


def test_one_piece_of_many_by_itself_then_the_rest_is_refused(
    member: Member, pieces: list[Holding]
) -> None:
    with doing(member):
        Holding.objects.update(spare=True)
    deed = _last()
    take_back(deed, member, pieces[0])
    assert list(Holding.objects.order_by("pk").values_list("spare", flat=True)) == [
        False,
        True,
        True,
    ]
    with pytest.raises(CannotTakeBack, match=r"T\.001"):
        take_back(deed, member)


def test_a_change_since_that_was_taken_back_is_no_touch(
    member: Member, pieces: list[Holding]
) -> None:
    before = _state()
    with doing(member):
        Holding.objects.update(spare=True)
    first = _last()
    with doing(member):
        Holding.objects.update(visibility="private")
    second = _last()
    with pytest.raises(CannotTakeBack):
        take_back(first, member)
    take_back(second, member)
    take_back(first, member)
    assert _state() == before
    with pytest.raises(CannotTakeBack):
        take_back(first, member)


@pytest.mark.parametrize(
    ("deeds", "left"),
    [
        ({}, []),
        ({1: None, 2: None}, [2, 1]),
        ({1: None, 2: 1}, []),
        ({1: None, 2: 1, 3: 2}, [1]),
        ({5: 4}, [5]),
        ({1: None, 2: None, 3: 2, 4: 1}, []),
    ],
)
def test_what_still_counts(deeds: dict[int, int | None], left: list[int]) -> None:
    assert standing(deeds) == left


def test_taking_back_is_taken_back(member: Member, pieces: list[Holding]) -> None:
    with doing(member):
        Holding.objects.update(spare=True)
    changed = _state()
    take_back(_last(), member)
    take_back(_last(), member)
    assert _state() == changed


def test_what_was_promised_and_lost_comes_back(
    member: Member, other: Member, make_holding: MakeHolding, drawer: Place, coinage: Any
) -> None:
    piece = make_holding(spare=True, place=drawer)
    Reservation.objects.create(holding=piece, wanted_by=other, coin_type=coinage.type)
    before = _state()
    with doing(member):
        change_status(piece, "lost", date(2024, 3, 1))
    take_back(_last(), member)
    assert _state() == before
    assert not piece.status_changes.exists()


def test_a_split_is_taken_back_from_either_piece(member: Member, make_holding: MakeHolding) -> None:
    lot = make_holding(quantity=5, price="10.00", price_currency="EUR")
    with doing(member):
        taken = split(lot, 2)
    take_back(_last(), member, taken)
    lot.refresh_from_db()
    assert (lot.quantity, str(lot.price)) == (5, "10.00")
    assert not Holding.objects.filter(pk=taken.pk).exists()


def test_lots_joined_are_apart_again(member: Member, make_holding: MakeHolding) -> None:
    lots = [make_holding(quantity=2), make_holding(quantity=3)]
    HoldingProblem.objects.create(holding=lots[1], kind="bent")
    before = _state()
    with doing(member):
        join(lots)
    take_back(_last(), member)
    assert _state() == before


def test_the_bin_gives_back_all(member: Member, pieces: list[Holding]) -> None:
    before = _state()
    with doing(member):
        bin_all(Holding.objects.all())
    take_back(_last(), member)
    assert _state() == before


def test_what_was_entered_goes_into_the_bin(member: Member, make_holding: MakeHolding) -> None:
    with doing(member, "import of list.csv"):
        made = [make_holding(), make_holding()]
    take_back(_last(), member)
    assert not Holding.objects.exists()
    assert Holding.everything.count() == len(made)


def test_a_place_that_was_removed_stands_again(
    member: Member, make_holding: MakeHolding, drawer: Place
) -> None:
    inner = Place.objects.create(owner=member, name="Box", within=drawer, path="Drawer, Box")
    make_holding(place=drawer)
    make_holding(place=inner)
    before = _state()
    with doing(member):
        remove_place(drawer)
    assert _state() != before
    take_back(_last(), member)
    assert _state() == before


def test_a_place_that_is_gone_is_not_gone_back_to(
    member: Member, make_holding: MakeHolding, drawer: Place
) -> None:
    piece = make_holding(place=drawer)
    with doing(member):
        Holding.objects.update(place=None)
    deed = _last()
    drawer.bin()
    with pytest.raises(CannotTakeBack, match="The place it had before is no longer there"):
        take_back(deed, member)
    piece.refresh_from_db()
    assert piece.place is None


def test_a_number_taken_since_is_not_taken_again(member: Member, make_holding: MakeHolding) -> None:
    piece = make_holding(accession="A.1")
    with doing(member):
        piece.accession = "B.1"
        piece.save()
    deed = _last()
    make_holding(accession="A.1")
    with pytest.raises(CannotTakeBack, match="stands where it stood"):
        take_back(deed, member)


def test_what_is_anothers_is_never_taken_back(
    member: Member, other: Member, pieces: list[Holding], make_holding: MakeHolding
) -> None:
    theirs = make_holding(owner=other)
    with doing(member):
        Holding.objects.update(note="by a curator")
    with pytest.raises(CannotTakeBack, match="more than records of your own"):
        take_back(_last(), member)
    theirs.refresh_from_db()
    assert theirs.note == "by a curator"


def test_history_is_added_to_and_never_rewritten(member: Member, pieces: list[Holding]) -> None:
    with doing(member):
        Holding.objects.update(spare=True)
    kept = list(Alteration.objects.order_by("pk").values())
    take_back(_last(), member)
    assert list(Alteration.objects.order_by("pk").values())[: len(kept)] == kept
    assert Alteration.objects.count() == len(kept) + 3


_FIELDS = {
    "note": st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=20),
    "price": st.none() | st.decimals(0, 10**6, places=2),
    "mass_g": st.none() | st.decimals(0, 1000, places=4),
    "quantity": st.integers(1, 9),
    "acquired_on": st.none() | st.dates(date(1900, 1, 1), date(2030, 1, 1)),
    "spare": st.booleans(),
    "grade": st.sampled_from(["", "F", "VF", "EF"]),
}


class AnyChange(TestCase):
    """Whatever columns a save or a set update gives other values, taking it back gives these."""

    @hypothesis_settings(max_examples=40)
    @given(
        was=st.fixed_dictionaries({}, optional=_FIELDS),
        becomes=st.fixed_dictionaries({}, optional=_FIELDS),
        by_set=st.booleans(),
    )
    def test_is_taken_back(
        self, was: dict[str, Any], becomes: dict[str, Any], by_set: bool
    ) -> None:
        owner = Member.objects.create_user("ana", "a good long password")
        piece = Holding(owner=owner, accession="T.1", coin_type=make_coinage().type, **was)
        piece.save()
        before = Holding.objects.values(*_FIELDS).get()
        with doing(owner) as now:
            if by_set:
                Holding.objects.filter(pk=piece.pk).update(**(becomes or {"note": piece.note}))
            else:
                for name, value in becomes.items():
                    setattr(piece, name, value)
                piece.save()
        if now.number:
            take_back(Deed.objects.get(pk=now.number), owner)
        else:
            assert Holding.objects.values(*_FIELDS).get() == before
        assert Holding.objects.values(*_FIELDS).get() == before
