"""True scale on paper, read back from the drawing operators of the PDF.

Operators and their meaning: ISO 32000-1 (PDF 1.7), 8.3.3 (user space: 1 unit = 1/72 inch),
8.4.4 (q, Q, cm) and 8.5.2 (m, l, c, h). Read with pikepdf. Diameters: Council Regulation (EU)
No 729/2014, Annex I. Text positions are read with pdftotext of Poppler.
"""

from __future__ import annotations

import io
import math
import re
from dataclasses import dataclass, field

import pikepdf
import pytest
from django.template.loader import render_to_string
from PIL import Image

from catalogue.printing.album import AlbumRow, Pocket, lay_album
from catalogue.printing.coins import coin_art
from catalogue.printing.drawing import draw
from catalogue.printing.geometry import PAPERS, Page, Text
from catalogue.printing.label_text import Fact, Label
from catalogue.printing.labels import lay_labels
from catalogue.printing.ladder import Column, Piece, Rung, lay_ladder
from catalogue.printing.lettering import Lettering, text_width
from catalogue.printing.pdf import render_pdf
from catalogue.printing.stock import READY_MADE, Stock, slots, ticket_stock
from catalogue.talks.handing_out.cards import lay_cards
from catalogue.talks.handing_out.case_plan import Inner, Unit, lay_case, scale_for
from catalogue.talks.handing_out.faces import art_of
from catalogue.talks.handing_out.handout import lay_handout
from catalogue.talks.shown import ShownFace, ShownStop, ShownTalk
from series.picture.drawing import Drawn
from tests.poppler import pdftotext

pytest.importorskip("weasyprint", exc_type=OSError)

MM = 25.4 / 72
EURO_CENTS = {
    "50 cent": 24.25,
    "20 cent": 22.25,
    "10 cent": 19.75,
    "5 cent": 21.25,
    "2 cent": 18.75,
    "1 cent": 16.25,
}
Matrix = tuple[float, float, float, float, float, float]
Point = tuple[float, float]


@dataclass
class Path:
    """A drawn path: its points on the page in mm from the top left, curves as 33 points each."""

    points: list[Point] = field(default_factory=list)
    curved: bool = False

    def box(self) -> tuple[float, float, float, float]:
        xs, ys = [x for x, _ in self.points], [y for _, y in self.points]
        return min(xs), min(ys), max(xs), max(ys)


def pdf_of(
    pages: tuple[Page, ...],
    art: dict[str, str] | None = None,
    images: dict[str, bytes] | None = None,
) -> bytes:
    sheet = draw(pages, art)
    html = render_to_string("print/sheet.html", {"sheet": sheet, "title": "Trial", "lang": "en"})
    return render_pdf(html, title="Trial", lang="en", images=images)


def multiply(m: Matrix, n: Matrix) -> Matrix:
    return (
        m[0] * n[0] + m[1] * n[2],
        m[0] * n[1] + m[1] * n[3],
        m[2] * n[0] + m[3] * n[2],
        m[2] * n[1] + m[3] * n[3],
        m[4] * n[0] + m[5] * n[2] + n[4],
        m[4] * n[1] + m[5] * n[3] + n[5],
    )


def paths(pdf: bytes, page: int = 0, clips: bool = False) -> list[Path]:
    """Every subpath of a page that is stroked or filled, flattened, in mm of paper.

    With ``clips`` also those along which something is cut off (W and W*, then n).
    """
    with pikepdf.open(io.BytesIO(pdf)) as document:
        leaf = document.pages[page]
        height = float(leaf.mediabox[3])
        ctm: Matrix = (1, 0, 0, 1, 0, 0)
        stack: list[Matrix] = []
        open_paths: list[Path] = []
        found: list[Path] = []

        def place(x: float, y: float) -> Point:
            a, b, c, d, e, f = ctm
            return (a * x + c * y + e) * MM, (height - (b * x + d * y + f)) * MM

        here = (0.0, 0.0)
        for operands, operator in pikepdf.parse_content_stream(leaf):
            name = str(operator)
            if name == "q":
                stack.append(ctm)
            elif name == "Q":
                ctm = stack.pop()
            elif name == "cm":
                ctm = multiply(tuple(map(float, operands)), ctm)  # type: ignore[arg-type]
            elif name in ("m", "l", "c"):
                numbers = [float(n) for n in operands]
                ends = [(numbers[i], numbers[i + 1]) for i in range(0, len(numbers), 2)]
                if name == "m":
                    open_paths.append(Path([place(*ends[0])]))
                elif name == "l":
                    open_paths[-1].points.append(place(*ends[0]))
                else:
                    open_paths[-1].curved = True
                    open_paths[-1].points += [
                        place(*bezier(here, *ends, t / 32)) for t in range(1, 33)
                    ]
                here = ends[-1]
            elif name in ("S", "s", "f", "f*", "B", "B*", "b", "b*"):
                found += [path for path in open_paths if len(path.points) > 1]
                open_paths = []
            elif name in ("W", "W*") and clips:
                found += [path for path in open_paths if len(path.points) > 1]
            elif name == "n":
                open_paths = []
        return found


