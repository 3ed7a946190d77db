"""A list is brought in on a phone, with and without script, and settled by keyboard alone."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from catalogue.models import Holding, ListMapping, Member

pytestmark = pytest.mark.django_db(transaction=True)
PHONE = {"width": 390, "height": 844}
LIST = (
    "Country;Value;Year;Grade;Ticket\n"
    "Halvern;5 tinne;1931;VF;blue\n"
    "Halvern;5 tinne;1801;VF/EF;red\n"
    "Skarvø;10 ort;1901;F;green\n"
    "Skarvø;10 ort;1903;F;\n"
)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "my coins.csv"
    path.write_text(LIST, "utf-8")
    return path


@pytest.mark.parametrize("script", [True, False])
def test_from_the_holdings_to_pieces_and_back(
    holder: Member, file: Path, page_of: Any, script: bool
) -> None:
    before = Holding.objects.filter(owner=holder).count()
    page = page_of(holder, viewport=PHONE, java_script_enabled=script)
    page.goto("/holdings/")
    page.get_by_role("link", name="Bring a list").click()
    page.get_by_label("The list").set_input_files(file)
    page.get_by_role("button", name="Look at its columns").click()

    expect(page.get_by_role("heading", level=1)).to_have_text("What each column is")
    expect(page.get_by_label("Country", exact=True)).to_have_value("country")
    expect(page.get_by_label("Ticket")).to_have_value("")
    page.get_by_label("Remember these columns as").fill("Tickets")
    _nothing_sticks_out(page)
    page.get_by_role("button", name="Rehearse").click()

    expect(page.get_by_role("heading", level=1)).to_have_text("Rehearsal: nothing is made yet")
    expect(page.get_by_role("row").filter(has_text="Skarvø 10 ort 1901")).to_contain_text(
        "no coins of Skarvø"
    )
    _nothing_sticks_out(page)
    page.get_by_role("link", name="Settle 3 doubtful rows").click()
    page.get_by_role("button", name="Make provisional types of all 3").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("1 doubtful row")
    expect(page.get_by_text("A reference pack describes Halvern")).to_be_visible()
    page.get_by_role("button", name="Keep it as unidentified").click()
    page.get_by_role("button", name="Take in 4 pieces").click()

    expect(page.get_by_role("heading", level=1)).to_have_text("The list is in")
    assert Holding.objects.filter(owner=holder).count() == before + 4
    assert ListMapping.objects.get(owner=holder).name == "Tickets"
    _nothing_sticks_out(page)
    piece = Holding.objects.filter(imported__contains="Ticket: green").get()
    page.get_by_role("link", name=piece.accession).click()
    expect(page.get_by_text("Ticket: green")).to_be_visible()
    page.go_back()
    page.get_by_role("button", name="Take this list back").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("The list is taken back")
    assert Holding.everything.filter(owner=holder).count() == before


def _nothing_sticks_out(page: Any) -> None:
    wide = page.evaluate("document.documentElement.scrollWidth") if _scripted(page) else 0
    assert wide <= PHONE["width"]


def _scripted(page: Any) -> bool:
    try:
        return bool(page.evaluate("true"))
    except Exception:
        return False


def test_doubtful_rows_are_settled_by_keyboard_alone(
    holder: Member, file: Path, page_of: Any
) -> None:
    page = page_of(holder)
    page.goto("/imports/")
    page.get_by_label("The list").set_input_files(file)
    page.get_by_role("button", name="Look at its columns").press("Enter")
    page.get_by_role("button", name="Rehearse").press("Enter")
    page.get_by_role("link", name="Settle 3 doubtful rows").press("Enter")
    first = page.get_by_role("radio").first
    first.focus()
    page.keyboard.press("ArrowDown")  # from "a provisional type" to "an unidentified piece"
    page.keyboard.press("Tab")
    page.keyboard.press("Space")  # the next row: a provisional type
    page.keyboard.press("Tab")
    page.keyboard.press("Space")  # and the other row like it
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Rehearsal: nothing is made yet")
    rows = page.get_by_role("row")
    expect(rows.filter(has_text="5 tinne 1801")).to_contain_text("As an unidentified piece")
    for year in ("1901", "1903"):
        expect(rows.filter(has_text=f"10 ort {year}")).to_contain_text("provisional type")
