"""Browsing: what is found, counted and shown; columns and SQL give one answer."""

from __future__ import annotations

import random
from collections.abc import Callable
from typing import Any
from urllib.parse import urlencode

import pytest
from django.http import QueryDict
from django.test import Client

from catalogue.holdings import changes, up_to_date
from catalogue.holdings.actions import derive
from catalogue.holdings.browse.filters import HoldingFilter
from catalogue.holdings.browse.results import Browse
from catalogue.holdings.facets import FACETS, ORDERS
from catalogue.holdings.search import index
from catalogue.models import Holding, HoldingProblem, Member, Photo, Place
from series.models import (
    CoinType,
    Denomination,
    FaceMotif,
    Mark,
    Mint,
    Motif,
    Series,
)
from series.signals import types_changed
from tests.catalogue.holdings.differing import differing_rows, ids_in

BACKEND = "django.contrib.auth.backends.ModelBackend"


def browse(viewer: Any, query: str = "") -> Browse:
    return Browse(QueryDict(query), viewer)


def test_it_works(as_member: Client, make_holding: Callable[..., Holding]) -> None:
    make_holding()
    for view in ("plate", "list", "dates"):
        answer = as_member.get("/holdings/", {"view": view})
        assert answer.status_code == 200
        assert "25 tinne" in answer.content.decode()


@pytest.mark.parametrize(
    "query", ["country=x", "decade=19.5", "page=abc", "sort=nothing", "view=x"]
)
def test_an_address_that_makes_no_sense_is_answered_in_words(as_member: Client, query: str) -> None:
    answer = as_member.get(f"/holdings/?{query}")
    assert answer.status_code == 200
    if query == "country=x":
        assert "is no choice here" in answer.content.decode()


def test_by_default_one_sees_what_one_holds(
    member: Member, other: Member, make_holding: Callable[..., Holding]
) -> None:
    mine = make_holding()
    make_holding(owner=other)
    make_holding(status="sold")
    assert browse(member).result.ids == [mine.pk]


def test_any_lifts_the_default(
    member: Member, other: Member, make_holding: Callable[..., Holding]
) -> None:
    for fields in ({}, {"owner": other}, {"status": "sold"}):
        make_holding(**fields)
    assert browse(member, "owner=any&status=any").result.total == 3


def test_another_members_private_piece_is_never_found(
    member: Member, other: Member, make_holding: Callable[..., Holding]
) -> None:
    make_holding(owner=other, visibility="private")
    found = browse(member, "owner=any&status=any")
    assert found.result.total == 0
    assert not found.queryset().exists()


def test_a_place_is_a_choice_for_its_owner_alone(
    member: Member, other: Member, make_holding: Callable[..., Holding]
) -> None:
    drawer = Place.objects.create(owner=other, name="Drawer", path="Drawer")
    make_holding(owner=other, place=drawer)
    query = f"owner=any&place={drawer.pk}"
    assert browse(member, query).result.total == 0
    assert not browse(member, query).queryset().exists()
    assert browse(other, query).result.total == 1
    assert browse(member, "owner=any").result.counts["place"] == {}


def test_a_place_finds_what_stands_in_what_stands_in_it(
    member: Member, make_holding: Callable[..., Holding]
) -> None:
    cabinet = Place.objects.create(owner=member, name="Cabinet")
    drawer = Place.objects.create(owner=member, name="Drawer", within=cabinet)
    piece = make_holding(place=drawer)
    found = browse(member, f"place={cabinet.pk}")
    assert found.result.ids == [piece.pk]
    assert list(found.queryset()) == [piece]


def test_a_motif_finds_narrower_ones(
    member: Member, coinage: Any, make_holding: Callable[..., Holding]
) -> None:
    bird, gull = (Motif.objects.create(key=k, name=k) for k in ("bird", "gull"))
    gull.broader.add(bird)
    FaceMotif.objects.create(face=coinage.type.faces.first(), motif=gull)
    piece = make_holding()
    found = browse(member, f"motif={bird.pk}")
    assert found.result.ids == [piece.pk]
    assert list(found.queryset()) == [piece]


def test_text_is_found_as_coins_write_it(
    member: Member, coinage: Any, make_holding: Callable[..., Holding]
) -> None:
    piece = make_holding(note="Hávn quay")
    derive(piece)
    piece.save()
    assert browse(member, "q=HAVN+qvay").result.ids == [piece.pk]
    assert list(browse(member, "q=HAVN+qvay").queryset()) == [piece]
    assert browse(member, "q=elsewhere").result.total == 0


def test_a_changed_piece_is_found_anew(
    member: Member, make_holding: Callable[..., Holding]
) -> None:
    piece = make_holding()
    assert browse(member, "spare=yes").result.total == 0
    piece.spare = True
    piece.save()
    HoldingProblem.objects.create(holding=piece, kind="cleaned")
    assert browse(member, "spare=yes&problem=cleaned").result.ids == [piece.pk]
    piece.bin()
    assert browse(member).result.total == 0


def test_a_changed_type_is_found_anew(
    member: Member, coinage: Any, make_holding: Callable[..., Holding]
) -> None:
    piece = make_holding()
    assert browse(member, "metal=zinc").result.total == 0
    coinage.type.metal = "zinc"
    coinage.type.search_text = "lighthouse"
    coinage.type.save()
    types_changed.send(None, type_ids=[coinage.type.pk])
    assert browse(member, "metal=zinc&q=lighthouse").result.ids == [piece.pk]


def test_the_number_of_queries_does_not_grow(
    as_member: Client,
    make_holding: Callable[..., Holding],
    django_assert_max_num_queries: Any,
) -> None:
    def count(view: str) -> int:
        as_member.get("/holdings/", {"view": view})
        with django_assert_max_num_queries(60) as context:
            as_member.get("/holdings/", {"view": view})
        return len(context)

    make_holding()
    few = [count(view) for view in ("plate", "list", "dates")]
    for _ in range(30):
        make_holding()
    assert [count(view) for view in ("plate", "list", "dates")] == few


