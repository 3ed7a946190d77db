"""Quick entry in a browser: by keyboard alone, and on a phone."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from catalogue.models import Holding, Member
from series.models import CoinType
from series.types.derived import derive_types

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def findable(coinage: Any) -> Any:
    CoinType.objects.create(
        key="testland-first-25-steel",
        name="steel",
        series=coinage.series,
        denomination=coinage.denomination,
    )
    derive_types()
    return coinage


def test_two_pieces_by_keyboard_alone(
    findable: Any, member: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(member)
    page.goto("/holdings/quick/")
    keys = page.keyboard

    keys.type("testl 25")
    options = page.locator("#type-options [role=option]")
    options.nth(1).wait_for()
    field = page.locator("#id_type_text")
    first = options.nth(0).get_attribute("id")
    assert field.get_attribute("aria-activedescendant") == first
    keys.press("ArrowDown")
    assert field.get_attribute("aria-activedescendant") == options.nth(1).get_attribute("id")
    keys.press("ArrowDown")
    assert field.get_attribute("aria-activedescendant") == first
    keys.press("Enter")
    assert field.get_attribute("aria-expanded") == "false"
    keys.type("1947")
    keys.press("Tab")
    keys.type("vf")
    with page.expect_navigation():
        keys.press("Enter")
    assert page.evaluate("document.activeElement.id") == "id_type_text"

    keys.type("25 steel")
    options.nth(0).wait_for()
    keys.press("Enter")
    keys.type("c. 1950")
    with page.expect_navigation():
        keys.press("Enter")
    assert page.locator(".quick-entries li").count() == 2

    second, one = Holding.objects.order_by("-pk")
    assert (one.coin_type, one.issue, one.grade) == (findable.type, findable.issues[1], "VF")
    assert second.coin_type is not None
    assert (second.coin_type.name, second.date_reading) == ("steel", "1950~")


def test_escape_closes_the_list_and_enters_nothing(
    findable: Any, member: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(member)
    page.goto("/holdings/quick/")
    page.keyboard.type("25")
    page.locator("#type-options [role=option]").nth(0).wait_for()
    page.keyboard.press("Escape")
    assert page.locator("#type-options").is_hidden()
    assert page.locator("#id_type_text").input_value() == "25"
    assert page.locator("#id_coin_type").input_value() == ""


def test_enter_before_the_list_has_come_still_finds_the_type(
    findable: Any, member: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(member)
    page.goto("/holdings/quick/")
    page.keyboard.type("25 steel")
    page.keyboard.press("Enter")
    page.locator("#id_date_text:focus").wait_for()
    with page.expect_navigation():
        page.keyboard.press("Enter")
    assert Holding.objects.get().coin_type.key == "testland-first-25-steel"  # type: ignore[union-attr]


def test_the_full_form_brings_the_dates_of_what_was_found(
    findable: Any, member: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(member)
    page.goto("/holdings/new/")
    page.locator("#id_type_text").focus()
    page.keyboard.type("25")
    page.locator("#type-options [role=option]").nth(0).wait_for()
    page.keyboard.press("Enter")
    page.locator("#id_issue option", has_text="1947").wait_for(state="attached")
    page.select_option("#id_issue", label="1947")
    page.get_by_role("button", name="Save", exact=True).click()
    page.wait_for_url("**/holdings/*/")
    assert Holding.objects.get().issue == findable.issues[1]


def test_on_a_phone_the_button_is_large_and_in_reach(
    findable: Any, member: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(member, viewport={"width": 390, "height": 700})
    for address in ("/holdings/quick/", f"/types/{findable.type.key}/dates/"):
        page.goto(address)
        box = page.locator(".thumb button").bounding_box()
        assert box["height"] >= 44
        assert box["y"] + box["height"] <= 700
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
