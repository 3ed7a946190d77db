"""What remains of a talk, taken along with a browser."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
import webvtt

from catalogue.models import Member, Stop, Talk
from tests.catalogue.access_world import make_world

from .test_first_evening import text_sent_for, words_in


@pytest.fixture
def talk(transactional_db: None) -> Talk:
    world = make_world()
    made = Talk.objects.create(owner=world.owner, title="First Marl")
    Stop.objects.create(
        talk=made, kind="piece", holding=world.holding, caption="A net & a lamp.",
        rehearsed_seconds=20,
    )  # fmt: skip
    return made


def opened(page_of: Callable[..., Any], talk: Talk, owner: Member) -> Any:
    page = page_of(owner)
    page.goto(f"/talks/{talk.pk}/")
    page.get_by_role("link", name="Take it along").click()
    return page


def test_hand_out_cards_and_plan_are_printed(page_of: Callable[..., Any], talk: Talk) -> None:
    page = opened(page_of, talk, talk.owner)
    link = page.get_by_role("link", name="Hand-out on Letter")
    words = words_in(page.context.request.get(link.get_attribute("href")))
    assert "A net & a lamp." in words
    page.get_by_role("link", name="Case cards").click()
    page.get_by_label("Read from a distance of, cm").fill("60")
    assert "A net & a lamp." in text_sent_for(page, "Draw the cards")
    page.get_by_role("link", name="Back").click()
    page.get_by_role("link", name="Plan of the case").click()
    page.get_by_label("Inner width of a tray, mm").fill("600")
    page.get_by_label("Inner depth of a tray, mm").fill("400")
    assert "600 × 400 mm inside" in text_sent_for(page, "Draw the plan")


def test_captions_come_as_a_file(page_of: Callable[..., Any], talk: Talk, tmp_path: Any) -> None:
    page = opened(page_of, talk, talk.owner)
    page.get_by_role("link", name="Captions and times").click()
    with page.expect_download() as coming:
        page.get_by_role("button", name="Captions (WebVTT)").click()
    assert coming.value.suggested_filename == "first-marl-captions.vtt"
    coming.value.save_as(tmp_path / "captions.vtt")
    (caption,) = webvtt.read(tmp_path / "captions.vtt").captions
    assert caption.end == "00:00:20.000"


def test_marks_that_are_wrong_stay_in_the_page(page_of: Callable[..., Any], talk: Talk) -> None:
    page = opened(page_of, talk, talk.owner)
    page.get_by_role("link", name="Captions and times").click()
    page.get_by_label("Marks of your recording").fill("soon")
    page.get_by_role("button", name="List of times").click()
    assert "does not begin with a time" in page.inner_text("main")
    assert page.get_by_label("Marks of your recording").input_value() == "soon"
