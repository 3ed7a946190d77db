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

from catalogue.printing.geometry import Paper
from catalogue.printing.lettering import Lettering, wrap
from valuation.schedules.pages import Page, PageRow, divide

MARGIN_TOP, MARGIN_BOTTOM, MARGIN_SIDE = 20.0, 18.0, 18.0
NUMBER, PICTURES, PIECES, EACH, AMOUNT = 9.0, 30.0, 13.0, 23.0, 27.0
PICTURE = 13.0
PADDING = 2.6  # above and below the text of a row, together
TABLE_HEAD = 7.0
SUBTOTAL = 7.0
SECTION = 10.0
HEADING = 30.0  # of the title and lead above the facts

TITLE = Lettering("title", "serif", 9.5, leading=1.3, weight=600)
DETAIL = Lettering("detail", "sans", 8, leading=1.3, colour="muted")
FACT = Lettering("fact", "sans", 9.5, leading=1.4)
FACT_LABEL = 42.0


@dataclass(frozen=True)
class Entry:
    """One line of the schedule as texts; ``pictured`` ones have room for both faces.

    ``section`` is a heading that stands above the line, on the same page; ``faces`` are names of
    pictures, each with what it shows.
    """

    number: str
    title: str
    details: tuple[str, ...]
    pieces: int
    each: Decimal | None
    amount: Decimal
    pictured: bool = False
    section: str = ""
    faces: tuple[tuple[str, str], ...] = ()


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
    words = len(title) * TITLE.line_height + len(details) * DETAIL.line_height
    height = max(words, PICTURE if entry.pictured else 0) + PADDING
    above = SECTION if entry.section else 0.0
    return PageRow(entry.amount, height + above, Shown(entry, title, details, round(height, 2)))


def money_table(entries: Sequence[Entry], paper: Paper, heading: float) -> list[Page]:
    """The pages of the table; ``heading`` is the height taken above it on the first page."""
    full = content_height(paper) - TABLE_HEAD - 2 * SUBTOTAL
    return divide([shown(entry, paper) for entry in entries], full - heading, full)


def fact_lines(text: str, paper: Paper) -> tuple[str, ...]:
    """A fact of the heading, broken to its column."""
    return wrap(text, FACT, content_width(paper) - FACT_LABEL)


def heading_height(facts: Sequence[Sequence[str]]) -> float:
    """Height of the heading: its title and the lines of its facts."""
    return HEADING + sum(len(lines) * FACT.line_height + 0.6 for lines in facts)
