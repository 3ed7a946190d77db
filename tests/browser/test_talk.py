"""A talk in a real browser: made of a series, put into another order, one stop changed."""

from __future__ import annotations

import re
from typing import Any

import pytest
from playwright.sync_api import expect

from catalogue.models import Talk
from series.models import CoinType, Series
from tests.outside.test_axe import DESK, PHONE, RULES, broken_rules

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_talk_of_a_series_is_made_ordered_and_changed(page_of: Any, holder: Any) -> None:
    series = Series.objects.get(key="halvern-first-marl")
    page = page_of(holder)
    page.goto(series.get_absolute_url())
    page.get_by_role("link", name="Make a talk").click()
    expect(page.get_by_label("Title")).to_have_value("First Marl")
    page.get_by_label("Minutes there are").fill("2")
    _is_sound(page)
    page.get_by_role("button", name="Make the talk").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("First Marl")
    expect(page.get_by_role("link", name="Halvern", exact=True)).to_be_visible()
    expect(page.locator(".talk-span")).to_contain_text("over 2 minutes")
    _is_sound(page)

    stops = page.locator(".plan > li")
    count = stops.count()
    names = page.locator(".plan-name").all_text_contents()
    page.get_by_role("button", name="Take these out").click()
    expect(page.locator("main")).to_contain_text("taken out")
    assert stops.count() < count

    _moved_by_key_and_by_pointer(page, stops)
    assert page.locator(".plan-name").all_text_contents() != names

    page.locator(".plan-piece .plan-name, .plan-type .plan-name").first.click()
    notes = page.get_by_label("Notes")
    notes.fill(notes.input_value() + " I found it in a drawer.")
    page.locator("#drafts summary").first.click()
    expect(page.locator("#drafts details[open] li a").first).to_be_visible()
    _is_sound(page)
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator("main")).to_contain_text("The stop is saved.")

    CoinType.objects.filter(series=series).update(metal="platinum", composition="Pt")
    Talk.objects.get().save()
    page.reload()
    page.get_by_role("link", name="The records have changed since").first.click()
    expect(page.locator("#drafts")).to_contain_text("Would now be")
    _is_sound(page)
    page.get_by_role("button", name="Draft again").click()
    expect(page.get_by_label("Notes")).to_have_value(re.compile("platinum"))


def _moved_by_key_and_by_pointer(page: Any, stops: Any) -> None:
    """The first stop down by a key and up again by the grip, each sent by the button."""
    first, second = page.locator(".plan-name").all_text_contents()[:2]
    stops.nth(0).get_by_label("Place").press("Alt+ArrowDown")
    expect(page.locator(".plan-name").nth(1)).to_have_text(first)
    expect(stops.nth(1).get_by_label("Place")).to_be_focused()
    page.get_by_role("button", name="Save the order").click()
    expect(page.locator("main")).to_contain_text("The order is saved.")
    expect(page.locator(".plan-name").nth(0)).to_have_text(second)
    stops.nth(1).locator("[data-grip]").hover()
    page.mouse.down()
    box = stops.nth(0).bounding_box()
    page.mouse.move(box["x"] + 20, box["y"] + box["height"] / 4, steps=6)
    page.mouse.up()
    expect(page.locator(".plan-name").nth(0)).to_have_text(first)
    page.get_by_role("button", name="Save the order").click()
    expect(page.locator("main")).to_contain_text("The order is saved.")
    expect(page.locator(".plan-name").nth(0)).to_have_text(first)
    last = page.locator(".plan-name").last.text_content()
    stops.last.get_by_label("Place").fill("1")
    page.get_by_role("button", name="Save the order").click()
    expect(page.locator(".plan-name").nth(0)).to_have_text(last or "")


def _is_sound(page: Any) -> None:
    """By the rules of access at both widths and in both schemes, and nothing overflows."""
    for size in (DESK, PHONE):
        page.set_viewport_size(size)
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            assert broken_rules(page, RULES, f"{size['width']} px, {scheme}") == []
        assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
    page.set_viewport_size(DESK)
