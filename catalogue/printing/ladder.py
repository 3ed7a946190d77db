"""Lay out the ladder of a country: its denominations down, its series across.

Each cell shows what a denomination was in a series: the coin, a caption, and a small square for
every date, filled where held. All coins of a ladder are drawn at one scale: true size where all
series then fit side by side on a page, else the stated reduction. Where even that is too wide,
the series go on over further pages, with the denominations repeated on the left; where the rows
are too many, they go on with the series repeated on top.

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
from dataclasses import dataclass, field

from catalogue.printing.furniture import Margins, Words, foot, running_head
from catalogue.printing.geometry import (
    PAPERS,
    Box,
    Circle,
    Line,
    Page,
    Paper,
    SheetProblem,
    Text,
    gettext_noop,
    measure,
)
from catalogue.printing.lettering import Lettering, longest_word, text_width, wrap

TITLE = Lettering("ladder-title", "serif", 20, weight=600, leading=1.2)
SUBTITLE = Lettering("ladder-subtitle", "sans", 9.5, colour="muted")
SCALE = Lettering("ladder-scale", "sans", 8, colour="muted", align="right")
SERIES = Lettering("ladder-series", "serif", 10, leading=1.2, weight=600)
YEARS = Lettering("ladder-years", "sans", 8, colour="muted")
RUNG = Lettering("ladder-rung", "serif", 10.5, leading=1.2, weight=600)
CAPTION = Lettering("ladder-caption", "sans", 8, colour="muted")
ABSENT = Lettering("ladder-absent", "sans", 8, italic=True, colour="muted")
BOUGHT = Lettering("ladder-bought", "sans", 8)

RUNG_WIDTH = 27.0
COIN_LEAST = 8.0  # width kept free for coins in a column of small ones
COIN_GAP = 2.5
CAPTION_LEAST, CAPTION_MOST = 19.0, 42.0
COLUMN_GAP = 4.0
ROW_PADDING = 2.6
PIECE_GAP = 1.8
SQUARE, SQUARE_STEP = 1.6, 2.2
SQUARE_DROP = 0.9
TOLERANCE = 1e-6


@dataclass(frozen=True)
class Column:
    """A series."""

    heading: str
    years: str = ""
    bought: str = ""


@dataclass(frozen=True)
class Piece:
    """A type in a cell: width in mm, caption, and for each date whether it is held."""

    key: str
    width: float
    caption: str = ""
    dates: tuple[bool, ...] = ()
    held: bool = True


@dataclass(frozen=True)
class Rung:
    """A denomination: for each column the pieces struck in it.

    ``absent`` says for each column why a cell is empty; left out: not struck.
    """

    heading: str
    cells: tuple[tuple[Piece, ...], ...]
    absent: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Place:
    """A column on a page: left edge, width for coins, width for captions."""

    index: int
    x: float
    coin: float
    caption: float

    @property
    def caption_x(self) -> float:
        return self.x + self.coin + COIN_GAP

    @property
    def width(self) -> float:
        return self.coin + COIN_GAP + self.caption


@dataclass
class _Sheet:
    y: float
    circles: list[Circle] = field(default_factory=list)
    boxes: list[Box] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)


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
    words: Words | None = None,
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
    layout = _Ladder(
        title,
        subtitle,
        columns,
        rungs,
        bought_heading,
        paper or PAPERS["A4"].turned(),
        margins or Margins(),
        words or Words(),
    )
    return layout.pages(scales, before, total)


def _check(rung: Rung, columns: int) -> None:
    if len(rung.cells) != columns:
        raise ValueError(f"{rung.heading} has {len(rung.cells)} cells for {columns} columns.")
    for piece in (piece for cell in rung.cells for piece in cell):
        if not piece.width > 0:
            raise SheetProblem(
                gettext_noop(
                    "A type of “%(denomination)s” has no diameter on record, so it cannot be "
                    "drawn to scale: enter one."
                ),
                {"denomination": rung.heading},
            )


class _Ladder:
    def __init__(
        self,
        title: str,
        subtitle: str,
        columns: Sequence[Column],
        rungs: Sequence[Rung],
        bought_heading: str,
        paper: Paper,
        margins: Margins,
        words: Words,
    ) -> None:
        self.title, self.subtitle, self.bought_heading = title, subtitle, bought_heading
        self.columns, self.rungs = columns, rungs
        self.paper, self.margins, self.words = paper, margins, words
        self.left, self.right = margins.left, paper.width - margins.right
        self.bottom = paper.height - margins.bottom
        self.cells_left = self.left + RUNG_WIDTH
        self.room = self.right - self.cells_left
        self.scale = 1.0
        self.sheets: list[_Sheet] = []

    def pages(self, scales: Sequence[float], before: int, total: int) -> tuple[Page, ...]:
        groups: list[list[int]] = []
        for self.scale in scales:
            groups = self.groups()
            if not groups or (len(groups) == 1 and self.free(groups[0]) >= -TOLERANCE):
                break
        for group in groups or [[]]:
            self.fill(self.places(group), first_group=not self.sheets)
        total = total or before + len(self.sheets)
        return tuple(
            self.page(sheet, before + n, total, headed=n > 1)
            for n, sheet in enumerate(self.sheets, 1)
        )

    def coin_width(self, index: int) -> float:
        widths = [p.width for rung in self.rungs for p in rung.cells[index]]
        return max(COIN_LEAST, max(widths, default=0.0) * self.scale)

    def caption_widths(self, index: int) -> tuple[float, float]:
        """The least and the natural width of a column's captions."""
        column = self.columns[index]
        captions = [p.caption for rung in self.rungs for p in rung.cells[index]]
        least = max([CAPTION_LEAST, *(longest_word(text, CAPTION) for text in captions)])
        heading = longest_word(column.heading, SERIES) - self.coin_width(index) - COIN_GAP
        natural = max([least, *(text_width(text, CAPTION) for text in captions)])
        least = max(least, heading)
        return least, max(least, min(natural, CAPTION_MOST))

    def least_width(self, index: int) -> float:
        return self.coin_width(index) + COIN_GAP + self.caption_widths(index)[0] + COLUMN_GAP

    def groups(self) -> list[list[int]]:
        """The columns of each page, as even in number as their widths allow."""
        count = len(self.columns)
        filled = self.filled(count)
        if len(filled) > 1:
            even = self.filled(math.ceil(count / len(filled)))
            if len(even) == len(filled):
                return even
        return filled

    def filled(self, most: int) -> list[list[int]]:
        groups: list[list[int]] = []
        used = 0.0
        for index in range(len(self.columns)):
            width = self.least_width(index)
            if not groups or used + width > self.room + COLUMN_GAP or len(groups[-1]) >= most:
                groups.append([])
                used = 0.0
            groups[-1].append(index)
            used += width
        return groups

    def free(self, group: list[int]) -> float:
        """What a group of columns leaves of the width of a page; below 0: it does not fit."""
        return self.room + COLUMN_GAP - sum(self.least_width(index) for index in group)

    def places(self, group: list[int]) -> list[_Place]:
        """Share the width of the page out among a group of columns."""
        free = self.free(group)
        if free < -TOLERANCE:
            raise SheetProblem(
                gettext_noop(
                    "The series “%(series)s” does not fit %(paper)s at a scale of %(scale)s: "
                    "choose a smaller scale or wider paper."
                ),
                {
                    "series": self.columns[group[0]].heading,
                    "paper": self.paper.name,
                    "scale": self.ratio(),
                },
            )
        wishes = [self.caption_widths(index)[1] - self.caption_widths(index)[0] for index in group]
        share = min(1.0, free / sum(wishes)) if sum(wishes) > 0 else 0.0
        spare = min(12.0, (free - share * sum(wishes)) / max(1, len(group)))
        places, x = [], self.cells_left
        for index, wish in zip(group, wishes, strict=True):
            caption = self.caption_widths(index)[0] + share * wish
            places.append(_Place(index, x, self.coin_width(index), caption))
            x += places[-1].width + COLUMN_GAP + spare
        return places

    def ratio(self) -> str:
        return f"1:{measure(1 / self.scale)}"

    def fill(self, places: list[_Place], first_group: bool) -> None:
        """Put every rung under these columns, on as many pages as that takes."""
        self.begin(places)
        for rung in self.rungs:
            self.rung(rung, places, "h2" if first_group else "p")
        if self.bought_heading:
            self.bought(places)

    def begin(self, places: list[_Place]) -> None:
        """A new page with its head and the headings of its columns."""
        sheet = _Sheet(self.margins.top)
        self.sheets.append(sheet)
        if len(self.sheets) == 1:
            self.head(sheet)
        else:
            sheet.y += 9
        heads = []
        for place in places:
            column = self.columns[place.index]
            lines = wrap(column.heading, SERIES, place.width)
            heads.append(Text("series", place.x, sheet.y, place.width, lines, SERIES))
            if column.years:
                below = wrap(column.years, YEARS, place.width)
                y = sheet.y + heads[-1].height
                heads.append(Text("years", place.x, y, place.width, below, YEARS))
        sheet.texts += heads
        sheet.y = max([sheet.y, *(text.y + text.height for text in heads)]) + 1.8
        sheet.lines.append(Line(self.left, sheet.y, self.right, sheet.y, "strong"))

    def head(self, sheet: _Sheet) -> None:
        width = self.right - self.left
        title = Text(
            "title",
            self.left,
            sheet.y,
            width - 50,
            wrap(self.title, TITLE, width - 50),
            TITLE,
            "h1",
        )
        sheet.texts.append(title)
        sheet.texts.append(
            Text("scale", self.right - 50, sheet.y + 4.6, 50, (self.scale_note(),), SCALE)
        )
        sheet.y += title.height
        if self.subtitle:
            lines = wrap(self.subtitle, SUBTITLE, width)
            sheet.texts.append(Text("subtitle", self.left, sheet.y + 0.5, width, lines, SUBTITLE))
            sheet.y += 0.5 + sheet.texts[-1].height
        sheet.y += 4

    def scale_note(self) -> str:
        if self.scale == 1:
            return self.words.true_size
        return self.words.reduced % {"scale": self.ratio()}

    def rung(self, rung: Rung, places: list[_Place], tag: str) -> None:
        heading = wrap(rung.heading, RUNG, RUNG_WIDTH - COIN_GAP)
        inner = max(
            [len(heading) * RUNG.line_height, *(self.cell_height(rung, place) for place in places)]
        )
        height = inner + 2 * ROW_PADDING
        if self.sheets[-1].y + height > self.bottom + TOLERANCE:
            self.begin(places)
        sheet = self.sheets[-1]
        if sheet.y + height > self.bottom + TOLERANCE:
            raise SheetProblem(
                gettext_noop(
                    "The row “%(denomination)s” is %(height)s mm high and does not fit a page of "
                    "%(paper)s: choose a smaller scale."
                ),
                {
                    "denomination": rung.heading,
                    "height": measure(height),
                    "paper": self.paper.name,
                },
            )
        y = sheet.y + ROW_PADDING + (inner - len(heading) * RUNG.line_height) / 2
        sheet.texts.append(Text("rung", self.left, y, RUNG_WIDTH - COIN_GAP, heading, RUNG, tag))
        for place in places:
            self.cell(rung, place, sheet.y + ROW_PADDING, inner)
        sheet.y += height
        sheet.lines.append(Line(self.left, sheet.y, self.right, sheet.y))

    def caption(self, piece: Piece, place: _Place) -> tuple[str, ...]:
        return wrap(piece.caption, CAPTION, place.caption) if piece.caption else ()

    def square_rows(self, piece: Piece, place: _Place) -> int:
        return math.ceil(len(piece.dates) / self.squares_across(place))

    def squares_across(self, place: _Place) -> int:
        return max(1, int((place.caption + SQUARE_STEP - SQUARE) / SQUARE_STEP + 1e-9))

    def side_height(self, piece: Piece, place: _Place) -> float:
        """Height of caption and squares."""
        rows = self.square_rows(piece, place)
        drop = SQUARE_DROP if rows else 0.0
        return len(self.caption(piece, place)) * CAPTION.line_height + drop + rows * SQUARE_STEP

    def piece_height(self, piece: Piece, place: _Place) -> float:
        return max(piece.width * self.scale, self.side_height(piece, place))

    def absent(self, rung: Rung, place: _Place) -> tuple[str, ...]:
        said = rung.absent[place.index] if rung.absent else self.words.not_struck
        return wrap(said, ABSENT, place.width)

    def cell_height(self, rung: Rung, place: _Place) -> float:
        cell = rung.cells[place.index]
        if not cell:
            return len(self.absent(rung, place)) * ABSENT.line_height
        heights = [self.piece_height(piece, place) for piece in cell]
        return sum(heights) + PIECE_GAP * (len(cell) - 1)

    def cell(self, rung: Rung, place: _Place, top: float, height: float) -> None:
        cell = rung.cells[place.index]
        y = top + (height - self.cell_height(rung, place)) / 2
        if not cell:
            lines = self.absent(rung, place)
            self.sheets[-1].texts.append(Text("absent", place.x, y, place.width, lines, ABSENT))
        for piece in cell:
            own = self.piece_height(piece, place)
            self.piece(piece, place, y, own)
            y += own + PIECE_GAP

    def piece(self, piece: Piece, place: _Place, y: float, height: float) -> None:
        sheet = self.sheets[-1]
        look = "held" if piece.held else "gap"
        r = piece.width * self.scale / 2
        sheet.circles.append(Circle(piece.key, place.x + place.coin / 2, y + height / 2, r, look))
        top = y + (height - self.side_height(piece, place)) / 2
        lines = self.caption(piece, place)
        if lines:
            x = place.caption_x
            sheet.texts.append(Text(piece.key, x, top, place.caption, lines, CAPTION))
            top += sheet.texts[-1].height
        top += SQUARE_DROP
        across = self.squares_across(place)
        for number, held in enumerate(piece.dates):
            row, column = divmod(number, across)
            x = place.caption_x + column * SQUARE_STEP
            look = "full" if held else "empty"
            sheet.boxes.append(Box(piece.key, x, top + row * SQUARE_STEP, SQUARE, SQUARE, look))

    def bought(self, places: list[_Place]) -> None:
        """The last row: what money bought in the time of each series."""
        texts = [wrap(self.columns[place.index].bought, BOUGHT, place.width) for place in places]
        if not any(any(lines) for lines in texts):
            return
        heading = wrap(self.bought_heading, CAPTION, RUNG_WIDTH - COIN_GAP)
        height = max(len(lines) for lines in [heading, *texts]) * BOUGHT.line_height
        if self.sheets[-1].y + height + 2 * ROW_PADDING > self.bottom + TOLERANCE:
            self.begin(places)
        sheet = self.sheets[-1]
        y = sheet.y + ROW_PADDING
        sheet.texts.append(Text("bought", self.left, y, RUNG_WIDTH - COIN_GAP, heading, CAPTION))
        for place, lines in zip(places, texts, strict=True):
            if any(lines):
                sheet.texts.append(Text("bought", place.x, y, place.width, lines, BOUGHT))
        sheet.y = y + height + ROW_PADDING

    def page(self, sheet: _Sheet, number: int, total: int, headed: bool) -> Page:
        lines, texts = foot(self.paper, self.margins, number, total, self.words)
        head_lines: tuple[Line, ...] = ()
        head_texts: tuple[Text, ...] = ()
        if headed:
            head_lines, head_texts = running_head(
                self.paper, self.margins, self.title, self.scale_note()
            )
        return Page(
            self.paper,
            number,
            total,
            circles=tuple(sheet.circles),
            boxes=tuple(sheet.boxes),
            lines=(*head_lines, *sheet.lines, *lines),
            texts=(*head_texts, *sheet.texts, *texts),
        )
