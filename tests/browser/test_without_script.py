"""The main paths in a browser with JavaScript switched off."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import expect

from catalogue.models import Aim, Holding, Member
from series.models import CoinType

from .conftest import PASSWORD

pytestmark = pytest.mark.django_db(transaction=True)
WIDTHS = {"desk": {"width": 1440, "height": 900}, "phone": {"width": 390, "height": 800}}


@pytest.mark.parametrize("width", WIDTHS)
def test_sign_in_browse_narrow_open_aim_and_share(holder: Member, page_of: Any, width: str) -> None:
    options = {"java_script_enabled": False, "viewport": WIDTHS[width]}
    page = page_of(None, **options)
    page.goto("/holdings/")
    page.get_by_label("Sign-in name").fill(holder.username)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("My holdings")

    if width == "phone":
        page.get_by_text("Narrow down").first.click()
    page.get_by_role("link", name="First Marl", exact=True).first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text("First Marl, 1931–1959")
    with page.expect_navigation():
        page.locator(".plate-coins a").first.click()
    piece = Holding.objects.filter(coin_type__series__name="First Marl")
    assert page.url.endswith(tuple(f"/holdings/{pk}/" for pk in piece.values_list("pk", flat=True)))

    page.goto("/wants/")
    page.get_by_role("link", name="Set an aim").click()
    page.get_by_label("Name").fill("First Marl, every date")
    page.get_by_label("Series").select_option(label="First Marl")
    with page.expect_navigation():
        page.get_by_role("button", name="Save the aim").click()
    aim = Aim.objects.get()
    assert page.url.endswith(f"/aims/{aim.pk}/")
    expect(page.get_by_text("5 marl", exact=True).first).to_be_visible()

    page.goto("/lists/new/")
    page.get_by_label("Title").fill("What I look for")
    page.get_by_label("First Marl, every date").check()
    page.get_by_role("button", name="Save the list").click()
    page.get_by_role("button", name="Make a link").click()
    secret = page.get_by_label("The secret link").input_value()
    assert "/list/" in secret

    stranger = page_of(None, **options)
    answer = stranger.goto(secret[secret.index("/list/") :])
    assert answer.status == 200
    expect(stranger.get_by_role("heading", level=1)).to_have_text("What I look for")
    expect(stranger.get_by_text("5 marl", exact=True).first).to_be_visible()
    assert "A.001" not in stranger.content()


def test_a_wrong_password_is_said_so_and_keeps_the_name(holder: Member, page_of: Any) -> None:
    page = page_of(None, java_script_enabled=False)
    page.goto("/sign-in/")
    page.get_by_label("Sign-in name").fill("ana")
    page.get_by_label("Password").fill("something else entirely")
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("alert").first).to_contain_text("password")
    expect(page.get_by_label("Sign-in name")).to_have_value("ana")


def test_what_is_owned_is_ticked_without_script(holder: Member, page_of: Any) -> None:
    page = page_of(holder, java_script_enabled=False, viewport=WIDTHS["phone"])
    coin_type = CoinType.objects.filter(series__name="First Marl", issues__fact="struck").first()
    assert coin_type is not None
    before = Holding.objects.count()
    page.goto(f"/types/{coin_type.key}/dates/")
    page.get_by_role("checkbox").nth(0).check()
    page.get_by_role("checkbox").nth(1).check()
    page.get_by_label("Grade", exact=True).fill("EF")
    with page.expect_navigation():
        page.get_by_role("button", name="Enter what is ticked").click()
    assert Holding.objects.count() == before + 2
    assert set(Holding.objects.order_by("-pk").values_list("grade", flat=True)[:2]) == {"EF"}
