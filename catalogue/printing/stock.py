"""Label stock by its measures, what does not fit, and where each label lies on the sheets.

A stock is nothing but rows, columns, the size of a label, the left and top margins and the
gaps between: measured with a ruler, in mm. Round labels have width = height = diameter.

The ready-made measures are common divisions of A4 and Letter sheets (common practice, no
source): check them against the sheet in hand.

>>> four = Stock("A4", columns=4, rows=8, width=60, height=30, gap_across=2)
>>> misfits(four)
['4 columns of 60 mm and 3 gaps of 2 mm need 246 mm; A4 is 210 mm wide.']
>>> three = Stock("A4", columns=3, rows=8, width=70, height=37, top=0.5)
>>> [(slot.page, slot.x, slot.y) for slot in slots(three, count=3, first=23)]
[(1, 70.0, 259.5), (1, 140.0, 259.5), (2, 0.0, 0.5)]
>>> ticket_stock("A4", "round", inner=35.5).name
'round tickets of 35 mm, 5 × 7'
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import NamedTuple

from catalogue.printing import words
from catalogue.printing.geometry import PAPERS, SheetProblem

EDGE = 5.0  # mm a desktop printer may leave blank
TICKET_PLAY = 0.5  # mm between a ticket and the holder it drops into
TOLERANCE = 1e-6  # mm, for sums of decimal fractions
RULE_ROOM = 12.0  # mm above and below tickets, for the 50 mm rule
TICKET_GAP = 3.0  # mm between tickets that are cut out with scissors or a punch


@dataclass(frozen=True)
class Stock:
    """A sheet of labels; lengths in mm. ``cut`` draws outlines to cut along on plain paper."""

    paper: str
    columns: int
    rows: int
    width: float
    height: float
    left: float = 0.0
    top: float = 0.0
    gap_across: float = 0.0
    gap_down: float = 0.0
    round: bool = False
    cut: bool = False

    @property
    def per_sheet(self) -> int:
        return self.columns * self.rows

    @property
    def across(self) -> float:
        """Width of all columns with the gaps between them."""
        return _run(self.columns, self.width, self.gap_across)

    @property
    def down(self) -> float:
        """Height of all rows with the gaps between them."""
        return _run(self.rows, self.height, self.gap_down)

    @property
    def name(self) -> str:
        """What it is, in its own measures: "3 × 8, 70 × 37 mm"."""
        grid = f"{self.columns} × {self.rows}"
        if self.round:
            kind = "tickets" if self.cut else "labels"
            return f"round {kind} of {words.measure(self.width)} mm, {grid}"
        size = f"{words.area(self.width, self.height)} mm"
        return f"tickets of {size}, {grid}" if self.cut else f"{grid}, {size}"


def _run(number: int, size: float, gap: float) -> float:
    return number * size + (number - 1) * gap


@dataclass(frozen=True)
class Slot:
    """Where one label lies: sheet from 1, top left corner and size in mm."""

    page: int
    x: float
    y: float
    width: float
    height: float


def _centred(
    paper: str, columns: int, rows: int, width: float, height: float, **more: float | bool
) -> Stock:
    """A stock with equal margins left and right, above and below."""
    stock = Stock(paper, columns, rows, width, height, **more)  # type: ignore[arg-type]
    size = PAPERS[paper]
    left, top = (size.width - stock.across) / 2, (size.height - stock.down) / 2
    return replace(stock, left=round(left, 3), top=round(top, 3))


READY_MADE: tuple[Stock, ...] = (
    _centred("A4", 3, 8, 70.0, 37.0),
    _centred("A4", 3, 7, 63.5, 38.1, gap_across=2.5),
    _centred("A4", 2, 7, 99.1, 38.1, gap_across=2.5),
    _centred("A4", 5, 13, 38.1, 21.2, gap_across=2.5),
    _centred("A4", 4, 5, 45.0, 45.0, gap_across=3.0, gap_down=3.0, cut=True),
    _centred("A4", 5, 7, 35.0, 35.0, gap_across=3.0, gap_down=3.0, round=True, cut=True),
    _centred("Letter", 3, 10, 66.675, 25.4, gap_across=3.175),
    _centred("Letter", 2, 10, 101.6, 25.4, gap_across=4.0),
    _centred("Letter", 4, 5, 45.0, 45.0, gap_across=3.0, gap_down=3.0, cut=True),
    _centred("Letter", 5, 6, 35.0, 35.0, gap_across=3.0, gap_down=3.0, round=True, cut=True),
)


def ticket_stock(paper: str, shape: str, inner: float, inner_height: float = 0.0) -> Stock:
    """Tickets cut from plain paper to lie in a holder: as many as fit on a sheet.

    ``shape`` is "round" or "rectangle"; ``inner`` is the holder's inner diameter or width and
    ``inner_height`` its height (0: square), in mm. A ticket is 0.5 mm smaller.
    Raises :class:`SheetProblem` when not even one fits.
    """
    size = PAPERS[paper]
    width = inner - TICKET_PLAY
    height = (inner_height or inner) - TICKET_PLAY
    columns = _how_many(size.width - 2 * EDGE, width)
    rows = _how_many(size.height - 2 * RULE_ROOM, height)
    if width <= 0 or height <= 0 or columns < 1 or rows < 1:
        raise SheetProblem(words.no_ticket(inner, inner_height or inner, paper))
    gaps = {"gap_across": TICKET_GAP, "gap_down": TICKET_GAP}
    return _centred(paper, columns, rows, width, height, round=shape == "round", cut=True, **gaps)


def _how_many(room: float, size: float) -> int:
    if size <= 0:
        return 0
    return math.floor((room + TICKET_GAP) / (size + TICKET_GAP) + TOLERANCE)


def misfits(stock: Stock) -> list[str]:
    """Everything that does not fit, each as a sentence naming the measure; empty when all fits."""
    if stock.paper not in PAPERS:
        return [words.unknown_paper(stock.paper, " / ".join(PAPERS))]
    sizes = stock.width > 0 and stock.height > 0
    gaps = min(stock.left, stock.top, stock.gap_across, stock.gap_down)
    oval = stock.round and stock.width != stock.height
    wrong = (
        (min(stock.columns, stock.rows) < 1, words.NO_LABEL),
        (not sizes, words.NO_SIZE),
        (gaps < 0, words.BELOW_NOUGHT),
        (oval, words.not_round(stock.width, stock.height)),
    )
    problems = [sentence for is_wrong, sentence in wrong if is_wrong]
    if problems:
        return problems
    paper = PAPERS[stock.paper]
    across = _Run(stock.columns, stock.width, stock.gap_across, stock.left)
    down = _Run(stock.rows, stock.height, stock.gap_down, stock.top)
    found = (
        _too_long(words.ACROSS, across, paper.width, paper.name),
        _too_long(words.DOWN, down, paper.height, paper.name),
    )
    return [sentence for sentence in found if sentence]


class _Run(NamedTuple):
    """Labels in one direction: how many of a size, the gap between two, the margin before them."""

    number: int
    size: float
    gap: float
    margin: float


def _too_long(along: words.Along, run: _Run, room: float, paper: str) -> str:
    """Why labels in one direction do not fit the paper; "" where they do."""
    labels = _run(run.number, run.size, run.gap)
    needed = run.margin + labels
    if labels > room + TOLERANCE:
        return words.too_long(along, run.number, run.size, run.gap, labels, paper, room)
    if needed > room + TOLERANCE:
        return words.wide_margin(along, run.margin, labels, needed, paper, room)
    return ""


def slots(stock: Stock, count: int, first: int = 1) -> list[Slot]:
    """Places of ``count`` labels, row by row from the ``first`` free label of the first sheet on.

    Labels are numbered from 1 at the top left. Raises :class:`SheetProblem` for a stock that
    does not fit its paper or a first label that is not on the sheet.
    """
    for sentence in misfits(stock):
        raise SheetProblem(sentence)
    if not 1 <= first <= stock.per_sheet:
        raise SheetProblem(words.no_such_label(stock.per_sheet))
    places = []
    for index in range(first - 1, first - 1 + count):
        sheet, place = divmod(index, stock.per_sheet)
        row, column = divmod(place, stock.columns)
        places.append(
            Slot(
                page=sheet + 1,
                x=stock.left + column * (stock.width + stock.gap_across),
                y=stock.top + row * (stock.height + stock.gap_down),
                width=stock.width,
                height=stock.height,
            )
        )
    return places