def bezier(p0: Point, p1: Point, p2: Point, p3: Point, t: float) -> Point:
    """A point of a cubic Bézier curve (ISO 32000-1, 8.5.2.2)."""
    s = 1 - t
    weights = s**3, 3 * s * s * t, 3 * s * t * t, t**3
    return tuple(  # type: ignore[return-value]
        sum(w * p[axis] for w, p in zip(weights, (p0, p1, p2, p3), strict=True)) for axis in (0, 1)
    )


def diameters(path: Path) -> list[float]:
    """The distance across the middle of a closed curve, in every direction of its points."""
    left, top, right, bottom = path.box()
    cx, cy = (left + right) / 2, (top + bottom) / 2
    return [2 * math.hypot(x - cx, y - cy) for x, y in path.points]


def album_of(coins: dict[str, float], paper: str = "A4") -> tuple[Page, ...]:
    row = AlbumRow("Cents", "", tuple(Pocket(name, mm, (name,)) for name, mm in coins.items()))
    return lay_album("Euro cents", [row], paper=PAPERS[paper])


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_every_euro_cent_measures_its_diameter_on_paper_in_every_direction(paper: str) -> None:
    circles = [path for path in paths(pdf_of(album_of(EURO_CENTS, paper))) if path.curved]
    assert len(circles) == len(EURO_CENTS)
    for circle, mm in zip(circles, EURO_CENTS.values(), strict=True):
        assert min(diameters(circle)) == pytest.approx(mm, abs=0.05)
        assert max(diameters(circle)) == pytest.approx(mm, abs=0.05)


def test_a_drawn_coin_measures_its_diameter_too() -> None:
    pages = album_of({"50 cent": 24.25})
    art = {"50 cent": coin_art(Drawn(24.25, colour="brass", text="50"))}
    circles = [path for path in paths(pdf_of(pages, art)) if path.curved]
    edge = max(circles, key=lambda path: max(diameters(path)))
    assert min(diameters(edge)) == pytest.approx(24.25, abs=0.05)
    assert max(diameters(edge)) == pytest.approx(24.25, abs=0.05)


HOLED = Drawn(24.25, colour="bronze", hole="round", hole_mm=6)


@pytest.mark.parametrize("drawn", [HOLED, Drawn(24.25)], ids=["holed", "whole"])
@pytest.mark.parametrize("picture", ["", "face"], ids=["drawn", "pictured"])
def test_no_circle_of_a_coin_is_wider_one_way_than_another(drawn: Drawn, picture: str) -> None:
    """Its layers, its hole and the cut round its picture are as true as its edge."""
    png = io.BytesIO()
    Image.new("RGB", (60, 60), "#806040").save(png, "PNG")
    art = {"50 cent": coin_art(drawn, picture=picture)}
    pdf = pdf_of(album_of({"50 cent": 24.25}), art, {"face": png.getvalue()})
    circles = [path for path in paths(pdf, clips=True) if path.curved]
    across = [diameters(path) for path in circles]
    assert max(map(max, across)) == pytest.approx(24.25, abs=0.05)
    for one in across:
        assert max(one) - min(one) < 0.05


