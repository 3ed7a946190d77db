"""How much the database does for an aim: once for a page, and twice as much for twice the dates."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.db import connection
from django.db.models import QuerySet
from django.test import Client
from django.test.utils import CaptureQueriesContext

from catalogue.models import Aim, Holding, Member, Want, WantList
from catalogue.wants.gaps import GAP, filling, lacking
from catalogue.wants.lists import lines_of_list
from catalogue.wants.views import OFFERS_SHOWN
from series.models import CoinType, Issue

EVERY = 50  # instructions of SQLite between two counts


@pytest.fixture
def aim(member: Member, coinage: Any) -> Aim:
    return Aim.objects.create(
        owner=member, name="Dates", unit="date", series=coinage.series, lowest_rank=32
    )


def strike(coin_type: CoinType, first: int, n: int, holders: list[Member]) -> None:
    """So many more dates, each third of them held by every holder."""
    issues = Issue.objects.bulk_create(
        Issue(coin_type=coin_type, key=f"k{i}", shown=f"{i}", struck_from=1950, struck_to=1950)
        for i in range(first, first + n)
    )
    Holding.objects.bulk_create(
        Holding(
            owner=holder,
            accession=f"{holder.pk}.{issue.pk}",
            coin_type=coin_type,
            issue=issue,
            grade_rank=45,
            spare=True,
        )
        for holder in holders
        for issue in issues[holder.pk % 3 :: 3]
    )


def work(found: QuerySet[Any]) -> int:
    """The steps the database takes: instructions of SQLite, rows PostgreSQL walks through."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("ANALYZE")  # as the server does by itself after a while
        return _rows(json.loads(found.explain(analyze=True, format="json"))[0]["Plan"])
    taken = 0

    def count() -> int:
        nonlocal taken
        taken += EVERY
        return 0

    connection.connection.set_progress_handler(count, EVERY)
    try:
        list(found)
    finally:
        connection.connection.set_progress_handler(None, 0)
    return taken


def _rows(plan: dict[str, Any]) -> int:
    walked = plan["Actual Rows"] + plan.get("Rows Removed by Filter", 0)
    walked += plan.get("Rows Removed by Join Filter", 0)
    return int(walked * plan["Actual Loops"]) + sum(_rows(part) for part in plan.get("Plans", ()))


def test_twice_the_dates_of_a_type_are_twice_the_work(
    aim: Aim, coinage: Any, member: Member, other: Member
) -> None:
    def asked() -> list[int]:
        spares = Holding.objects.filter(owner=other)
        return [work(lacking(aim, GAP)), work(filling(aim, GAP, spares))]

    strike(coinage.type, 1000, 400, [member, other])
    few = asked()
    strike(coinage.type, 2000, 400, [member, other])
    many = asked()
    assert [twice < 3 * once for once, twice in zip(few, many, strict=True)] == [True, True]


def test_a_page_of_an_aim_asks_few_times_how_its_items_stand(
    as_member: Client, aim: Aim, coinage: Any, member: Member, other: Member
) -> None:
    strike(coinage.type, 1000, 30, [member, other])
    with CaptureQueriesContext(
        connection,
    ) as asked:
        page = as_member.get(f"/aims/{aim.pk}/")
    assert page.context["nearest"]
    assert page.context["spares"]
    judging = [query for query in asked if "'upgrade'" in query["sql"]]
    assert len(judging) == 3  # the count of its rows, the boxes shown, what the nearest lack


def test_the_lines_of_a_list_take_no_query_each(
    aim: Aim, coinage: Any, member: Member, django_assert_max_num_queries: Any
) -> None:
    strike(coinage.type, 1000, 30, [member])
    asked = WantList.objects.create(owner=member, title="L")
    asked.aims.add(aim)
    with django_assert_max_num_queries(4):
        lines = lines_of_list(asked)
        said = [(line.what, line.coin_type.get_absolute_url()) for line in lines if line.coin_type]
    assert len(said) == len(lines) == 23


def wanting(make_member: Any, coinage: Any, n: int) -> None:
    """So many more members, each with three aims and a want by hand."""
    for i in range(n):
        one = make_member(f"wanting{Member.objects.count()}-{i}")
        for unit, rank in (("date", None), ("type", 32), ("date_mint", 45)):
            Aim.objects.create(
                owner=one, name=unit, unit=unit, series=coinage.series, lowest_rank=rank
            )
        Want.objects.create(owner=one, coin_type=coinage.type)


@pytest.mark.django_db(transaction=True)
def test_the_page_of_wants_asks_as_often_for_ten_members_as_for_one(
    as_member: Client, coinage: Any, member: Member, make_member: Any
) -> None:
    strike(coinage.type, 1000, 6, [member])

    def asked() -> tuple[int, int]:
        as_member.get("/wants/")  # what aims came to is kept
        with CaptureQueriesContext(connection) as queries:
            page = as_member.get("/wants/")
        return len(queries), len(page.context["offers_by_me"])

    wanting(make_member, coinage, 1)
    once, one = asked()
    wanting(make_member, coinage, 9)
    again, ten = asked()
    assert (one, ten) == (1, 10)
    assert again == once


def test_a_thousand_wants_by_hand_are_looked_through(
    as_member: Client, coinage: Any, member: Member, other: Member
) -> None:
    strike(coinage.type, 1000, 3, [member])
    asked = Holding.objects.filter(owner=member).values_list("issue", flat=True)
    Want.objects.bulk_create(
        Want(
            owner=other, coin_type=coinage.type, issue_id=asked[n % len(asked)], lowest_rank=n % 60
        )
        for n in range(1200)
    )
    offered = as_member.get("/wants/").context["offers_by_me"][other]
    assert {offer.holding.issue_id for offer in offered} == set(asked)


def test_of_many_spares_the_first_are_shown_and_all_when_asked_for(
    as_member: Client, aim: Aim, coinage: Any, other: Member
) -> None:
    strike(coinage.type, 1000, 90, [other])
    Aim.objects.filter(pk=aim.pk).update(lowest_rank=None)
    page = as_member.get("/wants/")
    assert len(page.context["offers_to_me"]) == OFFERS_SHOWN
    assert "Show all 30" in page.text
    whole = as_member.get("/wants/?all=1")
    assert len(whole.context["offers_to_me"]) == 30
    assert whole.context["offers_to_me"][:OFFERS_SHOWN] == page.context["offers_to_me"]
    assert "Show all" not in whole.text
