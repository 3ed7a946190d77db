"""Searching: what the owner alone finds a piece by, whole numbers, slips."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.http import QueryDict
from django.test import Client

from catalogue.holdings import own_words
from catalogue.holdings.actions import derive, settle_place
from catalogue.holdings.browse.results import Browse
from catalogue.holdings.places.tree import remove_place
from catalogue.models import Holding, HoldingProblem, Member, Place, ProvenanceLine
from tests.catalogue.holdings.differing import differing_rows

Make = Callable[..., Holding]


def browse(viewer: Any, query: str = "") -> Browse:
    return Browse(QueryDict(query), viewer)


def found(viewer: Any, query: str) -> list[int]:
    """The ids found, which the columns and SQL agree upon."""
    asked = browse(viewer, f"owner=any&{query}")
    by_sql = list(asked.queryset().order_by("pk").values_list("pk", flat=True))
    assert sorted(asked.result.ids) == by_sql
    return by_sql


def _shown(holding: Holding) -> Holding:
    """The same, found by what all may see of it."""
    derive(holding)
    holding.save()
    return holding


@pytest.fixture
def piece(member: Member, make_holding: Make) -> Holding:
    """Seen by the club, with everything that only its owner finds it by."""
    place = Place.objects.create(owner=member, name="Walnut cabinet")
    settle_place(place)
    made = _shown(make_holding(place=place, acquired_from="Harbour fair", note="tinne"))
    ProvenanceLine.objects.create(holding=made, when="1931~", text="from the ferry till")
    HoldingProblem.objects.create(holding=made, kind="edge_knock", note="at 3 o'clock")
    return made


WORDS = ["walnut", "harbour fair", "ferry till", "1931", "edge knock", "3 o’clock"]


@pytest.mark.parametrize("words", WORDS)
def test_its_owner_finds_a_piece_by_their_own_words(
    member: Member, piece: Holding, words: str
) -> None:
    assert found(member, f"q={words}") == [piece.pk]


@pytest.mark.parametrize("words", WORDS)
def test_nobody_else_finds_it_by_them(other: Member, piece: Holding, words: str) -> None:
    assert found(other, "q=tinne") == [piece.pk]  # it is shown to the club
    assert found(other, f"q={words}") == []


def test_a_place_that_is_renamed_or_removed_is_found_so(member: Member, piece: Holding) -> None:
    assert piece.place
    piece.place.name = "Oak chest"
    settle_place(piece.place)
    assert (found(member, "q=walnut"), found(member, "q=oak")) == ([], [piece.pk])
    remove_place(piece.place)
    assert found(member, "q=oak") == []


def test_the_stored_words_and_the_columns_are_what_the_records_say(piece: Holding) -> None:
    assert own_words.refresh([piece.pk]) == 0
    assert differing_rows() == []


# ---- whole numbers ----
def test_a_whole_number_finds_that_piece_alone(member: Member, make_holding: Make) -> None:
    others = [_shown(make_holding(accession=f"2026.{n}")) for n in ("0261", "126", "027")]
    piece = _shown(make_holding(accession="2026.026"))
    assert found(member, "q=2026.026") == [piece.pk]
    # As words its figures stand in every number of the year.
    assert len(found(member, "q=2026 026")) == 1 + len(others)


def test_the_beginning_of_a_number_finds_what_begins_so(member: Member, make_holding: Make) -> None:
    begins = [make_holding(accession=f"2026.02{n}") for n in (1, 7)]
    make_holding(accession="2026.102")
    assert found(member, "q=2026.02") == [piece.pk for piece in begins]


def test_a_whole_number_of_another_member_hides_nothing_of_ones_own(
    member: Member, other: Member, make_holding: Make
) -> None:
    make_holding(owner=other, accession="1947")
    mine = _shown(make_holding(accession="A.1947.3"))
    assert browse(member, "q=1947").result.ids == [mine.pk]


def test_the_page_says_that_only_the_number_is_shown(as_member: Client, make_holding: Make) -> None:
    make_holding(accession="2026.026")
    page = as_member.get("/holdings/", {"q": "2026.026"}).content.decode()
    assert "Only numbers that are or begin with 2026.026 are shown" in page
    assert "q=2026+026" in page


# ---- slips ----
def test_a_slip_is_answered_with_what_was_meant(member: Member, piece: Holding) -> None:
    meant = browse(member, "q=wallnut tinne").meant
    assert meant
    assert (meant.words, meant.total) == ("walnut tinne", 1)


def test_what_was_meant_is_written_as_people_write_it(member: Member, make_holding: Make) -> None:
    _shown(make_holding(title="Silver-washed"))
    meant = browse(member, "q=silvre").meant
    assert meant
    assert meant.words == "silver"


def test_a_hidden_word_is_not_proposed_though_a_longer_one_is_seen(
    member: Member, other: Member, make_holding: Make
) -> None:
    _shown(make_holding(owner=other, title="gannet", visibility="private"))
    _shown(make_holding(title="gannets"))
    meant = browse(member, "q=gannett").meant
    assert meant is None or meant.words == "gannets"


def test_words_of_others_are_never_proposed(other: Member, piece: Holding) -> None:
    assert browse(other, "owner=any&q=wallnut").meant is None


@pytest.mark.parametrize("query", ["q=zzzzzzzz", "q=1932", "q=", "q=ti"])
def test_nothing_is_proposed_where_nothing_is_alike(
    member: Member, piece: Holding, query: str
) -> None:
    assert browse(member, query).meant is None


def test_the_page_offers_it_as_a_link(as_member: Client, piece: Holding) -> None:
    page = as_member.get("/holdings/", {"q": "wallnut"}).content.decode()
    assert "Did you mean" in page
    assert "q=walnut" in page
