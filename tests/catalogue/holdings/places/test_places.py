"""The places of a member."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from catalogue.models import Holding, Member, Place


@pytest.fixture
def cabinet(member: Member) -> Place:
    return Place.objects.create(owner=member, name="Cabinet", path="Cabinet", kind="cabinet")


@pytest.fixture
def drawer(member: Member, cabinet: Place) -> Place:
    return Place.objects.create(
        owner=member, name="Drawer 1", path="Cabinet, Drawer 1", within=cabinet
    )


def test_it_works(as_member: Client, cabinet: Place, drawer: Place, make_holding: Any) -> None:
    make_holding(place=drawer, quantity=3)
    make_holding(place=cabinet)
    make_holding(place=cabinet, status="sold")
    page = as_member.get("/places/")
    (node,) = page.context["tree"]
    assert (node.pieces, node.own, node.inner[0].pieces) == (4, 1, 3)
    assert as_member.get(f"/places/new/?within={cabinet.pk}").status_code == 200
    assert as_member.get(f"/places/{drawer.pk}/").status_code == 200


def test_the_tree_takes_one_query_for_places(
    as_member: Client, member: Member, cabinet: Place, django_assert_max_num_queries: Any
) -> None:
    for n in range(30):
        Place.objects.create(owner=member, name=f"D{n}", path=f"Cabinet, D{n}", within=cabinet)
    with django_assert_max_num_queries(4):
        as_member.get("/places/")


def test_a_place_is_made_in_another(as_member: Client, cabinet: Place) -> None:
    sent = {"name": "Drawer 2", "kind": "drawer", "within": cabinet.pk, "inner_mm": "26.5"}
    as_member.post("/places/new/", sent)
    assert Place.objects.get(name="Drawer 2").path == "Cabinet, Drawer 2"


def test_a_new_name_reaches_what_stands_in_it(
    as_member: Client, cabinet: Place, drawer: Place
) -> None:
    sent = {"name": "Chest", "kind": "cabinet", "row_version": cabinet.row_version}
    as_member.post(f"/places/{cabinet.pk}/", sent)
    drawer.refresh_from_db()
    assert drawer.path == "Chest, Drawer 1"


def test_a_place_cannot_stand_in_itself(as_member: Client, cabinet: Place, drawer: Place) -> None:
    sent = {"name": "Cabinet", "kind": "cabinet", "within": drawer.pk, "row_version": 1}
    page = as_member.post(f"/places/{cabinet.pk}/", sent)
    assert "cannot stand in itself" in page.text
    cabinet.refresh_from_db()
    assert (cabinet.within, cabinet.row_version) == (None, 1)


def test_a_stale_edit_shows_both(as_member: Client, cabinet: Place) -> None:
    cabinet.name = "Stored meanwhile"
    cabinet.save()
    sent = {"name": "Mine", "kind": "cabinet", "row_version": 1}
    page = as_member.post(f"/places/{cabinet.pk}/", sent)
    assert "Stored meanwhile" in page.text
    cabinet.refresh_from_db()
    assert cabinet.name == "Stored meanwhile"


def test_what_lay_in_a_removed_place_moves_up(
    as_member: Client, member: Member, cabinet: Place, drawer: Place, make_holding: Any
) -> None:
    box = Place.objects.create(owner=member, name="Box", path="…", within=drawer)
    holding = make_holding(place=drawer)
    as_member.post(f"/places/{drawer.pk}/bin/")
    box.refresh_from_db()
    assert (box.within, box.path) == (cabinet, "Cabinet, Box")
    assert Holding.objects.get(pk=holding.pk).place == cabinet
    assert not Place.objects.filter(pk=drawer.pk).exists()
    as_member.post(f"/bin/place/{drawer.pk}/")
    assert Place.objects.get(pk=drawer.pk).path == "Cabinet, Drawer 1"


def test_what_comes_back_into_nothing_stands_by_itself(
    as_member: Client, cabinet: Place, drawer: Place
) -> None:
    drawer.bin()
    cabinet.bin()
    as_member.post(f"/bin/place/{drawer.pk}/")
    drawer.refresh_from_db()
    assert (drawer.within, drawer.path, drawer.deleted_at) == (None, "Drawer 1", None)


def test_places_of_others_are_not_shown(as_member: Client, other: Member) -> None:
    theirs = Place.objects.create(owner=other, name="Secret", path="Secret")
    assert "Secret" not in as_member.get("/places/").text
    assert as_member.get(f"/places/{theirs.pk}/").status_code == 404
    assert as_member.post(f"/places/{theirs.pk}/bin/").status_code == 404
    sent = {"name": "In", "kind": "box", "within": theirs.pk}
    assert "within" in as_member.post("/places/new/", sent).context["form"].errors
