"""A talk given in a real browser: in two windows, the network cut in the middle, and rehearsed."""

from __future__ import annotations

import io
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import expect

from catalogue.models import Member, Stop
from catalogue.printing.sheets import silent
from catalogue.talks.own_file import talk_file
from tests.catalogue.talks.giving_world import SAID, Given, give
from tests.outside.test_axe import DESK, PHONE, RULES, broken_rules

pytestmark = pytest.mark.django_db(transaction=True)

WALL = {"width": 1280, "height": 720}
NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
COIN, GROUND = (160, 128, 80), (19, 20, 22)


@pytest.fixture
def given(member: Member, coinage: Any, make_holding: Any) -> Given:
    return give(member, coinage, make_holding)


def _ready(page: Any) -> Any:
    page.wait_for_selector("html[data-state=ready]")
    return page


def _heading(page: Any) -> Any:
    return page.locator("[data-stop]:not([hidden]) h2")


def _middle(page: Any, place: int = 0) -> tuple[int, ...]:
    """The colour in the middle of a face, as the screen shows it."""
    box = page.locator("[data-stop]:not([hidden]) .faces .face").nth(place).bounding_box()
    shot = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    found: Any = shot.getpixel(
        (round(box["x"] + box["width"] / 2), round(box["y"] + box["height"] / 2))
    )
    return tuple(found)


def _near(colour: tuple[int, ...], other: tuple[int, ...]) -> bool:
    return all(abs(a - b) < 12 for a, b in zip(colour, other, strict=True))


def test_it_is_given_in_two_windows_and_the_network_is_cut(page_of: Any, given: Given) -> None:
    page = page_of(given.talk.owner, viewport=WALL, reduced_motion="reduce")
    page.goto(f"/talks/{given.talk.pk}/wall/")
    with page.context.expect_page() as opened:
        page.mouse.move(300, 300)
        page.mouse.move(310, 300)
        page.get_by_role("link", name="Speaker’s window").click()
    wall, speaker = _ready(page), _ready(opened.value)
    expect(speaker.locator("[data-ready]")).to_have_text("ready without a network")
    expect(_heading(speaker)).to_contain_text("First")
    wall.context.set_offline(True)
    asked: list[str] = []
    wall.context.on("request", lambda request: asked.append(request.url))

    wall.keyboard.press("PageDown")
    expect(_heading(wall)).to_have_text("25 tinne, 1931")
    expect(_heading(speaker)).to_contain_text("25 tinne, 1931")
    expect(speaker.locator("[data-stop]:not([hidden]) .notes")).to_contain_text(SAID)
    assert _near(_middle(wall), COIN)
    assert _near(_middle(wall, 1), COIN)

    speaker.keyboard.press("l")
    expect(wall.locator("[data-stop]:not([hidden]) .light.lit")).to_have_count(1)
    expect(wall.locator("[data-said]")).to_have_text("Light on the reverse at 3 o'clock")
    speaker.keyboard.press(" ")
    expect(_heading(wall)).to_have_text("25 tinne, 1947")
    expect(wall.locator(".light.lit")).to_have_count(0)
    assert _near(_middle(wall), COIN)

    wall.keyboard.press("c")
    expect(wall.locator("[data-stop]:not([hidden]) .ghost")).to_contain_text(
        "the one before: 25 tinne, 1931"
    )
    wall.keyboard.press("r")
    expect(wall.locator(".closer .face")).to_have_attribute("data-side", "reverse")
    wall.keyboard.press("Escape")
    expect(wall.locator(".closer")).to_be_hidden()
    wall.keyboard.press("b")
    expect(wall.locator(".dark-wall")).to_be_visible()
    wall.keyboard.press("PageDown")
    expect(wall.locator(".dark-wall")).to_be_hidden()
    expect(wall.locator("[data-stop]:not([hidden])")).to_contain_text("Not in the collection")

    speaker.keyboard.type("2")
    speaker.keyboard.press("Enter")
    expect(_heading(wall)).to_have_text("25 tinne, 1931")
    speaker.keyboard.press("End")
    expect(_heading(wall)).to_have_text("What came after")
    expect(speaker.locator("[data-stop]:not([hidden])")).to_contain_text("this is the last stop")
    speaker.keyboard.press("PageDown")
    expect(_heading(wall)).to_have_text("What came after")
    wall.keyboard.press("Home")
    expect(_heading(speaker)).to_contain_text("First")
    # A browser asks for its icon at each address; nothing on the page waits for it.
    assert [url for url in asked if not url.endswith("/mark.svg")] == []


