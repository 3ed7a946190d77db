"""Schedules on paper: all they say, and what they come to."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from django.test import Client
from django.urls import reverse

from catalogue.models import Holding, Member
from tests.poppler import pdftotext
from valuation.models import Schedule
from valuation.schedules.drawing import draw_schedule

Make = Callable[..., Any]


def _text(pdf: bytes) -> list[str]:
    """The text of each page, as it stands on it."""
    pages = pdftotext(pdf).replace("\xa0", " ").split("\f")
    return [page for page in pages if page.strip()]


def _last_amount(page: str, words: str) -> Decimal:
    found = re.search(rf"{words}\s.*?([\d,]+\.\d\d)\s*$", page, re.M)
    assert found, words
    return Decimal(found[1].replace(",", ""))


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_paper_says_everything_and_adds_up_by_hand(
    make_holding: Make, make_value: Make, schedule_of: Make, member: Member, paper: str
) -> None:
    member.paper = paper
    member.save()
    for n in range(25):
        make_value(f"{60 + n}.{n:02}", holding=make_holding(quantity=1 + n % 3))
    make_holding(quantity=40)
    schedule = schedule_of()
    pdf = draw_schedule(schedule)
    pages = _text(pdf)
    tables = [page for page in pages if re.search(r"^\s*No\.\s+Piece", page, re.M)]
    assert len(tables) > 2
    so_far = Decimal(0)
    for number, page in enumerate(tables):
        if number:
            assert _last_amount(page, "brought forward") == so_far
        amounts = re.findall(
            r"^\s*\d+\s.*\s\d+\s+(?:[\d,]+\.\d\d\s+)?([\d,]+\.\d\d)\s*$", page, re.M
        )
        so_far += sum(Decimal(amount.replace(",", "")) for amount in amounts)
        if page is not tables[-1]:
            assert _last_amount(page, "carried forward") == so_far
    assert so_far == _last_amount(tables[-1], "Total") == schedule.total
    whole = "\n".join(pages)
    for words in (
        schedule.number,
        "Ana Vestergaard",
        "Northern Mutual",
        "1 March 2026",
        "estimates, or appraisals",
        "The words of the policy decide",
        "Place and date",
        "Object ID",
        f"page {len(pages)} of {len(pages)}",
        schedule.digest,
    ):
        assert words in whole, words


def test_the_document_names_itself_and_its_language(
    box: list[Holding], schedule_of: Make, tmp_path: Path
) -> None:
    path = tmp_path / "s.pdf"
    schedule = schedule_of()
    path.write_bytes(draw_schedule(schedule))
    with pikepdf.open(path) as pdf:
        assert str(pdf.docinfo["/Title"]) == f"Schedule {schedule.number}"
        assert str(pdf.Root.Lang).startswith("en")
        assert len(pdf.open_outline().root) >= 1


def test_words_of_a_member_stay_words_on_paper(
    make_holding: Make, make_value: Make, schedule_of: Make
) -> None:
    title = '<img src="file:///etc/hostname"> & <b>bold</b>'
    make_value("80.00", holding=make_holding(coin_type=None, title=title))
    pages = _text(draw_schedule(schedule_of(insured="<u>Ana</u>")))
    assert "<u>Ana</u>" in pages[0]
    assert "<b>bold</b>" in " ".join(" ".join(pages).split())


def test_a_long_name_moves_the_table_and_loses_nothing(
    make_holding: Make, make_value: Make, schedule_of: Make
) -> None:
    long = " ".join(f"Vestergaard{n}" for n in range(14))
    for n in range(9):
        make_value("80.00", holding=make_holding(coin_type=None, title=f"{n} {long} "))
    schedule = schedule_of(insured=long, insurer=long)
    pages = _text(draw_schedule(schedule))
    tables = [page for page in pages if re.search(r"^\s*No\.\s+Piece", page, re.M)]
    printed = [page for page in pages if page in tables or "carried forward" in page]
    assert printed == tables
    assert sum(page.count("carried forward") for page in tables) == len(tables) - 1


def test_without_the_library_the_page_says_what_to_install(
    as_member: Client, box: list[Holding], schedule_of: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    from catalogue.printing.pdf import PrintingUnavailable

    def missing(schedule: Schedule) -> bytes:
        raise PrintingUnavailable

    monkeypatch.setattr("valuation.schedules.drawing.draw_schedule", missing)
    answer = as_member.get(reverse("schedule-file", args=[schedule_of().pk]))
    assert answer.status_code == 503
    assert b"Pango" in answer.content


def test_a_long_schedule_is_asked_for_by_a_button_and_drawn_once(
    as_member: Client, box: list[Holding], schedule_of: Make, monkeypatch: pytest.MonkeyPatch
) -> None:
    from catalogue.models import Sheet
    from catalogue.printing.tasks import draw_sheet

    monkeypatch.setattr("valuation.schedules.drawing.LINES_AT_ONCE", 0)
    schedule = schedule_of()
    address = reverse("schedule-file", args=[schedule.pk])
    assert as_member.get(address)["Content-Type"].startswith("text/html")
    assert not Sheet.objects.exists()
    asked = as_member.post(address)
    sheet = Sheet.objects.get()
    assert asked["Location"] == reverse("sheet", args=[sheet.pk])
    draw_sheet.call(sheet.pk)
    assert as_member.get(address)["Location"] == reverse("sheet", args=[sheet.pk])
    drawn = as_member.get(reverse("sheet-file", args=[sheet.pk]))
    assert b"".join(drawn.streaming_content).startswith(b"%PDF")  # type: ignore[attr-defined]
