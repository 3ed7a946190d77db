"""Drawings of coins: true sizes, agreeing shapes, clean markup."""

from __future__ import annotations

import math
import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.metal.compositions import parse_composition
from series.metal.metals import tints
from series.picture.drawing import Drawn, coin, fit_scale
from series.picture.metals import METALS
from series.picture.outlines import OUTLINES, outline_length, outline_path, outline_points
from series.picture.paint import defs, layers, mixed

SHAPES = [
    ("round", 0),
    ("scalloped", 8),
    ("scalloped", 12),
    ("notched", 7),
    ("polygon", 8),
    ("polygon", 12),
    ("polygon", 5),
    ("curved", 3),
    ("curved", 7),
    ("curved", 8),
    ("square", 0),
]


def widths(points: list[tuple[float, float]]) -> list[float]:
    """Widths of a shape across 36 directions."""
    found = []
    for k in range(36):
        a = math.pi * k / 36
        along = [x * math.cos(a) + y * math.sin(a) for x, y in points]
        found.append(max(along) - min(along))
    return found


def path_numbers(data: str) -> list[tuple[float, float]]:
    """End points of the commands of a path of M, L and A."""
    ends = []
    for _, numbers in re.findall(r"([MLA])([^MLAZ]*)", data):
        values = [float(n) for n in numbers.split()]
        ends.append((values[-2], values[-1]))
    return ends


@pytest.mark.parametrize("sides", [3, 5, 7, 9])
def test_odd_curved_sides_have_equal_width(sides: int) -> None:
    assert widths(outline_points("curved", 25, sides)) == pytest.approx([25] * 36, abs=0.01)


@pytest.mark.parametrize("sides", [3, 5, 7, 11])
def test_equal_width_outline_is_pi_times_its_width_long(sides: int) -> None:
    # Barbier's theorem (E. Barbier, Journal de mathématiques pures et appliquées, 1860).
    assert outline_length("curved", 27.3, sides) == pytest.approx(math.pi * 27.3)


@pytest.mark.parametrize(("outline", "sides"), [s for s in SHAPES if s[0] not in ("square",)])
def test_round_like_and_cornered_outlines_fit_their_circle(outline: str, sides: int) -> None:
    odd_curved = outline == "curved" and sides % 2
    reach = max(math.hypot(x, y) for x, y in outline_points(outline, 20, sides))
    if odd_curved:
        assert 10 < reach < 12
    else:
        assert reach == pytest.approx(10, abs=0.005)


def test_square_is_as_wide_as_stated() -> None:
    across = widths(outline_points("square", 18))
    assert across[0] == pytest.approx(18)
    assert across[18] == pytest.approx(18)


@pytest.mark.parametrize(("outline", "sides"), SHAPES)
def test_points_lie_a_spacing_apart_and_close(outline: str, sides: int) -> None:
    points = outline_points(outline, 24, sides, spacing=0.1)
    steps = [math.dist(a, b) for a, b in zip(points, points[1:] + points[:1], strict=True)]
    assert max(steps) <= 0.1 + 1e-9
    assert sum(steps) == pytest.approx(outline_length(outline, 24, sides), rel=1e-3)


@pytest.mark.parametrize(("outline", "sides"), SHAPES)
def test_path_and_points_agree(outline: str, sides: int) -> None:
    points = outline_points(outline, 24, sides, spacing=0.02)
    for x, y in path_numbers(outline_path(outline, 24, sides)):
        assert min(math.dist((x, y), p) for p in points) < 0.03


def test_scallops_and_notches_are_counted() -> None:
    for outline, sides in (("scalloped", 8), ("scalloped", 12), ("notched", 7)):
        radii = [math.hypot(x, y) for x, y in outline_points(outline, 24, sides)]
        middle = (max(radii) + min(radii)) / 2
        rises = sum(a < middle <= b for a, b in zip(radii, radii[1:] + radii[:1], strict=True))
        assert rises == sides


def test_unknown_outline_says_which_there_are() -> None:
    with pytest.raises(ValueError, match="round, scalloped"):
        outline_path("wavy", 20)


