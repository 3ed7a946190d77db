"""Changing type, date, price, source and the rest of many holdings: planned, said, then done."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from django.test import Client

from catalogue.holdings.bulk.change import change_all
from catalogue.holdings.bulk.plan import Changes, plan_of
from catalogue.holdings.finding.typeahead import type_label
from catalogue.holdings.search.index import store
from catalogue.models import Holding, Member, Reservation
from series.models import CoinType, Issue, Variety
from tests.catalogue.holdings.bulk.test_bulk import BACK, left, said, send


@pytest.fixture
def larger(coinage: Any) -> CoinType:
    """Another type, struck in 1931, in 1947 with two marks, never in 1953, and in 1960."""
    made = CoinType.objects.create(
        key="testland-50", name="large", series=coinage.series, denomination=coinage.denomination
    )
    dates = [("1931", "", "struck"), ("1947", "N", "struck"), ("1947", "S", "struck")]
    dates += [("1953", "", "not_struck"), ("1960", "", "struck")]
    for shown, mark, fact in dates:
        Issue.objects.create(
            coin_type=made,
            key=f"{shown}-{mark}".strip("-").lower(),
            shown=shown,
            mark_text=mark,
            fact=fact,
            struck_from=int(shown),
            struck_to=int(shown),
        )
    return made


@pytest.fixture
def dated(make_holding: Any, coinage: Any) -> list[Holding]:
    """A piece of each date of the type."""
    return [make_holding(issue=issue, grade="VF") for issue in coinage.issues]


def to_type(coin_type: CoinType, **more: Any) -> dict[str, Any]:
    label = type_label(coin_type)
    return {"type_do": "set", "type_text": label, "coin_type": coin_type.pk} | more


def fresh(holdings: list[Holding]) -> list[Holding]:
    return list(Holding.objects.filter(pk__in=[h.pk for h in holdings]).order_by("pk"))


def test_a_type_is_changed_where_the_date_is_one_of_it(
    as_member: Client, dated: list[Holding], larger: CoinType
) -> None:
    page = send(as_member, dated, "look", "change", **to_type(larger))
    assert said(page) == {"Type": [("25 tinne", "25 tinne, large", 1)]}
    assert list(left(page)) == ["T.002", "T.003"]
    assert "several dates could be meant" in page.text
    assert "was not struck with that date" in page.text
    answer = as_member.post("/holdings/bulk/", sent_again(page), follow=True)
    assert "1 holding is changed" in answer.text
    first, second, third = fresh(dated)
    assert (first.coin_type, str(first.issue), first.grade) == (larger, "1931", "VF")
    assert (second.coin_type_id, third.coin_type_id) == (dated[1].coin_type_id,) * 2
    assert [h.row_version for h in (first, second, third)] == [2, 1, 1]


def sent_again(page: Any) -> dict[str, Any]:
    """What the last look sends when it is confirmed as it stands."""
    context = page.context
    fields = {field.html_name: field.value() or "" for field in context["form"]}
    return fields | {
        "do": "do",
        "deed": "change",
        "seen": context["plan"].versions,
        "holding": context["ids"],
        "back": BACK,
    }


def test_dates_that_are_none_of_the_new_types_are_kept_as_read_when_asked(
    as_member: Client, dated: list[Holding], larger: CoinType
) -> None:
    page = send(as_member, dated, "look", "change", **to_type(larger, as_read="yes"))
    assert left(page) == {}
    as_member.post("/holdings/bulk/", sent_again(page))
    found = [(str(h.issue or ""), h.date_reading) for h in fresh(dated)]
    assert found == [("1931", ""), ("", "1947"), ("", "1953")]
    assert {h.coin_type for h in fresh(dated)} == {larger}


def test_a_date_is_set_to_that_of_each_ones_own_type(
    as_member: Client, dated: list[Holding], make_holding: Any, larger: CoinType
) -> None:
    store()
    other_type = make_holding(coin_type=larger)
    unknown = make_holding(coin_type=None, title="Small and brown")
    every = [*dated, other_type, unknown]
    page = send(as_member, every, "look", "change", date_do="set", date_text="1947")
    assert left(page) == {"T.004": "of 25 tinne, large it could be 1947 N, 1947 S"}
    assert [h.accession for h in page.context["plan"].already] == ["T.002"]
    as_member.post("/holdings/bulk/", sent_again(page))
    *found, _other, unidentified = fresh(every)
    assert [str(h.issue) for h in found] == ["1947"] * 3
    assert (unidentified.issue, unidentified.date_reading) == (None, "1947")
    assert all("1947" in h.search_text for h in found if h.pk != dated[1].pk)
    answer = as_member.get("/holdings/?view=list&q=1947")
    assert answer.context["browse"].result.total == 3


def test_a_date_is_cleared_only_by_its_own_choice(as_member: Client, dated: list[Holding]) -> None:
    send(as_member, dated, "do", "change", date_do="", date_text="", visibility="private")
    assert [str(h.issue) for h in fresh(dated)] == ["1931", "1947", "1953"]
    send(as_member, dated, "do", "change", date_do="clear")
    assert [(h.issue, h.date_reading) for h in fresh(dated)] == [(None, "")] * 3


def test_a_variety_that_goes_is_said(
    as_member: Client, dated: list[Holding], larger: CoinType
) -> None:
    wide = Variety.objects.create(issue=dated[0].issue, key="wide", name="wide date")
    Holding.objects.filter(pk=dated[0].pk).update(variety=wide)
    page = send(as_member, dated[:1], "look", "change", date_do="clear")
    assert said(page)["Variety"] == [("wide date", "none", 1)]
    page = send(as_member, dated[:1], "look", "change", **to_type(larger))
    assert left(page) == {"T.001": "its variety “wide date” is none of the new date's"}


def test_prices_and_sources(as_member: Client, dated: list[Holding]) -> None:
    Holding.objects.filter(pk=dated[0].pk).update(price="3.00", price_currency="EUR")
    price = {"price_do": "set", "price": "7.50", "source_do": "set", "acquired_from": "Ole Tarn"}
    page = send(as_member, dated, "look", "change", **price)
    assert said(page)["Paid"] == [("EUR 3.00", "EUR 7.50", 1)]
    assert set(left(page).values()) == {"it has no currency for its price"}
    both = price | {"currency_do": "set", "price_currency": "nok"}
    send(as_member, dated, "do", "change", **both)
    for holding in fresh(dated):
        assert (holding.price, holding.price_currency) == (Decimal("7.50"), "NOK")
        assert holding.acquired_from == "Ole Tarn"
    send(as_member, dated, "do", "change", price_do="clear", source_do="clear")
    assert {(h.price, h.acquired_from) for h in fresh(dated)} == {(None, "")}


def test_a_grade_is_set_with_its_rank_and_cleared(as_member: Client, dated: list[Holding]) -> None:
    graded = {"grade_do": "set", "grade": "ss", "grade_scale": "continental"}
    send(as_member, dated, "do", "change", **graded)
    assert {(h.grade, h.grade_scale, h.grade_rank) for h in fresh(dated)} == {
        ("ss", "continental", 27)
    }
    send(as_member, dated, "do", "change", grade_do="clear")
    assert {(h.grade, h.grade_rank) for h in fresh(dated)} == {("", None)}


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"date_do": "set"}, "Say what to change it to"),
        ({"date_text": "1947"}, "Choose “change to” above"),
        ({"type_do": "set", "type_text": "zebra"}, "No coin in the catalogue"),
        ({"price_do": "set", "price": "-1"}, "greater than or equal to 0"),
        ({"currency_do": "set", "price_currency": "E1"}, "three letters"),
    ],
)
def test_what_cannot_be_is_said_at_its_field(
    as_member: Client, dated: list[Holding], fields: dict[str, str], words: str
) -> None:
    page = send(as_member, dated, "look", "change", **fields)
    assert words in page.text
    assert {h.row_version for h in fresh(dated)} == {1}


def test_nothing_is_changed_when_one_was_changed_since_the_look(
    as_member: Client, dated: list[Holding]
) -> None:
    page = send(as_member, dated, "look", "change", visibility="private")
    dated[1].note = "changed meanwhile"
    dated[1].save()
    answer = as_member.post("/holdings/bulk/", sent_again(page))
    assert "1 piece was changed since you looked (T.002)" in answer.text
    assert "Nothing was changed" in answer.text
    assert {h.visibility for h in fresh(dated)} == {"club"}
    as_member.post("/holdings/bulk/", sent_again(answer))
    assert {h.visibility for h in fresh(dated)} == {"private"}


def test_sent_twice_it_happens_once(as_member: Client, dated: list[Holding]) -> None:
    page = send(as_member, dated, "look", "change", visibility="private")
    sent = sent_again(page)
    as_member.post("/holdings/bulk/", sent)
    assert "Nothing was changed" in as_member.post("/holdings/bulk/", sent).text
    assert {h.row_version for h in fresh(dated)} == {2}


def test_one_that_is_gone_since_the_look_stops_the_rest(
    as_member: Client, dated: list[Holding]
) -> None:
    page = send(as_member, dated, "look", "change", visibility="private")
    dated[2].bin()
    assert "are gone since you looked" in as_member.post("/holdings/bulk/", sent_again(page)).text
    assert {h.visibility for h in fresh(dated)} == {"club"}


def test_pieces_of_others_are_counted_and_left(
    as_member: Client, dated: list[Holding], make_holding: Any, other: Member
) -> None:
    theirs = make_holding(owner=other, accession="O.1")
    hidden = make_holding(owner=other, accession="O.2", visibility="private")
    page = send(as_member, [*dated, theirs, hidden], "look", "change", visibility="public")
    assert "1 of those chosen is not yours" in page.text
    assert "O.1" not in page.text
    as_member.post("/holdings/bulk/", sent_again(page))
    theirs.refresh_from_db()
    assert theirs.visibility == "club"
    assert {h.visibility for h in fresh(dated)} == {"public"}


def test_a_promised_piece_stays_spare_and_is_said(
    as_member: Client, dated: list[Holding], other: Member, coinage: Any
) -> None:
    Holding.objects.update(spare=True)
    Reservation.objects.create(holding=dated[0], wanted_by=other, coin_type=coinage.type)
    page = send(as_member, dated, "look", "change", spare="no")
    assert left(page) == {"T.001": "it is promised to Bo"}
    as_member.post("/holdings/bulk/", sent_again(page))
    assert [h.spare for h in fresh(dated)] == [True, False, False]


def test_choosing_otherwise_keeps_what_was_chosen(as_member: Client, dated: list[Holding]) -> None:
    page = send(as_member, dated, "again", "change", source_do="set", acquired_from="Ole Tarn")
    assert 'value="Ole Tarn"' in page.text
    assert "errorlist" not in page.text


def test_many_are_changed_with_few_queries(
    make_holding: Any,
    member: Member,
    coinage: Any,
    larger: CoinType,
    django_assert_max_num_queries: Any,
) -> None:
    for n in range(120):
        make_holding(issue=coinage.issues[0], grade="VF", quantity=n % 3 + 1)
    own = Holding.objects.filter(owner=member)
    changes = Changes(
        coin_type=larger, values={"acquired_from": "Ole Tarn", "visibility": "private"}
    )
    seen = plan_of(own, changes).versions
    with django_assert_max_num_queries(25):
        done = change_all(own, changes, seen)
    assert len(done.changed) == 120
    assert set(own.values_list("coin_type", "acquired_from")) == {(larger.pk, "Ole Tarn")}


def test_what_is_left_is_told_once_and_in_short(
    as_member: Client, make_holding: Any, coinage: Any, larger: CoinType
) -> None:
    many = []
    for year in range(1800, 1840):
        issue = Issue.objects.create(
            coin_type=coinage.type, key=str(year), shown=str(year), struck_from=year
        )
        many.append(make_holding(issue=issue))
    page = send(as_member, many, "look", "change", **to_type(larger))
    assert "Nothing would change" in page.text
    assert len(page.context["left"].groups) == 30
    assert "and 10 more holdings" in page.text
    done = as_member.post("/holdings/bulk/", sent_again(page), follow=True)
    assert len(done.context["messages"]) == 2


def test_pieces_are_found_by_the_source_they_were_given(
    as_member: Client, dated: list[Holding]
) -> None:
    store()
    send(as_member, dated[:2], "do", "change", source_do="set", acquired_from="Ole Tarn")
    answer = as_member.get("/holdings/?view=list&q=tarn")
    assert answer.context["browse"].result.total == 2


@pytest.fixture
def undated(coinage: Any) -> CoinType:
    """A type struck from 1940 to 1950, of which no single date is on record."""
    return CoinType.objects.create(
        key="testland-years", name="years only", series=coinage.series,
        denomination=coinage.denomination, first_year=1940, last_year=1950,
    )  # fmt: skip


def test_a_date_goes_along_as_read_to_a_type_of_which_only_years_are_known(
    as_member: Client, dated: list[Holding], undated: CoinType
) -> None:
    page = send(as_member, dated, "look", "change", **to_type(undated))
    assert [h.holding.accession for h in page.context["plan"].changed] == ["T.002"]
    assert "was struck 1940–50, not with that date" in page.text
    as_member.post("/holdings/bulk/", sent_again(page))
    first, second, _third = fresh(dated)
    assert (second.coin_type, second.issue, second.date_reading) == (undated, None, "1947")
    assert (first.coin_type_id, str(first.issue)) == (dated[0].coin_type_id, "1931")


def test_a_date_with_a_mark_does_not_lose_it_unasked(
    as_member: Client, dated: list[Holding], undated: CoinType
) -> None:
    Issue.objects.filter(pk=dated[1].issue_id).update(mark_text="S")
    page = send(as_member, dated[1:2], "look", "change", **to_type(undated))
    assert list(left(page)) == ["T.002"]
    page = send(as_member, dated[1:2], "look", "change", **to_type(undated, as_read="yes"))
    assert left(page) == {}
