"""Struck pictures: shape, size, wear, sameness, and layouts in which nothing collides."""

from __future__ import annotations

import io
import math
from dataclasses import replace
from itertools import combinations, product

import numpy as np
import pytest
from PIL import Image, ImageDraw

from catalogue.demo.struck.clay import BASE, SIZE, model
from catalogue.demo.struck.dies import reach
from catalogue.demo.struck.layouts import Face, lay_out
from catalogue.demo.struck.letters import Letter
from catalogue.demo.struck.pieces import relief, width_mm
from catalogue.demo.struck.strike import MOTIFS, Strike, photographed, strike
from series.picture.decoding import encoded_sizes
from series.picture.metals import METALS
from series.picture.outlines import outline_points

PIECE = Strike(
    23.5, legend_top="REPUBLIC OF HALVERN", numeral="25", unit="TINNE", date="1953", motif="net"
)
SHAPES = [
    ("round", 0),
    ("scalloped", 12),
    ("notched", 7),
    ("polygon", 8),
    ("curved", 7),
    ("square", 0),
]


def alpha(image: Image.Image) -> np.ndarray:
    return np.asarray(image.getchannel("A"))


def test_round_piece_is_transparent_outside_and_full_inside() -> None:
    seen = alpha(strike(PIECE, 300))
    assert seen[:20, :20].max() == 0
    assert seen[150, 150] == 255
    assert seen[150, 5] == 255


