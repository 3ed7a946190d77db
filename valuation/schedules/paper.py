"""Lay a schedule on its pages: heading, money table, what it says and does not, descriptions.

Computed: where every text, line and picture stands, in mm from the top left corner of its page.
Each text is broken here to its column, so everything is as high as it was reckoned: a piece is
never parted from its pictures or fields, and only one that no page could hold goes on overleaf.
Each page has the 50 mm rule and its number, all but the first a
running head. Widths and gaps were chosen by trial, no source.

>>> from decimal import Decimal
>>> from catalogue.printing.geometry import PAPERS
>>> one = Entry("1", "25 tinne, 1953", (), 1, None, Decimal("14.50"))
>>> from valuation.schedules.parts import Said
>>> said = Said("Schedule 1", "", "", "EUR", 1, Decimal("14.50"), facts=[("Owner", "Ana")])
>>> page, = lay_schedule(said, [one], [], PAPERS["A4"])
>>> [text.lines[0] for text in page.texts][:3]
['Schedule 1', 'Owner', 'Ana']
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from catalogue.printing.drawing import BAR_GAP
from catalogue.printing.furniture import Filling, Margins
from catalogue.printing.geometry import Line, Paper, Picture
from catalogue.printing.geometry import Page as Laid
from catalogue.printing.lettering import Lettering, wrap
from valuation.money import figures
from valuation.schedules.layout import (
    AMOUNT,
    DETAIL,
    EACH,
    FACT,
    FACT_LABEL,
    MARGIN_BOTTOM,
    MARGIN_SIDE,
    MARGIN_TOP,
    NUMBER,
    PADDING,
    PICTURE,
    PICTURES,
    PIECES,
    SECTION,
    SUBTOTAL,
    TABLE_HEAD,
    TITLE,
    Entry,
    Shown,
    fact_lines,
    heading_height,
    money_table,
    text_width,
)
from valuation.schedules.pages import Page
from valuation.schedules.parts import Described, Said

FACE = 22.0  # a face in its description
FACE_COLUMN = 27.0
LABEL_COLUMN = 33.0
SECOND_LABEL = 25.0
COLUMNS = ("No.", "Piece", "Pieces", "Each")
HEAD_GAP = 0.8  # between the name of a piece and its fields
PIECE_PADDING = 1.8  # above and below a piece

MARGINS = Margins(MARGIN_SIDE, MARGIN_SIDE, MARGIN_TOP - 8, MARGIN_BOTTOM)
HEAD = Lettering("head", "serif", 20, leading=1.2, weight=600)
LEAD = Lettering("lead", "sans", 9.5, leading=1.4, colour="muted")
FACT_NAME = Lettering("fact-name", "sans", 9.5, leading=1.4, colour="muted")
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
PART_HEAD = Lettering("part", "serif", 12, leading=1.2, weight=600)
PROSE = Lettering("prose", "sans", 9.5, leading=1.4)
SIGN = Lettering("sign", "sans", 8, leading=1.3, colour="muted")
PIECE_HEAD = Lettering("piece", "serif", 10.5, leading=1.25, weight=600)
NAME = Lettering("name", "sans", 7.5, leading=1.2, colour="muted")
FIELD = Lettering("field", "sans", 7.5, leading=1.2)
CAPTION = Lettering("caption", "sans", 7, leading=1.2, colour="muted", align="center")


def lay_schedule(
    said: Said, entries: Sequence[Entry], described: Sequence[Described], paper: Paper
) -> tuple[Laid, ...]:
    """All pages of a schedule."""
    layout = _Schedule(said, paper)
    heading = layout.heading()
    for page in money_table(entries, paper, heading):
        layout.table(page)
    layout.closing()
    if described:
        layout.turn()
        layout.descriptions(described)
    return layout.furnished(said.running)


class _Schedule(Filling):
    def __init__(self, said: Said, paper: Paper) -> None:
        super().__init__(paper, MARGINS, running=MARGIN_TOP - MARGINS.top)
        self.said = said
        self.y = MARGIN_TOP

    # ---- heading and money table ----
    def heading(self) -> float:
        """Title and facts; returns how high they are."""
        self.put("", self.left, self.y, self.width, self.said.title, HEAD, "h1")
        self.put("", self.left, self.y + 10, self.width, self.said.lead, LEAD)
        facts = [(name, fact_lines(text, self.paper)) for name, text in self.said.facts]
        self.y += 20
        for name, lines in facts:
            x, width = self.left + FACT_LABEL, self.width - FACT_LABEL
            self.put("", self.left, self.y, FACT_LABEL - 2, name, FACT_NAME)
            self.y += self.put("", x, self.y, width, lines, FACT) + 0.6
        height = heading_height([lines for _name, lines in facts])
        self.y = MARGIN_TOP + height
        return height

    def table(self, page: Page) -> None:
        if page.number:
            self.turn()
        self.columns((*COLUMNS, self.said.currency), COLUMN, COLUMN_RIGHT, self.y + 1.5)
        self.y += TABLE_HEAD - 0.5
        self.rule("strong")
        self.y += 0.5
        if page.brought is not None:
            self.subtotal("brought forward", page.brought)
        for row in page.rows:
            self.row(row.shown)
        if page.carried is not None:
            self.subtotal("carried forward", page.carried)
        else:
            self.total()

    def columns(
        self, words: tuple[str, str, str, str, str], how: Lettering, figure: Lettering, y: float
    ) -> None:
        """Number, words and three columns of figures on one line."""
        self.put("", self.left, y, NUMBER, words[0], how)
        self.put("", self.left + NUMBER, y, PICTURES + 40, words[1], how)
        x = self.right - AMOUNT - EACH - PIECES
        for width, text in zip((PIECES, EACH, AMOUNT), words[2:], strict=True):
            self.put("", x, y, width, text, figure)
            x += width

    def subtotal(self, words: str, amount: Decimal) -> None:
        said = ("", words, "", "", figures(amount))
        self.columns(said, SUB, SUB_FIGURE, self.y + 1.5)
        self.y += SUBTOTAL

    def total(self) -> None:
        self.rule("strong")
        words = ("", "Total", f"{self.said.pieces:,}", "", figures(self.said.total))
        self.columns(words, SUM, SUM_FIGURE, self.y + 1.2)
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
            for number, (name, alt) in enumerate(entry.faces):
                at, alt = x + number * (PICTURE + 1), f"{entry.number}, {alt}"
                self.page.pictures.append(Picture(name, alt, at, y, PICTURE))
            if not entry.faces:
                self.put("", x, y + 0.8, PICTURES, "no photograph", NONE)
            x += PICTURES
        width = text_width(self.paper, entry.pictured)
        below = y + self.put("", x, y, width, shown.title, TITLE)
        self.put("", x, below, width, shown.details, DETAIL)
        each = "" if entry.each is None else figures(entry.each)
        self.columns(("", "", str(entry.pieces), each, figures(entry.amount)), CELL, FIGURE, y)
        self.y += shown.height
        self.rule()

    # ---- what it says, and the place to sign ----
    def closing(self) -> None:
        broken = [wrap(text, PROSE, self.width) for text in self.said.closing]
        height = 12 + sum(len(lines) * PROSE.line_height + 2 for lines in broken) + 24
        if self.y + height > self.bottom:
            self.turn()
        else:
            self.y += 6
        self.flow("", "What this list says, and what it does not", PART_HEAD, "h2")
        self.y += 2
        for text in self.said.closing:
            self.flow("", text, PROSE)
            self.y += 2
        self.signatures()

    def signatures(self) -> None:
        third = (self.width - 20) / 3
        names = ("Place and date", f"Owner: {self.said.insured}", "For the insurer")
        signed = [wrap(text, SIGN, third) for text in names]
        deep = max(len(lines) for lines in signed) * SIGN.line_height
        if self.y + 15 + deep > self.bottom:
            self.turn()
        self.y += 14
        for number, lines in enumerate(signed):
            x = self.left + number * (third + 10)
            self.page.lines.append(Line(x, self.y, x + third, self.y, "rule"))
            self.put("", x, self.y + 1, third, lines, SIGN)
        self.y += 1 + deep

    # ---- descriptions ----
    def descriptions(self, described: Sequence[Described]) -> None:
        self.flow("", "Descriptions of the pieces listed one by one", PART_HEAD, "h2")
        self.y += 1
        self.flow("", "By the fields of Object ID (International Council of Museums).", PROSE)
        self.y += 2
        for piece in described:
            self.piece(piece)

    def piece(self, piece: Described) -> None:
        """One piece with its faces and fields, on one page if any page could hold it."""
        width = self.width
        head = wrap(f"{piece.number}. {piece.label}", PIECE_HEAD, width)
        rows = _paired(piece.short, width) + [_single(row, width) for row in piece.fields]
        above = PIECE_PADDING + len(head) * PIECE_HEAD.line_height + HEAD_GAP
        fields = sum(map(_height, rows))
        faces = len(piece.faces) * _FACE_HEIGHT
        if self.y + above + max(faces, fields) > self.bottom + 1e-6:
            self.turn()
        else:
            self.rule()
        self.y += PIECE_PADDING
        self.put("", self.left, self.y, width, head, PIECE_HEAD, "h3")
        self.y += above - PIECE_PADDING
        begun, top = self.page, self.y
        self.faces(piece)
        for row in rows:
            self.fields(row)
        if self.page is begun:
            self.y = max(self.y, top + faces)
        self.y += PIECE_PADDING

    def faces(self, piece: Described) -> None:
        y = self.y
        for face in piece.faces:
            alt = f"{piece.number}, {face.side}"
            shown = Picture(face.name, alt, self.left, y, FACE, face.scale)
            self.page.pictures.append(shown)
            level = y + FACE + BAR_GAP + 1
            self.put("", self.left, level, FACE, face.caption, CAPTION)
            y += _FACE_HEIGHT

    def fields(self, row: Sequence[_Field]) -> None:
        """Fields side by side; only what is longer than a page goes on overleaf."""
        while any(part.words or part.name for part in row):
            fit = int((self.bottom - self.y) / FIELD.line_height + 1e-6)
            if fit < 1:
                self.turn()
                continue
            for part in row:
                x = self.left + part.x
                self.put("", x, self.y, part.indent - 1, part.name[:fit], NAME)
                self.put("", x + part.indent, self.y, part.width, part.words[:fit], FIELD)
            self.y += min(fit * FIELD.line_height, _height(row))
            row = [part.after(fit) for part in row]


@dataclass(frozen=True)
class _Field:
    """A name and its words, both broken, at ``x`` from the left edge of the text."""

    x: float
    indent: float
    width: float
    name: tuple[str, ...]
    words: tuple[str, ...]

    def after(self, fit: int) -> _Field:
        return _Field(self.x, self.indent, self.width, self.name[fit:], self.words[fit:])


_FACE_HEIGHT = FACE + BAR_GAP + 1 + CAPTION.line_height + 0.2


def _field(said: tuple[str, str], x: float, indent: float, width: float) -> _Field:
    name, words = said
    return _Field(x, indent, width, wrap(name, NAME, indent - 1), wrap(words, FIELD, width))


def _single(said: tuple[str, str], width: float) -> list[_Field]:
    return [_field(said, FACE_COLUMN, LABEL_COLUMN, width - FACE_COLUMN - LABEL_COLUMN)]


def _paired(short: Sequence[tuple[str, str]], width: float) -> list[list[_Field]]:
    """Short fields two abreast, the second as far right as the first is wide."""
    half = (width - FACE_COLUMN) / 2
    columns = ((FACE_COLUMN, LABEL_COLUMN), (FACE_COLUMN + half, SECOND_LABEL))
    rows = []
    for start in range(0, len(short), 2):
        pairs = zip(short[start : start + 2], columns, strict=False)
        rows.append([_field(said, x, indent, half - indent - 3) for said, (x, indent) in pairs])
    return rows


def _height(row: Sequence[_Field]) -> float:
    """Height of fields that stand side by side, mm."""
    return max(max(len(part.name), len(part.words)) for part in row) * FIELD.line_height