@given(st.floats(min_value=5, max_value=60), st.floats(min_value=0.5, max_value=12))
def test_edge_circle_is_half_the_diameter(diameter: float, scale: float) -> None:
    markup = coin(Drawn(diameter, colour="bronze", text="5"), scale)
    edges = re.findall(r'<circle class="coin-edge" r="([\d.]+)"', markup)
    assert [float(r) for r in edges] == [pytest.approx(diameter * scale / 2, abs=6e-4)]


def test_printed_piece_needs_no_gradients_and_keeps_its_size() -> None:
    markup = coin(Drawn(24.25, colour="bronze", text="5"), scale=2, printed=True)
    assert "url(" not in markup
    assert '<circle class="coin-edge" r="24.25"' in markup


@pytest.mark.parametrize("colour", METALS)
def test_the_inks_of_a_printed_metal_go_from_its_shade_to_its_shine(colour: str) -> None:
    metal, inks = METALS[colour], layers(colour)
    assert inks[0] == mixed(metal.body, metal.shade, 0.7)
    assert inks[-1] == mixed(metal.light, metal.shine, 0.4)


@pytest.mark.parametrize("colour", METALS)
def test_a_printed_metal_brightens_from_its_edge_to_its_middle(colour: str) -> None:
    markup = coin(Drawn(24, colour=colour), printed=True)
    inks = re.findall(r'fill="#(\w{6})"/>', markup)
    bright = [sum(int(ink[i : i + 2], 16) for i in (0, 2, 4)) for ink in inks]
    assert bright == sorted(bright)
    assert bright[0] < bright[-1]


def test_each_ink_of_a_printed_metal_leaves_a_margin_of_the_one_below() -> None:
    root = ElementTree.fromstring(coin(Drawn(24), printed=True))
    discs = [
        (float(e.attrib["r"]), math.hypot(float(e.attrib["cx"]), float(e.attrib["cy"])))
        for e in root.iter("circle")
        if "cx" in e.attrib
    ]
    assert len(discs) > 10
    for (r, shift), (inner, further) in pairwise(discs):
        assert inner + further - shift < r


def test_holed_round_piece_keeps_its_edge_circle() -> None:
    markup = coin(Drawn(24.25, hole="square", hole_mm=6, colour="brass"))
    assert '<circle class="coin-edge" r="12.125"' in markup
    assert 'fill-rule="evenodd"' in markup


def test_ring_and_centre_are_drawn_in_two_metals() -> None:
    markup = coin(Drawn(26, ring_mm=18, colour="brass", centre_colour="copper-nickel"))
    assert 'fill="url(#coin-brass)"' in markup
    assert '<circle r="9" fill="url(#coin-copper-nickel)"' in markup


def test_gap_is_an_empty_dashed_outline() -> None:
    markup = coin(Drawn(24, outline="scalloped", sides=8, gap=True, text="5"))
    assert "stroke-dasharray" in markup
    assert "url(#" not in markup
    assert "<text" not in markup


@pytest.mark.parametrize("outline", OUTLINES)
def test_drawing_is_wellformed_without_styles(outline: str) -> None:
    drawn = Drawn(25, outline, 7, panel="polygon", panel_sides=8, text="25")
    root = ElementTree.fromstring(coin(drawn, 4))
    assert not [e for e in root.iter() if "style" in e.attrib or e.tag.endswith("style")]


def test_every_gradient_used_is_defined() -> None:
    for colour in (*METALS, "a metal nobody knows"):
        piece = Drawn(20, colour=colour, ring_mm=12, centre_colour="brass")
        markup = defs([piece.colour, piece.centre_colour]) + coin(piece)
        used = set(re.findall(r"url\(#([^)]+)\)", markup))
        assert used <= set(re.findall(r'id="([^"]+)"', markup))
        assert len(used) >= 2


def test_gradients_are_defined_once_each() -> None:
    ids = re.findall(r'id="([^"]+)"', defs(["bronze", "bronze", "brass"]))
    assert len(ids) == len(set(ids))


def test_every_look_that_metals_name_has_its_colours() -> None:
    named = {
        look
        for text in (
            "copper",
            "Cu95Sn4Zn1",
            "brass",
            "gold 900",
            "CuZn20Ni5",
            "Cu75Ni25",
            "nickel",
            "silver 500",
            "billon",
            "steel",
            "aluminium",
            "zinc",
            "iron",
            "tin",
            "lead",
            "platinum",
        )
        for look in tints(parse_composition(text))
    }
    assert named == set(METALS)