@pytest.fixture
def club(
    coinage: Any, member: Member, other: Member, make_holding: Callable[..., Holding]
) -> list[Member]:
    """A hundred pieces with everything about them drawn by lot."""
    lot = random.Random(7)
    mint = Mint.objects.create(key="m", name="Saltmouth")
    mark = Mark.objects.create(coin_type=coinage.type, text="S", side="reverse", kind="mint")
    mark.mint = mint
    mark.save()
    mark.issues.add(coinage.issues[0])
    motif = Motif.objects.create(key="gull", name="gull")
    motif.broader.add(Motif.objects.create(key="bird", name="bird"))
    FaceMotif.objects.create(face=coinage.type.faces.first(), motif=motif)
    cabinets = [Place.objects.create(owner=o, name="C", path="C") for o in (member, other)]
    places = [Place.objects.create(owner=c.owner, name="P", within=c) for c in cabinets]
    for _ in range(100):
        issue = lot.choice([*coinage.issues, None])
        owner = lot.choice([0, 1])
        piece = make_holding(
            owner=(member, other)[owner],
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
    return [member, other]


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


def test_a_type_changed_behind_the_columns_is_told(club: list[Member], coinage: Any) -> None:
    index.store()
    coinage.type.search_text = "lighthouse"
    coinage.type.save()
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


def test_the_page_of_a_piece_works(as_member: Client, make_holding: Callable[..., Holding]) -> None:
    piece = make_holding(mass_g="5.36", grade="EF", note="<b>quay</b>")
    page = as_member.get(f"/holdings/{piece.pk}/").content.decode()
    assert "0.04\u00a0g light" in page
    assert "extremely fine" in page
    assert "<b>quay</b>" not in page


def test_what_is_private_is_not_on_the_page_others_see(
    other: Member, member: Member, make_holding: Callable[..., Holding]
) -> None:
    place = Place.objects.create(owner=member, name="Under the stairs", path="Under the stairs")
    piece = make_holding(place=place, price="12.34", price_currency="EUR", acquired_from="Mr Moy")
    client = Client()
    client.force_login(other, backend=BACKEND)
    for address in (f"/holdings/{piece.pk}/", f"/holdings/{piece.pk}/card/"):
        page = client.get(address).content.decode()
        for secret in ("Under the stairs", "12.34", "Moy"):
            assert secret not in page
    listing = client.get("/holdings/?owner=any&view=list").content.decode()
    assert "Under the stairs" not in listing
    assert piece.accession in listing


def test_a_private_piece_is_not_there_for_others(
    other: Member, make_holding: Callable[..., Holding]
) -> None:
    piece = make_holding(visibility="private")
    client = Client()
    client.force_login(other, backend=BACKEND)
    assert client.get(f"/holdings/{piece.pk}/").status_code == 404


def test_a_public_piece_is_shown_without_sign_in(make_holding: Callable[..., Holding]) -> None:
    piece = make_holding(visibility="public")
    assert Client().get(f"/holdings/{piece.pk}/").status_code == 200
    assert Client().get("/holdings/").status_code == 302


def facet(found: Browse, name: str) -> list[str] | None:
    """The labels of a facet as they stand, None where it is not shown."""
    values = [f.values for f in found.facets() if f.name == name]
    return [value.label for value in values[0]] if values else None


def test_denominations_stand_by_face_value_and_series_by_year(
    member: Member, coinage: Any, make_holding: Callable[..., Holding]
) -> None:
    make_holding()
    for name, value, series, year in (("5 marl", 5, "Early", 1919), ("1 marl", 1, "Zero", 1960)):
        kind = CoinType.objects.create(
            key=f"k{value}",
            series=Series.objects.create(
                key=f"s{value}",
                issuer=coinage.issuer,
                currency=coinage.currency,
                name=series,
                first_year=year,
            ),
            denomination=Denomination.objects.create(
                key=f"d{value}", currency=coinage.currency, name=name, value_numerator=value
            ),
        )
        make_holding(coin_type=kind)
    found = browse(member)
    assert facet(found, "denomination") == ["25 tinne", "1 marl", "5 marl"]
    assert facet(found, "series") == ["Early", "First", "Zero"]


def test_a_facet_with_one_value_is_shown_only_once_chosen(
    member: Member, coinage: Any, make_holding: Callable[..., Holding]
) -> None:
    make_holding()
    make_holding()
    assert facet(browse(member), "country") is None
    assert facet(browse(member, f"country={coinage.issuer.pk}"), "country") == ["Testland"]


def test_one_chosen_series_gives_the_page_its_name(
    as_member: Client, coinage: Any, make_holding: Callable[..., Holding]
) -> None:
    make_holding(issue=coinage.issues[0])
    make_holding(issue=coinage.issues[0])
    page = as_member.get("/holdings/", {"series": coinage.series.pk}).content.decode()
    assert "<h1>First, 1931–1959</h1>" in page
    assert "1 of 3 dates held" in page
    assert "<h1>My holdings</h1>" in as_member.get("/holdings/").content.decode()


def test_a_reader_overtaken_by_another_does_not_make_all_columns_anew(
    make_holding: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    make_holding()
    index.store()
    now = changes.current_number()
    said = iter([now - 1, now])  # asked before the reader waits its turn, and after
    monkeypatch.setattr(up_to_date, "current_number", lambda: next(said))
    monkeypatch.setattr(index._columns, "make", lambda: pytest.fail("all columns were made anew"))
    assert len(index.store()) == 1
