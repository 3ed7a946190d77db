"""Album pages made of an aim or of a want list."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client

from catalogue.models import Aim, Holding, Member, Want, WantList
from catalogue.printing.album_aims import album_of_aim, album_of_list
from catalogue.printing.album_sheets import lay_parts
from series.models import CoinType, Issue, Series
from tests.conftest import Coinage

Make = Callable[..., Holding]
ASK = {"coins": "drawn", "gaps": "on", "clearance": "1", "paper": "A4"}


@pytest.fixture
def aim(member: Member, coinage: Coinage) -> Aim:
    return Aim.objects.create(owner=member, name="Every date", unit="date", series=coinage.series)


@pytest.fixture
def wanted(member: Member, aim: Aim) -> WantList:
    made = WantList.objects.create(owner=member, title="Looking for")
    made.aims.add(aim)
    return made


def labels(found: Any) -> list[tuple[str, ...]]:
    return [pocket.label for pocket in found.pockets]


def test_it_works(
    as_member: Client, aim: Aim, make_holding: Make, coinage: Coinage, read: Any
) -> None:
    make_holding(issue=coinage.issues[1], grade="EF")
    address = f"/sheets/album/aim/{aim.pk}/"
    page = as_member.get(address)
    assert "you hold 1 of 3" in page.content.decode()
    found = read(as_member.post(address, ASK))
    for said in ("Testland, First", "Every date", "25 tinne, 1931–1953", "EF"):
        assert said in found.all
    assert [len(found.places(year)) for year in ("1931", "1947", "1953")] == [1, 2, 1]


def test_what_is_missing_is_an_empty_circle_unless_left_out(
    member: Member, aim: Aim, make_holding: Make, coinage: Coinage
) -> None:
    make_holding(issue=coinage.issues[1])
    both = album_of_aim(member, {"aim": aim.pk, "gaps": True})
    assert [bool(pocket.holdings) for pocket in both.pockets] == [False, True, False]
    held = album_of_aim(member, {"aim": aim.pk})
    assert labels(held) == [("1947",)]


def test_a_piece_below_the_grade_is_shown_and_a_better_one_asked_for(
    member: Member, aim: Aim, make_holding: Make, coinage: Coinage
) -> None:
    Aim.objects.update(lowest_grade="VF", lowest_rank=40)
    make_holding(issue=coinage.issues[0], grade="F", grade_rank=20)
    found = album_of_aim(member, {"aim": aim.pk, "gaps": True})
    assert labels(found) == [("1931", "F", "better: VF"), ("1947", "from VF"), ("1953", "from VF")]


def test_an_aim_at_each_type_shows_them_in_one_row_by_name(
    member: Member, aim: Aim, make_holding: Make, coinage: Coinage
) -> None:
    zinc = CoinType.objects.create(
        key="zinc", series=coinage.series, denomination=coinage.denomination, name="zinc",
        diameter_mm="20", first_year=1942, last_year=1944,
    )  # fmt: skip
    Issue.objects.create(coin_type=zinc, key="1942", shown="1942", struck_from=1942, struck_to=1942)
    make_holding(issue=coinage.issues[1], grade="EF")
    Aim.objects.update(unit="type")
    ((row,),) = [part.rows for part in album_of_aim(member, {"aim": aim.pk, "gaps": True}).parts]
    assert row.heading == "Each type"
    assert [pocket.label for pocket in row.pockets] == [
        ("25 tinne\n1931–53", "1947", "EF"),
        ("25 tinne, zinc\n1942–44",),
    ]


def test_an_aim_at_each_denomination_leaves_room_for_its_widest_type(
    member: Member, aim: Aim, coinage: Coinage
) -> None:
    wide = CoinType.objects.create(
        key="wide", series=coinage.series, denomination=coinage.denomination, diameter_mm="31"
    )
    Issue.objects.create(coin_type=wide, key="1960", shown="1960", struck_from=1960, struck_to=1960)
    Aim.objects.update(unit="denomination", issuer=coinage.issuer)
    found = album_of_aim(member, {"aim": aim.pk, "gaps": True})
    assert [part.name for part in found.parts] == ["Testland"]
    assert [(p.label, p.coin_type) for p in found.pockets] == [(("25 tinne",), wide)]


def test_a_want_list_is_all_empty_circles_of_what_is_lacking(
    as_member: Client, wanted: WantList, make_holding: Make, coinage: Coinage, read: Any
) -> None:
    make_holding(issue=coinage.issues[0])
    address = f"/sheets/album/list/{wanted.pk}/"
    assert "each of the 2 things on this list" in as_member.get(address).content.decode()
    found = read(as_member.post(address, {"clearance": "1", "paper": "Letter"}))
    assert "Looking for" in found.all
    assert [len(found.places(year)) for year in ("1931", "1947", "1953")] == [0, 1, 1]


def test_a_want_by_hand_stands_on_it_once_and_one_in_words_is_named(
    member: Member, wanted: WantList, coinage: Coinage
) -> None:
    Want.objects.create(owner=member, issue=coinage.issues[1], lowest_grade="EF")
    Want.objects.create(owner=member, text="A ferry token")
    found = album_of_list(member, {"list": wanted.pk})
    assert [label[0] for label in labels(found)] == ["1931", "1947", "1953"]
    assert found.left_out == ["A ferry token"]


def test_of_nothing_wanted_there_is_no_album(
    as_member: Client, member: Member, coinage: Coinage
) -> None:
    empty = WantList.objects.create(owner=member, title="Nothing")
    page = as_member.get(f"/sheets/album/list/{empty.pk}/").content.decode()
    assert "Nothing is wanted just now." in page
    answer = as_member.post(f"/sheets/album/list/{empty.pk}/", {"clearance": "1", "paper": "A4"})
    assert "nothing to print" in answer.content.decode()


def test_pieces_of_others_fill_no_pocket_of_an_aim(
    member: Member, other: Member, aim: Aim, make_holding: Make, coinage: Coinage
) -> None:
    make_holding(issue=coinage.issues[0], owner=other, visibility="public")
    assert not any(p.holdings for p in album_of_aim(member, {"aim": aim.pk, "gaps": True}).pockets)


def test_the_sheets_page_leads_to_them(as_member: Client, aim: Aim, wanted: WantList) -> None:
    page = as_member.get("/sheets/").content.decode()
    assert f"/sheets/album/aim/{aim.pk}/" in page
    assert f"/sheets/album/list/{wanted.pk}/" in page


def test_the_number_of_queries_does_not_grow_with_the_dates(
    member: Member,
    aim: Aim,
    make_holding: Make,
    coinage: Coinage,
    django_assert_max_num_queries: Any,
) -> None:
    later = Series.objects.create(
        key="later", issuer=coinage.issuer, currency=coinage.currency, name="Second"
    )
    Aim.objects.update(series=None, issuer=coinage.issuer)
    for number in range(12):
        coin_type = CoinType.objects.create(
            key=f"t{number}", series=later, denomination=coinage.denomination, diameter_mm="20"
        )
        issue = Issue.objects.create(
            coin_type=coin_type, key="a", shown="1960", struck_from=1960, struck_to=1960
        )
        if number % 2:
            make_holding(issue=issue, coin_type=coin_type)
    with django_assert_max_num_queries(8):
        found = album_of_aim(member, {"aim": aim.pk, "gaps": True})
        assert len(labels(found)) == 15


def test_what_is_of_several_series_stands_on_one_page_with_their_names(
    member: Member, aim: Aim, coinage: Coinage
) -> None:
    later = Series.objects.create(
        key="later", issuer=coinage.issuer, currency=coinage.currency, name="Second"
    )
    coin_type = CoinType.objects.create(
        key="t", series=later, denomination=coinage.denomination, diameter_mm="20"
    )
    Issue.objects.create(
        coin_type=coin_type, key="a", shown="1960", struck_from=1960, struck_to=1960
    )
    Aim.objects.update(series=None, issuer=coinage.issuer)
    found = album_of_aim(member, {"aim": aim.pk, "gaps": True})
    assert [part.name for part in found.parts] == ["Every date"]
    assert [row.note.splitlines()[0] for row in found.parts[0].rows] == [
        "Testland, First",
        "Testland, Second",
    ]
    assert len(lay_parts(found, {})) == 1
