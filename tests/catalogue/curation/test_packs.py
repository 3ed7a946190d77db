"""Packs that come with the site, chosen on a page and loaded by a task."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse
from django_tasks_db.models import DBTaskResult

from catalogue.curation import pack_loading
from catalogue.curation.pack_loading import ask_to_load, load_shipped, states
from catalogue.models import Aim, Member
from series.issuers.joining import doubles, join_issuers
from series.models import Currency, Issuer, Pack, Series
from series.packs.shipped import in_order, shipped_packs

pytestmark = pytest.mark.django_db


def test_each_pack_says_what_it_covers(as_curator: Client) -> None:
    html = as_curator.get(reverse("packs")).content.decode()
    assert "Euro circulation coins" in html
    assert "National sides" in html


def test_what_is_ticked_is_loaded_by_a_task(as_curator: Client) -> None:
    as_curator.post(reverse("packs"), {"pack": ["halvern"]})
    waiting = DBTaskResult.objects.get()
    assert waiting.args_kwargs["args"] == ["halvern"]
    assert "being loaded" in as_curator.get(reverse("packs")).content.decode()
    load_shipped.func("halvern")
    assert Pack.objects.get().key == "halvern"


def test_asked_for_twice_it_is_loaded_once() -> None:
    assert ask_to_load(["halvern"]) == 1
    assert ask_to_load(["halvern"]) == 0


def test_a_pack_that_another_needs_comes_first() -> None:
    packs = [
        pack_loading.Shipped(each.folder, each.key, "", "", "", needs, None)
        for each, needs in zip(shipped_packs(), ["", "united-states", ""], strict=False)
    ]
    last = next(each for each in packs if each.needs)
    assert [each.key for each in in_order([last.key], packs)] == ["united-states", last.key]


def test_what_is_wrong_is_said_and_nothing_of_it_is_saved(as_curator: Client) -> None:
    Issuer.objects.create(key="halvern", name="Another Halvern")
    load_shipped.func("halvern")
    assert not Pack.objects.exists()
    html = as_curator.get(reverse("packs")).content.decode()
    assert "It could not be loaded; nothing of it was saved." in html
    assert "the key is in use already, by this site" in html


def test_a_newer_pack_says_so() -> None:
    load_shipped.func("halvern")
    assert [state for pack, state, _w in states(shipped_packs()) if pack.key == "halvern"] == [
        "loaded"
    ]
    Pack.objects.update(version="0")
    assert [state for pack, state, _w in states(shipped_packs()) if pack.key == "halvern"] == [
        "newer"
    ]


def test_nothing_ticked_says_what_to_do(as_curator: Client) -> None:
    html = as_curator.post(reverse("packs"), {}).content.decode()
    assert "Tick the packs that you want." in html


def begun_here() -> tuple[Issuer, Issuer]:
    """A country with money and a series of its members', and the same in a pack."""
    load_shipped.func("switzerland")
    kept = Issuer.objects.get(key="switzerland")
    gone = Issuer.objects.create(key="schweiz", name="Schweiz", code="CH", story="Begun here.")
    money = Currency.objects.create(key="batzen", name="batzen")
    money.issuers.add(gone)
    Series.objects.create(key="cantons", name="Cantons", issuer=gone, currency=money)
    return gone, kept


def test_a_country_that_a_pack_brings_again_is_offered_to_be_joined(as_curator: Client) -> None:
    gone, kept = begun_here()
    assert doubles() == [(gone, kept)]
    html = as_curator.get(reverse("packs")).content.decode()
    assert "Countries that are here twice" in html
    as_curator.post(reverse("country-join", args=[gone.key]))
    assert Series.objects.get(key="cantons").issuer == kept
    assert list(Currency.objects.get(key="batzen").issuers.all()) == [kept]
    kept.refresh_from_db()
    assert kept.story == "Begun here."
    assert not Issuer.objects.filter(key="schweiz").exists()
    assert doubles() == []


def test_what_named_the_double_names_the_country_kept(member: Member) -> None:
    gone, kept = begun_here()
    aim = Aim.objects.create(owner=member, name="Swiss", issuer=gone, unit="type")
    join_issuers(gone, kept)
    aim.refresh_from_db()
    assert aim.issuer == kept


def test_countries_of_other_names_are_not_joined(as_curator: Client) -> None:
    load_shipped.func("switzerland")
    Issuer.objects.create(key="savoy", name="Savoy")
    assert as_curator.post(reverse("country-join", args=["savoy"])).status_code == 404
    assert as_curator.post(reverse("country-join", args=["switzerland"])).status_code == 404
