"""Album pages and ladders as a member gets them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from PIL import Image

from catalogue.models import Holding, Member, Photo
from catalogue.printing.album_pieces import album_of
from catalogue.printing.album_sheets import draw_album, lay_parts
from series.models import CoinType, Currency, Denomination, Issue, Series
from series.picture.pictures import keep_image
from tests.conftest import Coinage

Make = Callable[..., Holding]
# The date of a piece that is held stands on the coin drawn of it and below it.
ASK = {"coins": "drawn", "gaps": "on", "clearance": "1", "paper": "A4"}


def test_it_works(as_member: Client, make_holding: Make, coinage: Coinage, read: Any) -> None:
    coinage.series.story = "Struck while the sea was calm."
    coinage.series.save()
    make_holding(issue=coinage.issues[1], grade="EF")
    address = f"/sheets/album/?series={coinage.series.key}"
    assert as_member.get(address).status_code == 200
    found = read(as_member.post(address, ASK))
    for said in ("First", "Testland", "1931–1953", "sea was calm", "25 tinne", "EF"):
        assert said in found.all
    assert [len(found.places(year)) for year in ("1931", "1947", "1953")] == [1, 2, 1]
    assert "page 1 of 1" in found.all
    assert "50 mm" in found.all


def test_gaps_are_drawn_only_when_asked_for(
    as_member: Client, make_holding: Make, coinage: Coinage, read: Any
) -> None:
    make_holding(issue=coinage.issues[1])
    Issue.objects.filter(pk=coinage.issues[2].pk).update(fact=Issue.Fact.NOT_STRUCK)
    address = f"/sheets/album/?type={coinage.type.key}"
    with_gaps = read(as_member.post(address, ASK))
    assert [len(with_gaps.places(year)) for year in ("1931", "1947", "1953")] == [1, 2, 0]
    without = read(as_member.post(address, {**ASK, "gaps": ""}))
    assert [bool(without.places(year)) for year in ("1931", "1947")] == [False, True]


def test_a_gap_is_an_empty_circle_of_the_coins_size(member: Member, coinage: Coinage) -> None:
    found = album_of(member, {"series": coinage.series.key, "gaps": True})
    (page,) = lay_parts(found, {"clearance": "1"})
    assert [(circle.look, circle.r) for circle in page.circles] == [("gap", 11.75)] * 3


def test_pieces_of_one_date_share_a_pocket_unless_each_is_asked_for(
    member: Member, make_holding: Make, coinage: Coinage
) -> None:
    make_holding(issue=coinage.issues[0], grade="F", grade_rank=20, quantity=2)
    make_holding(issue=coinage.issues[0], grade="EF", grade_rank=60)
    scope = {"type": coinage.type.key}
    assert [pocket.label for pocket in album_of(member, scope).pockets] == [("1931", "EF × 3")]
    each = album_of(member, {**scope, "each": True}).pockets
    assert sorted(pocket.label[1] for pocket in each) == ["EF", "F × 2"]


def test_of_a_selection_only_what_was_found_is_shown(
    as_member: Client, make_holding: Make, coinage: Coinage, read: Any
) -> None:
    make_holding(issue=coinage.issues[0], spare=True)
    make_holding(issue=coinage.issues[1])
    found = read(as_member.post("/sheets/album/?spare=yes", ASK))
    assert (bool(found.places("1931")), bool(found.places("1947"))) == (True, False)
    with_gaps = read(as_member.post(f"/sheets/album/?spare=yes&series={coinage.series.pk}", ASK))
    assert [len(with_gaps.places(y)) for y in ("1931", "1947", "1953")] == [2, 0, 1]


def test_others_pieces_and_sold_ones_fill_no_pocket(
    member: Member, other: Member, make_holding: Make, coinage: Coinage
) -> None:
    make_holding(issue=coinage.issues[0], owner=other, visibility="public")
    make_holding(issue=coinage.issues[1], status="sold")
    assert album_of(member, {"series": coinage.series.key}).pockets == []
    assert album_of(member, {"query": f"owner={other.pk}&owner=any"}).pockets == []


def test_a_series_that_is_not_there_is_not_found(as_member: Client, coinage: Coinage) -> None:
    assert as_member.get("/sheets/album/?series=made-up").status_code == 404


def test_a_type_without_a_diameter_is_left_out_and_named(
    member: Member, make_holding: Make, coinage: Coinage, read: Any
) -> None:
    bare = CoinType.objects.create(
        key="bare", series=coinage.series, denomination=coinage.denomination, name="token"
    )
    make_holding(coin_type=bare, date_reading="1940")
    make_holding(issue=coinage.issues[0])
    text = read(draw_album(member, {"series": coinage.series.key})).all
    assert "Left out, since no diameter is on record: 25 tinne, token, 1940." in text


def test_each_series_begins_on_its_own_page_and_pages_are_counted_through(
    member: Member, make_holding: Make, coinage: Coinage, read: Any
) -> None:
    later = Series.objects.create(
        key="later", issuer=coinage.issuer, currency=coinage.currency, name="Second",
        first_year=1960,
    )  # fmt: skip
    second = CoinType.objects.create(
        key="later-25", series=later, denomination=coinage.denomination, diameter_mm="20"
    )
    make_holding(issue=coinage.issues[0])
    make_holding(coin_type=second, date_reading="1960")
    found = read(draw_album(member, {"country": coinage.issuer.key}))
    assert "First" in found.text(0)
    assert "page 1 of 2" in found.text(0)
    assert "Second" in found.text(1)
    assert "page 2 of 2" in found.text(1)


def test_a_photograph_is_printed_and_a_missing_one_does_no_harm(
    member: Member, make_holding: Make, coinage: Coinage
) -> None:
    holding = make_holding(issue=coinage.issues[0])
    scope = {"type": coinage.type.key}
    plain = draw_album(member, {**scope, "coins": "pictures"})
    kept = keep_image(Image.effect_noise((400, 400), 90).convert("RGB"))
    photo = Photo.objects.create(
        holding=holding, digest=kept.digest, width=400, height=400, trimmed=True
    )
    told: list[tuple[int, int]] = []
    pictured = draw_album(
        member, {**scope, "coins": "pictures"}, lambda done, total: told.append((done, total))
    )
    assert b"/DCTDecode" in pictured
    assert b"/DCTDecode" not in plain
    assert told == [(1, 1)]
    Photo.objects.filter(pk=photo.pk).update(digest="0" * 64)
    assert b"/DCTDecode" not in draw_album(member, {**scope, "coins": "pictures"})


def test_the_number_of_queries_does_not_grow_with_the_pieces(
    member: Member, make_holding: Make, coinage: Coinage, django_assert_max_num_queries: Any
) -> None:
    for year in range(1960, 1990):
        issue = Issue.objects.create(
            coin_type=coinage.type, key=str(year), shown=str(year), struck_from=year
        )
        make_holding(issue=issue)
    with django_assert_max_num_queries(8):
        found = album_of(member, {"series": coinage.series.key, "gaps": True})
        lay_parts(found, {})
    assert len(found.pockets) == 33


# ---- the ladder ----
def test_a_ladder_says_what_was_struck_and_what_is_not_recorded(
    as_member: Client, make_holding: Make, coinage: Coinage, read: Any
) -> None:
    Denomination.objects.create(
        key="half", currency=coinage.currency, name="half marl", value_numerator=1,
        value_denominator=2,
    )  # fmt: skip
    make_holding(issue=coinage.issues[0])
    answer = as_member.get(f"/sheets/ladder/{coinage.issuer.key}/")
    assert answer["Content-Type"] == "application/pdf"
    text = read(answer).all
    for said in ("Testland", "First", "25 tinne", "half marl", "not recorded", "23.5"):
        assert said in text
    assert "not struck" not in text
    assert "page 1 of 1" in text


def test_a_ladder_marks_a_coin_of_unknown_size_and_says_so(
    as_member: Client, make_holding: Make, coinage: Coinage, read: Any
) -> None:
    address = f"/sheets/ladder/{coinage.issuer.key}/"
    said = "marks a coin whose size is not recorded"
    before = read(as_member.get(address)).all
    CoinType.objects.filter(pk=coinage.type.pk).update(diameter_mm=None)
    after = read(as_member.get(address)).all
    assert (said in before, said in after) == (False, True)
    assert after.count("?") == before.count("?") + 2  # on the coin and in the note
    assert "size not recorded, copper-nickel" in " ".join(after.split())


def test_a_ladder_may_be_of_one_currency_alone(
    as_member: Client, coinage: Coinage, read: Any
) -> None:
    sahm = Currency.objects.create(key="sahm", name="sahm", first_year=1970)
    plan = Series.objects.create(
        key="treasury", issuer=coinage.issuer, currency=sahm, name="Treasury", first_year=1970
    )
    falz = Denomination.objects.create(key="falz", currency=sahm, name="1 falz", value_numerator=1)
    CoinType.objects.create(key="falz-1", series=plan, denomination=falz, diameter_mm="20")
    address = f"/sheets/ladder/{coinage.issuer.key}/"
    both = read(as_member.get(address)).all
    one = read(as_member.get(address, {"currency": "sahm"})).all
    assert ("25 tinne" in both, "1 falz" in both) == (True, True)
    assert ("25 tinne" in one, "1 falz" in one) == (False, True)
    assert as_member.get(address, {"currency": "made-up"}).status_code == 404


def test_a_country_without_series_has_no_ladder_and_says_so(
    as_member: Client, coinage: Coinage
) -> None:
    coinage.type.delete()
    coinage.series.delete()
    answer = as_member.get(f"/sheets/ladder/{coinage.issuer.key}/")
    assert answer.status_code == 422
    assert "has no series with types yet" in answer.content.decode()


def test_no_ladder_of_an_unknown_country(as_member: Client, db: None) -> None:
    assert as_member.get("/sheets/ladder/made-up/").status_code == 404


@pytest.mark.parametrize("clearance", ["-1", "x", "21"])
def test_a_clearance_out_of_bounds_is_refused(
    as_member: Client, coinage: Coinage, clearance: str
) -> None:
    address = f"/sheets/album/?series={coinage.series.key}"
    page = as_member.post(address, {**ASK, "clearance": clearance})
    assert page.context["form"].errors["clearance"]


def test_a_clearance_that_leaves_no_room_is_said_in_words(
    as_member: Client, coinage: Coinage
) -> None:
    CoinType.objects.update(diameter_mm="170")
    page = as_member.post(f"/sheets/album/?series={coinage.series.key}", ASK).content.decode()
    assert "needs a pocket 171 mm wide" in page
