"""A country and a series that share words are said once, on every page and sheet."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from catalogue.holdings.finding.typeahead import type_label
from catalogue.models import Holding, Want, WantList
from catalogue.printing.label_contents import CONTENTS, label_of
from catalogue.printing.queries import facts_of
from catalogue.wants.lists import grouped, lines_of_list


@pytest.fixture
def board(coinage: Any, make_holding: Any) -> Holding:
    """A piece of a country whose name ends in that of its series."""
    coinage.issuer.name = "Testland, Harbour Board"
    coinage.series.name = "Harbour Board"
    coinage.issuer.save()
    coinage.series.save()
    piece: Holding = make_holding(issue=coinage.issues[0])
    return Holding.objects.select_related("coin_type__series__issuer").get(pk=piece.pk)


def test_on_what_a_field_suggests(as_member: Client, board: Holding) -> None:
    page = as_member.get("/holdings/quick/types/", {"q": "25 tinne"})
    assert "Harbour Board, Harbour Board" not in page.text
    assert type_label(board.coin_type) == "25 tinne — Testland, Harbour Board"


@pytest.mark.parametrize(
    "address",
    ["/holdings/?view=list", "/series/testland-first/", "/sheets/"],
)
def test_on_pages(as_member: Client, board: Holding, address: str) -> None:
    page = as_member.get(address)
    assert page.status_code == 200
    assert "Harbour Board, Harbour Board" not in page.text
    assert "Harbour Board: Harbour Board" not in page.text
    assert "Harbour Board, Testland, Harbour Board" not in page.text


def test_on_a_label(board: Holding) -> None:
    def said(content: Any) -> list[list[str]]:
        return [[fact.text for fact in line] for line in label_of(facts_of(board), content).lines]

    assert said(CONTENTS["full"])[1] == ["Testland, Harbour Board"]
    apart = said([["denomination"], ["country"], ["series"]])
    assert apart[1:] == [["Testland, Harbour Board"]]
    assert said([["denomination"], ["series"]])[1:] == [["Harbour Board"]]


def test_on_a_want_list(board: Holding) -> None:
    want_list = WantList.objects.create(owner=board.owner)
    Want.objects.create(owner=board.owner, coin_type=board.coin_type)
    headings = [group.title for group in grouped(lines_of_list(want_list))]
    assert headings == ["Testland, Harbour Board"]