def test_a_reader_of_screens_is_told_stop_caption_and_faces(page_of: Any, given: Given) -> None:
    page = page_of(given.talk.owner, viewport=WALL)
    page.goto(f"/talks/{given.talk.pk}/wall/")
    _ready(page).keyboard.press("ArrowRight")
    said = page.locator("[data-said][aria-live=polite]")
    for words in ("2 / 5", "25 tinne, 1931", "Found in a drawer.", "Obverse of 25 tinne", "A net."):
        expect(said).to_contain_text(words)
    expect(page.get_by_role("img", name="Reverse of 25 tinne")).to_be_visible()
    page.mouse.move(300, 300)
    page.mouse.move(310, 300)
    page.get_by_label("Letter keys").uncheck()
    page.locator("#wall").focus()
    page.keyboard.press("b")
    page.keyboard.press("ArrowRight")
    expect(said).to_contain_text("25 tinne, 1947")
    expect(page.locator(".dark-wall")).to_be_hidden()


def test_all_coins_stand_at_one_scale_on_every_screen(page_of: Any, given: Given) -> None:
    Stop.objects.filter(pk=given.second.pk).update(caption="Words. " * 42, heading="Long " * 20)
    page = page_of(given.talk.owner)
    for width, height in ((1920, 1080), (1280, 720), (1024, 768), (390, 844)):
        page.set_viewport_size({"width": width, "height": height})
        scales = []
        for stop in (2, 3):
            page.goto(f"/talks/{given.talk.pk}/wall/{stop}/")
            shown = _ready(page).locator("[data-stop]:not([hidden])")
            for face in shown.locator(".faces .face").all():
                box = face.locator("image").bounding_box()
                scales.append(box["width"] / float(face.get_attribute("data-width")))
            foot = shown.locator(".foot").bounding_box()
            if width > 390:  # a phone is scrolled
                assert foot["y"] + foot["height"] <= height
                assert shown.evaluate("stop => stop.scrollHeight") <= height
            faces = shown.locator(".faces").bounding_box()
            assert faces["y"] + faces["height"] <= foot["y"] + 1
        assert max(scales) == pytest.approx(min(scales), rel=1e-3), (width, height)


def test_without_a_script_it_is_walked_by_links(page_of: Any, given: Given) -> None:
    page = page_of(given.talk.owner, java_script_enabled=False, viewport=WALL)
    page.goto(f"/talks/{given.talk.pk}/wall/")
    page.get_by_role("link", name="On").click()
    expect(page.get_by_role("heading", level=2)).to_have_text("25 tinne, 1931")
    assert _near(_middle(page), COIN)
    page.get_by_role("link", name="Back").click()
    expect(page.get_by_role("heading", level=2)).to_have_text("First")


def test_it_is_walked_by_touch(page_of: Any, given: Given) -> None:
    page = page_of(given.talk.owner, has_touch=True, viewport=PHONE)
    page.goto(f"/talks/{given.talk.pk}/wall/")
    _ready(page).touchscreen.tap(380, 300)
    expect(_heading(page)).to_have_text("25 tinne, 1931")
    page.locator("[data-stop]:not([hidden]) .face").first.tap()
    expect(page.locator(".closer .face")).to_have_attribute("data-side", "obverse")
    page.touchscreen.tap(200, 400)
    expect(page.locator(".closer")).to_be_hidden()
    page.touchscreen.tap(5, 300)
    expect(_heading(page)).to_have_text("First")


def test_who_wants_no_motion_gets_none(page_of: Any, given: Given) -> None:
    page = page_of(given.talk.owner, viewport=WALL)
    page.goto(f"/talks/{given.talk.pk}/wall/")
    moving = "getComputedStyle(document.querySelector('[data-stop]:not([hidden])')).animationName"
    for wish, name in (("no-preference", "arrive"), ("reduce", "none")):
        page.emulate_media(reduced_motion=wish)
        _ready(page).keyboard.press("ArrowRight")
        assert page.evaluate(moving) == name


