"""Quick entry in a browser: by keyboard alone, and on a phone."""

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
def findable(coinage: Any) -> Any:
    CoinType.objects.create(
        key="testland-first-25-steel",
        name="steel",
        series=coinage.series,
        denomination=coinage.denomination,
    )
    derive_types()
    return coinage


def test_a_late_answer_leaves_the_choice_where_it_was(
    findable: Any, member: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(member)
    page.goto("/holdings/quick/")
    page.keyboard.type("testl")
    options = page.locator("#type-options [role=option]")
    options.nth(1).wait_for()
    held: list[Any] = []
    page.route("**/quick/types/?q=testl%2025", lambda route: held.append(route))
    with page.expect_request("**/quick/types/?q=testl%2025"):
        page.keyboard.type(" 25")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    chosen = options.nth(1).get_attribute("data-id")
    with page.expect_response("**/quick/types/?q=testl%2025") as late:
        held[0].continue_()
    late.value.finished()
    marked = page.locator("#type-options [aria-selected=true]")
    page.wait_for_function(
        "document.querySelector('#type-options-said').textContent.includes('25')"
    )
    expect(marked).to_have_attribute("data-id", chosen)


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
    keys.press("ArrowDown")
    expect(field).to_have_attribute("aria-activedescendant", first)
    keys.press("ArrowDown")
    expect(field).to_have_attribute("aria-activedescendant", options.nth(1).get_attribute("id"))
    keys.press("ArrowDown")
    expect(field).to_have_attribute("aria-activedescendant", first)
    keys.press("Enter")
    expect(field).to_have_attribute("aria-expanded", "false")
    keys.type("1947")
    keys.press("Tab")
    keys.type("vf")
    with page.expect_navigation():
        keys.press("Enter")
    expect(page.locator(":focus")).to_have_attribute("id", "id_type_text")

    keys.type("25 steel")
    options.nth(0).wait_for()
    keys.press("Enter")
    keys.type("c. 1950")
    with page.expect_navigation():
        keys.press("Enter")
    expect(page.locator("#entered li")).to_have_count(2)

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
    expect(page.locator("#type-options")).to_be_hidden()
    expect(page.locator("#id_type_text")).to_have_value("25")
    expect(page.locator("#id_coin_type")).to_have_value("")


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


def chosen_by(page: Any, *presses: str) -> str:
    """The id of the coin chosen by typing "25", waiting for the list, and these keys."""
    page.goto("/holdings/quick/")
    page.keyboard.type("25")
    page.locator("#type-options [data-id]").nth(1).wait_for()
    for press in presses:
        page.keyboard.press(press)
    page.locator("#id_date_text:focus").wait_for()
    return str(page.locator("#id_coin_type").input_value())


def test_one_press_of_down_goes_to_the_first_that_enter_would_take_anyway(
    findable: Any, member: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(member)
    first = chosen_by(page, "Enter")
    assert chosen_by(page, "ArrowDown", "Enter") == first
    second = chosen_by(page, "ArrowDown", "ArrowDown", "Enter")
    assert second != first
    assert chosen_by(page, "ArrowUp", "Enter") == second


def test_a_date_never_struck_is_said_before_anything_is_sent(
    findable: Any, member: Member, page_of: Callable[..., Any]
) -> None:
    Issue.objects.filter(pk=findable.issues[1].pk).update(fact="not_struck")
    page = page_of(member)
    page.goto("/holdings/quick/")
    page.keyboard.type("25 first")
    page.locator("#type-options [data-id]").first.wait_for()
    page.keyboard.press("Enter")
    page.locator("#id_date_text:focus").wait_for()
    for typed, said in (
        ("1947", "1947 was not struck."),
        ("1962", "1962 lies outside 1931–1953."),
        ("1953", "1953: you hold none yet."),
    ):
        page.locator("#id_date_text").fill(typed)
        page.locator("#date_text-said", has_text=said).wait_for()
    page.locator("#id_date_text:not([aria-invalid])").wait_for()
    assert Holding.objects.count() == 0


def test_a_date_is_chosen_from_the_boxes_by_click_and_by_keyboard(
    findable: Any, member: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(member)
    page.goto("/holdings/quick/")
    page.keyboard.type("25 first")
    page.locator("#type-options [data-id]").first.wait_for()
    page.keyboard.press("Enter")
    boxes = page.locator(".date-boxes label")
    boxes.nth(0).wait_for()
    boxes.nth(1).click()
    date = page.locator("#id_date_text")
    expect(date).to_have_value("1947")
    page.keyboard.press("ArrowRight")
    expect(date).to_have_value("1953")
    date.fill("1931")
    expect(boxes.nth(0).locator("input")).to_be_checked()
    page.locator("#date_text-said", has_text="1931: you hold none yet.").wait_for()
    with page.expect_navigation():
        page.keyboard.press("Enter")
    assert Holding.objects.get().issue == findable.issues[0]
    expect(page.locator(".date-boxes .held")).to_have_count(1)


def test_which_of_these_is_said_apart_and_chosen_by_keyboard(
    findable: Any, member: Member, page_of: Callable[..., Any]
) -> None:
    Issue.objects.create(
        coin_type=findable.type, key="1953-p", shown="1953", struck_from=1953, purpose="proof",
        position=9, mintage=1200,
    )  # fmt: skip
    page = page_of(member, viewport={"width": 390, "height": 844})
    page.goto("/holdings/quick/")
    page.keyboard.type("25 first")
    page.locator("#type-options [data-id]").first.wait_for()
    page.keyboard.press("Enter")
    page.locator("#id_date_text:focus").wait_for()
    page.keyboard.type("1953")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    rows = page.locator("#quick-form .choice")
    boxes = [rows.nth(n).bounding_box() for n in range(2)]
    assert boxes[0]["y"] + boxes[0]["height"] <= boxes[1]["y"] + 1
    assert all(box["height"] >= 44 for box in boxes)
    marks = [rows.nth(n).locator("input").bounding_box() for n in range(2)]
    words = [rows.nth(n).locator("b").bounding_box() for n in range(2)]
    assert all(m["x"] + m["width"] <= w["x"] for m, w in zip(marks, words, strict=True))
    expect(rows.nth(1)).to_contain_text("proof")
    expect(page.locator(":focus")).to_have_attribute("name", "picked_issue")
    page.keyboard.press("ArrowDown")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    made = Holding.objects.get()
    assert made.issue is not None
    assert made.issue.purpose == "proof"


def test_undo_works_at_once_and_loses_nothing_that_was_typed(
    findable: Any, member: Member, page_of: Callable[..., Any], make_holding: Any
) -> None:
    page = page_of(member)
    page.goto("/holdings/quick/")
    page.keyboard.type("25 first")
    page.locator("#type-options [data-id]").first.wait_for()
    page.keyboard.press("Enter")
    page.locator("#id_date_text:focus").wait_for()
    page.keyboard.type("1947")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    page.locator("#id_grade").fill("EF")
    page.get_by_role("button", name="undo").click()
    page.get_by_role("button", name="put it back").wait_for()
    assert Holding.objects.count() == 0
    expect(page.locator("#id_grade")).to_have_value("EF")
    page.get_by_role("button", name="put it back").click()
    page.get_by_role("button", name="undo").wait_for()
    assert Holding.objects.count() == 1
