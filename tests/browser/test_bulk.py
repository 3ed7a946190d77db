"""Changing many pieces in a browser: what is not chosen is not asked for, and stays as it is."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import expect

from catalogue.models import Holding, Member
from series.types.derived import derive_types
from tests.outside.test_axe import RULES, broken_rules

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.mark.parametrize("script", [True, False])
def test_two_things_of_two_pieces(
    coinage: Any,
    member: Member,
    make_holding: Any,
    page_of: Callable[..., Any],
    script: bool,
) -> None:
    derive_types()
    pieces = [make_holding(issue=coinage.issues[n], note="old") for n in range(2)]
    page = page_of(member, java_script_enabled=script, viewport={"width": 390, "height": 800})
    page.goto("/holdings/?view=list")
    for number in ("T.001", "T.002"):
        page.get_by_label(f"choose {number}").check()
    page.get_by_role("button", name="Change…", exact=True).click()
    expect(page.locator("[name=acquired_from]")).to_be_hidden()
    page.locator("[name=source_do][value=set]").check()
    page.locator("[name=acquired_from]").fill("Ole Tarn")
    page.locator("[name=date_do][value=set]").check()
    page.locator("[name=date_text]").fill("1953")
    page.get_by_role("button", name="Look it over").click()
    page.get_by_role("heading", name="Change 2 holdings?").wait_for()
    if script:
        assert broken_rules(page, RULES, "last look") == []
    expect(page.locator(".plan tbody tr")).to_have_count(3)
    page.get_by_role("button", name="Choose otherwise").click()
    page.locator("form.bulk").wait_for()
    if script:
        assert broken_rules(page, RULES, "form") == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    expect(page.locator("[name=acquired_from]")).to_have_value("Ole Tarn")
    page.get_by_role("button", name="Look it over").click()
    page.get_by_role("button", name="Change 2 holdings").click()
    page.get_by_text("2 holdings are changed.").wait_for()
    for piece in Holding.objects.filter(pk__in=[p.pk for p in pieces]):
        assert (str(piece.issue), piece.acquired_from, piece.note) == ("1953", "Ole Tarn", "old")
