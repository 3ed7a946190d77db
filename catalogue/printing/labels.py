"""Labels and tickets: where each lies on the sheets, its text, its code and its outline.

How the text of a label is set, at one size for the whole sheet, is in
:mod:`catalogue.printing.label_text`. On a round ticket the text keeps within a rectangle inside
the circle. Lengths in mm, letter sizes in points.

A QR code takes a quarter of the label's width at most and needs 11 mm (37 modules of 0.3 mm with
its quiet zone; ISO/IEC 18004 asks for 4 modules of quiet zone; the module size is common
practice, no source).

>>> from catalogue.printing.label_text import Fact
>>> from catalogue.printing.stock import READY_MADE
>>> where = Fact("Halvern"), Fact("EF", strong=True)
>>> label = Label("2024.117", ((Fact("25 tinne, 1953"),), where))
>>> page, = lay_labels([label], READY_MADE[0], first=2)
>>> text, = page.texts
>>> text.lines, text.lettering.size, round(text.x, 1), round(text.y + text.height / 2, 1)
(('25 tinne, 1953', 'Halvern · EF'), 11.0, 75.0, 19.0)
>>> text.strong
(Span(line=1, start=10, end=12),)
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from catalogue.printing import words
from catalogue.printing.furniture import FOOT, RULE, check_rule
from catalogue.printing.geometry import PAPERS, Box, Circle, Page, SheetProblem, Span, Text
from catalogue.printing.label_text import FLOOR, LEADING, Fitted, Label, Room, Setting, fit
from catalogue.printing.lettering import MM_PER_POINT, Lettering, wrap
from catalogue.printing.stock import EDGE, RULE_ROOM, Slot, Stock, slots

PADDING = 2.5
ROUND_PADDING = 2.0
TRIAL = Lettering("trial", "sans", 9, align="center")
CODE_LEAST, CODE_MOST = 11.0, 22.0
CODE_SHARE = 4  # a code takes one in so many parts of the width


@dataclass(frozen=True)
class _Room:
    """Where text may stand in a label, from its top left corner; ``code`` is the QR's side."""

    x: float
    y: float
    width: float
    height: float
    code: float = 0.0


@cache
def _lettering(part: str, size: float, align: str) -> Lettering:
    name = f"label-{part}-{round(size * 10)}"
    if part == "title":
        return Lettering(name, "serif", size, LEADING, weight=600, align=align)
    first = ("serif", 600) if part == "whole" else None
    return Lettering(name, "sans", size, LEADING, align=align, first=first)


def fit_labels(labels: Sequence[Label], stock: Stock) -> Fitted:
    """The text of labels on a stock: its one size, and what had to be left out of which label.

    Raises :class:`SheetProblem` for a code without room or a label on which nothing fits.
    """
    room = _room(stock, coded=any(label.code for label in labels))
    fitted = fit(labels, cache(lambda size: _ways(stock, room, size)))
    if fitted.too_small:
        raise SheetProblem(words.small_label(fitted.too_small[0], stock.width, stock.height, FLOOR))
    return fitted


def lay_labels(labels: Sequence[Label], stock: Stock, first: int = 1) -> tuple[Page, ...]:
    """Lay labels on sheets in their order, from the first free label on.

    Tickets that are cut from plain paper get outlines and, below them, the 50 mm rule.

    Raises :class:`SheetProblem` for a stock that does not fit its paper, a first label that is
    not on the sheet, a label on which nothing fits, or a code for which there is no room.
    """
    places = slots(stock, len(labels), first)
    room = _room(stock, coded=any(label.code for label in labels))
    fitted = fit_labels(labels, stock)
    total = places[-1].page if places else 0
    pages = [Page(PAPERS[stock.paper], number, total) for number in range(1, total + 1)]
    for label, setting, slot in zip(labels, fitted.settings, places, strict=True):
        page = pages[slot.page - 1]
        page.texts += _texts(label.key, setting, fitted.size, slot, stock, room)
        if label.code:
            page.boxes.append(_code_box(label, slot, room))
        if stock.cut:
            _outline(page, label.key, slot, stock)
    for page in pages if stock.cut else ():
        _rule_below(page, stock)
    return tuple(pages)


