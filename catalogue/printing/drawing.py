"""Turn a laid-out page into what the print template needs: one SVG, texts, and their styles.

Shapes of a page go into one inline SVG whose unit is the millimetre; every text becomes one
element. Its place and lettering are given by classes, each written once in a style sheet for
the whole document, which is laid out much faster than a style attribute on each element.
Geometry goes into SVG attributes. No text of a user gets into the SVG or the style sheet; in
the markup of a text it stands escaped.

>>> from catalogue.printing.geometry import PAPERS, Line, Page
>>> drawn = draw([Page(PAPERS["A4"], 1, 1, lines=(Line(20, 280, 70, 280, "rule"),))])
>>> drawn.pages[0].svg
'<svg class="shapes" width="210mm" height="297mm" viewBox="0 0 210 297">\
<path d="M20 280L70 280" stroke="#1F2226" stroke-width="0.2"/></svg>'
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import escape

from catalogue.printing.geometry import Box, Line, Page, Picture, Text
from catalogue.printing.lettering import FAMILY_NAMES, MM_PER_POINT, Lettering
from series.text.words import number

COLOURS = {"ink": "#1F2226", "muted": "#666A70", "accent": "#8A5A1F", "warning": "#9A3F2B"}
BAR_GAP = 0.6  # mm from a picture to the bar under it
_ARM = 4 / 3 * (math.sqrt(2) - 1)
_LOOKS = {
    "held": 'fill="none" stroke="#1F2226" stroke-width="0.25"',
    "gap": 'fill="none" stroke="#8A8678" stroke-width="0.25" stroke-dasharray="1.2 0.9"',
    "cut": 'fill="none" stroke="#B4B0A6" stroke-width="0.1"',
    "code": 'fill="none"',
    "full": 'fill="#28566B" stroke="#28566B" stroke-width="0.15"',
    "empty": 'fill="none" stroke="#8A8678" stroke-width="0.15"',
    "thin": 'stroke="#D8D4C9" stroke-width="0.2"',
    "strong": 'stroke="#1F2226" stroke-width="0.35"',
    "rule": 'stroke="#1F2226" stroke-width="0.2"',
}


@dataclass(frozen=True)
class DrawnText:
    """One element: its tag, its classes, its text as markup with a line feed between lines."""

    tag: str
    classes: str
    markup: str


@dataclass(frozen=True)
class DrawnPicture:
    """A picture, and the bar under it: their classes, and how many mm 10 mm of the coin are."""

    name: str
    alt: str
    classes: str
    bar: str
    scale: str | None


@dataclass(frozen=True)
class DrawnPage:
    """One page: shapes as SVG markup (safe: made of numbers alone), pictures and texts."""

    number: int
    svg: str
    pictures: tuple[DrawnPicture, ...]
    texts: tuple[DrawnText, ...]


@dataclass(frozen=True)
class DrawnSheet:
    """A document: its pages, the style sheet of their places, and the named page to print on."""

    page_name: str
    css: str
    pages: tuple[DrawnPage, ...]


def draw(pages: Sequence[Page], art: Mapping[str, str] | None = None) -> DrawnSheet:
    """Draw pages of one paper.

    ``art`` gives SVG markup, centred on (0, 0) and in mm, to put in the place of the circle or
    the box of that key (a coin, a QR code). It is trusted markup.
    """
    styles = _Styles()
    drawn = tuple(
        DrawnPage(page.number, _svg(page, art or {}), styles.pictures(page), styles.texts(page))
        for page in pages
    )
    name = "sheet"
    if pages:
        paper = pages[0].paper
        turned = "-turned" if paper.width > paper.height else ""
        name = f"sheet-{paper.name.lower()}{turned}"
    return DrawnSheet(name, styles.css(), drawn)


class _Styles:
    """The classes used so far: places (left, top, width in mm) and letterings."""

    def __init__(self) -> None:
        self._places: dict[str, str] = {}
        self._letterings: dict[str, Lettering] = {}

    def texts(self, page: Page) -> tuple[DrawnText, ...]:
        return tuple(DrawnText(text.tag, self._classes(text), _markup(text)) for text in page.texts)

    def pictures(self, page: Page) -> tuple[DrawnPicture, ...]:
        return tuple(self._picture(picture) for picture in page.pictures)

    def _picture(self, picture: Picture) -> DrawnPicture:
        left, top = self._place(f"left:{number(picture.x)}mm"), self._top(picture.y)
        side = number(picture.size)
        classes = f"{left} {top} {self._place(f'width:{side}mm;height:{side}mm')}"
        bar = f"{left} {self._top(picture.y + picture.size + BAR_GAP)}" if picture.scale else ""
        return DrawnPicture(picture.name, picture.alt, classes, bar, picture.scale)

    def _classes(self, text: Text) -> str:
        self._letterings[text.lettering.name] = text.lettering
        across = self._place(f"left:{number(text.x)}mm;width:{number(text.width)}mm")
        return f"{text.lettering.name} {across} {self._top(text.y)}"

    def _top(self, y: float) -> str:
        return self._place(f"top:{number(y)}mm")

    def _place(self, rule: str) -> str:
        return self._places.setdefault(rule, f"p{len(self._places)}")

    def css(self) -> str:
        places = [f".{name}{{{rule}}}" for rule, name in self._places.items()]
        return "".join([*map(_rule, self._letterings.values()), *places])


def _markup(text: Text) -> str:
    """The lines of a text, escaped, with its strong parts marked."""
    if not text.strong:
        return escape("\n".join(text.lines))
    lines = []
    for place, line in enumerate(text.lines):
        parts, at = [], 0
        for _line, start, end in (span for span in text.strong if span.line == place):
            parts += [escape(line[at:start]), f"<b>{escape(line[start:end])}</b>"]
            at = end
        lines.append("".join([*parts, escape(line[at:])]))
    return "\n".join(lines)


def _rule(lettering: Lettering) -> str:
    rule = (
        f".{lettering.name}{{font-family:'{FAMILY_NAMES[lettering.family]}';"
        f"font-size:{number(lettering.size)}pt;font-weight:{lettering.weight};"
        f"line-height:{number(lettering.line_height / MM_PER_POINT)}pt;"
        f"color:{COLOURS[lettering.colour]};text-align:{lettering.align}"
        f"{';font-style:italic' if lettering.italic else ''}}}"
    )
    if lettering.first is not None:
        family, weight = lettering.first
        rule += (
            f".{lettering.name}::first-line{{font-family:'{FAMILY_NAMES[family]}';"
            f"font-weight:{weight}}}"
        )
    return rule


def _svg(page: Page, art: Mapping[str, str]) -> str:
    """The shapes of a page, those of one look in a single path, and the art over them."""
    shapes: dict[str, list[str]] = {}
    placed = []
    for line in page.lines:
        shapes.setdefault(line.look, []).append(_line_path(line))
    for box in page.boxes:
        if box.key in art and box.look == "code":
            placed.append((art[box.key], box.x + box.width / 2, box.y + box.height / 2))
        else:
            shapes.setdefault(box.look, []).append(_box_path(box))
    for circle in page.circles:
        if circle.key in art and circle.look != "cut":
            placed.append((art[circle.key], circle.cx, circle.cy))
        else:
            path = circle_path(circle.cx, circle.cy, circle.r)
            shapes.setdefault(circle.look, []).append(path)
    if not shapes and not placed:
        return ""
    width, height = number(page.paper.width), number(page.paper.height)
    return (
        f'<svg class="shapes" width="{width}mm" height="{height}mm" '
        f'viewBox="0 0 {width} {height}">'
        + "".join(f'<path d="{"".join(paths)}" {_LOOKS[look]}/>' for look, paths in shapes.items())
        + "".join(_placed(*each) for each in placed)
        + "</svg>"
    )


def _placed(markup: str, x: float, y: float) -> str:
    return f'<g transform="translate({number(x)} {number(y)})">{_true_circles(markup)}</g>'


def _line_path(line: Line) -> str:
    return f"M{number(line.x1)} {number(line.y1)}L{number(line.x2)} {number(line.y2)}"


def _box_path(box: Box) -> str:
    x, y = number(box.x), number(box.y)
    return f"M{x} {y}H{number(box.x + box.width)}V{number(box.y + box.height)}H{x}Z"


def circle_path(cx: float, cy: float, r: float) -> str:
    """A circle as SVG path data of four cubic curves, nowhere further than 0.03 % of r from it.

    WeasyPrint draws ``<circle>`` 0.6 % too wide on its diagonals and a half-circle arc 2 %, so a
    coin drawn by either would not lie true in its pocket. The arm of the curve, 4/3 (√2 - 1), is
    the one for which the middle of each quarter lies on the circle.
    """
    x1, x2, x3, x4, x5 = (number(cx + r * f) for f in (-1, -_ARM, 0, _ARM, 1))
    y1, y2, y3, y4, y5 = (number(cy + r * f) for f in (-1, -_ARM, 0, _ARM, 1))
    return (
        f"M{x5} {y3}C{x5} {y4} {x4} {y5} {x3} {y5}S{x1} {y4} {x1} {y3}"
        f"S{x2} {y1} {x3} {y1}S{x5} {y2} {x5} {y3}Z"
    )


def _true_circles(markup: str) -> str:
    """The same markup with every circle drawn by :func:`circle_path`.

    A circle may be a ``<circle>`` or two half-circle arcs in path data (an edge with its hole).
    """

    def path(found: re.Match[str]) -> str:
        attributes = dict(re.findall(r'([\w:-]+)="([^"]*)"', found[1]))
        cx, cy, r = (float(attributes.pop(name, 0)) for name in ("cx", "cy", "r"))
        rest = "".join(f' {name}="{value}"' for name, value in attributes.items())
        return f'<path d="{circle_path(cx, cy, r)}"{rest}/>'

    def arcs(found: re.Match[str]) -> str:
        x, top, r, bottom = map(float, found.groups())
        return circle_path(x, (top + bottom) / 2, r)

    return re.sub(r"<circle\b([^>]*)/>", path, _HALVES.sub(arcs, markup))


_NUMBER = r"(-?\d+(?:\.\d+)?)"
_HALVES = re.compile(rf"M{_NUMBER} {_NUMBER}A{_NUMBER} \3 0 0 1 \1 {_NUMBER}A\3 \3 0 0 1 \1 \2Z")
