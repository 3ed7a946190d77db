"""A page for others in a real browser: made from the holdings, opened by a stranger, closed."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import expect

from catalogue.models import Showing
from tests.outside.test_axe import DESK, PHONE, RULES, broken_rules

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_page_is_made_opened_signed_out_and_ended(
    page_of: Any, member: Any, coinage: Any, make_holding: Any
) -> None:
    make_holding(issue=coinage.issues[0], grade="VF", accession="INSIDE.1", note="inside note")
    page = page_of(member)
    page.goto(f"/holdings/?series={coinage.series.pk}")
    page.get_by_role("link", name="Show to others").click()
    page.get_by_label("Title").fill("From the quay")
    page.get_by_label("A few words about it").fill("Found in drawers.")
    page.get_by_role("button", name="Make the page").click()
    page.get_by_role("link", name="Captions and pieces").click()
    page.get_by_label("Caption of 25 tinne, 1931").fill("A worn friend")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_label("Caption of 25 tinne, 1931")).to_have_value("A worn friend")
    page.get_by_role("link", name="Back to the page").click()
    page.get_by_role("link", name="See it as a stranger does").click()
    expect(page.locator("main")).to_contain_text("This is what a stranger sees.")
    page.get_by_role("link", name="Back to your page").click()
    page.get_by_role("button", name="Make a link").click()
    secret = page.get_by_label("The secret link").input_value()
    path = secret[secret.index("/shown/") :]

    stranger = page_of(None, viewport=PHONE)
    stranger.goto(path)
    expect(stranger.get_by_role("heading", level=1)).to_have_text("From the quay")
    _is_sound(stranger)
    stranger.get_by_role("link", name="1931").click()
    expect(stranger.get_by_role("heading", level=1)).to_have_text("25 tinne, 1931")
    expect(stranger.locator("main")).to_contain_text("A worn friend")
    expect(stranger.locator(".shown-faces figure")).to_have_count(2)
    for words in ("INSIDE", "inside note"):
        assert words not in stranger.content()
    _is_sound(stranger)
    stranger.get_by_role("link", name="From the quay").click()
    expect(stranger.locator(".plate-coins li")).to_have_count(1)

    page.get_by_role("button", name="End the link").click()
    expect(page.locator("main")).to_contain_text("The link leads nowhere now.")
    assert stranger.goto(path).status == 404
    assert not Showing.objects.get().is_shared


def _is_sound(page: Any) -> None:
    """By the rules of access at both widths and in both schemes, and nothing overflows."""
    for size in (DESK, PHONE):
        page.set_viewport_size(size)
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            assert broken_rules(page, RULES, f"{size['width']} px, {scheme}") == []
        assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
