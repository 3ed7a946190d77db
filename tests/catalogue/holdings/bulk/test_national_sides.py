"""Pieces entered by the common side of the euro, moved to the country whose side they show."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from catalogue.models import Holding
from series.models import CoinType, Issue
from series.packs.load import load_pack
from tests.catalogue.holdings.bulk.test_bulk import left, send
from tests.catalogue.holdings.bulk.test_fields import fresh, sent_again, to_type
from tests.shipped_packs import PACKS


@pytest.fixture
def pieces(db: None, make_holding: Any) -> list[Holding]:
    """Two pieces of 1 euro of 2002 and one of 1999, by the common side alone."""
    load_pack(PACKS / "euro")
    load_pack(PACKS / "euro-national")
    common = Issue.objects.filter(coin_type__key="euro-1-states")
    issues = [common.get(shown=date) for date in ("2002", "2002", "1999")]
    return [make_holding(coin_type=issue.coin_type, issue=issue) for issue in issues]


def test_their_dates_go_along_to_the_country(as_member: Client, pieces: list[Holding]) -> None:
    german = CoinType.objects.get(key="euro-de-first-1-states")
    page = send(as_member, pieces, "look", "change", **to_type(german))
    assert list(left(page)) == [pieces[2].accession]
    assert "was struck 2002–06, not with that date" in page.text
    as_member.post("/holdings/bulk/", sent_again(page))
    first, second, third = fresh(pieces)
    for moved in (first, second):
        assert (moved.coin_type, moved.date_reading, moved.date_words) == (german, "2002", "2002")
    assert third.coin_type.key == "euro-1-states"


def test_they_are_found_by_country_and_date_afterwards(
    as_member: Client, pieces: list[Holding]
) -> None:
    german = CoinType.objects.get(key="euro-de-first-1-states")
    page = send(as_member, pieces[:2], "look", "change", **to_type(german))
    as_member.post("/holdings/bulk/", sent_again(page))
    found = as_member.get("/holdings/?view=list&q=Germany+2002")
    assert found.context["browse"].result.total == 2


def test_where_mint_letters_are_recorded_it_is_asked_which(
    as_member: Client, pieces: list[Holding]
) -> None:
    german = CoinType.objects.get(key="euro-de-first-1-states")
    for mark in "ADFGJ":
        Issue.objects.create(
            coin_type=german, key=f"2002-{mark.lower()}", shown="2002", mark_text=mark,
            struck_from=2002, struck_to=2002,
        )  # fmt: skip
    page = send(as_member, pieces[:2], "look", "change", **to_type(german))
    assert set(left(page).values()) == {"It was 2002"}
    assert "several dates could be meant" in page.text
    dated = to_type(german, date_do="set", date_text="2002 D")
    page = send(as_member, pieces[:1], "look", "change", **dated)
    as_member.post("/holdings/bulk/", sent_again(page))
    page = send(as_member, pieces[1:2], "look", "change", **to_type(german, as_read="yes"))
    as_member.post("/holdings/bulk/", sent_again(page))
    first, second, _third = fresh(pieces)
    assert (first.coin_type, str(first.issue)) == (german, "2002 D")
    assert (second.coin_type, second.issue, second.date_reading) == (german, None, "2002")