def test_text_is_escaped() -> None:
    markup = coin(Drawn(20, text="<5&"))
    root = ElementTree.fromstring(markup)
    assert [t.text for t in root.iter("text")] == ["<5&", "<5&"]


@given(
    st.lists(st.floats(min_value=8, max_value=60), min_size=1, max_size=12),
    st.floats(min_value=1, max_value=9),
    st.floats(min_value=20, max_value=200),
)
def test_fit_scale_fits(sizes: list[float], most: float, largest: float) -> None:
    scale = fit_scale(sizes, most, largest)
    assert max(sizes) * scale <= largest * (1 + 1e-9)
    assert scale == most or max(sizes) * scale == pytest.approx(largest)
    assert fit_scale([], most, largest) == most


@pytest.mark.parametrize("printed", [False, True])
@pytest.mark.parametrize("hole", ["", "round"])
def test_a_date_stands_below_the_numeral_in_the_order_of_its_figures(
    hole: str, printed: bool
) -> None:
    drawn = Drawn(24, hole=hole, hole_mm=4 if hole else 0, text="5", date="١٣·٨")
    texts = re.findall(
        r'<text[^>]* y="([-\d.]+)"[^>]*>([^<]+)</text>', coin(drawn, printed=printed)
    )
    places = {text: float(y) for y, text in texts}
    assert list(places) == ["5", "١٣·٨"]
    assert places["5"] < places["١٣·٨"] < 12
    assert 'unicode-bidi="bidi-override"' in coin(drawn, printed=printed)


def test_without_a_date_none_is_drawn() -> None:
    assert coin(Drawn(24, text="5")).count("<text") == 2


# ---- what stands on it ----
def lettered(markup: str) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of its numeral, whose figures are 0.66 of its size high and,
    bold, 0.53 wide (measured by eye, as for the drawing)."""
    _shine, numeral = ElementTree.fromstring(markup).iter("text")
    size, base = float(numeral.attrib["font-size"]), float(numeral.attrib["y"])
    half = 0.53 * size * len(numeral.text or "") / 2
    return -half, base - 0.66 * size, half, base


@pytest.mark.parametrize("text", ["5", "25", "1000"])
@pytest.mark.parametrize("hole_mm", [2.0, 4.0, 8.0])
def test_a_numeral_stands_between_the_hole_and_the_rim(text: str, hole_mm: float) -> None:
    left, top, right, bottom = lettered(coin(Drawn(24, hole="round", hole_mm=hole_mm, text=text)))
    assert bottom < -hole_mm / 2
    assert math.hypot(max(-left, right), top) < 0.93 * 12


@pytest.mark.parametrize("hole_mm", [2.0, 4.0, 8.0])
def test_a_letter_that_fills_its_square_stands_clear_of_the_hole(hole_mm: float) -> None:
    # Its square reaches from 0.12 below the line to 0.88 above, as fonts of Han letters have it.
    markup = coin(Drawn(24, hole="round", hole_mm=hole_mm, text="日"))
    _shine, letter = ElementTree.fromstring(markup).iter("text")
    size, base = float(letter.attrib["font-size"]), float(letter.attrib["y"])
    assert base + 0.12 * size < -hole_mm / 2
    assert math.hypot(size / 2, base - 0.88 * size) < 0.93 * 12


@pytest.mark.parametrize("text", ["5", "25", "1000"])
def test_a_numeral_stands_within_the_centre_of_two_metals(text: str) -> None:
    left, top, right, bottom = lettered(coin(Drawn(26, ring_mm=14, text=text)))
    assert max(math.hypot(x, y) for x in (left, right) for y in (top, bottom)) < 7


def test_the_light_on_the_edge_of_a_numeral_touches_it() -> None:
    light, numeral = ElementTree.fromstring(coin(Drawn(24, text="5"))).iter("text")
    apart = [float(light.attrib[name]) - float(numeral.attrib[name]) for name in "xy"]
    assert all(0 < step < 0.05 * float(numeral.attrib["font-size"]) for step in apart)
