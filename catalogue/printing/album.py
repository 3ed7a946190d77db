"""Lay out album pages true to scale: a pocket for every coin, its label right under it.

Rows go down the page, one for each denomination, with their heading on the left; a row's
pockets go from left to right and wrap into lines as needed. A pocket is the coin's diameter
plus a clearance; the circle drawn is the coin itself, at its true diameter. All rows share one
grid (:mod:`catalogue.printing.album_grid`): pockets of a line have their middles on one line and
their labels begin at one height, and from row to row they stand below each other. A line of
pockets is never parted from its labels; where a row goes on overleaf its heading is repeated, and
pages break so that none is left with a lone pocket or line where that can be helped
(:mod:`catalogue.printing.breaks`). The first page carries title, story and rows; the later ones
say what they show in their running head; each the 50 mm rule and its number.

Lengths in mm from the top left corner of the page. Clearance and gaps were chosen by trial, no
source.

>>> coins = tuple(Pocket(str(year), 24.25, (str(year),)) for year in range(1999, 2009))
>>> page, = lay_album("Quarters", [AlbumRow("25 cents", "24.25 mm", coins)])
>>> [(c.key, round(c.cx, 2), round(c.cy, 2), c.r) for c in page.circles[:2]]
[('1999', 70.12, 43.94, 12.125), ('2000', 106.38, 43.94, 12.125)]
>>> [sum(round(c.cy, 1) == y for c in page.circles) for y in (43.9, 77.7, 111.5)]
[4, 4, 2]
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from catalogue.printing import words
from catalogue.printing.album_grid import Grid, grid_of, line_sizes
from catalogue.printing.breaks import Block, page_breaks
from catalogue.printing.furniture import Filling, Margins, shown_in_words
from catalogue.printing.geometry import PAPERS, Circle, Page, Paper, SheetProblem
from catalogue.printing.lettering import Lettering, longest_word, text_width, wrap

TITLE = Lettering("title", "serif", 22, weight=600, leading=1.2)
SUBTITLE = Lettering("subtitle", "sans", 10.5, colour="muted")
STORY = Lettering("story", "serif", 10, leading=1.45)
HEADING = Lettering("row-heading", "serif", 11, leading=1.2)
NOTE = Lettering("row-note", "sans", 7.5, colour="muted")
LABEL = Lettering("pocket", "sans", 7.5, align="center", first=("sans", 600))
GAP_LABEL = Lettering("pocket-gap", "sans", 7.5, align="center", italic=True, colour="muted")
LABEL_WIDEST = Lettering("pocket-widest", "sans", 7.5, weight=600)

STORY_WIDTH = 135.0
NOTE_GAP = 0.6


@dataclass(frozen=True)
class Pocket:
    """One place for a coin: its width in mm (the diameter, or across the widest), label, year."""

    key: str
    width: float
    label: tuple[str, ...] = ()
    held: bool = True
    year: int | None = None


@dataclass(frozen=True)
class AlbumRow:
    """A denomination, or any group of coins that stand together."""

    heading: str
    note: str = ""
    pockets: tuple[Pocket, ...] = ()


@dataclass(frozen=True)
class Measures:
    """How an album page is divided, mm."""

    clearance: float = 1.0
    gap_across: float = 4.0
    gap_down: float = 4.0
    row_gap: float = 7.0
    label_gap: float = 1.2
    label_width: float = 22.0
    heading_width: float = 32.0
    heading_gap: float = 4.0


@dataclass(frozen=True)
class _Slot:
    pocket: Pocket
    width: float
    label: tuple[str, ...]


@dataclass(frozen=True)
class _Strip:
    """A line of pockets of a row, so many columns of the grid for each."""

    row: AlbumRow
    slots: tuple[_Slot, ...]
    columns: int
    height: float
    begins: bool


def lay_album(
    title: str,
    rows: Sequence[AlbumRow],
    *,
    subtitle: str = "",
    story: Sequence[str] = (),
    paper: Paper = PAPERS["A4"],
    margins: Margins | None = None,
    measures: Measures | None = None,
    before: int = 0,
    total: int = 0,
) -> tuple[Page, ...]:
    """Lay rows of pockets on as many pages as they need, in their order; empty rows left out.

    ``story`` is a run of paragraphs. Where an album has several parts, ``before`` counts the
    pages of the earlier ones and ``total`` those of all. Raises :class:`SheetProblem` for a coin
    without a width or one that does not fit the page; its text names the coin.
    """
    layout = _Album(paper, margins or Margins(), measures or Measures())
    layout.head(title, subtitle, story)
    layout.rows([row for row in rows if row.pockets])
    return layout.furnished(title, before, total)


class _Album(Filling):
    def __init__(self, paper: Paper, margins: Margins, measures: Measures) -> None:
        super().__init__(paper, margins)
        self.measures = measures
        self.coins_left = self.left + measures.heading_width + measures.heading_gap
        self.shown: list[list[tuple[str, int | None]]] = [[]]

    def turn(self) -> None:
        super().turn()
        self.shown.append([])

    def note(self, number: int) -> str:
        return shown_in_words(self.shown[number])

    def head(self, title: str, subtitle: str, story: Sequence[str]) -> None:
        self.flow("title", title, TITLE, "h1")
        if subtitle:
            self.y += 0.8
            self.flow("subtitle", subtitle, SUBTITLE)
        self.y += 2.5
        self.rule("strong")
        self.y += 4.5
        for paragraph in story:
            self.flow("story", paragraph, STORY, width=STORY_WIDTH, least=2)
            self.y += 1.5
        if story:
            self.y += 4

    def rows(self, rows: Sequence[AlbumRow]) -> None:
        """All rows on one grid, over as many pages as they need."""
        room = self.right - self.coins_left
        slots = [tuple(self.slot(row, pocket, room) for pocket in row.pockets) for row in rows]
        widths = [max(slot.width for slot in some) for some in slots]
        sizes = [
            (width, len(some), self.line_height(some))
            for width, some in zip(widths, slots, strict=True)
        ]
        grid = grid_of(sizes, room, self.measures.gap_across)
        strips = [
            strip
            for row, some, width in zip(rows, slots, widths, strict=True)
            for strip in self.strips(row, some, grid, width)
        ]
        blocks = [self.block(strip) for strip in strips]
        full = self.bottom - self.overleaf
        starts = page_breaks(blocks, self.bottom - self.y, full)
        for page, (start, end) in enumerate(zip(starts, [*starts[1:], len(blocks)], strict=True)):
            if page:
                self.turn()
            for strip, block in zip(strips[start:end], blocks[start:end], strict=True):
                self.strip(strip, block, grid, top=strip is strips[start])

    def strips(
        self, row: AlbumRow, slots: tuple[_Slot, ...], grid: Grid, width: float
    ) -> list[_Strip]:
        lines, at = [], 0
        for size in line_sizes(len(slots), grid.per_line(width)):
            some = slots[at : at + size]
            columns = grid.columns_of(width)
            lines.append(_Strip(row, some, columns, self.line_height(some), begins=at == 0))
            at += size
        return lines

    def block(self, strip: _Strip) -> Block:
        """How high a line of pockets is below others, and on top of a page under its heading."""
        opening = max(strip.height, self.heading_height(strip))
        if opening > self.bottom - self.overleaf + 1e-6:
            raise self.too_high(strip)
        gap = self.measures.row_gap if strip.begins else self.measures.gap_down
        height = opening if strip.begins else strip.height
        return Block(height, opening, gap, len(strip.slots))

    def strip(self, strip: _Strip, block: Block, grid: Grid, top: bool) -> None:
        """A line of pockets at the present height, under those before it."""
        if not top:
            self.y += block.gap / 2
            if strip.begins:
                self.rule()
            self.y += block.gap / 2
        if strip.begins or top:
            heading, note = self.heading(strip)
            tag = "h2" if strip.begins else "p"
            key, width = strip.row.heading, self.measures.heading_width
            below = self.y + self.put(key, self.left, self.y, width, heading, HEADING, tag)
            self.put(key, self.left, below + NOTE_GAP, width, note, NOTE)
        self.place(strip, grid)
        self.y += block.opening if top else block.height

    def heading(self, strip: _Strip) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Heading and note of a row, broken to their column."""
        width = self.measures.heading_width
        said = (strip.row.note, "" if strip.begins else words.CONTINUED)
        note = "\n".join(filter(None, said))
        return wrap(strip.row.heading, HEADING, width), wrap(note, NOTE, width) if note else ()

    def heading_height(self, strip: _Strip) -> float:
        heading, note = self.heading(strip)
        below = NOTE_GAP + len(note) * NOTE.line_height if note else 0.0
        return len(heading) * HEADING.line_height + below

    def slot(self, row: AlbumRow, pocket: Pocket, room: float) -> _Slot:
        pocket_width = self.pocket_width(row, pocket, room)
        widest = max(pocket_width, self.measures.label_width)
        widest = min(room, max([widest, *(longest_word(t, LABEL_WIDEST) for t in pocket.label)]))
        label = tuple(part for text in pocket.label for part in wrap(text, LABEL_WIDEST, widest))
        width = max([pocket_width, *(text_width(line, LABEL_WIDEST) for line in label)])
        return _Slot(pocket, min(width, room), label)

    def pocket_width(self, row: AlbumRow, pocket: Pocket, room: float) -> float:
        name = " ".join((row.heading, *pocket.label[:1]))
        if not pocket.width > 0:
            raise SheetProblem(words.no_pocket(name))
        width = pocket.width + self.measures.clearance
        if width > room + 1e-6:
            raise SheetProblem(words.wide_pocket(name, width, self.paper.name, room))
        return width

    def line_height(self, line: Sequence[_Slot]) -> float:
        return self.pocket_height(line) + max(self.label_height(slot) for slot in line)

    def pocket_height(self, line: Sequence[_Slot]) -> float:
        return max(slot.pocket.width for slot in line) + self.measures.clearance

    def label_height(self, slot: _Slot) -> float:
        gap = self.measures.label_gap if slot.label else 0.0
        return gap + len(slot.label) * LABEL.line_height

    def place(self, strip: _Strip, grid: Grid) -> None:
        """Pockets with their middles on one line, labels beginning on another below it."""
        height = self.pocket_height(strip.slots)
        width = grid.width(strip.columns)
        for number, slot in enumerate(strip.slots):
            pocket = slot.pocket
            cx, cy = self.coins_left + grid.centre(number, strip.columns), self.y + height / 2
            look = "held" if pocket.held else "gap"
            self.page.circles.append(Circle(pocket.key, cx, cy, pocket.width / 2, look))
            self.shown[-1].append((strip.row.heading, pocket.year))
            how = LABEL if pocket.held else GAP_LABEL
            y = self.y + height + self.measures.label_gap
            self.put(pocket.key, cx - width / 2, y, width, slot.label, how)

    def too_high(self, strip: _Strip) -> SheetProblem:
        name = " ".join((strip.row.heading, *strip.slots[0].pocket.label[:1]))
        return SheetProblem(words.high_label(name, self.paper.name))