def test_a_plain_svg_circle_would_not_be_true_to_scale() -> None:
    """Why circles are drawn as four curves of our own: shows that the check can fail."""
    html = (
        '<body class="sheet-a4"><section class="sheet"><svg class="shapes" width="210mm" '
        'height="297mm" viewBox="0 0 210 297"><circle cx="50" cy="50" r="12.125"/></svg></section>'
    )
    (circle,) = [p for p in paths(render_pdf(html, title="x", lang="en")) if p.curved]
    assert max(diameters(circle)) > 24.30


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_rule_of_an_album_page_is_50_mm_long(paper: str) -> None:
    assert any(
        path.box()[2] - path.box()[0] == pytest.approx(50, abs=0.05)
        and path.box()[3] == pytest.approx(path.box()[1])
        for path in paths(pdf_of(album_of({"50 cent": 24.25}, paper)))
    )


def test_a_reduced_ladder_draws_half_the_diameter() -> None:
    columns = [Column(f"Series {n}") for n in range(6)]
    rung = Rung("50 cent", tuple((Piece(f"p{n}", 24.25),) for n in range(6)))
    pages = lay_ladder("Euro", columns, [rung])
    assert [text.lines for text in pages[0].texts if text.key == "scale"] == [("drawn at 1:2",)]
    circles = [path for path in paths(pdf_of(pages)) if path.curved]
    assert len(circles) == 6
    for circle in circles:
        assert max(diameters(circle)) == pytest.approx(24.25 / 2, abs=0.05)


def test_a_round_ticket_is_cut_to_half_a_millimetre_less_than_its_holder() -> None:
    pages = lay_labels([Label("1", ((Fact("1 cent"),),))], ticket_stock("A4", "round", inner=35))
    (circle,) = [path for path in paths(pdf_of(pages)) if path.curved]
    assert max(diameters(circle)) == pytest.approx(34.5, abs=0.05)


@pytest.mark.parametrize(("paper", "width", "height"), [("A4", 210, 297), ("Letter", 215.9, 279.4)])
def test_the_page_is_as_large_as_the_paper(paper: str, width: float, height: float) -> None:
    with pikepdf.open(io.BytesIO(pdf_of(album_of(EURO_CENTS, paper)))) as document:
        box = [float(n) * MM for n in document.pages[0].mediabox]
    assert box == pytest.approx([0, 0, width, height], abs=0.05)


def words_of(pdf: bytes) -> list[tuple[int, str, float, float, float, float]]:
    """Page, word, and its box in mm, as Poppler sees them."""
    found, page = [], 0
    for line in pdftotext(pdf, "-bbox").splitlines():
        page += "<page " in line
        word = re.search(r'xMin="(.*?)" yMin="(.*?)" xMax="(.*?)" yMax="(.*?)">(.*)</word>', line)
        if word:
            box = [float(n) * MM for n in word.groups()[:4]]
            found.append((page, word[5], *box))
    return found  # type: ignore[return-value]


@pytest.mark.parametrize("stock", READY_MADE, ids=lambda stock: f"{stock.paper}: {stock.name}")
def test_every_word_of_a_label_is_printed_inside_its_label(stock: Stock) -> None:
    count, first = stock.per_sheet + 3, 4
    labels = [
        Label(
            f"{n}",
            tuple((Fact(f"n{n}{rest}"),) for rest in ("a Tinne", "b Halvern", "c cupro-nickel")),
        )
        for n in range(count)
    ]
    seen = set()
    places = slots(stock, count, first)
    for page, word, left, top, right, bottom in words_of(pdf_of(lay_labels(labels, stock, first))):
        if not (number := re.match(r"n(\d+)[abc]$", word)):
            continue
        slot = places[int(number[1])]
        seen.add(word)
        assert page == slot.page
        assert slot.x <= left
        assert right <= slot.x + slot.width
        assert slot.y <= top
        assert bottom <= slot.y + slot.height
    assert len(seen) == 3 * count


SAMPLES = (
    "Halvern 25 tinne 1953",
    "AVATAR To. We. Ye, fj gy",
    "Cu75Ni25, 5.40 g, 23.5 × 1.60 mm",
    "r. f, y. 7. “T” (Wj) [f]",
    "İstanbul Łódź Žižka Ærø",
    "ll ff fi ffi flj",
)


