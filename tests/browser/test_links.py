"""One-time links as a person opens them: in a real browser, which tells a page's origin or not."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import expect

from catalogue.members.links import make_invitation, make_reset
from catalogue.members.models import hash_token, new_token
from catalogue.models import Member, WantList

from .conftest import PASSWORD

pytestmark = pytest.mark.django_db(transaction=True)


def _welcome(page: Any, words: str) -> None:
    expect(page.get_by_role("status")).to_contain_text(words)


def test_an_invited_person_joins_on_a_phone(administrator: Member, page_of: Any) -> None:
    token = make_invitation(administrator, "member")
    page = page_of(None, viewport={"width": 390, "height": 844})
    page.goto(f"/link/{token}/")
    page.get_by_label("Sign-in name").fill("cleo")
    page.get_by_label("Password", exact=True).fill(PASSWORD)
    page.get_by_label("Password confirmation").fill(PASSWORD)
    page.locator("main").get_by_role("button").click()
    _welcome(page, "Welcome")
    assert Member.objects.filter(username="cleo").exists()


def test_a_new_password_is_set_through_a_link(member: Member, page_of: Any) -> None:
    page = page_of(None)
    page.goto(f"/link/{make_reset(member)}/")
    page.get_by_label("New password", exact=True).fill("another " + PASSWORD)
    page.get_by_label("New password confirmation").fill("another " + PASSWORD)
    page.locator("main").get_by_role("button").click()
    _welcome(page, "new password")
    member.refresh_from_db()
    assert member.check_password("another " + PASSWORD)


def test_no_request_of_a_secret_page_tells_its_address(member: Member, page_of: Any) -> None:
    page = page_of(None)
    token = make_reset(member)
    told: list[str] = []
    page.on("request", lambda request: told.append(request.all_headers().get("referer", "")))
    page.goto(f"/link/{token}/")
    page.get_by_label("New password", exact=True).fill("short")
    page.get_by_label("New password confirmation").fill("short")
    page.locator("main").get_by_role("button").click()
    page.wait_for_load_state()
    assert len(told) > 2
    assert not any(token in referer for referer in told)


def test_a_member_signs_out_from_a_shared_list(member: Member, page_of: Any) -> None:
    token = new_token()
    WantList.objects.create(owner=member, title="Wanted", token_hash=hash_token(token))
    page = page_of(member)
    page.goto(f"/list/{token}/")
    page.get_by_role("button", name="Sign out").click()
    page.wait_for_url("**/sign-in/")


def test_an_administrator_signs_out_from_a_page_with_a_new_link(
    administrator: Member, page_of: Any
) -> None:
    page = page_of(administrator)
    page.goto("/club/invite/")
    page.get_by_role("button", name="Make the invitation").click()
    expect(page.get_by_label("The link, shown this once")).to_be_visible()
    page.get_by_role("button", name="Sign out").click()
    page.wait_for_url("**/sign-in/")