def test_diameter_on_the_picture_is_the_declared_one() -> None:
    px = 480
    seen = alpha(strike(PIECE, px))
    across = (seen[px // 2] / 255).sum() * width_mm(PIECE) / px
    assert across == pytest.approx(23.5, abs=0.06)
    area = (seen / 255).sum() * (width_mm(PIECE) / px) ** 2
    assert area == pytest.approx(math.pi * 23.5**2 / 4, rel=0.003)


@pytest.mark.parametrize(("outline", "sides"), SHAPES)
def test_struck_shape_is_the_drawn_outline(outline: str, sides: int) -> None:
    px, finer = 300, 4
    piece = Strike(24, outline, sides, numeral="5")
    seen = alpha(strike(piece, px)) > 127
    scale = px * finer / 2 / reach(piece.planchet)
    shape = Image.new("L", (px * finer, px * finer))
    ImageDraw.Draw(shape).polygon(
        [
            (x * scale + px * finer / 2, y * scale + px * finer / 2)
            for x, y in outline_points(outline, 2.0, sides)
        ],
        fill=255,
    )
    drawn = np.asarray(shape.reduce(finer)) > 127
    assert (seen != drawn).sum() < 0.004 * drawn.sum()


@pytest.mark.parametrize("hole", ["round", "square"])
def test_hole_is_transparent_and_of_its_size(hole: str) -> None:
    px = 480
    piece = replace(PIECE, hole=hole, hole_mm=6.0, motif="")
    seen = alpha(strike(piece, px))
    assert seen[px // 2, px // 2] == 0
    open_mm = (1 - seen[px // 2, px // 4 : -px // 4] / 255).sum() * width_mm(piece) / px
    assert open_mm == pytest.approx(6.0, abs=0.06)


def test_same_strike_gives_the_same_bytes() -> None:
    piece = replace(PIECE, grade=0.5, toning=0.4, seed=11)
    assert strike(piece, 160).tobytes() == strike(replace(piece), 160).tobytes()
    assert photographed(piece, 160).tobytes() == photographed(piece, 160).tobytes()


@pytest.mark.parametrize(
    "change",
    [
        {"date": "1954"},
        {"seed": 12},
        {"side": "reverse"},
        {"grade": 0.8},
        {"toning": 0.9},
        {"colour": "bronze"},
        {"mint_mark": "S"},
        {"privy": "anchor"},
        {"border": "toothed"},
        {"legend_top": "KINGDOM OF HALVERN"},
        {"motif": "waves"},
    ],
)
def test_a_change_changes_the_picture(change: dict[str, object]) -> None:
    piece = replace(PIECE, grade=0.5, toning=0.4, seed=11)
    assert strike(piece, 160).tobytes() != strike(replace(piece, **change), 160).tobytes()


def test_facing_right_mirrors_the_motif_but_not_the_legend() -> None:
    left = relief(Strike(24, motif="head", legend_top="HALVERN"), 240)
    right = relief(Strike(24, motif="head", legend_top="HALVERN", facing="right"), 240)
    middle = (slice(90, 190), slice(60, 180))
    mirrored = np.abs(left[middle] - right[middle][:, ::-1]).mean()  # a pixel aside at most
    straight = np.abs(left[middle] - right[middle]).mean()
    assert mirrored < 0.4 * straight
    assert np.array_equal(left[:38], right[:38])


def test_wear_lowers_the_relief_step_by_step() -> None:
    spread = [
        float(relief(replace(PIECE, grade=grade), 300).std()) for grade in (0, 0.2, 0.4, 0.6, 1)
    ]
    assert spread == sorted(spread, reverse=True)
    assert spread[-1] < 0.6 * spread[0]


def test_date_can_be_struck_on_a_die_made_for_another() -> None:
    first, second = (relief(replace(PIECE, date=date, grade=0.6), 300) for date in ("1953", "1878"))
    rows, columns = np.nonzero(np.abs(first - second) > 1e-6)
    height, width = np.ptp(rows), np.ptp(columns)
    assert 0 < height < 60
    assert 0 < width < 140


def test_toning_darkens() -> None:
    bright, dark = (
        np.asarray(strike(replace(PIECE, colour="silver", toning=toning), 160))[..., :3].mean()
        for toning in (0.0, 1.0)
    )
    assert dark < 0.85 * bright


@pytest.mark.parametrize("colour", METALS)
def test_metal_has_shine_and_shade(colour: str) -> None:
    pixels = np.asarray(strike(replace(PIECE, colour=colour), 300)).astype(float)
    light = pixels[pixels[..., 3] == 255][:, :3].mean(axis=1)
    assert np.percentile(light, 98) - np.percentile(light, 2) > 70


def test_ring_and_centre_differ_in_colour() -> None:
    piece = Strike(26, ring_mm=17, colour="brass", centre_colour="copper-nickel", numeral="2")
    pixels = np.asarray(strike(piece, 300)).astype(float)
    ring, centre = pixels[150, 20:40, :3].mean(axis=0), pixels[200:220, 150, :3].mean(axis=0)
    assert ring[0] - ring[2] > 60
    assert abs(centre[0] - centre[2]) < 30


def test_eastern_figures_are_struck() -> None:
    blank, dated = (relief(replace(PIECE, motif="", date=date), 300) for date in ("", "١٣٨٩"))
    assert (np.abs(blank - dated) > 0.005).sum() > 200


def test_unknown_motif_is_refused() -> None:
    with pytest.raises(KeyError, match="basilisk"):
        strike(replace(PIECE, motif="basilisk"), 96)


def test_a_kept_picture_keeps_its_transparency() -> None:
    _said, kept = encoded_sizes(strike(PIECE, 160), {"small": 160})
    image = Image.open(io.BytesIO(kept["small"]))
    assert image.format == "WEBP"
    assert image.convert("RGBA").getpixel((1, 1))[3] == 0


def test_photograph_lies_beside_a_true_scale() -> None:
    image = photographed(PIECE, 600)
    plain = photographed(PIECE, 600, scale=False)
    assert (image.mode, image.size, plain.size) == ("RGB", (600, 600), (600, 600))
    row = np.asarray(image.convert("L"))[569].astype(int)
    dark = np.nonzero(row[:330] < 110)[0]
    drawn_mm = (
        (dark[dark < 30 + 9.6 * 480 / width_mm(PIECE)].max() - dark.min()) * width_mm(PIECE) / 480
    )
    assert drawn_mm == pytest.approx(9, abs=0.25)  # the tenth millimetre is left light


@pytest.mark.parametrize("name", MOTIFS)
def test_motif_keeps_inside_its_circle_and_on_its_base(name: str) -> None:
    at = (np.arange(SIZE) + 0.5) / SIZE * 2 - 1
    raised = np.abs(model(name)) > 0.02
    assert raised.mean() > 0.05
    assert np.hypot(at[None], at[:, None])[raised].max() < 1.03
    if MOTIFS[name].kind == "standing":
        assert at[np.nonzero(raised)[0].max()] == pytest.approx(BASE, abs=0.03)


def corners(letter: Letter) -> list[tuple[float, float]]:
    """Corners of a letter's box, a little narrower than a wide capital."""
    turn = math.radians(letter.turn)
    across = [(-0.3, 0.0), (0.3, 0.0), (0.3, 1.0), (-0.3, 1.0)]
    return [
        (
            letter.x + letter.cap * (x * math.cos(turn) + y * math.sin(turn)),
            letter.y + letter.cap * (x * math.sin(turn) - y * math.cos(turn)),
        )
        for x, y in across
    ]


def overlap(one: list[Letter], other: list[Letter]) -> bool:
    """Whether two groups of upright letters overlap, by the boxes round them."""
    boxes = []
    for group in (one, other):
        points = [p for letter in group for p in corners(letter)]
        xs, ys = [x for x, _ in points], [y for _, y in points]
        boxes.append((min(xs), min(ys), max(xs), max(ys)))
    (a, b, c, d), (e, f, g, h) = boxes
    return a < g and e < c and b < h and f < d


FACES = [
    Face(top, bottom, date, numeral, unit, motif, "left", mark, 6.0)
    for top, bottom, date, (numeral, unit), motif, mark in product(
        ("", "HALVERN", "UNITED COMMONWEALTH OF THE HALVERN ISLES"),
        ("", "FIVE MARL"),
        ("", "1953"),
        (("", ""), ("5", ""), ("25", "TINNE"), ("", "HALF\nMARL")),
        ("", "net", "coral wreath", "head", "lighthouse"),
        ("", "S"),
    )
]


@pytest.mark.parametrize(("ring", "hole"), [(0.0, 0.0), (0.66, 0.0), (0.0, 0.25)])
def test_nothing_on_a_face_collides_or_leaves_its_circle(ring: float, hole: float) -> None:
    core = 0.9
    for face in FACES:
        laid = lay_out(face, core, ring, hole)
        arcs = [x for x in laid.date if x.turn] or []
        groups = [g for g in (laid.numeral, laid.unit, laid.date, laid.marks) if g]
        for letter in [*laid.legends, *(x for g in groups for x in g)]:
            for x, y in corners(letter):
                assert math.hypot(x, y) < core + 0.005, (face, letter)
                assert math.hypot(x, y) > hole - 0.005, (face, letter)
        for one, other in combinations(groups, 2):
            if arcs:
                for a, b in product(one, other):
                    assert math.hypot(a.x - b.x, a.y - b.y) > 0.5 * (a.cap + b.cap), face
            else:
                assert not overlap(one, other), face
        for letter in laid.legends:
            feet = min(math.hypot(x, y) for x, y in corners(letter))
            for group in groups:
                for x, y in (p for inner in group if inner not in arcs for p in corners(inner)):
                    if math.hypot(x, y) > feet - 0.005:
                        near = math.hypot(x - letter.x, y - letter.y)
                        assert near > 0.8 * letter.cap, (face, letter)


def test_letters_stand_the_right_way_up() -> None:
    laid = lay_out(Face("HALVERN", "FIVE MARL"), core=0.9)
    top = [x for x in laid.legends if x.y < 0 and x.char != "•"]
    bottom = [x for x in laid.legends if x.y > 0 and x.char != "•"]
    for letters, text in ((top, "HALVERN"), (bottom, "FIVEMARL")):
        assert "".join(x.char for x in sorted(letters, key=lambda x: x.x)) == text
        assert all(abs(x.turn) < 90 for x in letters)


def test_mint_mark_stands_at_its_hour() -> None:
    for hour in (3, 6, 9, 12):
        laid = lay_out(Face(numeral="5", mint_mark="S", mint_mark_clock=hour), core=0.9)
        (mark,) = laid.marks
        angle = math.degrees(math.atan2(mark.x, -(mark.y - mark.cap / 2))) % 360
        assert angle == pytest.approx(hour * 30 % 360, abs=3)
