"""A club drawn by lot: columns and SQL give one answer, one count and every order."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any
from urllib.parse import urlencode

import pytest
from django.db import transaction
from django.http import QueryDict

from catalogue.holdings.actions import derive
from catalogue.holdings.browse.filters import HoldingFilter
from catalogue.holdings.browse.results import Browse
from catalogue.holdings.facets import FACETS, ORDERS
from catalogue.holdings.search import index
from catalogue.models import Holding, HoldingProblem, Member, Photo, Place
from series.models import CoinType, FaceMotif, Mark, Mint, Motif
from tests.catalogue.holdings.differing import differing_rows, ids_in
from tests.conftest import make_coinage

pytestmark = pytest.mark.django_db


def browse(viewer: Any, query: str = "") -> Browse:
    return Browse(QueryDict(query), viewer)


@pytest.fixture(scope="module")
def club(django_db_setup: None, django_db_blocker: Any) -> Iterator[list[Member]]:
    """Made once for all tests of this module, since whatever a test changes is undone."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield make_club()
        transaction.set_rollback(True)


def make_club() -> list[Member]:
    """A hundred pieces with everything about them drawn by lot."""
    lot = random.Random(7)
    coinage = make_coinage()
    owners = [Member.objects.create_user(name) for name in ("ana", "bo")]
    mint = Mint.objects.create(key="m", name="Saltmouth")
    mark = Mark.objects.create(
        coin_type=coinage.type, text="S", side="reverse", kind="mint", mint=mint
    )
    mark.issues.add(coinage.issues[0])
    motif = Motif.objects.create(key="gull", name="gull")
    motif.broader.add(Motif.objects.create(key="bird", name="bird"))
    FaceMotif.objects.create(face=coinage.type.faces.get(side="obverse"), motif=motif)
    cabinets = [Place.objects.create(owner=owner, name="C", path="C") for owner in owners]
    places = [Place.objects.create(owner=c.owner, name="P", within=c) for c in cabinets]
    for number in range(100):
        issue = lot.choice([*coinage.issues, None])
        owner = lot.choice([0, 1])
        piece = Holding(
            owner=owners[owner],
            accession=f"T.{number:03}",
            issue=issue,
            coin_type=lot.choice([coinage.type, coinage.type, None])
            if issue is None
            else coinage.type,
            visibility=lot.choice(["private", "club", "public"]),
            status=lot.choice(["held", "held", "on_loan", "sold"]),
            spare=lot.random() < 0.3,
            quantity=lot.randint(1, 4),
            grade=lot.choice(["", "F", "VF", "EF", "UNC"]),
            place=lot.choice([None, places[owner]]),
            note=lot.choice(["", "quay", "bought on the quay"]),
        )
        derive(piece)
        piece.save()
        if lot.random() < 0.2:
            HoldingProblem.objects.create(holding=piece, kind=lot.choice(["holed", "cleaned"]))
        if lot.random() < 0.3:
            Photo.objects.create(holding=piece, side="obverse", digest="x", width=1, height=1)
    return owners


QUERIES = [
    "",
    "owner=any",
    "owner=any&status=any",
    "owner=any&status=any&grade=vf&grade=ef",
    "owner=any&decade=1940&spare=yes",
    "owner=any&status=any&decade=none",
    "owner=any&status=any&mint=none",
    "owner=any&problem=holed&problem=cleaned",
    "owner=any&status=any&problem=none&photo=yes",
    "owner=any&photo=no&q=quay",
    "place=none",
    "owner=any&status=any&grade=none&metal=copper-nickel",
    "owner=any&status=any&country=none",
    "owner=any&status=any&metal=none&series=none",
]


@pytest.mark.parametrize("query", QUERIES)
def test_columns_and_sql_give_one_answer(club: list[Member], query: str) -> None:
    for viewer in club:
        found = browse(viewer, query)
        by_columns = ids_in(index.store(), found.search())
        assert sorted(by_columns) == sorted(found.queryset().values_list("pk", flat=True))
        assert found.result.total > 0


