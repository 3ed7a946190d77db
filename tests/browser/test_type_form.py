"""A type in a minute, in a browser: begun from nothing, drawn while it is typed, mended later."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from catalogue.models import Member, Proposal
from series.models import CoinType, Currency, Issuer, Series
from tests.conftest import Coinage

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

DESK = {"width": 1440, "height": 800}
PHONE = {"width": 390, "height": 844}


def write(page: Any, **texts: str) -> None:
    for name, text in texts.items():
        page.locator(f"[name={name}]").fill(text)


def press(page: Any, name: str) -> None:
    with page.expect_navigation():
        page.get_by_role("button", name=name, exact=True).click()


def width_drawn(page: Any) -> float:
    edge = page.locator(".draft-coins .coin-edge").last
    return float(edge.bounding_box()["width"])


@pytest.mark.parametrize("size", [DESK, PHONE], ids=["desk", "phone"])
def test_from_an_empty_site_one_form_makes_a_country_and_its_first_coin(
    member: Member, page_of: Callable[..., Any], size: dict[str, int]
) -> None:
    page = page_of(member, viewport=size)
    page.goto(reverse("countries"))
    with page.expect_navigation():
        page.get_by_role("link", name="Begin with a coin").click()
    expect(page.locator(":focus")).to_have_attribute("name", "country")
    page.keyboard.type("Sker Rocks")
    expect(page.locator("#begin-said")).to_contain_text("Begin Sker Rocks")
    write(page, value="25 tinne", money="1 marl = 100 tinne")
    page.locator("[name=begin]").check()
    expect(page.locator("#value-said")).to_contain_text("¼ marl, a new value of the marl")
    write(page, dates="1921–26, 1928 S", composition="brass")
    expect(page.locator("#dates-said")).to_contain_text("7 dates: 1921–26, 1928 S")
    expect(page.locator("#composition-said")).to_contain_text("brass")
    assert page.evaluate("document.documentElement.scrollWidth") == size["width"]
    press(page, "Save the type")
    made = CoinType.objects.get()
    assert (made.series.issuer.name, made.series.name) == ("Sker Rocks", "First coinage")
    assert (made.denomination.name, made.issues.count()) == ("25 tinne", 7)
    with page.expect_navigation():
        page.get_by_role("link", name="Another type like this").click()
    page.wait_for_function("`${getSelection()}` === '25 tinne'")
    page.keyboard.type("5")
    expect(page.locator("#value-said")).to_contain_text("1/20 marl")
    press(page, "Save, tick dates")
    assert page.url.endswith("/dates/")
    assert [m.objects.count() for m in (Issuer, Currency, Series, CoinType)] == [1, 1, 1, 2]


def test_the_coin_is_drawn_while_it_is_described(
    member: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(member, viewport=DESK)
    page.goto(reverse("type-new"))
    coins, said = page.locator(".draft-coins"), page.locator(".draft figcaption")
    write(page, value="5 tinne", diameter_mm="15")
    expect(said).to_have_text("5 tinne, 15 mm, metal not said")
    small = width_drawn(page)
    write(page, diameter_mm="30")
    expect(said).to_contain_text("30 mm")
    assert width_drawn(page) == pytest.approx(2 * small, rel=0.02)
    write(page, composition="bronze")
    expect(coins.locator("[fill='url(#coin-bronze)']")).to_have_count(2)
    page.locator("[name=outline]").select_option("polygon")
    write(page, sides="12")
    expect(coins.locator("path.coin-edge")).to_have_count(2)
    page.locator(".fold-name", has_text="Faces and legends").click()
    write(page, obverse_legends="SKER ROCKS")
    expect(coins.locator("textPath")).to_have_text("SKER ROCKS")
    expect(page.locator("#fold-faces-holds")).to_have_text("1 legend")
    assert not Issuer.objects.exists()


def test_what_cannot_be_read_is_marked_until_it_is_mended(
    member: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(member, viewport=DESK)
    page.goto(reverse("type-new"))
    dates = page.locator("[name=dates]")
    write(page, dates="1926–21")
    expect(page.locator("#dates-said")).to_contain_text("runs backwards")
    expect(dates).to_have_attribute("aria-invalid", "true")
    write(page, dates="1921–26")
    expect(page.locator("#dates-said")).to_contain_text("6 dates")
    expect(dates).not_to_have_attribute("aria-invalid", "true")
    expect(dates).to_have_value("1921–26")


def test_an_error_in_a_fold_opens_it_and_keeps_everything_typed(
    member: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(member, viewport=DESK)
    page.goto(reverse("type-new"))
    typed = {
        "country": "Sker Rocks",
        "value": "25 tinne",
        "money": "1 marl = 100 tinne",
        "dates": "1921",
        "obverse_description": "A lighthouse.",
        "marks": "S mint Saltmouth",
    }
    write(page, country=typed["country"], value=typed["value"])
    page.locator("[name=money]").wait_for(state="visible")
    page.locator("[name=begin]").check()
    write(page, money=typed["money"], dates=typed["dates"])
    page.locator(".fold-name", has_text="Faces and legends").click()
    write(page, obverse_description=typed["obverse_description"])
    page.locator(".fold-name", has_text="Marks and people").click()
    write(page, marks=typed["marks"])
    press(page, "Save the type")
    assert not Issuer.objects.exists()
    expect(page.locator("[name=marks]")).to_be_visible()
    expect(page.locator("#marks-said")).to_contain_text("is not a mark")
    assert {n: page.locator(f"[name={n}]").input_value() for n in typed} == typed
    expect(page.locator("[name=begin]")).to_be_checked()
    write(page, marks="S mint Saltmouth reverse 6")
    press(page, "Save the type")
    assert CoinType.objects.get().marks.get().mint.name == "Saltmouth"  # type: ignore[union-attr]


def test_a_change_opens_the_folds_in_which_something_stands(
    curator: Member, coinage: Coinage, page_of: Callable[..., Any]
) -> None:
    coinage.type.edge = "reeded"
    coinage.type.save()
    page = page_of(curator, viewport=DESK)
    page.goto(reverse("type-edit", args=[coinage.type.key]))
    opened = page.locator(".folds > details[open] .fold-name").all_inner_texts()
    assert opened == ["Edge and alignment", "Thickness, hole and centre"]
    expect(page.locator("#fold-shape-holds")).to_have_text("thickness 1.6 mm")
    write(page, edge="plain")
    press(page, "Save the type")
    coinage.type.refresh_from_db()
    assert coinage.type.edge == "plain"


def test_a_member_proposes_to_a_country_of_a_pack(
    halvern: None, member: Member, page_of: Callable[..., Any]
) -> None:
    page = page_of(member, viewport=PHONE)
    page.goto(f"{reverse('type-new')}?issuer=halvern")
    expect(page.locator(":focus")).to_have_attribute("name", "value")
    write(page, value="26 tinne", dates="1940")
    expect(page.locator("#value-said")).to_contain_text("curators add values to it")
    write(page, value="25 tinne", proposal_note="Seen at a fair.")
    expect(page.locator("#value-said")).to_contain_text("in the catalogue already")
    press(page, "Save the type")
    waiting = Proposal.objects.get()
    assert (waiting.note, waiting.coin_type.standing) == ("Seen at a fair.", "proposed")


def test_the_first_questions_fit_one_screen(
    member: Member, coinage: Coinage, page_of: Callable[..., Any]
) -> None:
    for size, lowest in ((DESK, 800), (PHONE, 900)):
        page = page_of(member, viewport=size)
        page.goto(f"{reverse('type-new')}?issuer=testland")
        box = page.locator("[name=outline]").bounding_box()
        assert box["y"] + box["height"] < lowest
        save = page.get_by_role("button", name="Save the type").bounding_box()
        assert save["y"] + save["height"] <= size["height"]
        assert page.evaluate("document.documentElement.scrollWidth") == size["width"]


def test_without_script_a_country_is_begun_in_two_steps(
    member: Member, page_of: Callable[..., Any]
) -> None:
    Issuer.objects.create(key="other", name="Other")
    page = page_of(member, viewport=PHONE, java_script_enabled=False)
    page.goto(reverse("type-new"))
    write(page, country="Sker Rocks", value="25 tinne", dates="1921")
    press(page, "Save the type")
    expect(page.locator("#country-said")).to_contain_text("tick to begin it")
    page.get_by_label("Begin Sker Rocks").check()
    write(page, money="1 marl = 100 tinne")
    press(page, "Save the type")
    assert CoinType.objects.get().series.issuer.name == "Sker Rocks"
