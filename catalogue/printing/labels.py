"""Labels and tickets: what is written on each, at which size, and where on the sheets.

A label has a title and lines below it. The text is set at the largest size from 11 pt down to
5 pt at which every line, wrapped where it must be, fits; one size for the whole sheet as long
as that is 7 pt or more. On a round ticket the text keeps within a rectangle inside the circle.
Nothing is cut off: a text that does not fit at 5 pt is refused with a sentence that names it.
Lengths in mm, letter sizes in points. A QR code is given at least 11 mm (33 modules of 0.33 mm
with its quiet zone; ISO/IEC 18004 asks for 4 modules of quiet zone; the module size is common
practice, no source).

>>> from catalogue.printing.stock import READY_MADE
>>> label = Label("2024.117", "25 tinne, 1953", ("Halvern · First Marl", "Cu75Ni25 · EF"))
>>> page, = lay_labels([label], READY_MADE[0], first=2)
>>> text, = page.texts
>>> text.lines, text.lettering.size, round(text.x, 1), round(text.y + text.height / 2, 1)
(('25 tinne, 1953', 'Halvern · First Marl', 'Cu75Ni25 · EF'), 11.0, 75.0, 19.0)
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

from catalogue.printing.furniture import FOOT, RULE, Words, check_rule
from catalogue.printing.geometry import (
    PAPERS,
    Box,
    Circle,
    Line,
    Page,
    SheetProblem,
    Text,
    gettext_noop,
    measure,
)
from catalogue.printing.lettering import Lettering, longest_word, wrap
from catalogue.printing.stock import EDGE, RULE_ROOM, Slot, Stock, slots

SIZES = (11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0, 6.5, 6.0, 5.5, 5.0)
COMFORTABLE = 7.0  # pt: below this a single long label no longer sets the size of all
PADDING = 2.5
ROUND_PADDING = 2.0
TRIAL = Lettering("trial", "sans", 9, align="center")
CODE_LEAST, CODE_MOST = 11.0, 22.0


@dataclass(frozen=True)
class Label:
    """What is written on one label. ``code``: the address in its QR code, or ""."""

    key: str
    title: str
    lines: tuple[str, ...] = ()
    code: str = ""


@dataclass(frozen=True)
class _Room:
    """Where text may stand in a label, from its top left corner; ``code`` is the QR's side."""

    x: float
    y: float
    width: float
    height: float
    code: float = 0.0


@dataclass(frozen=True)
class _Fitted:
    size: float
    title: tuple[str, ...]
    body: tuple[str, ...]


@cache
def _lettering(part: str, size: float, align: str) -> Lettering:
    name = f"label-{part}-{round(size * 10)}"
    if part == "title":
        return Lettering(name, "serif", size, weight=600, align=align)
    first = ("serif", 600) if part == "whole" else None
    return Lettering(name, "sans", size, align=align, first=first)


def lay_labels(
    labels: Sequence[Label], stock: Stock, first: int = 1, words: Words | None = None
) -> tuple[Page, ...]:
    """Lay labels on sheets in their order, from the first free label on.

    Tickets that are cut from plain paper get outlines and, below them, the 50 mm rule.

    Raises :class:`SheetProblem` for a stock that does not fit its paper, a first label that is
    not on the sheet, a text that does not fit at 5 pt, or a code for which there is no room.
    """
    places = slots(stock, len(labels), first)
    room = _room(stock, coded=any(label.code for label in labels))
    fitted = [_fit(label, stock, room) for label in labels]
    shared = max(COMFORTABLE, min((fit.size for fit in fitted), default=SIZES[0]))
    total = places[-1].page if places else 0
    texts: dict[int, list[Text]] = {number: [] for number in range(1, total + 1)}
    boxes: dict[int, list[Box]] = {number: [] for number in range(1, total + 1)}
    circles: dict[int, list[Circle]] = {number: [] for number in range(1, total + 1)}
    for label, fit, slot in zip(labels, fitted, places, strict=True):
        if fit.size > shared:
            fit = _fit(label, stock, room, largest=shared)
        texts[slot.page] += _texts(label, fit, slot, stock, room)
        if label.code:
            boxes[slot.page].append(_code_box(label, slot, room))
        if stock.cut and stock.round:
            r = stock.width / 2
            circles[slot.page].append(Circle(label.key, slot.x + r, slot.y + r, r, "cut"))
        elif stock.cut:
            boxes[slot.page].append(Box(label.key, slot.x, slot.y, slot.width, slot.height, "cut"))
    lines, notes = _rule_below(stock, words or Words()) if stock.cut else ((), ())
    return tuple(
        Page(
            PAPERS[stock.paper],
            number,
            total,
            circles=tuple(circles[number]),
            boxes=tuple(boxes[number]),
            lines=lines,
            texts=(*texts[number], *notes),
        )
        for number in range(1, total + 1)
    )