def test_each_value_is_found_by_columns_as_in_sql(club: list[Member]) -> None:
    """Each value that a facet counts, whatever the facet, and that there is none."""
    columns = index.store()
    all_counts = browse(club[0], "owner=any&status=any").result.counts
    assert list(all_counts) == list(FACETS)
    for facet, counts in all_counts.items():
        assert {*counts} != {None}
        for value in {*counts, None}:
            chosen = {facet: "none" if value is None else str(value)}
            found = browse(club[0], urlencode({"owner": "any", "status": "any"} | chosen))
            by_columns = ids_in(columns, found.search())
            assert sorted(by_columns) == sorted(found.queryset().values_list("pk", flat=True))
            assert len(by_columns) == counts.get(value, 0), chosen


@pytest.mark.parametrize("query", QUERIES)
def test_each_count_is_what_choosing_the_value_gives(club: list[Member], query: str) -> None:
    viewer = club[0]
    found = browse(viewer, query)
    for facet, counts in found.result.counts.items():
        for value, count in counts.items():
            data = found.data.copy()
            data.setlist(facet, ["none" if value is None else str(value)])
            assert HoldingFilter(data, viewer).qs.count() == count, (facet, value)


def test_the_columns_keep_what_the_records_say(club: list[Member]) -> None:
    assert len(index.store()) == 100
    piece = Holding.objects.filter(status="held").first()
    assert piece is not None
    piece.status = "lost"
    piece.save()
    assert differing_rows() == []


def test_what_was_changed_behind_the_columns_is_told(club: list[Member]) -> None:
    index.store()
    first, second, third, fourth = Holding.objects.filter(photos=None).order_by("pk")[:4]
    Holding.objects.filter(pk=first.pk).update(spare=not first.spare, quantity=77)
    Holding.objects.filter(pk=second.pk).update(search_text="behind", accession="Z")
    Holding.objects.filter(pk=third.pk).update(deleted_at=third.created_at)
    Photo.objects.bulk_create([Photo(holding=fourth, side="edge", digest="y", width=1, height=1)])
    told = {(each.holding_id, each.name) for each in differing_rows()}
    assert told == {
        (first.pk, "spare"),
        (first.pk, "quantity"),
        (second.pk, "text"),
        (second.pk, "accession"),
        (third.pk, "row"),
        (fourth.pk, "photo"),
    }


def test_a_type_changed_behind_the_columns_is_told(club: list[Member]) -> None:
    index.store()
    coin_type = CoinType.objects.get()
    coin_type.search_text = "lighthouse"
    coin_type.save()
    told = {each.name for each in differing_rows()}
    assert told == {"text of the type"}


def test_rows_are_the_same_however_many_are_read_at_a_time(
    club: list[Member], monkeypatch: pytest.MonkeyPatch
) -> None:
    every = Holding.objects.all()
    at_once = list(index.rows_of(every))
    assert len(at_once) == 100
    for parcel in (1, 7, 50, 100):
        monkeypatch.setattr(index, "_PARCEL", parcel)
        assert list(index.rows_of(every)) == at_once


def test_asking_again_costs_one_query(club: list[Member], django_assert_num_queries: Any) -> None:
    index.store()
    with django_assert_num_queries(1):
        browse(club[0], "owner=any&q=quay").result  # noqa: B018


@pytest.mark.parametrize("sort", list(ORDERS))
def test_every_order_rises_and_falls(club: list[Member], sort: str) -> None:
    rising = browse(club[0], f"owner=any&status=any&sort={sort}")
    falling = browse(club[0], f"owner=any&status=any&sort=-{sort}")
    up = ids_in(index.store(), rising.search())
    down = ids_in(index.store(), falling.search())
    assert sorted(up) == sorted(down)
    assert up != down
    assert [h.pk for h in rising.holdings] == up[:60]


def test_accession_numbers_rise_in_their_order(club: list[Member]) -> None:
    numbers = [h.accession for h in browse(club[0], "owner=any&status=any&sort=accession").holdings]
    assert numbers == sorted(numbers)
