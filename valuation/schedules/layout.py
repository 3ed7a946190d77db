"""How the money table of a printed schedule is laid out: columns, lines of text, pages.

Computed: where each text breaks into lines, how high each row is, and which rows stand on which
page with what is carried forward. Lengths are mm, sizes points. Lines are broken here and printed
as they are, so a row is as high as it was reckoned and nothing runs over a page.

>>> from catalogue.printing.geometry import PAPERS
>>> dear = Entry("1", "25 tinne, 1953", ("2024.117",), 1, Decimal("14.50"), Decimal("14.50"), True)
>>> (page,) = money_table([dear], PAPERS["A4"], heading=60)
>>> page.rows[0].height, page.rows[0].shown.title
(15.6, ('25 tinne, 1953',))
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from catalogue.printing.furniture import Filling, Margins
from catalogue.printing.geometry import Paper, Picture
from catalogue.printing.lettering import Lettering, wrap
from valuation.money import figures
from valuation.schedules import words
from valuation.schedules.contents import PrintedFace, Said
from valuation.schedules.pages import Page, PageRow, divide

MARGIN_TOP, MARGIN_BOTTOM, MARGIN_SIDE = 20.0, 18.0, 18.0
MARGINS = Margins(MARGIN_SIDE, MARGIN_SIDE, MARGIN_TOP - 8, MARGIN_BOTTOM)
NUMBER, PICTURES, PIECES, EACH, AMOUNT = 9.0, 30.0, 13.0, 23.0, 27.0
PICTURE = 13.0
PADDING = 2.6  # above and below the text of a row, together
TABLE_HEAD = 7.0
SUBTOTAL = 7.0
SECTION = 10.0

TITLE = Lettering("title", "serif", 9.5, leading=1.3, weight=600)
DETAIL = Lettering("detail", "sans", 8, leading=1.3, colour="muted")
COLUMN = Lettering("column", "sans", 8, leading=1.2, weight=600)
COLUMN_RIGHT = Lettering("column-right", "sans", 8, leading=1.2, weight=600, align="right")
CELL = Lettering("cell", "sans", 9, leading=1.37)
FIGURE = Lettering("figure", "sans", 9, leading=1.37, align="right")
SUB = Lettering("sub", "sans", 9, leading=1.3, italic=True)
SUB_FIGURE = Lettering("sub-figure", "sans", 9, leading=1.3, italic=True, align="right")
SUM = Lettering("sum", "serif", 10.5, leading=1.2, weight=600)
SUM_FIGURE = Lettering("sum-figure", "serif", 10.5, leading=1.2, weight=600, align="right")
NONE = Lettering("none", "sans", 7, leading=1.2, colour="muted")
SECTION_HEAD = Lettering("section", "serif", 11, leading=1.2, weight=600)
FACT = Lettering("fact", "sans", 9.5, leading=1.4)
FACT_LABEL = 42.0


@dataclass(frozen=True)
class Entry:
    """One line of the schedule as texts; ``pictured`` ones have room for both faces.

    ``section`` is a heading that stands above the line, on the same page; ``faces`` are its
    pictures.
    """

    number: str
    title: str
    details: tuple[str, ...]
    pieces: int
    each: Decimal | None
    amount: Decimal
    pictured: bool = False
    section: str = ""
    faces: Sequence[PrintedFace] = ()


@dataclass(frozen=True)
class Shown:
    """A line with its texts broken to the width of their column; ``height`` is without section."""

    entry: Entry
    title: tuple[str, ...]
    details: tuple[str, ...]
    height: float


def content_width(paper: Paper) -> float:
    return paper.width - 2 * MARGIN_SIDE


def content_height(paper: Paper) -> float:
    return paper.height - MARGIN_TOP - MARGIN_BOTTOM


def text_width(paper: Paper, pictured: bool) -> float:
    """Width of the column of words, less the gap to the next one."""
    taken = NUMBER + PIECES + EACH + AMOUNT + (PICTURES if pictured else 0)
    return content_width(paper) - taken - 3


def shown(entry: Entry, paper: Paper) -> PageRow:
    """A line as a row of known height."""
    width = text_width(paper, entry.pictured)
    title = wrap(entry.title, TITLE, width)
    details = tuple(line for text in entry.details if text for line in wrap(text, DETAIL, width))
    text = len(title) * TITLE.line_height + len(details) * DETAIL.line_height
    height = max(text, PICTURE if entry.pictured else 0) + PADDING
    above = SECTION if entry.section else 0.0
    return PageRow(entry.amount, height + above, Shown(entry, title, details, round(height, 2)))


def money_table(entries: Sequence[Entry], paper: Paper, heading: float) -> list[Page]:
    """The pages of the table; ``heading`` is the height taken above it on the first page."""
    full = content_height(paper) - TABLE_HEAD - 2 * SUBTOTAL
    return divide([shown(entry, paper) for entry in entries], full - heading, full)


def fact_lines(text: str, paper: Paper) -> tuple[str, ...]:
    """A fact of the heading, broken to its column."""
    return wrap(text, FACT, content_width(paper) - FACT_LABEL)


def heading_height(facts: Sequence[Sequence[str]], title: float = 30.0) -> float:
    """Height of the heading: its title and the lines of its facts."""
    return title + sum(len(lines) * FACT.line_height + 0.6 for lines in facts)


class MoneyTable(Filling):
    """The pages of a schedule while its table is put on them."""

    def __init__(self, said: Said, paper: Paper) -> None:
        super().__init__(paper, MARGINS, running=MARGIN_TOP - MARGINS.top)
        self.said = said
        self.y = MARGIN_TOP

    def table(self, entries: Sequence[Entry], heading: float) -> None:
        """The whole table, under a heading so high, with what is carried from page to page."""
        for page in money_table(entries, self.paper, heading):
            self.table_page(page)

    def table_page(self, page: Page) -> None:
        if page.number:
            self.turn()
        self.columns((*words.COLUMNS, self.said.currency), COLUMN, COLUMN_RIGHT, self.y + 1.5)
        self.y += TABLE_HEAD - 0.5
        self.rule("strong")
        self.y += 0.5
        if page.brought is not None:
            self.subtotal(words.BROUGHT, page.brought)
        for row in page.rows:
            self.row(row.shown)
        if page.carried is not None:
            self.subtotal(words.CARRIED, page.carried)
        else:
            self.total()

    def columns(
        self, said: tuple[str, str, str, str, str], how: Lettering, figure: Lettering, y: float
    ) -> None:
        """Number, words and three columns of figures on one line."""
        self.put("", self.left, y, NUMBER, said[0], how)
        self.put("", self.left + NUMBER, y, PICTURES + 40, said[1], how)
        x = self.right - AMOUNT - EACH - PIECES
        for width, text in zip((PIECES, EACH, AMOUNT), said[2:], strict=True):
            self.put("", x, y, width, text, figure)
            x += width

    def subtotal(self, name: str, amount: Decimal) -> None:
        said = ("", name, "", "", figures(amount))
        self.columns(said, SUB, SUB_FIGURE, self.y + 1.5)
        self.y += SUBTOTAL

    def total(self) -> None:
        self.rule("strong")
        said = ("", words.TOTAL, f"{self.said.pieces:,}", "", figures(self.said.total))
        self.columns(said, SUM, SUM_FIGURE, self.y + 1.2)
        self.y += SUBTOTAL - 0.6
        self.rule("rule")
        self.y += 0.6
        self.rule("rule")

    def row(self, shown: Shown) -> None:
        entry = shown.entry
        if entry.section:
            self.put("", self.left, self.y + 3, self.width, entry.section, SECTION_HEAD, "h2")
            self.y += SECTION
        y = self.y + PADDING / 2
        self.put("", self.left, y, NUMBER, entry.number, CELL)
        x = self.left + NUMBER
        if entry.pictured:
            for number, face in enumerate(entry.faces):
                at, alt = x + number * (PICTURE + 1), f"{entry.number}, {face.side}"
                self.page.pictures.append(Picture(face.name, alt, at, y, PICTURE))
            if not entry.faces:
                self.put("", x, y + 0.8, PICTURES, words.NO_PICTURE, NONE)
            x += PICTURES
        width = text_width(self.paper, entry.pictured)
        below = y + self.put("", x, y, width, shown.title, TITLE)
        self.put("", x, below, width, shown.details, DETAIL)
        each = "" if entry.each is None else figures(entry.each)
        self.columns(("", "", str(entry.pieces), each, figures(entry.amount)), CELL, FIGURE, y)
        self.y += shown.height
        self.rule()