def trial_page(stock: Stock, words: Words | None = None) -> Page:
    """The outlines of all labels and the 50 mm rule, for plain paper.

    Held with a sheet of labels against the light it shows whether the measures are right.
    """
    words = words or Words()
    paper = PAPERS[stock.paper]
    circles, boxes = [], []
    for slot in slots(stock, stock.per_sheet):
        if stock.round:
            r = stock.width / 2
            circles.append(Circle("trial", slot.x + r, slot.y + r, r, "cut"))
        else:
            boxes.append(Box("trial", slot.x, slot.y, slot.width, slot.height, "cut"))
    x, y = (paper.width - RULE) / 2, paper.height / 2
    width = paper.width - 40
    text = wrap(words.trial, TRIAL, width)
    return Page(
        paper,
        1,
        1,
        circles=tuple(circles),
        boxes=tuple(boxes),
        lines=check_rule(x, y),
        texts=(
            Text("trial", 20, y - 4 - len(text) * TRIAL.line_height, width, text, TRIAL),
            Text("rule", 20, y + 1, width, (words.rule,), TRIAL),
        ),
    )


def _rule_below(stock: Stock, words: Words) -> tuple[tuple[Line, ...], tuple[Text, ...]]:
    """The 50 mm rule below the tickets of a sheet, if there is room for it."""
    paper = PAPERS[stock.paper]
    tickets = stock.top + stock.rows * stock.height + (stock.rows - 1) * stock.gap_down
    if paper.height - tickets < RULE_ROOM - 1e-6:
        return (), ()
    x, y = max(stock.left, EDGE), paper.height - EDGE - 1
    level = y - FOOT.line_height + 0.8
    text = Text("rule", x + RULE + 3, level, 90, (words.rule,), FOOT)
    return check_rule(x, y), (text,)


def _room(stock: Stock, coded: bool) -> _Room:
    """Room for text in every label of the stock, clear of the edges of the paper."""
    paper = PAPERS[stock.paper]
    if stock.round:
        if coded:
            raise SheetProblem(
                gettext_noop(
                    "A round ticket has no room for a QR code: choose a rectangular one, or "
                    "leave the code out."
                ),
                {},
            )
        return _Room(0, 0, stock.width, stock.height)
    right = paper.width - stock.left - stock.columns * stock.width
    right -= (stock.columns - 1) * stock.gap_across
    bottom = paper.height - stock.top - stock.rows * stock.height
    bottom -= (stock.rows - 1) * stock.gap_down
    across = max(PADDING, EDGE - stock.left, EDGE - right)
    down = max(min(PADDING, stock.height / 10), EDGE - stock.top, EDGE - bottom)
    width, height = stock.width - 2 * across, stock.height - 2 * down
    if not coded:
        return _Room(across, down, width, height)
    code = min(height, CODE_MOST, width * 0.45)
    if code < CODE_LEAST:
        raise SheetProblem(
            gettext_noop(
                "A QR code needs %(least)s mm and a label of %(width)s × %(height)s mm leaves "
                "%(room)s mm: choose larger labels, or leave the code out."
            ),
            {
                "least": measure(CODE_LEAST),
                "width": measure(stock.width),
                "height": measure(stock.height),
                "room": measure(max(0.0, code)),
            },
        )
    return _Room(across, down, width - code - PADDING, height, code)


