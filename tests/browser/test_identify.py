"""What is this coin? in a browser: ranked while typing, by keyboard alone, and without script."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import expect

from catalogue.models import Holding, Member
from series.models import CoinType

from .conftest import PASSWORD

pytestmark = pytest.mark.django_db(transaction=True)
PHONE = {"width": 390, "height": 800}


def test_the_ranking_follows_while_one_types(holder: Member, page_of: Callable[..., Any]) -> None:
    page = page_of(holder)
    page.goto("/identify/")
    keys = page.keyboard
    page.locator("#id_legend").focus()
    keys.type("HALV?RN")
    expect(page.locator(".candidates li").first).to_contain_text("HALVERN")
    expect(page.locator("#id_legend")).to_be_focused()
    keys.press("Tab")
    keys.type("25 tinne")
    expect(page.locator("#summary")).to_contain_text("25 tinne, Halvern")
    keys.press("Tab")
    keys.type("19x")
    said = page.locator("#year-said")
    expect(said).to_contain_text("is not a date")
    expect(page.locator("#id_year")).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#id_year")).to_be_focused()
    expect(page.locator("#summary")).to_contain_text("One field cannot be read.")
    expect(page.locator("#summary")).to_contain_text("25 tinne, Halvern")
    keys.press("Backspace")
    keys.type("53")
    expect(said).to_be_empty()
    expect(page.locator("#id_year")).not_to_have_attribute("aria-invalid", "true")
    expect(page.locator(".candidates .likeliest")).to_contain_text("dated 1953")
    expect(page.locator("#id_year")).to_have_value("1953")
    expect(page).to_have_url(
        re.compile(r"/identify/\?legend=HALV%3FRN&denomination=25\+tinne&year=1953$")
    )
    page.reload()
    expect(page.locator("#id_legend")).to_have_value("HALV?RN")
    expect(page.locator(".candidates .likeliest")).to_contain_text("dated 1953")


def test_a_piece_is_kept_by_keyboard_alone(holder: Member, page_of: Callable[..., Any]) -> None:
    page = page_of(holder)
    page.goto("/identify/")
    keys = page.keyboard
    page.locator("#id_legend").focus()
    keys.press("Tab")
    keys.type("25 tinne")
    keys.press("Tab")
    keys.type("1953")
    expect(page.locator(".candidates .likeliest")).to_contain_text("dated 1953")
    button = page.get_by_role("button", name=re.compile("^This is it")).first
    for _ in range(60):
        keys.press("Tab")
        if button.evaluate("button => button === document.activeElement"):
            break
    expect(button).to_be_focused()
    before = Holding.objects.count()
    with page.expect_navigation():
        keys.press("Enter")
    expect(page.get_by_role("status").first).to_contain_text("is kept as 25 tinne, 1953")
    assert Holding.objects.count() == before + 1


def test_what_to_look_at_leads_to_its_field_even_if_folded(
    holder: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(holder)
    page.goto("/identify/?country=Halvern&denomination=10+tinne&year=19%3F%3F&tools=magnet")
    expect(page.locator("#id_colour")).to_be_hidden()
    page.get_by_role("link", name="Look at the colour of the metal").click()
    expect(page.locator("#id_colour")).to_be_visible()
    expect(page.locator("#id_colour")).to_be_focused()


def test_on_a_phone_the_likeliest_stays_in_sight(
    holder: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(holder, viewport=PHONE)
    page.goto("/identify/")
    page.locator("#id_denomination").fill("25 tinne")
    summary = page.locator("#summary")
    expect(summary).to_contain_text("25 tinne, Halvern")
    box = summary.bounding_box()
    assert box["y"] + box["height"] <= 801
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    summary.get_by_role("link").click()
    expect(page.locator("#answer")).to_be_in_viewport()


def test_without_script_it_is_ranked_compared_and_kept(
    holder: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(holder, java_script_enabled=False, viewport=PHONE)
    page.goto("/identify/")
    page.get_by_label("Value", exact=True).fill("25 tinne")
    page.get_by_label("Diameter, mm", exact=True).fill("about 23")
    page.get_by_role("button", name="Rank").click()
    expect(page.locator("#diameter-said")).to_contain_text("is no number")
    expect(page.get_by_label("Diameter, mm", exact=True)).to_have_value("about 23")
    page.get_by_label("Diameter, mm", exact=True).fill("23.4")
    page.get_by_role("button", name="Rank").click()
    expect(page.locator(".candidates li.likeliest h3")).to_contain_text("25 tinne")
    ticks = page.get_by_role("checkbox", name="Compare")
    ticks.nth(0).check()
    ticks.nth(1).check()
    page.get_by_role("button", name="Compare the two ticked").click()
    expect(page.get_by_role("heading", name="What differs")).to_be_visible()
    page.get_by_role("link", name="Back to the ranking").click()
    before = Holding.objects.count()
    with page.expect_navigation():
        page.get_by_role("button", name="Not sure: keep it unidentified").click()
    assert Holding.objects.count() == before + 1
    kept = Holding.objects.order_by("-pk").first()
    assert kept is not None
    assert kept.coin_type is None
    assert str(kept.diameter_mm.normalize()) == "23.4"  # type: ignore[union-attr]
    assert CoinType.objects.exists()


def test_signed_out_meanwhile_nothing_put_in_is_lost(
    holder: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(holder)
    page.goto("/identify/?denomination=25+tinne")
    page.context.clear_cookies()
    page.locator("#id_diameter").evaluate("field => field.closest('details').open = true")
    page.locator("#id_diameter").fill("23.5")
    page.get_by_label("Sign-in name").wait_for()
    page.get_by_label("Sign-in name").fill(holder.username)
    page.get_by_label("Password").fill(PASSWORD)
    with page.expect_navigation():
        page.get_by_role("button", name="Sign in").click()
    expect(page.locator("#id_denomination")).to_have_value("25 tinne")
    expect(page.locator("#id_diameter")).to_have_value("23.5")
