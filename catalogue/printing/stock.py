"""Label stock by its measures, what does not fit, and where each label lies on the sheets.

A stock is nothing but rows, columns, the size of a label, the left and top margins and the
gaps between: measured with a ruler, in mm. Round labels have width = height = diameter.

The ready-made measures are common divisions of A4 and Letter sheets (common practice, no
source): check them against the sheet in hand.

>>> four = Stock("A4", columns=4, rows=8, width=60, height=30, gap_across=2)
>>> [str(problem) for problem in misfits(four)]
['4 columns of 60 mm and 3 gaps of 2 mm need 246 mm; A4 is 210 mm wide.']
>>> three = Stock("A4", columns=3, rows=8, width=70, height=37, top=0.5)
>>> [(slot.page, slot.x, slot.y) for slot in slots(three, count=3, first=23)]
[(1, 70.0, 259.5), (1, 140.0, 259.5), (2, 0.0, 0.5)]
>>> ticket_stock("A4", "round", inner=35.5).name
'round tickets of 35 mm, 5 × 7'
"""

from __future__ import annotations

import math
from dataclasses import dataclass
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
    def name(self) -> str:
        """What it is, in its own measures: "3 × 8, 70 × 37 mm"."""
        grid = f"{self.columns} × {self.rows}"
        if self.round:
            kind = "tickets" if self.cut else "labels"
            return f"round {kind} of {words.measure(self.width)} mm, {grid}"
        size = f"{words.measure(self.width)} × {words.measure(self.height)} mm"
        return f"tickets of {size}, {grid}" if self.cut else f"{grid}, {size}"


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
    across, down = float(more.get("gap_across", 0)), float(more.get("gap_down", 0))
    size = PAPERS[paper]
    return Stock(
        paper=paper,
        columns=columns,
        rows=rows,
        width=width,
        height=height,
        left=round((size.width - columns * width - (columns - 1) * across) / 2, 3),
        top=round((size.height - rows * height - (rows - 1) * down) / 2, 3),
        gap_across=across,
        gap_down=down,
        round=bool(more.get("round")),
        cut=bool(more.get("cut")),
    )


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
    return _centred(
        paper,
        columns,
        rows,
        width,
        height,
        gap_across=TICKET_GAP,
        gap_down=TICKET_GAP,
        round=shape == "round",
        cut=True,
    )


def _how_many(room: float, size: float) -> int:
    if size <= 0:
        return 0
    return math.floor((room + TICKET_GAP) / (size + TICKET_GAP) + TOLERANCE)


def misfits(stock: Stock) -> list[str]:
    """Everything that does not fit, each as a sentence naming the measure; empty when all fits."""
    if stock.paper not in PAPERS:
        return [words.unknown_paper(stock.paper, " / ".join(PAPERS))]
    problems = []
    if stock.columns < 1 or stock.rows < 1:
        problems.append(words.NO_LABEL)
    if not (stock.width > 0 and stock.height > 0):
        problems.append(words.NO_SIZE)
    if min(stock.left, stock.top, stock.gap_across, stock.gap_down) < 0:
        problems.append(words.BELOW_NOUGHT)
    if stock.round and stock.width != stock.height:
        problems.append(words.not_round(stock.width, stock.height))
    if problems:
        return problems
    paper = PAPERS[stock.paper]
    across = _Run(stock.columns, stock.width, stock.gap_across, stock.left)
    down = _Run(stock.rows, stock.height, stock.gap_down, stock.top)
    return [
        *_too_long(across, paper.width, paper.name, words.ACROSS),
        *_too_long(down, paper.height, paper.name, words.DOWN),
    ]


class _Run(NamedTuple):
    """Labels in one direction."""

    number: int
    size: float
    gap: float
    margin: float


def _too_long(run: _Run, room: float, paper: str, along: words.Along) -> list[str]:
    labels = run.number * run.size + (run.number - 1) * run.gap
    needed = run.margin + labels
    if labels > room + TOLERANCE:
        return [words.too_long(along, run.number, run.size, run.gap, labels, paper, room)]
    if needed > room + TOLERANCE:
        return [words.wide_margin(along, run.margin, labels, needed, paper, room)]
    return []


def slots(stock: Stock, count: int, first: int = 1) -> list[Slot]:
    """Places of ``count`` labels, row by row from the ``first`` free label of the first sheet on.

    Labels are numbered from 1 at the top left. Raises :class:`SheetProblem` for a stock that
    does not fit its paper or a first label that is not on the sheet.
    """
    for problem in misfits(stock):
        raise SheetProblem(problem)
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
