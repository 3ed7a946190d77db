"""The worth page, and what the app adds to the holdings' pages."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.http import Http404
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from catalogue.models import Holding, Member
from valuation.estimates.collection import earlier_days, history
from valuation.estimates.extension import WORTH
from valuation.exchange import convert
from valuation.money import cents

Make = Callable[..., Any]
WORTH_PAGE = reverse("worth")


def test_the_page_sums_what_is_known_and_counts_what_is_not(
    as_member: Client, make_holding: Make, make_value: Make
) -> None:
    make_value("4.25", holding=make_holding(quantity=3))
    make_value("2.00", holding=make_holding())
    make_holding(quantity=5)
    page = as_member.get(WORTH_PAGE)
    assert page.context["sum"].amount == Decimal("14.75")
    assert (page.context["sum"].valued, page.context["sum"].without) == (4, 5)
    assert "€\xa014.75" in page.content.decode()
    assert b"no appraisal" in page.content


def test_an_earlier_day_leaves_out_what_came_later(
    as_member: Client, make_holding: Make, make_value: Make
) -> None:
    holding = make_holding(acquired_on=date(2019, 1, 1))
    make_value("4.00", holding=holding, on=date(2020, 1, 1))
    make_value("9.00", holding=holding, on=date(2024, 1, 1))
    make_value("5.00", holding=make_holding(acquired_on=date(2024, 1, 1)), on=date(2019, 1, 1))
    page = as_member.get(WORTH_PAGE, {"as_of": "2021-06-01"})
    assert page.context["sum"].amount == Decimal("4.00")


def test_another_currency_names_its_rate(
    as_member: Client, make_holding: Make, make_value: Make
) -> None:
    make_value("100.00", holding=make_holding(), on=date(2014, 1, 1))
    page = as_member.get(WORTH_PAGE, {"as_of": "2014-03-29", "currency": "USD"})
    assert page.context["sum"].amount == Decimal("137.59")
    text = page.content.decode().replace("\xa0", " ")
    assert "1 EUR = 1.3759 USD on 28 March 2014, European Central Bank" in text


def test_a_day_to_come_is_refused_with_a_reason(as_member: Client, make_holding: Make) -> None:
    make_holding()
    page = as_member.get(WORTH_PAGE, {"as_of": "2999-01-01"})
    assert b"has not come yet" in page.content


def test_without_any_value_it_says_so_and_never_nought(
    as_member: Client, make_holding: Make
) -> None:
    make_holding()
    page = as_member.get(WORTH_PAGE)
    assert page.context["sum"].amount is None
    assert b"No value is known" in page.content
    assert b"0.00" not in page.content


def test_without_holdings_it_says_what_to_do(as_member: Client) -> None:
    assert b"You hold nothing" in as_member.get(WORTH_PAGE).content


def test_old_values_are_flagged_with_their_source(
    as_member: Client, make_holding: Make, make_value: Make
) -> None:
    make_value(holding=make_holding(), on=date(2012, 1, 1))
    assert b"over five years old" in as_member.get(WORTH_PAGE).content


def test_it_shows_own_holdings_alone(
    as_member: Client, make_holding: Make, make_value: Make, other: Member
) -> None:
    theirs = make_holding(owner=other, visibility="public")
    make_value("55.55", holding=theirs)
    assert b"55.55" not in as_member.get(WORTH_PAGE).content


def test_a_visitor_is_sent_to_sign_in(client: Client, db: None) -> None:
    assert client.get(WORTH_PAGE).status_code == 302


@pytest.mark.parametrize("sort", ["worth", "oldest", "number", "unknown", "nonsense"])
@pytest.mark.parametrize("by", ["country", "series", "metal", "nonsense"])
def test_every_order_and_sum_is_shown(
    as_member: Client, make_holding: Make, make_value: Make, sort: str, by: str
) -> None:
    make_value("4.25", holding=make_holding())
    make_holding()
    page = as_member.get(WORTH_PAGE, {"sort": sort, "by": by})
    shown = [row.holding.accession for row in page.context["page"].object_list]
    assert shown == (["T.002"] if sort == "unknown" else ["T.001", "T.002"])


def test_the_number_of_queries_does_not_grow(
    as_member: Client, make_holding: Make, make_value: Make, django_assert_max_num_queries: Any
) -> None:
    def visit() -> int:
        with django_assert_max_num_queries(40) as found:
            as_member.get(WORTH_PAGE)
        return len(found)

    for _ in range(3):
        make_value(holding=make_holding())
    few = visit()
    for _ in range(27):
        make_value(holding=make_holding())
    assert visit() == few


def test_the_history_counts_what_was_in_hand_on_each_day(
    make_holding: Make, make_value: Make, member: Member
) -> None:
    kept, sold = make_holding(), make_holding(status="sold")
    sold.status_changes.create(status="sold", on=date(2024, 1, 1))
    make_value("4.00", holding=kept, on=date(2022, 1, 1))
    make_value("6.00", holding=sold, on=date(2023, 1, 1))
    days = [date(2021, 6, 1), date(2022, 6, 1), date(2023, 6, 1), date(2024, 6, 1)]
    assert history(member, "EUR", days) == [
        (date(2022, 6, 1), Decimal("4.00")),
        (date(2023, 6, 1), Decimal("10.00")),
        (date(2024, 6, 1), Decimal("4.00")),
    ]


def test_the_days_of_the_history_are_valid_on_a_leap_day() -> None:
    assert earlier_days(date(2024, 2, 29), 2) == [
        date(2022, 2, 28),
        date(2023, 2, 28),
        date(2024, 2, 29),
    ]


# ---- the extension ----
def test_cells_and_export_give_the_owner_the_amount_and_nobody_else(
    make_holding: Make, make_value: Make, member: Member, other: Member
) -> None:
    holding = make_holding(quantity=2, visibility="public")
    make_value("10.00", holding=holding, currency="USD", on=date(2025, 3, 3))
    expected = 2 * cents(convert(Decimal(10), "USD", "EUR", date(2090, 1, 1)).amount)
    assert WORTH.cells([holding], member) == {holding.pk: f"€\xa0{expected}"}
    row = WORTH.export([holding], member)[holding.pk]
    assert (row["worth"], row["value_each"], row["value_on"]) == (
        str(expected),
        "10.00",
        "2025-03-03",
    )
    assert "European Central Bank" in row["rate"]
    assert WORTH.cells([holding], other) == {}
    assert WORTH.export([holding], other) == {}
    with pytest.raises(Http404):
        WORTH.panel_context(holding, other)


def test_holdings_sort_by_worth_with_unknown_ones_apart(
    make_holding: Make, make_value: Make, member: Member
) -> None:
    dear, cheap, unknown = make_holding(), make_holding(quantity=3), make_holding()
    make_value("10.00", holding=dear)
    make_value("2.00", holding=cheap)
    rows = WORTH.annotate(Holding.objects.all(), member)
    amounts = {h.pk: h.worth for h in rows}
    assert amounts[dear.pk] > amounts[cheap.pk] == 6
    assert amounts[unknown.pk] is None


def test_the_panel_shows_amount_basis_and_history(
    as_member: Client, coinage: Any, make_holding: Make, make_value: Make
) -> None:
    holding = make_holding(grade_rank=40, grade="EF", issue=coinage.issues[0])
    make_value("9.00", coin_type=coinage.type, grade="VF", grade_rank=32, on=date(2024, 3, 1))
    make_value(
        None,
        low=11,
        high=18,
        coin_type=coinage.type,
        grade="VF",
        grade_rank=32,
        on=date(2026, 3, 1),
    )
    page = as_member.get(holding.get_absolute_url()).content.decode().replace("\xa0", " ")
    assert "€ 14.50" in page
    assert "between € 11 and 18, on 1 March 2026; Testland price list, retail asking, at VF" in page
    assert "<polyline" in page
    assert "1 March 2024" in page


def test_the_panel_is_not_shown_to_another(
    make_holding: Make, make_value: Make, other: Member
) -> None:
    holding = make_holding(visibility="public")
    make_value("14.55", holding=holding)
    client = Client()
    client.force_login(other, backend="django.contrib.auth.backends.ModelBackend")
    page = client.get(holding.get_absolute_url())
    assert page.status_code == 200
    assert b"14.55" not in page.content


def test_the_front_page_counts_values_of_more_than_a_year_ago(
    as_member: Client, make_holding: Make, make_value: Make
) -> None:
    today = timezone.localdate()
    old, renewed = make_holding(), make_holding()
    make_value("4.00", holding=old, on=today - timedelta(days=400))
    make_value("4.00", holding=renewed, on=today - timedelta(days=400))
    make_value("5.00", holding=renewed, on=today - timedelta(days=20))
    lines = {line.text: line for line in as_member.get("/").context["to_do"]}
    assert lines["valued more than a year ago"].count == 1
    assert "sort=oldest" in lines["valued more than a year ago"].address
