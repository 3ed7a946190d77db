"""The page of a piece tells its owner its life in order, and nobody else any of it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from django.contrib.auth.models import AnonymousUser
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from catalogue.history.keeping import doing
from catalogue.history.life import SHOWN, life_of
from catalogue.holdings.actions import change_status
from catalogue.models import Alteration, Holding, Member, Observation, Photo, Place, Reservation
from tests.markup import markup
from valuation.models import PriceSource, Valuation

MakeHolding = Callable[..., Holding]


def _lines(holding: Holding, viewer: Any) -> list[str]:
    """What happened, the oldest first."""
    life = life_of(Holding.objects.get(pk=holding.pk), viewer)
    return [line for event in [*life.shown, *life.folded][::-1] for line in event.lines]


def test_a_life_in_order(
    member: Member, other: Member, make_holding: MakeHolding, coinage: Any
) -> None:
    drawer = Place.objects.create(owner=member, name="Drawer 2", path="Drawer 2")
    album = Place.objects.create(owner=member, name="Album A", path="Album A, page 3")
    piece = make_holding(
        acquired_on=date(1998, 3, 12),
        acquired_from="Ole Tarn",
        price=Decimal("12.50"),
        price_currency="EUR",
        place=drawer,
        grade="VF",
    )
    for values in (
        {"mass_g": "5.02"},
        {"place": album},
        {"grade": "EF"},
        {"spare": True},
    ):
        for name, value in values.items():
            setattr(piece, name, value)
        piece.save()
    Photo.objects.create(
        holding=piece, digest="d" * 64, width=9, height=9, taken_on=date(2001, 5, 6)
    )
    source = PriceSource.objects.create(owner=member, name="Own notes", kind="own")
    Valuation.objects.create(holding=piece, single="20", on=date(2010, 1, 2), source=source)
    Reservation.objects.create(holding=piece, wanted_by=other, coin_type=coinage.type)
    with doing(member):
        change_status(piece, "on_loan", date(2011, 2, 3), with_whom="the museum")
    lines = _lines(piece, member)
    assert lines[:4] == [
        "acquired from Ole Tarn, EUR 12.50",
        "photographed: obverse",
        "valued at €\xa020.00; Own notes, retail asking",
        "on loan, the museum",
    ]
    assert lines[4:] == [
        "entered",
        "mass 5.02\xa0g",
        "moved from Drawer 2 to Album A, page 3",
        "grade VF to EF",
        "offered as a spare",
        "promised to Bo",
    ]


def test_nobody_else_is_told_anything(
    member: Member, other: Member, administrator: Member, make_holding: MakeHolding
) -> None:
    piece = make_holding(visibility="public")
    piece.price = Decimal("99.99")
    piece.save()
    for viewer in (other, administrator, AnonymousUser()):
        assert _lines(piece, viewer) == []


def test_the_page_shows_it_to_its_owner_alone(
    client: Client, as_member: Client, other: Member, make_holding: MakeHolding
) -> None:
    piece = make_holding(visibility="public", note="bought dear")
    piece.note = "bought cheap"
    piece.save()
    own = as_member.get(piece.get_absolute_url()).content.decode()
    assert "note from “bought dear” to “bought cheap”" in markup(own).lower()
    client.force_login(other)
    assert "bought dear" not in client.get(piece.get_absolute_url()).content.decode()


def test_what_is_no_longer_there_is_still_told(
    member: Member, other: Member, make_holding: MakeHolding, coinage: Any
) -> None:
    piece = make_holding()
    promise = Reservation.objects.create(holding=piece, wanted_by=other, coin_type=coinage.type)
    promise.delete()
    photo = Photo.objects.create(holding=piece, digest="d" * 64, width=9, height=9)
    photo.bin()
    piece.problems.create(kind="cleaned")
    piece.problems.all().delete()
    assert _lines(piece, member) == [
        "entered",
        "promise added: Bo",
        "promise removed: Bo",
        "photograph added: obverse",
        "photograph obverse: put into the bin",
        "problem added: cleaned",
        "problem removed: cleaned",
    ]


def test_provenance_written_again_is_told_as_far_as_it_is_new(
    member: Member, make_holding: MakeHolding
) -> None:
    piece = make_holding()
    piece.provenance.create(text="an aunt")
    with doing(member):
        piece.provenance.all().delete()
        for position, text in enumerate(("an aunt", "a fair")):
            piece.provenance.create(text=text, position=position)
    assert _lines(piece, member)[1:] == ["provenance added: an aunt", "provenance added: a fair"]


def test_names_are_those_the_viewer_may_see_now(
    member: Member, other: Member, make_holding: MakeHolding, coinage: Any
) -> None:
    piece = make_holding()
    piece.coin_type = None
    piece.save()
    theirs = Place.objects.create(owner=other, name="Secret drawer", path="Secret drawer")
    Holding.objects.update(place=theirs)
    assert _lines(piece, member)[1:] == [
        "no longer identified as 25 tinne",
        "placed in one that is no longer shown",
    ]
    coinage.type.standing = "proposed"
    coinage.type.save()
    assert "no longer identified as one that is no longer shown" in _lines(piece, member)


def test_a_taken_back_change_says_so(
    as_member: Client, member: Member, make_holding: MakeHolding
) -> None:
    piece = make_holding(grade="VF", grade_scale="british")
    piece.grade = "EF"
    piece.save()
    deed = life_of(piece, member).last
    assert deed is not None
    as_member.post(f"/holdings/{piece.pk}/undo/", {"change": deed.pk})
    piece.refresh_from_db()
    assert piece.grade == "VF"
    assert _lines(piece, member)[-2:] == ["grade VF to EF", "taken back: grade EF to VF"]


def test_undo_of_what_is_not_the_last_any_more(
    as_member: Client, member: Member, make_holding: MakeHolding
) -> None:
    piece = make_holding(grade="VF")
    piece.grade = "EF"
    piece.save()
    deed = life_of(piece, member).last
    assert deed is not None
    piece.spare = True
    piece.save()
    page = as_member.post(f"/holdings/{piece.pk}/undo/", {"change": deed.pk}, follow=True)
    assert "Something else was changed since you looked" in page.content.decode()
    piece.refresh_from_db()
    assert (piece.grade, piece.spare) == ("EF", True)


def test_the_entry_itself_is_not_undone(member: Member, make_holding: MakeHolding) -> None:
    life = life_of(make_holding(), member)
    assert (life.undo, life.last) == ([], None)


@pytest.mark.parametrize("known", [True, False])
def test_since_when_changes_are_recorded(
    member: Member, make_holding: MakeHolding, known: bool
) -> None:
    piece = make_holding()
    if not known:
        Alteration.objects.all().delete()
    assert life_of(piece, member).since == ""
    piece.spare = True
    piece.save()
    today = timezone.localdate()
    assert life_of(piece, member).since == ("" if known else f"{today.day} {today:%B %Y}")


def test_what_an_entry_came_from(member: Member, make_holding: MakeHolding) -> None:
    with doing(member, "import of list.csv"):
        piece = make_holding()
    assert _lines(piece, member) == ["entered: import of list.csv"]


def test_what_was_seen_of_it_is_a_day_of_its_life(
    member: Member, make_holding: MakeHolding
) -> None:
    piece = make_holding()
    Observation.objects.create(holding=piece, texts={"legend": "LIB?RTY"})
    assert "looked at closely, and what was seen put down" in _lines(piece, member)


def test_more_than_ten_are_folded_and_queries_do_not_grow(
    as_member: Client, member: Member, make_holding: MakeHolding
) -> None:
    piece = make_holding()
    places = [
        Place.objects.create(owner=member, name=f"Box {n}", path=f"Box {n}") for n in range(30)
    ]
    counts = []
    for some in (places[:3], places[3:]):
        for place in some:
            piece.place = place
            piece.save()
        counts.append(_count(as_member, piece))
    assert counts[0] == counts[1]
    life = life_of(piece, member)
    assert (len(life.shown), len(life.folded)) == (SHOWN, 31 - SHOWN)


def _count(client: Client, piece: Holding) -> int:
    with CaptureQueriesContext(connection) as seen:
        assert client.get(piece.get_absolute_url()).status_code == 200
    return len(seen)
