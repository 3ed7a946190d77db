"""Browsing: what is found and shown to whom, and how its facets stand."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.http import QueryDict
from django.test import Client

from catalogue.holdings import changes, up_to_date
from catalogue.holdings.actions import derive
from catalogue.holdings.browse.results import Browse
from catalogue.holdings.search import index
from catalogue.models import Holding, HoldingProblem, Member, Place
from series.models import CoinType, Denomination, FaceMotif, Motif, Series
from series.signals import types_changed
from tests.markup import markup

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
    assert "<h1>First, 1931–1959</h1>" in markup(page)
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
