"""A ladder with many types is shown leaf by leaf."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from series.ladder import leaves as module
from series.ladder.leaves import leaf_asked, leaves
from series.ladder.queries import ladder, types_of
from series.models import Currency, Denomination, Series
from tests.conftest import Coinage
from tests.markup import markup
from tests.series.coinage_maker import add_series, add_type

COUNTRY = "/countries/testland/"


@pytest.fixture
def long(coinage: Coinage) -> Coinage:
    """Two currencies: marl with the series First (3 types), Late (2) and Last (1), sahm with 1."""
    for n, key in ((1, "late"), (2, "late"), (3, "last")):
        series = Series.objects.filter(key__contains=key).first()
        add_type(coinage, n, series=series or add_series(coinage, key, 1960 + n, 1964 + n))
    add_type(coinage, 10)
    add_type(coinage, 20)
    sahm = Currency.objects.create(key="sahm", name="sahm", first_year=1970)
    sahm.issuers.add(coinage.issuer)
    falz = Denomination.objects.create(key="falz", currency=sahm, name="1 falz", value_numerator=1)
    treasury = add_series(coinage, "treasury", 1970, 1980)
    Series.objects.filter(pk=treasury.pk).update(currency=sahm)
    treasury.refresh_from_db()
    add_type(coinage, 5, series=treasury, denomination=falz, metal="platinum")
    return coinage


def said(found: list[Any]) -> list[tuple[str, int]]:
    return [(leaf.name, leaf.types) for leaf in found]


def test_a_short_ladder_has_no_leaves(long: Coinage) -> None:
    assert leaves(long.issuer) == []
    assert leaves(long.issuer, most=7) == []


def test_a_long_one_has_a_leaf_for_each_currency(long: Coinage) -> None:
    assert said(leaves(long.issuer, most=6)) == [("marl", 6), ("sahm", 1)]


def test_a_currency_that_is_too_long_has_several(long: Coinage) -> None:
    assert said(leaves(long.issuer, most=3)) == [
        ("marl: First", 3),
        ("marl: Late to Last", 3),
        ("sahm", 1),
    ]


def test_a_series_is_never_parted(long: Coinage) -> None:
    assert said(leaves(long.issuer, most=1)) == [
        ("marl: First", 3),
        ("marl: Late", 2),
        ("marl: Last", 1),
        ("sahm", 1),
    ]


def test_a_currency_without_series_has_a_leaf_as_it_has_a_part(long: Coinage) -> None:
    new = Currency.objects.create(key="new", name="new marl", first_year=1990)
    new.issuers.add(long.issuer)
    Denomination.objects.create(key="new-1", currency=new, name="1 new marl", value_numerator=1)
    found = leaves(long.issuer, most=6)
    assert said(found)[-1] == ("new marl", 0)
    assert found[-1].address == "?currency=new"
    (part,) = ladder(long.issuer, currency=new, series=found[-1].series)
    assert [row.denomination.name for row in part.rows] == ["1 new marl"]


@pytest.mark.parametrize("most", [1, 3, 6])
def test_the_leaves_hold_together_what_the_whole_ladder_holds(long: Coinage, most: int) -> None:
    whole = [t.pk for t in types_of(ladder(long.issuer))]
    parts = [
        t.pk
        for leaf in leaves(long.issuer, most=most)
        for t in types_of(ladder(long.issuer, currency=leaf.currency, series=leaf.series))
    ]
    assert sorted(parts) == sorted(whole)
    assert len(whole) == 7


@pytest.mark.parametrize(
    ("asked", "name"),
    [
        ({}, "marl: First"),
        ({"currency": "sahm"}, "sahm"),
        ({"currency": "testland-marl"}, "marl: First"),
        ({"series": "LAST"}, "marl: Late to Last"),
        ({"series": "nothing"}, "marl: First"),
        ({"currency": "x" * 500}, "marl: First"),
    ],
)
def test_an_address_names_a_series_or_a_currency(
    long: Coinage, asked: dict[str, str], name: str
) -> None:
    last = Series.objects.get(name="Last")
    asked = {key: last.key if value == "LAST" else value for key, value in asked.items()}
    found = leaf_asked(leaves(long.issuer, most=3), asked)
    assert found is not None
    assert found.name == name


def test_every_leaf_is_reached_by_its_own_address(long: Coinage) -> None:
    found = leaves(long.issuer, most=1)
    for leaf in found:
        name, value = leaf.address.removeprefix("?").split("=")
        assert leaf_asked(found, {name: value}) == leaf


def test_the_page_shows_one_leaf_and_links_to_the_others(
    as_member: Client, long: Coinage, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "Shown in parts" not in as_member.get(COUNTRY).text
    monkeypatch.setattr(module, "TYPES_ON_A_PAGE", 3)
    first = markup(as_member.get(COUNTRY).text)
    assert "platinum" not in first
    assert 'aria-current="page">marl: First</a> (3 types)' in first
    assert 'href="?series=' in first
    assert "/sheets/ladder/testland/?currency=testland-marl" in first
    page = markup(as_member.get(COUNTRY, {"currency": "sahm"}).text)
    assert "platinum" in page
    assert "25 tinne" not in page
    assert 'aria-current="page">sahm</a> (1 type)' in page


def test_a_leaf_takes_a_constant_number_of_queries(
    as_member: Client, long: Coinage, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "TYPES_ON_A_PAGE", 3)

    def count() -> int:
        as_member.get(COUNTRY)
        with CaptureQueriesContext(connection) as queries:
            as_member.get(COUNTRY)
        return len(queries)

    few = count()
    for n in range(30, 50):
        add_type(long, n, series=add_series(long, f"more-{n}", 1931, 1950))
    assert count() == few