def trial_page(stock: Stock) -> Page:
    """The outlines of all labels and the 50 mm rule, for plain paper.

    Held with a sheet of labels against the light it shows whether the measures are right.
    """
    page = Page(PAPERS[stock.paper])
    for slot in slots(stock, stock.per_sheet):
        _outline(page, "trial", slot, stock)
    x, y = (page.paper.width - RULE) / 2, page.paper.height / 2
    width = page.paper.width - 40
    text = wrap(words.TRIAL, TRIAL, width)
    page.lines += check_rule(x, y)
    page.texts += [
        Text("trial", 20, y - 4 - len(text) * TRIAL.line_height, width, text, TRIAL),
        Text("rule", 20, y + 1, width, (words.RULE,), TRIAL),
    ]
    return page


def _outline(page: Page, key: str, slot: Slot, stock: Stock) -> None:
    """The edge of a label, along which it may be cut."""
    if stock.round:
        r = stock.width / 2
        page.circles.append(Circle(key, slot.x + r, slot.y + r, r, "cut"))
    else:
        page.boxes.append(Box(key, slot.x, slot.y, slot.width, slot.height, "cut"))


def _rule_below(page: Page, stock: Stock) -> None:
    """The 50 mm rule below the tickets of a sheet, if there is room for it."""
    if page.paper.height - stock.top - stock.down < RULE_ROOM - 1e-6:
        return
    x, y = max(stock.left, EDGE), page.paper.height - EDGE - 1
    level = y - FOOT.line_height + 0.8
    page.lines += check_rule(x, y)
    page.texts.append(Text("rule", x + RULE + 3, level, 90, (words.RULE,), FOOT))


def _room(stock: Stock, coded: bool) -> _Room:
    """Room for text in every label of the stock, clear of the edges of the paper."""
    paper = PAPERS[stock.paper]
    if stock.round:
        if coded:
            raise SheetProblem(words.NO_ROUND_CODE)
        return _Room(0, 0, stock.width, stock.height)
    right = paper.width - stock.left - stock.across
    bottom = paper.height - stock.top - stock.down
    across = max(PADDING, EDGE - stock.left, EDGE - right)
    down = max(min(PADDING, stock.height / 10), EDGE - stock.top, EDGE - bottom)
    width, height = stock.width - 2 * across, stock.height - 2 * down
    if not coded:
        return _Room(across, down, width, height)
    code = min(height, CODE_MOST, stock.width / CODE_SHARE)
    if code < CODE_LEAST:
        raise SheetProblem(words.small_code(CODE_LEAST, stock.width, stock.height, code))
    return _Room(across, down, width - code - PADDING, height, code)


def _ways(stock: Stock, room: _Room, size: float) -> Room:
    """The ways to set text of a size: for a circle rectangles inside it, the widest first."""
    line_height = size * LEADING * MM_PER_POINT
    if not stock.round:
        return [(room.width, math.floor(room.height / line_height + 1e-9))]
    across = stock.width - 2 * ROUND_PADDING
    most = math.floor(across / line_height)
    return [(math.sqrt(across**2 - (n * line_height) ** 2), n) for n in range(1, most + 1)]


def _texts(
    key: str, setting: Setting, size: float, slot: Slot, stock: Stock, room: _Room
) -> list[Text]:
    """The text centred in its height: one block, or two where the title takes several lines."""
    align = "center" if stock.round else "left"
    line_height = _lettering("body", size, align).line_height
    height = len(setting.lines) * line_height
    x, width = slot.x + room.x, room.width
    if stock.round:
        across = stock.width - 2 * ROUND_PADDING
        width = math.sqrt(max(0.0, across**2 - height**2))
        x = slot.x + (stock.width - width) / 2
    y = slot.y + room.y + (room.height - height) / 2
    if setting.titles == 1:
        whole = _lettering("whole", size, align)
        return [Text(key, x, y, width, setting.lines, whole, strong=setting.strong)]
    title, body = setting.lines[: setting.titles], setting.lines[setting.titles :]
    strong = [span for span in setting.strong if span.line < setting.titles]
    rest = [Span(n - setting.titles, *to) for n, *to in setting.strong if n >= setting.titles]
    below = y + len(title) * line_height
    parts = (("title", y, title, strong), ("body", below, body, rest))
    return [
        Text(key, x, top, width, lines, _lettering(part, size, align), strong=tuple(spans))
        for part, top, lines, spans in parts
        if lines
    ]


def _code_box(label: Label, slot: Slot, room: _Room) -> Box:
    x = slot.x + room.x + room.width + PADDING
    y = slot.y + room.y + (room.height - room.code) / 2
    return Box(label.key, x, y, room.code, room.code, "code")
