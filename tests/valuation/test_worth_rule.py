"""Which value counts for a holding on a day: the rule in Python and in the database."""

from __future__ import annotations

import random
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.models import Holding, Member
from series.models import Currency
from valuation.estimates.queries import (
    candidates,
    fixed_rates,
    held_on,
    values_that_count,
    with_worth,
    with_worth_in,
    worths,
)
from valuation.estimates.worth import Value, choose, tally
from valuation.exchange import convert
from valuation.models import Valuation

TODAY = date(2026, 3, 1)
pytestmark = pytest.mark.django_db

Make = Callable[..., Any]


def _value_of(holding: Holding, as_of: date = TODAY) -> Valuation | None:
    chosen = with_worth(Holding.objects.filter(pk=holding.pk), as_of).get().worth_id
    return None if chosen is None else Valuation.objects.get(pk=chosen)


def test_the_newest_own_value_counts_before_any_estimate(
    coinage: Any, make_holding: Make, make_value: Make
) -> None:
    holding = make_holding(grade_rank=32)
    make_value("99.00", coin_type=coinage.type, grade_rank=32, on=date(2026, 2, 1))
    make_value("5.00", holding=holding, on=date(2020, 1, 1))
    newer = make_value("7.00", holding=holding, on=date(2021, 1, 1))
    assert _value_of(holding) == newer


def test_a_value_recorded_after_the_day_does_not_count(
    make_holding: Make, make_value: Make
) -> None:
    holding = make_holding()
    older = make_value("5.00", holding=holding, on=date(2020, 1, 1))
    make_value("7.00", holding=holding, on=date(2026, 3, 2))
    assert _value_of(holding) == older
    assert _value_of(holding, date(2019, 12, 31)) is None


def test_the_nearest_lower_grade_stands_in_and_never_a_higher_one(
    coinage: Any, make_holding: Make, make_value: Make
) -> None:
    make_value("1.00", coin_type=coinage.type, grade_rank=10)
    fine = make_value("3.00", coin_type=coinage.type, grade_rank=18)
    make_value("30.00", coin_type=coinage.type, grade_rank=50)
    assert _value_of(make_holding(grade_rank=32)) == fine
    assert _value_of(make_holding(grade_rank=6)) is None


def test_the_issue_counts_before_its_type(
    coinage: Any, make_holding: Make, make_value: Make
) -> None:
    make_value("3.00", coin_type=coinage.type, grade_rank=32, on=date(2026, 1, 1))
    scarce = make_value("80.00", issue=coinage.issues[1], grade_rank=18, on=date(2020, 1, 1))
    assert _value_of(make_holding(issue=coinage.issues[1], grade_rank=32)) == scarce
    assert _value_of(make_holding(issue=coinage.issues[0], grade_rank=32)) != scarce


def test_an_ungraded_piece_takes_a_value_for_any_grade_alone(
    coinage: Any, make_holding: Make, make_value: Make
) -> None:
    make_value("3.00", coin_type=coinage.type, grade_rank=1)
    melt = make_value("0.40", coin_type=coinage.type, grade_rank=None, basis="metal")
    assert _value_of(make_holding(grade_rank=None)) == melt
    assert _value_of(make_holding(grade_rank=1)) != melt


def test_a_source_of_another_member_does_not_count(
    coinage: Any, make_holding: Make, make_value: Make, make_source: Make, other: Member
) -> None:
    private = make_source("Bo's own list", owner=other)
    theirs = make_value("3.00", coin_type=coinage.type, grade_rank=18, source=private)
    assert _value_of(make_holding(grade_rank=18)) is None
    assert _value_of(make_holding(grade_rank=18, owner=other)) == theirs


def test_a_value_in_the_bin_does_not_count(make_holding: Make, make_value: Make) -> None:
    holding = make_holding()
    make_value("5.00", holding=holding).bin()
    assert _value_of(holding) is None


def test_nothing_known_is_left_out_and_never_nought(make_holding: Make, make_value: Make) -> None:
    known, unknown = make_holding(quantity=3), make_holding()
    make_value(None, low=Decimal("0.05"), high=Decimal("0.06"), holding=known)
    found = worths(Holding.objects.all(), "EUR", TODAY)
    assert unknown.pk not in found
    assert found[known.pk].each == Decimal("0.06")
    assert found[known.pk].total == Decimal("0.18")
    amounts = dict(with_worth_in(Holding.objects.all(), "EUR", TODAY).values_list("pk", "worth"))
    assert amounts[unknown.pk] is None
    assert float(amounts[known.pk]) == pytest.approx(0.165)


def test_a_currency_without_a_rate_is_told_apart_from_nothing_known(
    make_holding: Make, make_value: Make, coinage: Any
) -> None:
    holding = make_holding(grade_rank=18)
    make_value("5.00", holding=holding, currency="XTS")
    make_value("3.00", coin_type=coinage.type, grade_rank=18)
    found = worths(Holding.objects.all(), "EUR", TODAY)[holding.pk]
    assert found.total is None
    assert found.value.currency == "XTS"
    assert with_worth_in(Holding.objects.all(), "EUR", TODAY).get().worth is None


