from __future__ import annotations

import re
from dataclasses import replace

from django.template.loader import render_to_string
from hypothesis import given
from hypothesis import strategies as st

from catalogue.printing.codes import qr_markup
from catalogue.printing.coins import coin_art, widest_mm
from catalogue.printing.drawing import circle_path, draw
from catalogue.printing.geometry import PAPERS, Box, Circle, Line, Page, Text
from catalogue.printing.lettering import Lettering
from series.picture.drawing import Drawn
from series.picture.metals import METALS
from series.text.words import number

SANS = Lettering("plain", "sans", 8)


def page(**what: object) -> Page:
    return replace(Page(PAPERS["A4"], 1, 1), **what)


@given(st.floats(-1e5, 1e5))
def test_a_number_is_exact_to_half_a_micrometre_and_plain(value: float) -> None:
    text = number(value)
    assert abs(float(text) - value) <= 0.00051
    assert re.fullmatch(r"-?\d+(\.\d+)?", text)


@given(st.floats(0, 300), st.floats(0, 300), st.floats(1, 60))
def test_a_circle_starts_and_ends_on_its_right(cx: float, cy: float, r: float) -> None:
    numbers = [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", circle_path(cx, cy, r))]
    assert numbers[:2] == numbers[-2:] == [float(number(cx + r)), float(number(cy))]
    assert len(numbers) == 20


def test_shapes_of_one_look_share_a_path() -> None:
    circles = tuple(Circle(str(n), 20 * n, 20, 8, "gap" if n % 2 else "held") for n in range(1, 7))
    svg = draw([page(circles=circles)]).pages[0].svg
    assert svg.count("<path") == 2
    assert svg.count("stroke-dasharray") == 1
    assert svg.count("M") == 6


def test_a_circle_with_art_gets_the_art_at_its_centre_with_true_circles() -> None:
    svg = draw([page(circles=(Circle("a", 30, 40, 5),))], {"a": '<circle r="5"/>'}).pages[0].svg
    assert f'<g transform="translate(30 40)"><path d="{circle_path(0, 0, 5)}"/></g>' in svg
    assert "<circle" not in svg


def test_a_code_is_drawn_in_its_box() -> None:
    box = Box("a", 10, 20, 15, 15, "code")
    svg = draw([page(boxes=(box,))], {"a": qr_markup("https://a.example/", 15)}).pages[0].svg
    assert '<g transform="translate(17.5 27.5)"><path transform="translate(-7.5 -7.5)' in svg


def test_texts_in_the_same_place_on_two_pages_share_their_classes() -> None:
    text = Text("a", 10, 20, 30, ("one", "two"), SANS)
    sheet = draw([page(texts=(text,)), page(number=2, texts=(text,))])
    (first,), (second,) = (drawn.texts for drawn in sheet.pages)
    assert first == second
    assert first.markup == "one\ntwo"
    assert sheet.css.count("left:10mm;width:30mm") == 1
    assert sheet.css.count("top:20mm") == 1
    assert ".plain{font-family:'Source Sans Pro';font-size:8pt;" in sheet.css


def test_the_named_page_follows_the_paper() -> None:
    turned = Page(PAPERS["Letter"].turned(), 1, 1)
    assert draw([page()]).page_name == "sheet-a4"
    assert draw([turned]).page_name == "sheet-letter-turned"


def test_a_page_without_shapes_has_no_svg() -> None:
    assert draw([page()]).pages[0].svg == ""


def test_what_a_member_typed_is_escaped_on_the_sheet() -> None:
    nasty = Text("a", 1, 1, 1, ('<img src="file:///etc/passwd">',), SANS)
    sheet = draw([page(texts=(nasty,), lines=(Line(1, 1, 2, 2),))])
    html = render_to_string(
        "print/sheet.html", {"sheet": sheet, "title": "</title><b>", "lang": "en"}
    )
    assert "<img" not in html
    assert "<b>" not in html
    assert "&lt;img" in html


def test_a_printed_coin_uses_no_gradient_for_any_metal() -> None:
    for colour in METALS:
        markup = coin_art(Drawn(24, colour=colour, centre_colour="gold", ring_mm=15, hole_mm=0))
        assert "url(" not in markup
        assert f'stroke="{METALS[colour].deep}"' in markup
        assert f'stroke="{METALS["gold"].deep}"' in markup


def test_a_printed_holed_coin_keeps_its_hole() -> None:
    markup = coin_art(Drawn(24, hole="round", hole_mm=5, colour="bronze"))
    assert 'fill-rule="evenodd"' in markup
    assert "url(" not in markup


def test_a_pictured_coin_is_cut_along_its_outline_and_names_its_picture_escaped() -> None:
    markup = coin_art(Drawn(20, outline="scalloped", sides=12), 0.5, 'face"><script>')
    cut = re.search(r'<clipPath id="([\w-]+)">', markup)
    assert cut is not None
    assert f'clip-path="url(#{cut[1]})"' in markup
    assert "<script>" not in markup
    assert 'width="10"' in markup


def test_a_pocket_lets_in_the_corners_of_a_square_piece() -> None:
    assert widest_mm(Drawn(20)) == 20
    assert 20 < widest_mm(Drawn(20, outline="square")) < 20 * 2**0.5


def test_a_circle_made_of_two_arcs_is_drawn_as_a_true_one() -> None:
    art = {"a": '<path d="M1 -4A5 5 0 0 1 1 6A5 5 0 0 1 1 -4Z" fill="none"/>'}
    svg = draw([page(circles=(Circle("a", 30, 40, 5),))], art).pages[0].svg
    assert f'<path d="{circle_path(1, 1, 5)}" fill="none"/>' in svg
