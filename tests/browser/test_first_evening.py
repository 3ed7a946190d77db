"""A first evening with Exergue, from signing in to the printed sheets, in one browser.

What a new owner is to manage without having seen the site: find a coin, read on the ladder what
became of its denomination, add a country of their own with three types, tick the dates they
have, share a want list with a stranger, print labels and album pages, and take home a schedule
whose total adds up.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

import pytest
from playwright.sync_api import expect

from catalogue.models import Holding, Member
from series.models import CoinType
from tests.poppler import pdftotext

from .conftest import PASSWORD

pytestmark = pytest.mark.django_db(transaction=True)


def heading(page: Any) -> Any:
    return page.get_by_role("heading", level=1)


def main_link(page: Any, name: str) -> None:
    links = page.get_by_role("navigation", name="Main")
    if not links.get_by_role("link", name=name).is_visible():
        links.get_by_text("More").click()
    links.get_by_role("link", name=name).click()


def press(page: Any, name: str) -> None:
    with page.expect_navigation():
        page.get_by_role("button", name=name, exact=True).click()


def text_of(page: Any, link: Any) -> str:
    """What the PDF behind a link says, fetched with the cookies of the page."""
    return words_in(page.context.request.get(link.get_attribute("href")))


def text_sent_for(page: Any, button: str) -> str:
    """What the PDF says that a form answers with, sent as the browser would send it."""
    sent = page.get_by_role("button", name=button).evaluate(
        "button => Object.fromEntries(new FormData(button.form, button))"
    )
    return words_in(page.context.request.post(page.url, form=sent))


def words_in(answer: Any) -> str:
    assert (answer.status, answer.headers["content-type"]) == (200, "application/pdf")
    return pdftotext(answer.body())


def test_a_first_evening(holder: Member, page_of: Any) -> None:
    page = page_of(None, viewport={"width": 1440, "height": 900})
    sign_in(page, holder)
    find_a_coin(page)
    read_the_ladder(page)
    begin_a_country(page)
    tick_the_dates(page)
    share_wants(page, page_of)
    print_labels_and_album(page)
    take_a_schedule(page)


def sign_in(page: Any, member: Member) -> None:
    page.goto("/")
    page.get_by_label("Sign-in name").fill(member.username)
    page.get_by_label("Password").fill(PASSWORD)
    press(page, "Sign in")
    expect(heading(page)).to_contain_text("Ana")


def find_a_coin(page: Any) -> None:
    page.get_by_role("searchbox", name="Search the holdings").fill("lighthouse")
    page.keyboard.press("Enter")
    page.wait_for_url("**/holdings/?q=lighthouse")
    page.locator(".plate-coins a").first.click()
    card = page.locator("#piece")
    expect(card).to_be_visible()
    with page.expect_navigation():
        card.get_by_role("link", name="Open", exact=True).click()
    expect(page.get_by_role("heading", name="The piece")).to_be_visible()


def read_the_ladder(page: Any) -> None:
    main_link(page, "Countries")
    page.get_by_role("link", name="Halvern", exact=True).first.click()
    ladder = page.locator(".ladder table").first
    row = ladder.locator("tr", has=page.get_by_role("rowheader", name="25 tinne"))
    expect(row).to_contain_text("22.5 mm, brass")
    expect(row).to_contain_text("23.5 mm, copper-nickel")
    row.get_by_role("rowheader").get_by_role("link").click()
    expect(page.locator(".steps")).to_contain_text("copper-nickel where it was brass")


def begin_a_country(page: Any) -> None:
    main_link(page, "Countries")
    page.get_by_role("link", name="Add a type").click()
    page.locator("[name=country]").fill("Skarvø")
    page.locator("[name=value]").fill("5 ore")
    page.locator("[name=money]").fill("1 dal = 100 ore")
    page.get_by_label("Begin Skarvø").check()
    type_of(page, "5 ore", "1921-24, 1926", "16", "Save, next like it")
    type_of(page, "10 ore", "1921, 1925", "19", "Save, next like it")
    type_of(page, "1 dal", "1921 S", "25", "Save the type")
    made = CoinType.objects.filter(series__issuer__name="Skarvø").order_by("diameter_mm")
    assert [str(t.diameter_mm.normalize()) for t in made if t.diameter_mm] == ["16", "19", "25"]
    assert [t.issues.count() for t in made] == [5, 2, 1]


def type_of(page: Any, value: str, dates: str, diameter: str, button: str) -> None:
    page.locator("[name=value]").fill(value)
    page.get_by_label("Dates", exact=True).fill(dates)
    page.get_by_label("Metal", exact=True).fill("bronze")
    page.get_by_label("Diameter, mm").fill(diameter)
    press(page, button)


def tick_the_dates(page: Any) -> None:
    main_link(page, "Countries")
    page.get_by_role("link", name="Skarvø").click()
    page.locator(".rung a").first.click()
    page.get_by_role("link", name="Tick the dates you have").click()
    for year in ("1921", "1924"):
        page.get_by_label(year, exact=True).check()
    page.get_by_label("Grade", exact=True).fill("F")
    press(page, "Enter what is ticked")
    own = Holding.objects.filter(coin_type__series__issuer__name="Skarvø")
    assert [h.label for h in own.order_by("issue__struck_from")] == ["5 ore, 1921", "5 ore, 1924"]


def share_wants(page: Any, page_of: Any) -> None:
    main_link(page, "Wants")
    page.get_by_role("link", name="Set an aim").click()
    page.get_by_label("Name").fill("Skarvø, every date")
    page.get_by_label("Country").select_option(label="Skarvø")
    press(page, "Save the aim")
    expect(page.locator("main")).to_contain_text("2 of 8 held")
    main_link(page, "Wants")
    page.get_by_role("link", name="Make a list").click()
    page.get_by_label("Title").fill("From Skarvø")
    page.get_by_label("Skarvø, every date").check()
    press(page, "Save the list")
    press(page, "Make a link")
    secret = page.get_by_label("The secret link").input_value()

    stranger = page_of(None, viewport={"width": 390, "height": 800})
    stranger.goto(secret[secret.index("/list/") :])
    expect(heading(stranger)).to_have_text("From Skarvø")
    dates = stranger.locator(".want-dates li").all_inner_texts()
    assert sorted(dates) == ["1921", "1921", "1922", "1923", "1925", "1926"]
    assert "A.001" not in stranger.content()


def print_labels_and_album(page: Any) -> None:
    """Of the pieces just ticked: the browse page leads to both."""
    main_link(page, "Holdings")
    page.get_by_role("link", name="Skarvø", exact=True).first.click()
    page.get_by_role("link", name="Labels", exact=True).click()
    labels = text_sent_for(page, "Draw 2 labels")
    assert "5 ore" in labels
    assert "1924" in labels
    page.go_back()
    page.get_by_role("link", name="Album pages", exact=True).click()
    page.get_by_label("With the dates you lack").check()
    album = text_sent_for(page, "Draw the pages")
    for date in ("1921", "1922", "1923", "1924", "1925", "1926"):
        assert date in album
    assert "50 mm" in album


def take_a_schedule(page: Any) -> None:
    """Two own values and a rate for the rest: the total can be added up by hand."""
    piece = Holding.objects.order_by("pk").first()
    assert piece is not None
    page.goto(f"/holdings/{piece.pk}/")
    page.get_by_role("link", name="Add a value of your own").click()
    page.get_by_label("Amount for one piece").fill("120.50")
    page.get_by_label("Appraised by").fill("K. Holm")
    press(page, "Save")
    main_link(page, "Worth")
    page.get_by_role("link", name="Schedules").click()
    page.get_by_role("link", name="Make a schedule").first.click()
    page.get_by_label("Itemise from").fill("50")
    page.get_by_label("For each small piece without a value").fill("0.75")
    press(page, "Make the schedule")
    pieces = Holding.objects.count()
    total = Decimal("120.50") + Decimal("0.75") * (pieces - 1)
    shown = page.locator("main .value-big, main .worth-total").first.inner_text()
    assert Decimal(re.sub(r"[^\d.]", "", shown)) == total
    assert f"{total}" in text_of(page, page.get_by_role("link", name="Print it (PDF)"))