def test_a_rehearsal_outlives_a_cut_network(page_of: Any, given: Given) -> None:
    Stop.objects.filter(pk=given.opening.pk).update(notes="")
    Stop.objects.filter(pk=given.first.pk).update(notes="word " * 60)
    page = page_of(given.talk.owner)
    page.clock.set_fixed_time(NOON)
    page.goto(f"/talks/{given.talk.pk}/rehearse/")
    _ready(page).get_by_role("button", name="Start the clock").click()
    page.clock.set_fixed_time(NOON + timedelta(seconds=5))
    page.keyboard.press("PageDown")
    page.clock.set_fixed_time(NOON + timedelta(seconds=43))
    expect(page.locator("[data-used]")).to_have_text("0:43")
    page.context.set_offline(True)
    page.get_by_role("button", name="End the rehearsal and keep it").click()
    expect(page.locator("[data-kept]")).to_contain_text("Not kept yet")
    page.context.set_offline(False)
    page.get_by_role("button", name="Try again").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Rehearsal")
    expect(page.locator("main")).to_contain_text("It took 43 s")
    given.first.refresh_from_db()
    given.talk.refresh_from_db()
    assert given.first.rehearsed_seconds == 38
    assert given.talk.pace == 120


def test_the_speaker_is_told_what_to_leave_out(page_of: Any, given: Given) -> None:
    """Ten minutes: a minute too long at the first stop, and one stop saves as much."""
    Stop.objects.update(rehearsed_seconds=60)
    Stop.objects.filter(pk=given.second.pk).update(rehearsed_seconds=90)
    Stop.objects.filter(pk=given.missing.pk).update(rehearsed_seconds=330)
    page = page_of(given.talk.owner)
    page.clock.set_fixed_time(NOON)
    page.goto(f"/talks/{given.talk.pk}/speaker/")
    _ready(page).get_by_role("button", name="Start the clock").click()
    pacing = page.locator("[data-pacing]")
    expect(pacing).to_have_text("on time")
    page.clock.set_fixed_time(NOON + timedelta(seconds=130))
    expect(pacing).to_have_text("1 min 10 s behind: leave out stop 3")
    expect(pacing).to_have_class("pacing late")


def test_its_own_file_shows_it_without_any_network(
    page_of: Any, given: Given, tmp_path: Path
) -> None:
    file = tmp_path / "talk.html"
    file.write_bytes(b"".join(talk_file(given.talk, True, silent)))
    page = page_of(None, viewport=WALL, reduced_motion="reduce")
    page.context.set_offline(True)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(file.as_uri())
    _ready(page).keyboard.press("PageDown")
    expect(_heading(page)).to_have_text("25 tinne, 1931")
    assert _near(_middle(page), COIN)
    assert not _near(_middle(page), GROUND)
    page.keyboard.press("n")
    expect(page.locator("[data-stop]:not([hidden]) .own-notes")).to_be_visible()
    assert [url for url in asked if not url.startswith(("data:", file.as_uri()))] == []


def test_wall_and_speaker_keep_the_rules_of_access_in_every_state(
    page_of: Any, given: Given
) -> None:
    page = page_of(given.talk.owner)
    found = []
    for name in ("wall", "speaker", "rehearse"):
        for size in (DESK, PHONE):
            page.set_viewport_size(size)
            page.goto(f"/talks/{given.talk.pk}/{name}/3/")
            _ready(page).keyboard.type("clo" if name == "wall" else "l")
            page.keyboard.press("Escape")
            for scheme in ("light", "dark"):
                page.emulate_media(color_scheme=scheme, reduced_motion="reduce")
                found += broken_rules(page, RULES, f"{name}, {size['width']} px, {scheme}")
                if name == "wall":  # its colours are those of the hall
                    page.keyboard.press("h")
                    page.locator(".bar button").first.focus()
            assert page.evaluate("document.documentElement.scrollWidth") <= size["width"]
    for name in ("rehearsed", "link", "file"):
        page.goto(f"/talks/{given.talk.pk}/{name}/")
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            found += broken_rules(page, RULES, f"{name}, {scheme}")
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    assert found == []
