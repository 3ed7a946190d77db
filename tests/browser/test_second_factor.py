"""The second factor as a person goes through it, and what a member is told of their sign-in."""

from __future__ import annotations

import time
from base64 import b32decode
from typing import Any

import pytest
from playwright.sync_api import expect

from catalogue.members.door.second_factor import STEP, code_at
from catalogue.models import Member
from tests.catalogue.members.door_steps import code_of, with_factor
from tests.outside.test_axe import COLOURS, RULES, broken_rules

from .conftest import PASSWORD

pytestmark = pytest.mark.django_db(transaction=True)

PHONE = {"width": 390, "height": 844}


def _sign_in(page: Any) -> None:
    page.goto("/sign-in/")
    page.get_by_label("Sign-in name").fill("ana")
    page.get_by_label("Password", exact=True).fill(PASSWORD)
    page.locator("main").get_by_role("button", name="Sign in").click()


def _send_code(page: Any, code: str) -> None:
    page.get_by_label("Code").fill(code)
    page.locator("main").get_by_role("button", name="Sign in").click()


def _fits(page: Any) -> bool:
    wide: int = page.evaluate("document.documentElement.scrollWidth")
    return wide <= PHONE["width"]


def test_from_setting_up_to_a_recovery_code(member: Member, page_of: Any) -> None:
    """On a phone, without a script."""
    page = page_of(None, viewport=PHONE, java_script_enabled=False)
    _sign_in(page)
    page.goto("/account/")
    page.get_by_role("link", name="Ask for a code").click()
    page.get_by_label("Your password").fill(PASSWORD)
    page.get_by_role("button", name="Set it up").click()
    key = b32decode(page.locator(".key").inner_text().replace(" ", "").replace("\n", ""))
    page.get_by_label("The code it shows now").fill(code_at(key, time.time()))
    page.get_by_role("button", name="Switch it on").click()
    expect(page.locator(".codes li")).to_have_count(10)
    codes = page.locator(".codes li").all_inner_texts()
    page.get_by_role("link", name="I have them").click()
    page.get_by_role("button", name="Sign out", exact=True).last.click()

    _sign_in(page)
    page.goto("/")
    expect(page.get_by_role("heading", name="Sign in")).to_be_visible()
    _sign_in(page)
    _send_code(page, code_at(key, time.time() + STEP))
    expect(page.get_by_role("heading", name="Ana’s collection")).to_be_visible()
    page.get_by_role("button", name="Sign out", exact=True).last.click()

    _sign_in(page)
    _send_code(page, codes[3])
    expect(page.get_by_role("status")).to_contain_text("9 are left")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_its_pages_keep_the_rules_of_access_on_a_phone(
    member: Member, page_of: Any, scheme: str
) -> None:
    rules = RULES if scheme == "light" else COLOURS
    page = page_of(None, viewport=PHONE, color_scheme=scheme)
    found = []

    def look(what: str) -> None:
        found.extend(broken_rules(page, rules, what))
        assert _fits(page), what

    factor, _codes = with_factor(member)
    _sign_in(page)
    look("the code")
    _send_code(page, "000000")
    look("a wrong code")
    _send_code(page, code_of(factor))
    page.goto("/account/second-factor/")
    look("on")
    page.get_by_label("Your password").fill(PASSWORD)
    page.get_by_label("Code").fill(code_of(factor, 1))
    page.get_by_role("button", name="Make new recovery codes").click()
    look("recovery codes")
    factor.delete()
    page.goto("/account/second-factor/")
    page.get_by_label("Your password").fill(PASSWORD)
    page.get_by_role("button", name="Set it up").click()
    look("the key")
    page.goto("/account/")
    look("devices")
    assert found == []


def test_an_administrator_removes_it_and_is_named(
    member: Member, administrator: Member, page_of: Any
) -> None:
    with_factor(member)
    theirs = page_of(administrator)
    theirs.goto(f"/club/{member.pk}/")
    theirs.get_by_role("button", name="Remove the second factor").click()
    expect(theirs.get_by_role("status")).to_contain_text("by password alone")
    page = page_of(None, viewport=PHONE)
    _sign_in(page)
    told = page.get_by_text("Adam, an administrator, removed your second factor")
    expect(told.first).to_be_visible()
    assert broken_rules(page, RULES, "told") == []
    assert _fits(page)
    page.get_by_role("button", name="Put away").click()
    page.wait_for_load_state()
    expect(told).to_have_count(0)
