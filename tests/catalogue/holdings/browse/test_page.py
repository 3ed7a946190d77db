"""The page of browsing: its chips, its folded facets, its order in words, sizes, chosen pieces."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from django.http import QueryDict
from django.test import Client
from django.urls import reverse

from catalogue.holdings.browse.chips import chips
from catalogue.holdings.browse.results import OPEN_FACETS, Browse
from catalogue.models import Holding, Member, Photo, Place

MakeHolding = Callable[..., Holding]


def browse(viewer: Any, query: str = "") -> Browse:
    return Browse(QueryDict(query), viewer)


def chip_labels(viewer: Member, query: str) -> list[str]:
    found = browse(viewer, query)
    return [chip.label for chip in chips(found, found.facets())]


def test_what_was_asked_stands_in_chips(member: Member, make_holding: MakeHolding) -> None:
    make_holding(grade="VF")
    assert chip_labels(member, "q=light&grade=vf&spare=no") == [
        "“light”",
        "Very fine",
        "Spare: no",
    ]


def test_what_holds_without_being_asked_has_no_chip(
    member: Member, make_holding: MakeHolding
) -> None:
    make_holding()
    assert chip_labels(member, "") == []


def test_a_chip_lets_go_of_its_value_alone(member: Member, make_holding: MakeHolding) -> None:
    make_holding(grade="VF")
    found = browse(member, "grade=vf&q=a+b&view=list")
    words, grade = chips(found, found.facets())
    assert words.address == "?grade=vf&view=list"
    assert grade.address == "?q=a+b&view=list"


def test_facets_beyond_the_first_four_are_folded_unless_asked_for(
    member: Member, other: Member, make_holding: MakeHolding
) -> None:
    box = Place.objects.create(owner=member, name="Box")
    make_holding(grade="VF", grade_rank=32, place=box, spare=True)
    make_holding(grade="F", grade_rank=16, status="sold")
    make_holding(owner=other, visibility="club")
    query = "status=any&owner=any"
    plain = browse(member, query).facets()
    folded = [facet.name for facet in plain[OPEN_FACETS:]]
    assert folded
    assert [facet.open for facet in plain] == [i < OPEN_FACETS for i in range(len(plain))]
    asked = browse(member, f"{query}&more={folded[-1]}").facets()
    assert [facet.open for facet in asked if facet.name == folded[-1]] == [True]


@pytest.mark.parametrize(
    ("sort", "words"),
    [
        ("", "by face value"),
        ("-year", "by year, falling"),
        ("worth", "by worth"),
        ("nothing", "by face value"),
    ],
)
def test_the_order_is_said_in_words(member: Member, sort: str, words: str) -> None:
    assert browse(member, f"sort={sort}").order_words == words


# ---- the size of the coins ----
def test_the_size_of_plates_is_kept_for_the_member(as_member: Client, member: Member) -> None:
    answer = as_member.post("/holdings/plate-size/", {"size": "150", "back": "/holdings/?q=a"})
    assert answer["Location"] == "/holdings/?q=a"
    member.refresh_from_db()
    assert member.plate_size == 150


@pytest.mark.parametrize("size", ["", "99", "x", "15000000000000000000000"])
def test_a_size_that_is_none_changes_nothing(as_member: Client, member: Member, size: str) -> None:
    assert as_member.post("/holdings/plate-size/", {"size": size}).status_code == 302
    member.refresh_from_db()
    assert member.plate_size == 100


@pytest.mark.django_db
def test_a_stranger_keeps_the_size_in_the_visit(client: Client) -> None:
    client.post("/holdings/plate-size/", {"size": "200"})
    assert client.session["plate_size"] == 200


def test_the_size_does_not_lead_to_another_site(as_member: Client) -> None:
    answer = as_member.post("/holdings/plate-size/", {"size": "150", "back": "//elsewhere.test/"})
    assert answer["Location"] == reverse("holdings")


# ---- a sheet of chosen pieces ----
def test_chosen_pieces_go_to_a_sheet_with_what_was_asked(as_member: Client) -> None:
    back = "/holdings/?view=list&status=any&page=2"
    answer = as_member.post(
        "/holdings/chosen/", {"sheet": "album", "holding": ["7", "3", "x"], "back": back}
    )
    assert answer["Location"] == reverse("album-sheet") + "?status=any&holding=3&holding=7"


def test_a_sheet_of_no_piece_is_refused_in_words(as_member: Client) -> None:
    answer = as_member.post("/holdings/chosen/", {"sheet": "labels"}, follow=True)
    assert "Choose at least one of your own pieces first." in answer.content.decode()


def test_a_sheet_leaves_out_pieces_of_others(
    as_member: Client, other: Member, make_holding: MakeHolding
) -> None:
    mine, theirs = make_holding(), make_holding(owner=other)
    ids = [str(mine.pk), str(theirs.pk)]
    answer = as_member.post("/holdings/chosen/", {"sheet": "labels", "holding": ids}, follow=True)
    assert "The one holding you have chosen" in answer.content.decode()


# ---- rows with pictures ----
def test_a_row_shows_the_trimmed_photographs_of_its_piece(
    as_member: Client, member: Member, make_holding: MakeHolding
) -> None:
    piece = make_holding()
    photo = Photo.objects.create(
        holding=piece, side="obverse", digest="a" * 64, width=100, height=100, trimmed=True
    )
    page = as_member.get("/holdings/?view=list").content.decode()
    assert f'src="{reverse("photo", args=[photo.pk, "small"])}"' in page


def test_a_drawn_coin_finds_its_metal_in_the_list(
    as_member: Client, make_holding: MakeHolding
) -> None:
    make_holding()
    page = as_member.get("/holdings/?view=list").content.decode()
    used = set(re.findall(r"url\(#([\w-]+)\)", page))
    assert used
    assert used <= set(re.findall(r'id="([\w-]+)"', page))


def test_places_of_others_are_not_in_their_rows(
    as_member: Client, other: Member, make_holding: MakeHolding
) -> None:
    box = Place.objects.create(owner=other, name="Behind the clock", path="Behind the clock")
    make_holding()
    make_holding(owner=other, visibility="club", place=box)
    page = as_member.get("/holdings/?view=list&owner=any").content.decode()
    assert str(other) in page
    assert "Behind the clock" not in page


# ---- names that an address asks for ----
@pytest.mark.parametrize("address", ["/holdings/", "/sheets/labels/", "/sheets/album/"])
def test_an_address_that_names_anothers_place_prints_no_name(
    as_member: Client, other: Member, make_holding: Any, address: str
) -> None:
    make_holding()
    place = Place.objects.create(owner=other, name="Cellar safe", path="Cellar safe")
    page = as_member.get(address, {"place": place.pk, "owner": "any"}).content.decode()
    assert "Cellar safe" not in page


def test_an_address_that_names_a_barred_member_prints_no_name(
    as_member: Client, make_member: Any, make_holding: Any
) -> None:
    barred = make_member("zeno", is_active=False)
    make_holding()
    page = as_member.get("/holdings/", {"owner": barred.pk}).content.decode()
    assert "Zeno" not in page


@pytest.mark.parametrize("number", [2**63, -(2**63) - 1, 10**30])
def test_a_number_beyond_the_database_is_answered_in_words(as_member: Client, number: int) -> None:
    for facet in ("country", "place", "decade", "owner"):
        answer = as_member.get("/holdings/", {facet: number})
        assert answer.status_code == 200
        assert "is no choice here" in answer.content.decode()