@pytest.mark.parametrize("family", ["serif", "sans"])
@pytest.mark.parametrize("weight", [400, 600])
@pytest.mark.parametrize("italic", [False, True])
def test_no_text_is_printed_wider_than_it_was_measured(
    family: str, weight: int, italic: bool
) -> None:
    how = Lettering("sample", family, 10, weight=weight, italic=italic)
    texts = tuple(
        Text(str(n), 20, 20 + 10 * n, 150, (sample,), how) for n, sample in enumerate(SAMPLES)
    )
    words = words_of(pdf_of((Page(PAPERS["A4"], 1, 1, texts=texts),)))
    for text, sample in zip(texts, SAMPLES, strict=True):
        line = [word for word in words if abs(word[3] - text.y) < 4]
        assert len(line) == len(sample.split())
        printed = max(word[4] for word in line) - 20
        assert 0.85 * text_width(sample, how) < printed <= text_width(sample, how)


def cents_talk() -> ShownTalk:
    stops = []
    for number, (name, mm) in enumerate(EURO_CENTS.items()):
        faces = tuple(
            ShownFace(side, "", mm, shape=Drawn(mm, colour="brass", text="5"))
            for side in ("obverse", "reverse")
        )
        stops.append(ShownStop(number, "piece", name, faces=faces))
    return ShownTalk("Euro cents", stops=tuple(stops))


def edges(pdf: bytes) -> list[Path]:
    """The curves that lie in no larger one: the edges of coins."""
    curves = sorted(
        (path for path in paths(pdf) if path.curved), key=lambda path: -max(diameters(path))
    )
    found: list[Path] = []
    for curve in curves:
        if not any(_meet(curve.box(), edge.box()) for edge in found):
            found.append(curve)
    return found


def _meet(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    return (
        one[0] < other[2] - 0.1
        and one[2] > other[0] + 0.1
        and one[1] < other[3] - 0.1
        and one[3] > other[1] + 0.1
    )


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_both_faces_of_every_stop_of_a_hand_out_measure_their_diameter(paper: str) -> None:
    talk = cents_talk()
    art = art_of(talk, lambda _src: None, 1, lambda _done: None)
    pdf = pdf_of(lay_handout(talk, PAPERS[paper]), dict(art.coins))
    measured = sorted(round(max(diameters(edge)), 2) for edge in edges(pdf))
    wanted = sorted(2 * list(EURO_CENTS.values()))
    assert measured == pytest.approx(wanted, abs=0.05)
    assert any(
        path.box()[2] - path.box()[0] == pytest.approx(50, abs=0.05)
        and path.box()[3] == pytest.approx(path.box()[1])
        for path in paths(pdf)
    )


def test_the_plan_of_a_case_draws_tray_and_coins_at_one_scale() -> None:
    talk = cents_talk()
    inner = Inner(400, 300)
    assert scale_for(inner, PAPERS["A4"].turned()) == 0.5
    units = [
        Unit(n, name, (mm,), (60, 30), (f"face-{n}-reverse",))
        for n, (name, mm) in enumerate(EURO_CENTS.items(), 1)
    ]
    art = art_of(talk, lambda _src: None, 0.5, lambda _done: None)
    pdf = pdf_of(lay_case("Euro cents", units, inner), dict(art.coins))
    measured = sorted(round(max(diameters(edge)), 2) for edge in edges(pdf))
    assert measured == pytest.approx(sorted(mm / 2 for mm in EURO_CENTS.values()), abs=0.05)
    boxes = [path.box() for path in paths(pdf) if not path.curved and len(path.points) > 3]
    sizes = {(round(r - x, 1), round(b - y, 1)) for x, y, r, b in boxes}
    assert {(200.0, 150.0), (30.0, 15.0)} <= sizes  # the tray, a card


def test_case_cards_are_as_wide_as_their_cut_marks_say() -> None:
    stop = ShownStop(0, "piece", "25 tinne, 1970", caption="A net became three ears of wheat.")
    sheet = lay_cards(ShownTalk("First Marl", stops=(stop,)), size=14)
    marks = [path.box() for path in paths(pdf_of(sheet.pages))]
    upright = sorted({round(x, 2) for x, y, r, b in marks if r - x < 0.01 and b - y > 4})
    assert upright[-1] - upright[0] == pytest.approx(sheet.cards[0].width, abs=0.05)