def test_the_database_and_the_written_rule_agree(
    coinage: Any, make_source: Make, member: Member, other: Member
) -> None:
    pick = random.Random(7)
    ranks = [None, 1, 10, 18, 32, 50, 63]
    sources = [make_source("shared"), make_source("a", owner=member), make_source("b", owner=other)]
    holdings = Holding.objects.bulk_create(
        Holding(
            owner=pick.choice([member, other]),
            accession=f"R.{n}",
            coin_type=coinage.type if pick.random() < 0.9 else None,
            issue=pick.choice([None, *coinage.issues]),
            grade_rank=pick.choice(ranks),
        )
        for n in range(120)
    )
    rows = []
    for _ in range(160):
        kind = pick.choice(["holding", "issue", "coin_type"])
        of = {"holding": holdings, "issue": coinage.issues, "coin_type": [coinage.type]}[kind]
        rows.append(
            Valuation(
                **{kind: pick.choice(of)},
                single=Decimal(pick.randrange(1, 9999)) / 100,
                on=date(2015, 1, 1) + timedelta(days=pick.randrange(0, 4000)),
                grade_rank=None if kind == "holding" else pick.choice(ranks),
                source=pick.choice(sources),
            )
        )
    Valuation.objects.bulk_create(rows)
    checked = 0
    for as_of in (date(2016, 6, 1), date(2020, 6, 1), TODAY):
        for holding in with_worth(Holding.objects.all(), as_of):
            found = candidates(values_that_count(holding))
            chosen = choose(*found, rank=holding.grade_rank, as_of=as_of)
            assert holding.worth_id == (chosen.id if chosen else None)
            checked += chosen is not None
    assert checked > 150


def test_the_number_of_queries_does_not_grow(
    coinage: Any, make_holding: Make, make_value: Make, django_assert_num_queries: Any
) -> None:
    make_value(coin_type=coinage.type, grade_rank=10)
    for n in range(3):
        make_holding(grade_rank=18, accession=f"Q.{n}")
    with django_assert_num_queries(3):
        assert len(worths(Holding.objects.all(), "EUR", TODAY)) == 3
    for n in range(30):
        make_value(holding=make_holding(accession=f"R.{n}"))
    with django_assert_num_queries(3):
        assert len(worths(Holding.objects.all(), "EUR", TODAY)) == 33


def test_in_hand_on_a_day_follows_acquisition_and_dated_changes(make_holding: Make) -> None:
    kept = make_holding(acquired_on=date(2020, 1, 1))
    sold = make_holding(status="sold")
    sold.status_changes.create(status="sold", on=date(2024, 5, 1))
    gone = make_holding(status="lost")
    lent = make_holding(status="on_loan")

    def on(day: date) -> set[Holding]:
        return set(held_on(Holding.objects.all(), day))

    assert on(date(2019, 1, 1)) == {sold, lent}
    assert on(date(2024, 4, 30)) == {kept, sold, lent}
    assert on(date(2024, 5, 1)) == {kept, lent}
    assert gone not in on(date(2010, 1, 1))


@given(
    st.lists(
        st.tuples(
            st.sampled_from("abc"),
            st.integers(1, 500),
            st.none() | st.decimals(0, 9999, places=2),
        )
    )
)
def test_a_tally_loses_nothing(rows: list[tuple[str, int, Decimal | None]]) -> None:
    sums = tally(rows)
    assert sum(s.pieces for s in sums) == sum(pieces for _k, pieces, _t in rows)
    assert sum(s.without for s in sums) == sum(p for _k, p, total in rows if total is None)
    assert sum(s.amount or 0 for s in sums) == sum(t for _k, _p, t in rows if t is not None)
    for s in sums:
        assert (s.amount is None) == (s.valued == 0)


@given(st.dates(date(2000, 1, 1), date(2030, 1, 1)), st.dates(date(2000, 1, 1), date(2030, 1, 1)))
def test_a_value_is_old_after_five_years_and_not_before(on: date, as_of: date) -> None:
    days = (as_of - on).days
    if days > 5 * 366:
        assert Value(1, on, "EUR", Decimal(1)).old(as_of)
    if days <= 5 * 365:
        assert not Value(1, on, "EUR", Decimal(1)).old(as_of)


def test_a_legal_rate_in_the_catalogue_is_used_and_a_broken_one_is_not(db: None) -> None:
    union = Currency.objects.create(key="u", name="euro", code="EUR")
    for code, rate in (("MRL", "5/2"), ("BAD", "two"), ("NUL", "0")):
        Currency.objects.create(
            key=code, name=code, code=code, rate=rate, successor=union, rate_from=date(2004, 1, 1)
        )
    fixed = fixed_rates()
    found = convert(Decimal(10), "MRL", "EUR", TODAY, fixed)
    assert (found.amount, found.source) == (Decimal(4), "legal rate, MRL")
    assert not {"BAD", "NUL"} & set(fixed)
