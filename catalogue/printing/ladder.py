"""Lay out the ladder of a country: its denominations down, its series across.

Each cell shows what a denomination was in a series: the coin, a caption, and a small square for
every date, filled where held. All coins of a ladder are drawn at one scale: true size where all
series then fit side by side on a page, else the stated reduction. Where even that is too wide,
the series go on over further pages, with the denominations repeated on the left; where the rows
are too many, they go on with the series repeated on top, and no page is left with one row where
that can be helped (:mod:`catalogue.printing.breaks`).

Lengths in mm from the top left corner. Widths of columns were chosen by trial, no source.

>>> old = Column("Provisional", "1919–1930")
>>> new = Column("First Marl", "1931–1959")
>>> five = Rung("5 tinne", ((Piece("a", 16, "16 mm, brass"),), (Piece("b", 17.5, "bronze"),)))
>>> page, = lay_ladder("Halvern", [old, new], [five, Rung("1 marl", ((), ()))])
>>> [(circle.key, circle.r) for circle in page.circles]
[('a', 8.0), ('b', 8.75)]
>>> [text.lines for text in page.texts if text.key == "absent"]
[('not struck',), ('not struck',)]
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from catalogue.printing import words
from catalogue.printing.breaks import Block, page_breaks
from catalogue.printing.furniture import Filling, Margins
from catalogue.printing.geometry import (
    PAPERS,
    Box,
    Circle,
    Page,
    Paper,
    SheetProblem,
    Text,
)
from catalogue.printing.ladder_columns import (
    CAPTION,
    COIN_GAP,
    SERIES,
    TOLERANCE,
    Column,
    Piece,
    Place,
    Rung,
    Shared,
)
from catalogue.printing.lettering import Lettering, wrap

TITLE = Lettering("ladder-title", "serif", 20, weight=600, leading=1.2)
SUBTITLE = Lettering("ladder-subtitle", "sans", 9.5, colour="muted")
SCALE = Lettering("ladder-scale", "sans", 8, colour="muted", align="right")
YEARS = Lettering("ladder-years", "sans", 8, colour="muted")
RUNG = Lettering("ladder-rung", "serif", 10.5, leading=1.2, weight=600)
ABSENT = Lettering("ladder-absent", "sans", 8, italic=True, colour="muted")
BOUGHT = Lettering("ladder-bought", "sans", 8)

RUNG_WIDTH = 27.0
TWO = 2  # a row never counts as a lone thing, only as a page of one row
ROW_PADDING = 2.6
PIECE_GAP = 1.8
SQUARE, SQUARE_STEP = 1.6, 2.2
SQUARE_DROP = 0.9


def lay_ladder(
    title: str,
    columns: Sequence[Column],
    rungs: Sequence[Rung],
    *,
    subtitle: str = "",
    bought_heading: str = "",
    scales: Sequence[float] = (1.0, 0.5),
    paper: Paper | None = None,
    margins: Margins | None = None,
    before: int = 0,
    total: int = 0,
) -> tuple[Page, ...]:
    """Lay the ladder at the first of ``scales`` at which all series fit beside each other.

    ``bought_heading`` stands before a last row with what money bought in each series.
    ``before`` and ``total`` count pages of other parts, as in an album. Raises
    :class:`SheetProblem` for a coin without a width, a rung without a cell for every column, or
    a column or row that does not fit a page by itself.
    """
    for rung in rungs:
        _check(rung, len(columns))
    paper = paper or PAPERS["A4"].turned()
    layout = _Ladder(columns, rungs, bought_heading, paper, margins or Margins())
    layout.head(title, subtitle, layout.share(scales))
    return layout.furnished(title, before, total)


def _check(rung: Rung, columns: int) -> None:
    if len(rung.cells) != columns:
        raise ValueError(f"{rung.heading} has {len(rung.cells)} cells for {columns} columns.")
    if any(not piece.width > 0 for cell in rung.cells for piece in cell):
        raise SheetProblem(words.no_diameter(rung.heading))


class _Ladder(Filling):
    def __init__(
        self,
        columns: Sequence[Column],
        rungs: Sequence[Rung],
        bought_heading: str,
        paper: Paper,
        margins: Margins,
    ) -> None:
        super().__init__(paper, margins)
        self.columns, self.rungs, self.bought_heading = columns, rungs, bought_heading
        self.cells_left = self.left + RUNG_WIDTH
        self.scale = 1.0

    def note(self, number: int) -> str:
        return words.drawn_at(self.scale)

    def share(self, scales: Sequence[float]) -> list[list[Place]]:
        """Share the columns out over pages at the first scale at which all fit beside each other.

        Where none does, it is the last.
        """
        groups: list[list[int]] = []
        room = self.right - self.cells_left
        for self.scale in scales:
            shared = Shared(self.columns, self.rungs, room, self.scale, self.paper.name)
            groups = shared.groups()
            if not groups or (len(groups) == 1 and shared.free(groups[0]) >= -TOLERANCE):
                break
        return [shared.places(group, self.cells_left) for group in groups or [[]]]

    def head(self, title: str, subtitle: str, places: list[list[Place]]) -> None:
        """The title with the scale beside it, then the rungs under each group of columns."""
        level = self.y + 4.6
        self.flow("title", title, TITLE, "h1", width=self.width - 50)
        self.put("scale", self.right - 50, level, 50, self.note(0), SCALE)
        if subtitle:
            self.y += 0.5
            self.flow("subtitle", subtitle, SUBTITLE)
        self.y += 4
        for number, group in enumerate(places):
            if number:
                self.turn()
            self.fill(group, first_group=not number)

    def fill(self, places: list[Place], first_group: bool) -> None:
        """Put every rung under these columns, on as many pages as that takes."""
        self.series(places)
        room = self.bottom - self.heads_bottom(places, self.overleaf)
        blocks = [self.block(rung, places, room) for rung in self.rungs]
        bought = self.bought_height(places)
        if bought:
            blocks.append(Block(bought, bought, size=TWO))
        starts = page_breaks(blocks, self.bottom - self.y, room)
        for page, (start, end) in enumerate(zip(starts, [*starts[1:], len(blocks)], strict=True)):
            if page:
                self.turn()
                self.series(places)
            for rung in self.rungs[start:end]:
                self.rung(rung, places, "h2" if first_group else "p")
        if bought:
            self.bought(places)

    def block(self, rung: Rung, places: list[Place], room: float) -> Block:
        height = self.inner_height(rung, places) + 2 * ROW_PADDING
        if height > room + TOLERANCE:
            raise SheetProblem(words.high_row(rung.heading, height, self.paper.name))
        return Block(height, height, size=TWO)

    def inner_height(self, rung: Rung, places: list[Place]) -> float:
        heading = len(_heading(rung)) * RUNG.line_height
        return max([heading, *(self.cell_height(rung, place) for place in places)])

    def series(self, places: list[Place]) -> None:
        """The headings of the columns, and a line under them."""
        self.page.texts += self.heads(places, self.y)
        self.y = self.heads_bottom(places, self.y)
        self.rule("strong")

    def heads_bottom(self, places: list[Place], y: float) -> float:
        return max([y, *(text.y + text.height for text in self.heads(places, y))]) + 1.8

    def heads(self, places: list[Place], top: float) -> list[Text]:
        """The names and years of the series, at the height ``top``."""
        heads = []
        for place in places:
            column = self.columns[place.index]
            lines = wrap(column.heading, SERIES, place.width)
            heads.append(Text("series", place.x, top, place.width, lines, SERIES))
            if column.years:
                below = wrap(column.years, YEARS, place.width)
                y = top + heads[-1].height
                heads.append(Text("years", place.x, y, place.width, below, YEARS))
        return heads

    def rung(self, rung: Rung, places: list[Place], tag: str) -> None:
        heading, inner = _heading(rung), self.inner_height(rung, places)
        y = self.y + ROW_PADDING + (inner - len(heading) * RUNG.line_height) / 2
        self.put("rung", self.left, y, RUNG_WIDTH - COIN_GAP, heading, RUNG, tag)
        for place in places:
            self.cell(rung, place, self.y + ROW_PADDING, inner)
        self.y += inner + 2 * ROW_PADDING
        self.rule()

    def caption(self, piece: Piece, place: Place) -> tuple[str, ...]:
        return wrap(piece.caption, CAPTION, place.caption) if piece.caption else ()

    def square_rows(self, piece: Piece, place: Place) -> int:
        return math.ceil(len(piece.dates) / self.squares_across(place))

    def squares_across(self, place: Place) -> int:
        return max(1, int((place.caption + SQUARE_STEP - SQUARE) / SQUARE_STEP + 1e-9))

    def side_height(self, piece: Piece, place: Place) -> float:
        """Height of caption and squares."""
        rows = self.square_rows(piece, place)
        drop = SQUARE_DROP if rows else 0.0
        return len(self.caption(piece, place)) * CAPTION.line_height + drop + rows * SQUARE_STEP

    def piece_height(self, piece: Piece, place: Place) -> float:
        return max(piece.width * self.scale, self.side_height(piece, place))

    def absent(self, rung: Rung, place: Place) -> tuple[str, ...]:
        said = rung.absent[place.index] if rung.absent else words.NOT_STRUCK
        return wrap(said, ABSENT, place.width)

    def cell_height(self, rung: Rung, place: Place) -> float:
        cell = rung.cells[place.index]
        if not cell:
            return len(self.absent(rung, place)) * ABSENT.line_height
        heights = [self.piece_height(piece, place) for piece in cell]
        return sum(heights) + PIECE_GAP * (len(cell) - 1)

    def cell(self, rung: Rung, place: Place, top: float, height: float) -> None:
        cell = rung.cells[place.index]
        y = top + (height - self.cell_height(rung, place)) / 2
        if not cell:
            lines = self.absent(rung, place)
            self.put("absent", place.x, y, place.width, lines, ABSENT)
        for piece in cell:
            own = self.piece_height(piece, place)
            self.piece(piece, place, y, own)
            y += own + PIECE_GAP

    def piece(self, piece: Piece, place: Place, y: float, height: float) -> None:
        look = "held" if piece.held else "gap"
        middle, r = place.x + place.coin / 2, piece.width * self.scale / 2
        self.page.circles.append(Circle(piece.key, middle, y + height / 2, r, look))
        top = y + (height - self.side_height(piece, place)) / 2
        lines = self.caption(piece, place)
        top += self.put(piece.key, place.caption_x, top, place.caption, lines, CAPTION)
        top += SQUARE_DROP
        across = self.squares_across(place)
        for number, held in enumerate(piece.dates):
            row, column = divmod(number, across)
            x = place.caption_x + column * SQUARE_STEP
            look = "full" if held else "empty"
            self.page.boxes.append(Box(piece.key, x, top + row * SQUARE_STEP, SQUARE, SQUARE, look))

    def bought_lines(self, places: list[Place]) -> list[tuple[str, ...]]:
        """The heading of the last row and what it says for each series."""
        texts = [wrap(self.columns[place.index].bought, BOUGHT, place.width) for place in places]
        return [wrap(self.bought_heading, CAPTION, RUNG_WIDTH - COIN_GAP), *texts]

    def bought_height(self, places: list[Place]) -> float:
        """How high the last row is; 0 where it says nothing."""
        lines = self.bought_lines(places)
        if not self.bought_heading or not any(any(text) for text in lines[1:]):
            return 0.0
        return max(map(len, lines)) * BOUGHT.line_height + 2 * ROW_PADDING

    def bought(self, places: list[Place]) -> None:
        """The last row: what money bought in the time of each series."""
        heading, *texts = self.bought_lines(places)
        y = self.y + ROW_PADDING
        self.put("bought", self.left, y, RUNG_WIDTH - COIN_GAP, heading, CAPTION)
        for place, lines in zip(places, texts, strict=True):
            self.put("bought", place.x, y, place.width, lines, BOUGHT)
        self.y += self.bought_height(places)


def _heading(rung: Rung) -> tuple[str, ...]:
    return wrap(rung.heading, RUNG, RUNG_WIDTH - COIN_GAP)
