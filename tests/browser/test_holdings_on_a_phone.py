"""The holdings as a phone and the keyboard meet them: coins first, and nothing in their way."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import expect

from catalogue.models import Holding, Member, Place

pytestmark = pytest.mark.django_db(transaction=True)
PHONE = {"viewport": {"width": 390, "height": 844}}
DESK = {"viewport": {"width": 1440, "height": 900}}
FIRST_COIN = {"plate": ".plate-coins svg", "list": ".holdings-list .both"}
COIN_LINK = {"plate": ".plate-coins a", "list": ".holdings-list .piece a"}
OpenPage = Callable[..., Any]


def is_focused(page: Any, selector: str) -> bool:
    found: bool = page.evaluate("one => document.activeElement.matches(one)", selector)
    return found


def widths(page: Any) -> tuple[int, int]:
    page_wide, screen = page.evaluate(
        "[document.documentElement.scrollWidth, document.documentElement.clientWidth]"
    )
    return page_wide, screen


@pytest.mark.parametrize("view", FIRST_COIN)
def test_the_first_coin_stands_high_on_a_phone(
    holder: Member, page_of: OpenPage, view: str
) -> None:
    page = page_of(holder, **PHONE)
    page.goto(f"/holdings/?view={view}")
    assert page.locator(FIRST_COIN[view]).first.bounding_box()["y"] <= 420


@pytest.mark.parametrize("view", [*FIRST_COIN, "dates"])
def test_nothing_reaches_beyond_a_phone(holder: Member, page_of: OpenPage, view: str) -> None:
    name = "Cabinet of the grandfather, drawer ".ljust(80, "x")
    place = Place.objects.create(owner=holder, name=name, path=name)
    Holding.objects.filter(owner=holder).update(place=place, quantity=1200, spare=True)
    page = page_of(holder, **PHONE)
    page.goto(f"/holdings/?view={view}")
    page_wide, screen = widths(page)
    assert page_wide <= screen
    for box in page.locator(".holdings-list td:visible, .plate-coins li").all():
        right = box.evaluate("one => one.getBoundingClientRect().right")
        assert right <= screen + 1


def test_a_row_of_the_list_says_place_and_grade_on_a_phone(
    holder: Member, page_of: OpenPage
) -> None:
    box = Place.objects.create(owner=holder, name="Album 1, page 3", path="Album 1, page 3")
    first = Holding.objects.filter(owner=holder, accession="A.001")
    first.update(place=box)
    page = page_of(holder, **PHONE)
    page.goto("/holdings/?view=list&sort=accession")
    row = page.locator(".holdings-list tbody tr").first
    for words in (first.get().label, "VF", "Album 1, page 3"):
        expect(row.get_by_text(words)).to_be_visible()
    expect(page.get_by_text("no place given").first).to_be_visible()


@pytest.mark.parametrize("options", [PHONE, DESK], ids=["phone", "desk"])
def test_the_list_stays_a_table_to_a_screen_reader(
    holder: Member, page_of: OpenPage, options: Any
) -> None:
    page = page_of(holder, **options)
    page.goto("/holdings/?view=list")
    table = page.get_by_role("table")
    expect(table.get_by_role("columnheader", name="Grade")).to_have_count(1)
    rows = table.get_by_role("row").count()
    expect(table.get_by_role("rowheader")).to_have_count(rows - 1)


@pytest.mark.parametrize("view", COIN_LINK)
def test_few_stops_of_the_tabulator_before_the_first_coin(
    holder: Member, page_of: OpenPage, view: str
) -> None:
    page = page_of(holder, **DESK)
    page.goto(f"/holdings/?view={view}")
    presses = 0
    while presses < 60 and not is_focused(page, COIN_LINK[view]):
        page.keyboard.press("Tab")
        presses += 1
    assert presses <= 12


def test_the_skip_link_leads_to_the_coins(holder: Member, page_of: OpenPage) -> None:
    page = page_of(holder, **DESK)
    page.goto("/holdings/")
    page.keyboard.press("Tab")
    expect(page.locator(":focus")).to_have_text("To the coins")
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    expect(page.locator(".plate a:focus")).to_have_count(1)


def test_the_drawer_opens_and_escape_gives_the_focus_back(
    holder: Member, page_of: OpenPage
) -> None:
    page = page_of(holder, **PHONE)
    page.goto("/holdings/")
    expect(page.locator("#narrow")).to_be_hidden()
    page.get_by_role("button", name="Narrow down").click()
    page.wait_for_function("document.activeElement.closest('#narrow')")
    page.keyboard.press("Escape")
    expect(page.locator("#narrow")).to_be_hidden()
    expect(page.locator(".narrow-down:focus")).to_have_count(1)


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without"])
def test_narrowing_down_leaves_a_chip_that_takes_it_back(
    holder: Member, page_of: OpenPage, script: bool
) -> None:
    page = page_of(holder, **PHONE, java_script_enabled=script)
    page.goto("/holdings/")
    page.get_by_role("button", name="Narrow down").click()
    page.get_by_role("link", name="First Marl", exact=True).click()
    expect(page.get_by_role("button", name="Narrow down · 1")).to_be_visible()
    page.get_by_role("list", name="Chosen").get_by_role("link").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("My holdings")
    expect(page.get_by_role("list", name="Chosen")).to_have_count(0)


def test_more_values_open_the_drawer_again(holder: Member, page_of: OpenPage) -> None:
    page = page_of(holder, **PHONE)
    page.goto("/holdings/")
    page.get_by_role("button", name="Narrow down").click()
    page.locator("#narrow summary", has_text="Motif").click()
    page.get_by_role("link", name="more: motif").click()
    page.wait_for_function("document.querySelector('#narrow').matches(':popover-open')")
    motifs = page.locator("#narrow details").filter(has=page.get_by_text("Motif", exact=True))
    expect(motifs.locator("li:visible").nth(8)).to_be_visible()


@pytest.mark.parametrize("options", [PHONE, DESK], ids=["phone", "desk"])
def test_chosen_pieces_are_counted_and_the_bar_covers_none(
    holder: Member, page_of: OpenPage, options: Any
) -> None:
    page = page_of(holder, **options)
    page.goto("/holdings/?view=list")
    bar = page.get_by_role("group", name="The chosen pieces")
    expect(bar).to_be_hidden()
    boxes = page.locator(".holdings-list input[type=checkbox]")
    boxes.first.check()
    boxes.last.check()
    expect(bar.get_by_role("status")).to_have_text("2 chosen")
    page.evaluate("window.scrollTo(0, document.documentElement.scrollHeight)")
    last = page.locator(".holdings-list tbody tr").last.bounding_box()
    assert last["y"] + last["height"] <= bar.bounding_box()["y"]


def test_labels_are_made_of_the_chosen_ones(holder: Member, page_of: OpenPage) -> None:
    page = page_of(holder, **PHONE, java_script_enabled=False)
    page.goto("/holdings/?view=list&sort=accession")
    boxes = page.locator(".holdings-list input[type=checkbox]")
    boxes.nth(0).check()
    boxes.nth(1).check()
    with page.expect_navigation():
        page.get_by_role("button", name="Labels").click()
    pks = Holding.objects.order_by("accession").values_list("pk", flat=True)[:2]
    assert page.url.endswith("&".join(f"holding={pk}" for pk in sorted(pks)))


def test_the_bar_at_the_bottom_leads_on_a_phone(holder: Member, page_of: OpenPage) -> None:
    page = page_of(holder, **PHONE)
    page.goto("/holdings/")
    links = page.get_by_role("navigation", name="Main")
    box = links.bounding_box()
    assert (box["x"], box["width"], box["y"] + box["height"]) == (0, 390, 844)
    expect(page.get_by_role("link", name="Enter a piece")).to_be_visible()
    links.get_by_text("More").click()
    expect(links.get_by_role("link", name="Worth")).to_be_visible()
    page.keyboard.press("Escape")
    expect(links.get_by_role("link", name="Worth")).to_be_hidden()
    expect(page.locator(".menu > summary:focus")).to_have_count(1)
    links.get_by_role("link", name="Wants").click()
    expect(page).to_have_url(re.compile("/wants/$"))


def test_coins_are_shown_larger_and_stay_so(holder: Member, page_of: OpenPage) -> None:
    page = page_of(holder, **DESK, java_script_enabled=False)
    page.goto("/holdings/")
    first = page.locator(".plate-coins svg").first
    plain = first.bounding_box()["width"]
    with page.expect_navigation():
        page.get_by_role("button", name="2×").click()
    assert first.bounding_box()["width"] == pytest.approx(2 * plain, rel=0.01)
    expect(page.get_by_text("drawn to one scale, 2×")).to_be_visible()
    page.goto("/holdings/")
    expect(page.get_by_role("button", name="2×")).to_have_attribute("aria-pressed", "true")


def test_a_ladder_reads_downwards_on_a_phone(holder: Member, page_of: OpenPage) -> None:
    page = page_of(holder, **PHONE)
    page.goto("/countries/halvern/")
    table = page.get_by_role("table").first
    width = table.evaluate("one => one.parentElement.scrollWidth - one.parentElement.clientWidth")
    assert width <= 0
    row = table.get_by_role("row").filter(has_text="25 tinne").first
    name = row.get_by_role("rowheader").bounding_box()
    cells = [cell.bounding_box() for cell in row.get_by_role("cell").all()]
    assert name["y"] < cells[0]["y"] < cells[1]["y"]
    assert cells[0]["x"] == cells[1]["x"] == name["x"]
    expect(table.get_by_role("columnheader", name="First Marl")).to_have_count(1)


def test_what_was_not_struck_takes_one_line_on_a_phone(holder: Member, page_of: OpenPage) -> None:
    page = page_of(holder, **PHONE)
    page.goto("/countries/halvern/")
    cell = page.locator(".ladder td.not_struck").first
    assert cell.bounding_box()["height"] < 40
    expect(cell.get_by_text("not struck")).to_be_visible()