def _fit(label: Label, stock: Stock, room: _Room, largest: float = SIZES[0]) -> _Fitted:
    """The text of a label at the largest size at which it fits."""
    for size in SIZES:
        if size > largest:
            continue
        fit = _fit_round(label, stock, size) if stock.round else _fit_box(label, room, size)
        if fit is not None:
            return fit
    raise SheetProblem(
        gettext_noop(
            "The text of label %(label)s does not fit %(width)s × %(height)s mm even at "
            "%(size)s pt: choose larger labels or fewer lines."
        ),
        {
            "label": label.key,
            "width": measure(stock.width),
            "height": measure(stock.height),
            "size": measure(SIZES[-1]),
        },
    )


def _fit_box(label: Label, room: _Room, size: float) -> _Fitted | None:
    title, body = _wrapped(label, size, room.width)
    height = (len(title) + len(body)) * _lettering("body", size, "left").line_height
    fits = height <= room.height and _whole_words(label, size, room.width)
    return _Fitted(size, title, body) if fits else None


def _fit_round(label: Label, stock: Stock, size: float) -> _Fitted | None:
    """Try rectangles within the circle, the widest first, until the text fits one."""
    across = stock.width - 2 * ROUND_PADDING
    line_height = _lettering("body", size, "center").line_height
    fewest = bool(label.title) + len(label.lines)
    for lines in range(max(1, fewest), math.floor(across / line_height) + 1):
        width = math.sqrt(across**2 - (lines * line_height) ** 2)
        if not _whole_words(label, size, width):
            return None
        title, body = _wrapped(label, size, width)
        if len(title) + len(body) <= lines:
            return _Fitted(size, title, body)
    return None


def _whole_words(label: Label, size: float, width: float) -> bool:
    """Whether no word must be broken; at the smallest size one may be."""
    if size == SIZES[-1]:
        return True
    body = _lettering("body", size, "left")
    title = _lettering("title", size, "left")
    longest = max((longest_word(line, body) for line in label.lines), default=0.0)
    return max(longest, longest_word(label.title, title)) <= width


def _wrapped(label: Label, size: float, width: float) -> tuple[tuple[str, ...], tuple[str, ...]]:
    title = wrap(label.title, _lettering("title", size, "left"), width)
    body = _lettering("body", size, "left")
    return title, tuple(line for text in label.lines for line in wrap(text, body, width))


def _texts(label: Label, fit: _Fitted, slot: Slot, stock: Stock, room: _Room) -> list[Text]:
    """The text centred in its height: one block, or two where the title takes several lines."""
    align = "center" if stock.round else "left"
    line_height = _lettering("body", fit.size, align).line_height
    height = (len(fit.title) + len(fit.body)) * line_height
    x, width = slot.x + room.x, room.width
    if stock.round:
        across = stock.width - 2 * ROUND_PADDING
        width = math.sqrt(across**2 - height**2)
        x = slot.x + (stock.width - width) / 2
    y = slot.y + room.y + (room.height - height) / 2
    if len(fit.title) == 1:
        whole = _lettering("whole", fit.size, align)
        return [Text(label.key, x, y, width, fit.title + fit.body, whole)]
    texts = []
    if fit.title:
        texts.append(Text(label.key, x, y, width, fit.title, _lettering("title", fit.size, align)))
    if fit.body:
        below = y + len(fit.title) * line_height
        body = _lettering("body", fit.size, align)
        texts.append(Text(label.key, x, below, width, fit.body, body))
    return texts


def _code_box(label: Label, slot: Slot, room: _Room) -> Box:
    x = slot.x + room.x + room.width + PADDING
    y = slot.y + room.y + (room.height - room.code) / 2
    return Box(label.key, x, y, room.code, room.code, "code")
