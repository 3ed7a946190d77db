"""Coins found and measured on made scans, whose sizes are known."""

from __future__ import annotations

import json
from io import StringIO
from pathlib import Path

import cv2
import numpy as np
import pytest
from django.core.management import CommandError, call_command
from PIL import Image

from catalogue.photos.finding.ground import Pixels
from catalogue.photos.finding.scans import Coin, coins_on, in_reading_order, plain

DPI = 400
PER_MM = DPI / 25.4


def made(*coins: tuple[float, float, float], ground: int = 244, metal: int = 150) -> Pixels:
    """A scan of 90 × 60 mm: coins by middle and width in mm, a rim, lines, a shadow and noise."""
    dice = np.random.default_rng(4)
    picture = np.full((round(60 * PER_MM), round(90 * PER_MM), 3), ground, np.float32)
    for x, y, width in coins:
        shadow = np.zeros(picture.shape[:2], np.float32)
        _disc(shadow, x + 0.2, y + 0.4, width / 2, 1.0)
        picture *= 1 - 0.25 * cv2.GaussianBlur(shadow, (0, 0), 0.25 * PER_MM)[..., None]
        _disc(picture, x, y, width / 2, metal)
        _disc(picture, x, y, width / 2 - 0.8, metal - 25)
        for line in np.linspace(-0.3, 0.3, 7):
            at = (round((x + line * width) * PER_MM), round((y - width / 4) * PER_MM))
            to = (at[0] + 12, round((y + width / 4) * PER_MM))
            cv2.line(picture, at, to, (metal + 60,) * 3, 3, cv2.LINE_AA)
    picture = cv2.GaussianBlur(picture, (0, 0), 0.8) + dice.normal(0, 2, picture.shape)
    return np.clip(picture, 0, 255).astype(np.uint8)


def _disc(picture: np.ndarray, x: float, y: float, radius: float, level: float) -> None:
    """Drawn in sixteenths of a pixel, so that its width is what is said."""
    at = (round(x * PER_MM * 16), round(y * PER_MM * 16))
    cv2.circle(picture, at, round(radius * PER_MM * 16), (level,) * 3, -1, cv2.LINE_AA, 4)


COINS = ((15, 16, 19.75), (45, 16, 24.25), (74, 17, 23.25), (18, 44, 16.25), (50, 45, 25.75))


@pytest.mark.parametrize("ground", [20, 90, 244])
def test_every_width_is_found_within_a_tenth_of_a_millimetre(ground: int) -> None:
    found = plain(coins_on(made(*COINS, ground=ground)), DPI)["coins"]
    assert [coin["outline"] for coin in found] == ["round"] * len(COINS)
    for coin, (x, y, width) in zip(found, COINS, strict=True):
        assert coin["diameter_mm"] == pytest.approx(width, abs=0.1)
        assert (coin["x_mm"], coin["y_mm"]) == pytest.approx((x, y), abs=0.2)


def test_touching_coins_are_told_apart() -> None:
    found = coins_on(made((25, 30, 22), (47, 30, 22), (70.5, 30, 25)))
    assert [round(coin.width / PER_MM) for coin in found] == [22, 22, 25]


def test_dust_and_scratches_are_no_coins() -> None:
    picture = made((45, 30, 22))
    for at in range(60, 900, 70):
        cv2.circle(picture, (at, 40), 4, (60, 60, 60), -1)
    cv2.line(picture, (20, 800), (1300, 700), (120, 120, 120), 2)
    assert len(coins_on(picture)) == 1


def test_an_empty_glass_holds_nothing() -> None:
    assert coins_on(made()) == []


def test_a_polygon_is_no_circle() -> None:
    picture = made()
    turn = np.arange(6) / 6 * 2 * np.pi
    corners = np.stack([700 + 220 * np.cos(turn), 450 + 220 * np.sin(turn)], axis=1)
    cv2.fillPoly(picture, [corners.round().astype(np.int32)], (120, 140, 150), cv2.LINE_AA)
    (coin,) = coins_on(picture)
    assert coin.outline == "polygon"
    assert coin.width == pytest.approx(440, abs=6)


@pytest.mark.parametrize(
    ("blue_green_red", "colour"),
    [((55, 95, 160), "copper-red"), ((60, 165, 200), "yellow"), ((165, 170, 172), "white"),
     ((75, 77, 78), "grey")],
)  # fmt: skip
def test_the_colour_is_one_of_the_classes(
    blue_green_red: tuple[int, int, int], colour: str
) -> None:
    picture = made(ground=240)
    cv2.circle(picture, (700, 450), 180, blue_green_red, -1, cv2.LINE_AA)
    assert [coin.colour for coin in coins_on(picture)] == [colour]


def test_a_ring_of_another_metal_makes_two_colours() -> None:
    picture = made(ground=240)
    cv2.circle(picture, (700, 450), 200, (165, 170, 172), -1, cv2.LINE_AA)
    cv2.circle(picture, (700, 450), 140, (60, 165, 200), -1, cv2.LINE_AA)
    assert [coin.colour for coin in coins_on(picture)] == ["two-colour"]


def test_rows_are_read_from_the_left_even_when_they_are_not_straight() -> None:
    places = [(300, 110), (100, 100), (200, 90), (110, 300), (220, 310)]
    coins = [Coin(x, y, 80, 1, "round", "white") for x, y in places]
    order = [(coin.x, coin.y) for coin in in_reading_order(coins)]
    assert order == [(100, 100), (200, 90), (300, 110), (110, 300), (220, 310)]


# ---- the command ----
def run(*words: object) -> str:
    out = StringIO()
    call_command("measure_scan", *map(str, words), stdout=out)
    return out.getvalue()


@pytest.fixture
def scan(tmp_path: Path) -> Path:
    path = tmp_path / "scan.png"
    Image.fromarray(made((45, 30, 22))[..., ::-1]).save(path, dpi=(DPI, DPI))
    return path


def test_the_scale_is_that_of_the_file(scan: Path) -> None:
    said = json.loads(run(scan, "--json"))
    assert said["dpi"] == pytest.approx(DPI, abs=0.1)
    assert said["coins"][0]["diameter_mm"] == pytest.approx(22, abs=0.1)


def test_a_typed_scale_comes_before_that_of_the_file(scan: Path) -> None:
    assert json.loads(run(scan, "--dpi", 800, "--json"))["coins"][0][
        "diameter_mm"
    ] == pytest.approx(11, abs=0.1)


def test_without_a_scale_lengths_are_in_pixels(tmp_path: Path) -> None:
    path = tmp_path / "phone.jpg"
    Image.fromarray(made((45, 30, 22))[..., ::-1]).save(path, dpi=(72, 72))
    said = json.loads(run(path, "--json"))
    assert said["dpi"] is None
    assert said["coins"][0]["diameter_px"] == pytest.approx(22 * PER_MM, abs=2)
    assert "give --dpi for millimetres" in run(path)


def test_what_is_no_picture_says_so(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("a;b")
    with pytest.raises(CommandError, match="cannot be read as a picture"):
        run(path)
    with pytest.raises(CommandError, match="cannot be read as a picture"):
        run(tmp_path / "nowhere.png")


def test_a_scale_that_cannot_be_is_refused(scan: Path) -> None:
    with pytest.raises(CommandError, match="give a number from 50 to 10000"):
        run(scan, "--dpi", 3)
