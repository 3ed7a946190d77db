"""Quick entry of a pile in a browser: what is kept, how few keys it takes, and who can read it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import expect

from catalogue.holdings.finding.typeahead import type_label
from catalogue.models import Holding, Member
from series.models import CoinType, Issue
from series.types.derived import derive_types
from tests.outside.test_axe import COLOURS, RULES, broken_rules

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def findable(coinage: Any) -> Any:
    """The coinage, with a second type and with twenty dates of the first."""
    CoinType.objects.create(
        key="testland-first-25-steel",
        name="steel",
        series=coinage.series,
        denomination=coinage.denomination,
    )
    for year in range(1932, 1942):
        Issue.objects.create(
            coin_type=coinage.type,
            key=f"{year}",
            shown=f"{year}",
            struck_from=year,
            struck_to=year,
            mark_text="S" if year % 2 else "",
            fact="not_struck" if year == 1940 else "struck",
        )
    derive_types()
    coinage.type.refresh_from_db()
    return coinage


def choose(page: Any, words: str) -> None:
    page.keyboard.type(words)
    page.locator("#type-options [data-id]").first.wait_for()
    page.keyboard.press("Enter")
    page.locator("#id_date_text:focus").wait_for()


def test_the_next_piece_of_the_same_coin_takes_its_date_and_two_keys(
    findable: Any, member: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(member)
    page.goto("/holdings/quick/")
    choose(page, "25 first")
    page.keyboard.type("1931")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    for year in ("1932", "1933 S"):
        expect(page.locator(":focus")).to_have_attribute("id", "id_type_text")
        page.wait_for_function(
            "text => `${getSelection()}` === text", arg=type_label(findable.type)
        )
        page.keyboard.press("Tab")
        page.keyboard.type(year)
        with page.expect_navigation():
            page.keyboard.press("Enter")
    labels = Holding.objects.order_by("pk").values_list("issue__shown", flat=True)
    assert list(labels) == ["1931", "1932", "1933"]


def test_a_second_press_of_enter_saves_no_piece_without_a_date(
    findable: Any, member: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(member)
    page.goto("/holdings/quick/")
    choose(page, "25 first")
    page.keyboard.type("1931")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    page.keyboard.press("Enter")
    page.locator("#id_date_text:focus").wait_for()
    assert Holding.objects.count() == 1


def test_a_date_alone_means_the_same_coin_and_comes_with_its_grade(
    findable: Any, member: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(member)
    page.goto("/holdings/quick/")
    choose(page, "25 first 1933 S vf")
    expect(page.locator("#id_date_text")).to_have_value("1933 S")
    expect(page.locator("#id_grade")).to_have_value("VF")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    choose(page, "1935 s")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    second = Holding.objects.order_by("-pk")[0]
    assert second.issue is not None
    assert (second.issue.label, second.grade) == ("1935 S", "")


def test_a_fold_stays_open_for_the_next_piece(
    findable: Any, member: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(member)
    page.goto("/holdings/quick/")
    choose(page, "25 first")
    page.keyboard.type("1931")
    page.locator("summary", has_text="Photographs").click()
    page.locator("#id_obverse").wait_for()
    page.locator("#id_date_text").focus()
    with page.expect_navigation():
        page.keyboard.press("Enter")
    expect(page.locator("#id_obverse")).to_be_visible()
    expect(page.locator("#id_price")).to_be_hidden()


def test_a_country_without_coins_is_begun_from_the_keyboard(
    findable: Any, member: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(member)
    page.goto("/holdings/quick/")
    page.keyboard.type("5 dollars zimbabwe")
    link = page.get_by_role("link", name="Begin with this one")
    link.wait_for()
    expect(page.locator("#type-options")).to_be_hidden()
    page.keyboard.press("Tab")
    expect(link).to_be_focused()
    expect(link).to_have_attribute("href", "/types/new/?country=Zimbabwe")


def test_without_script_a_piece_is_entered_from_the_boxes(
    findable: Any, member: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(member, java_script_enabled=False)
    page.goto("/holdings/quick/")
    page.locator("#id_type_text").fill("25 testland 1931")
    page.get_by_role("button", name="Show the coin").click()
    expect(page.locator("#id_date_text")).to_have_value("1931")
    page.locator("#id_date_text").fill("")
    page.locator(".date-boxes label", has_text="1933 S").click()
    page.locator("#id_grade").fill("f")
    with page.expect_navigation():
        page.get_by_role("button", name="Save, and the next").click()
    made = Holding.objects.get()
    assert made.issue is not None
    assert (made.issue.label, made.grade) == ("1933 S", "F")


@pytest.mark.parametrize("width", [1440, 390])
def test_quick_entry_keeps_the_rules_of_access_in_all_its_states(
    findable: Any, member: Member, page_of: Callable[..., Any], width: int, make_holding: Any
) -> None:
    make_holding(issue=findable.issues[0])
    page = page_of(member, viewport={"width": width, "height": 844})
    page.goto("/holdings/quick/")
    page.keyboard.type("25")
    page.locator("#type-options [data-id]").first.wait_for()
    page.keyboard.press("ArrowDown")
    wrong = broken_rules(page, RULES, "list")
    page.keyboard.press("Enter")
    page.locator(".date-boxes").wait_for()
    for fold in page.locator(".folds summary").all():
        fold.click()
    page.locator("#id_date_text").fill("1940")
    page.locator("#date_text-said", has_text="1940 was not struck.").wait_for()
    wrong += broken_rules(page, RULES, "coin")
    page.emulate_media(color_scheme="dark")
    wrong += broken_rules(page, COLOURS, "coin, dark")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.locator("#id_date_text").focus()
    with page.expect_navigation():
        page.keyboard.press("Enter")
    wrong += broken_rules(page, COLOURS, "asked, dark")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    page.get_by_role("button", name="undo").click()
    page.get_by_role("button", name="put it back").wait_for()
    page.reload()
    page.get_by_role("button", name="put it back").wait_for()
    wrong += broken_rules(page, RULES, "undone, dark")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert wrong == []
