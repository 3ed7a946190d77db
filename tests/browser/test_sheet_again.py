"""A sheet that could not be drawn, begun anew from its page."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import expect

from catalogue.models import Member, Sheet

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_sheet_that_failed_is_begun_anew(page_of: Any, member: Member) -> None:
    sheet = Sheet.objects.create(
        owner=member, kind="labels", title="Labels", state="failed", message="It broke off."
    )
    page = page_of(member)
    page.goto(f"/sheets/{sheet.pk}/")
    page.get_by_role("button", name="Begin anew").click()
    page.get_by_text("It waits for its turn.").wait_for()
    expect(page.get_by_text("is not running just now")).to_be_visible()
    expect(page.get_by_text("It broke off.")).to_have_count(0)
