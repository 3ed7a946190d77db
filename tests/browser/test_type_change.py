"""Changing the type of a piece in a browser: the form asks for the date as soon as it is chosen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import expect

from catalogue.models import Holding, Member
from series.models import CoinType, Issue
from series.types.derived import derive_types

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def steel(coinage: Any) -> CoinType:
    """A type of steel, struck in 1947 and 1960."""
    made = CoinType.objects.create(
        key="testland-first-25-steel",
        name="steel",
        series=coinage.series,
        denomination=coinage.denomination,
    )
    for year in (1947, 1960):
        Issue.objects.create(
            coin_type=made, key=str(year), shown=str(year), struck_from=year, struck_to=year
        )
    derive_types()
    return made


def choose_steel(page: Any, holding: Holding) -> None:
    page.goto(f"/holdings/{holding.pk}/edit/")
    field = page.locator("#id_type_text")
    field.fill("")
    field.press_sequentially("25 steel")
    page.locator("#type-options [data-id]").first.wait_for()
    with page.expect_response("**/holdings/new/dates/"):
        field.press("Enter")


def test_a_date_of_both_types_stays_chosen(
    coinage: Any, steel: CoinType, member: Member, make_holding: Any, page_of: Callable[..., Any]
) -> None:
    holding = make_holding(issue=coinage.issues[1], grade="VF")
    page = page_of(member)
    choose_steel(page, holding)
    page.get_by_text("The date stays 1947.").wait_for()
    expect(page.locator(":focus")).to_have_attribute("id", "id_issue")
    with page.expect_navigation():
        page.get_by_role("button", name="Save", exact=True).click()
    holding.refresh_from_db()
    assert (holding.coin_type, str(holding.issue), holding.grade) == (steel, "1947", "VF")


def test_a_date_that_was_not_struck_is_asked_for_at_once(
    coinage: Any, steel: CoinType, member: Member, make_holding: Any, page_of: Callable[..., Any]
) -> None:
    holding = make_holding(issue=coinage.issues[2])
    page = page_of(member)
    choose_steel(page, holding)
    page.get_by_role("alert").get_by_text("struck 1947–60, not with that date").wait_for()
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator("#id_issue:invalid")).to_have_count(1)
    holding.refresh_from_db()
    assert (holding.coin_type, str(holding.issue)) == (coinage.type, "1953")
    page.select_option("#id_issue", "as-read")
    with page.expect_navigation():
        page.get_by_role("button", name="Save", exact=True).click()
    holding.refresh_from_db()
    assert (holding.coin_type, holding.issue, holding.date_reading) == (steel, None, "1953")
