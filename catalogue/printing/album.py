"""Lay out album pages true to scale: a pocket for every coin, its label right under it.

Rows go down the page, one for each denomination, with their heading on the left; a row's
pockets go from left to right and wrap into lines as needed. A pocket is the coin's diameter
plus a clearance; the circle drawn is the coin itself, at its true diameter. Pockets of a line
stand on one base line, so that their labels begin at one height. A line of pockets is never
parted from its labels; where a row goes on overleaf its heading is repeated. The first page
carries title, story and rows; each page the 50 mm rule and its number.

Lengths in mm from the top left corner of the page. Clearance and gaps were chosen by trial, no
source.

>>> coins = tuple(Pocket(str(year), 24.25, (str(year),)) for year in range(1999, 2009))
>>> page, = lay_album("Quarters", [Row("25 cents", "24.25 mm", coins)])
>>> [(c.key, round(c.cx, 2), round(c.cy, 2), c.r) for c in page.circles[:2]]
[('1999', 66.62, 43.94, 12.125), ('2000', 95.88, 43.94, 12.125)]
>>> len(page.circles), {round(c.cy, 2) for c in page.circles}
(10, {43.94, 77.7, 111.45})
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from catalogue.printing.furniture import Margins, Words, foot, running_head
from catalogue.printing.geometry import (
    PAPERS,
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

TITLE = Lettering("title", "serif", 22, weight=600, leading=1.2)
SUBTITLE = Lettering("subtitle", "sans", 10.5, colour="muted")
STORY = Lettering("story", "serif", 10, leading=1.45)
HEADING = Lettering("row-heading", "serif", 11, leading=1.2)
NOTE = Lettering("row-note", "sans", 7.5, colour="muted")
LABEL = Lettering("pocket", "sans", 7.5, align="center", first=("sans", 600))
GAP_LABEL = Lettering("pocket-gap", "sans", 7.5, align="center", italic=True, colour="muted")
LABEL_WIDEST = Lettering("pocket-widest", "sans", 7.5, weight=600)

STORY_WIDTH = 135.0
RUNNING_HEIGHT = 9.0


@dataclass(frozen=True)
class Pocket:
    """One place for a coin: its width in mm (the diameter, or across the widest) and label."""

    key: str
    width: float
    label: tuple[str, ...] = ()
    held: bool = True


@dataclass(frozen=True)
class Row:
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


@dataclass
class _Sheet:
    """The page being filled: what is on it and how far down it is full."""

    y: float
    circles: list[Circle] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)


def lay_album(
    title: str,
    rows: Sequence[Row],
    *,
    subtitle: str = "",
    story: Sequence[str] = (),
    paper: Paper = PAPERS["A4"],
    margins: Margins | None = None,
    measures: Measures | None = None,
    words: Words | None = None,
    before: int = 0,
    total: int = 0,
) -> tuple[Page, ...]:
    """Lay rows of pockets on as many pages as they need, in their order.

    ``story`` is a run of paragraphs. Where an album has several parts, ``before`` counts the
    pages of the earlier ones and ``total`` those of all. Raises :class:`SheetProblem` for a coin
    without a width or one that does not fit the page; its text names the coin.
    """
    layout = _Album(title, paper, margins or Margins(), measures or Measures(), words or Words())
    layout.head(subtitle, story)
    for number, row in enumerate(rows):
        layout.row(row, first=number == 0)
    return layout.pages(before, total)


class _Album:
    def __init__(
        self, title: str, paper: Paper, margins: Margins, measures: Measures, words: Words
    ) -> None:
        self.title, self.paper, self.words = title, paper, words
        self.margins, self.measures = margins, measures
        self.left = margins.left
        self.right = paper.width - margins.right
        self.bottom = paper.height - margins.bottom
        self.coins_left = self.left + measures.heading_width + measures.heading_gap
        self.sheets: list[_Sheet] = [_Sheet(y=margins.top)]

    @property
    def sheet(self) -> _Sheet:
        return self.sheets[-1]

    @property
    def overleaf(self) -> float:
        """Where the content of a page after the first begins."""
        return self.margins.top + RUNNING_HEIGHT

    def turn(self) -> None:
        self.sheets.append(_Sheet(y=self.overleaf))

    def put(
        self,
        key: str,
        x: float,
        width: float,
        text: tuple[str, ...],
        how: Lettering,
        tag: str = "p",
    ) -> None:
        """Text at the present height, which it moves down by its own height."""
        placed = Text(key, x, self.sheet.y, width, text, how, tag)
        self.sheet.texts.append(placed)
        self.sheet.y += placed.height

    def head(self, subtitle: str, story: Sequence[str]) -> None:
        width = self.right - self.left
        self.put("title", self.left, width, wrap(self.title, TITLE, width), TITLE, "h1")
        if subtitle:
            self.sheet.y += 0.8
            self.put("subtitle", self.left, width, wrap(subtitle, SUBTITLE, width), SUBTITLE)
        self.sheet.y += 2.5
        self.rule("strong")
        self.sheet.y += 4.5
        for paragraph in story:
            self.story(paragraph)
        if story:
            self.sheet.y += 4

    def story(self, paragraph: str) -> None:
        """A paragraph, over the page where it must be."""
        width = min(STORY_WIDTH, self.right - self.left)
        lines = wrap(paragraph, STORY, width)
        while lines:
            fit = int((self.bottom - self.sheet.y) / STORY.line_height + 1e-9)
            if fit < min(2, len(lines)):
                self.turn()
                continue
            self.put("story", self.left, width, lines[:fit], STORY)
            lines = lines[fit:]
        self.sheet.y += 1.5

    def rule(self, look: str = "thin") -> None:
        self.sheet.lines.append(Line(self.left, self.sheet.y, self.right, self.sheet.y, look))

    def row(self, row: Row, first: bool) -> None:
        lines = list(self.pack(row)) or [[]]
        heading = self.heading(row, continued=False)
        for number, line in enumerate(lines):
            begins = number == 0
            height = self.line_height(line)
            gap = self.measures.gap_down if not begins else self.measures.row_gap * (not first)
            needed = max(height, _height(heading)) if begins else height
            if self.sheet.y + gap + needed > self.bottom + 1e-6 and not self.is_blank():
                self.turn()
                gap = 0.0
                heading = self.heading(row, continued=not begins)
                begins = True
                needed = max(height, _height(heading))
            if self.sheet.y + gap + needed > self.bottom + 1e-6:
                raise self.too_high(row, line)
            if gap and begins:
                self.sheet.y += gap / 2
                self.rule()
                self.sheet.y += gap / 2
            else:
                self.sheet.y += gap
            if begins:
                self.sheet.texts += _moved(heading, self.sheet.y)
            self.place(line)
            self.sheet.y += needed if begins else height

    def is_blank(self) -> bool:
        """Whether nothing but the running head is on this page, so turning would not help."""
        return len(self.sheets) > 1 and self.sheet.y <= self.overleaf

    def heading(self, row: Row, continued: bool) -> list[Text]:
        """Heading and note of a row, as if at the top of the page."""
        width = self.measures.heading_width
        texts = [
            Text(
                row.heading,
                self.left,
                0,
                width,
                wrap(row.heading, HEADING, width),
                HEADING,
                "p" if continued else "h2",
            )
        ]
        below = (
            f"{row.note}\n{self.words.continued}"
            if row.note and continued
            else (self.words.continued if continued else row.note)
        )
        if below:
            lines = wrap(below, NOTE, width)
            texts.append(Text(row.heading, self.left, texts[0].height + 0.6, width, lines, NOTE))
        return texts

    def pack(self, row: Row) -> Iterator[list[_Slot]]:
        """The pockets of a row in lines; every place in a row is as wide as its widest one."""
        room = self.right - self.coins_left
        slots = [self.slot(row, pocket, room) for pocket in row.pockets]
        if not slots:
            return
        width = max(slot.width for slot in slots)
        gap = self.measures.gap_across
        count = max(1, int((room + gap) / (width + gap) + 1e-9))
        for start in range(0, len(slots), count):
            yield [_Slot(s.pocket, width, s.label) for s in slots[start : start + count]]

    def slot(self, row: Row, pocket: Pocket, room: float) -> _Slot:
        name = " ".join((row.heading, *pocket.label[:1]))
        if not pocket.width > 0:
            raise SheetProblem(
                gettext_noop(
                    "“%(coin)s” has no diameter on record, so its pocket cannot be drawn: enter "
                    "one for its type, or leave it out."
                ),
                {"coin": name},
            )
        pocket_width = pocket.width + self.measures.clearance
        if pocket_width > room + 1e-6:
            raise SheetProblem(
                gettext_noop(
                    "“%(coin)s” needs a pocket %(pocket)s mm wide; a row on %(paper)s has room "
                    "for %(room)s mm. Leave it out, or choose wider paper."
                ),
                {
                    "coin": name,
                    "pocket": measure(pocket_width),
                    "paper": self.paper.name,
                    "room": measure(room),
                },
            )
        widest = max(pocket_width, self.measures.label_width)
        widest = min(room, max([widest, *(longest_word(t, LABEL_WIDEST) for t in pocket.label)]))
        label = tuple(part for text in pocket.label for part in wrap(text, LABEL_WIDEST, widest))
        width = max([pocket_width, *(text_width(line, LABEL_WIDEST) for line in label)])
        return _Slot(pocket, min(width, room), label)

    def line_height(self, line: list[_Slot]) -> float:
        if not line:
            return 0.0
        return self.pocket_height(line) + max(self.label_height(slot) for slot in line)

    def pocket_height(self, line: list[_Slot]) -> float:
        return max(slot.pocket.width for slot in line) + self.measures.clearance

    def label_height(self, slot: _Slot) -> float:
        gap = self.measures.label_gap if slot.label else 0.0
        return gap + len(slot.label) * LABEL.line_height

    def place(self, line: list[_Slot]) -> None:
        """Put a line of pockets and labels at the present height."""
        if not line:
            return
        base = self.sheet.y + self.pocket_height(line)
        for number, slot in enumerate(line):
            pocket = slot.pocket
            x = self.coins_left + number * (slot.width + self.measures.gap_across)
            r = pocket.width / 2
            cy = base - self.measures.clearance / 2 - r
            look = "held" if pocket.held else "gap"
            self.sheet.circles.append(Circle(pocket.key, x + slot.width / 2, cy, r, look))
            if slot.label:
                how = LABEL if pocket.held else GAP_LABEL
                y = base + self.measures.label_gap
                self.sheet.texts.append(Text(pocket.key, x, y, slot.width, slot.label, how))

    def too_high(self, row: Row, line: list[_Slot]) -> SheetProblem:
        label = line[0].pocket.label[:1] if line else ()
        return SheetProblem(
            gettext_noop(
                "“%(coin)s” with its label does not fit the height of a page of %(paper)s: "
                "shorten its label or its heading, or leave it out."
            ),
            {"coin": " ".join((row.heading, *label)), "paper": self.paper.name},
        )

    def pages(self, before: int, total: int) -> tuple[Page, ...]:
        total = total or before + len(self.sheets)
        return tuple(
            self.page(sheet, before + number, total, headed=number > 1)
            for number, sheet in enumerate(self.sheets, 1)
        )

    def page(self, sheet: _Sheet, number: int, total: int, headed: bool) -> Page:
        lines, texts = foot(self.paper, self.margins, number, total, self.words)
        head_lines: tuple[Line, ...] = ()
        head_texts: tuple[Text, ...] = ()
        if headed:
            head_lines, head_texts = running_head(self.paper, self.margins, self.title, "")
        return Page(
            self.paper,
            number,
            total,
            circles=tuple(sheet.circles),
            lines=(*head_lines, *sheet.lines, *lines),
            texts=(*head_texts, *sheet.texts, *texts),
        )


def _height(texts: list[Text]) -> float:
    return max(text.y + text.height for text in texts)


def _moved(texts: list[Text], y: float) -> list[Text]:
    return [Text(t.key, t.x, t.y + y, t.width, t.lines, t.lettering, t.tag) for t in texts]
