"""Lay a schedule on its pages: heading, money table, what it says and does not, descriptions.

Computed: where every text, line and picture stands, in mm from the top left corner of its page.
Each text is broken here to its column, so everything is as high as it was reckoned: a piece is
never parted from its pictures or fields, and only one that no page could hold goes on overleaf.
Its words are those of ``valuation.schedules.words``. Each page has the 50 mm rule and its number,
all but the first a running head. Widths and gaps were chosen by trial, no source.

>>> from decimal import Decimal
>>> from catalogue.printing.geometry import PAPERS
>>> one = Entry("1", "25 tinne, 1953", (), 1, None, Decimal("14.50"))
>>> from valuation.schedules.parts import Said
>>> said = Said("Schedule 1", "", "", ("No.", "Piece", "Pieces", "Each", "EUR"), "1", "14.50", (),
...     ("Place", "Owner", "Insurer"))
>>> sheet, = lay_schedule(said, [("Owner", "Ana")], [one], [], PAPERS["A4"])
>>> [text.lines[0] for text in sheet.page.texts][:3]
['Schedule 1', 'Owner', 'Ana']
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from catalogue.printing.furniture import Margins, foot, running_head
from catalogue.printing.geometry import Line, Paper, Text
from catalogue.printing.geometry import Page as Laid
from catalogue.printing.lettering import Lettering, wrap
from valuation.money import figures
from valuation.schedules import words
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
from valuation.schedules.parts import Described, Picture, Said, Sheet

FACE = 22.0  # a face in its description
FACE_COLUMN = 27.0
LABEL_COLUMN = 33.0
SECOND_LABEL = 25.0
CAPTION_GAP = 0.6
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


@dataclass
class _Filling:
    """The page being filled, and how far down it is full."""

    y: float = MARGIN_TOP
    lines: list[Line] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    pictures: list[Picture] = field(default_factory=list)


def lay_schedule(
    said: Said,
    facts: Sequence[tuple[str, str]],
    entries: Sequence[Entry],
    described: Sequence[Described],
    paper: Paper,
) -> tuple[Sheet, ...]:
    """All pages of a schedule; ``facts`` are the names and words of its heading."""
    layout = _Schedule(said, paper)
    broken = [(name, fact_lines(text, paper)) for name, text in facts]
    heading = heading_height([lines for _name, lines in broken])
    layout.heading(broken)
    for page in money_table(entries, paper, heading):
        layout.table(page)
    layout.closing()
    if described:
        layout.turn()
        layout.flow(words.DESCRIBED_HEAD, PART_HEAD, "h2")
        layout.page.y += 1
        layout.flow(words.DESCRIBED_LEAD, PROSE)
        layout.page.y += 2
        for piece in described:
            layout.piece(piece)
    return layout.sheets()


class _Schedule:
    def __init__(self, said: Said, paper: Paper) -> None:
        self.said, self.paper = said, paper
        self.left = MARGIN_SIDE
        self.right = paper.width - MARGIN_SIDE
        self.bottom = paper.height - MARGIN_BOTTOM
        self.pages = [_Filling()]

    @property
    def page(self) -> _Filling:
        return self.pages[-1]

    def turn(self) -> None:
        self.pages.append(_Filling())

    def put(
        self,
        x: float,
        y: float,
        width: float,
        lines: str | tuple[str, ...],
        how: Lettering,
        tag: str = "p",
    ) -> None:
        broken = (lines,) if isinstance(lines, str) else lines
        if any(broken):
            self.page.texts.append(Text("", x, y, width, broken, how, tag))

    def rule(self, look: str = "thin") -> None:
        self.page.lines.append(Line(self.left, self.page.y, self.right, self.page.y, look))

    def flow(self, text: str, how: Lettering, tag: str = "p") -> None:
        """A paragraph at the present height, over the page where it must be."""
        width = self.right - self.left
        lines = wrap(text, how, width) if text else ()
        while lines:
            fit = int((self.bottom - self.page.y) / how.line_height + 1e-6)
            if fit < 1:
                self.turn()
                continue
            self.put(self.left, self.page.y, width, lines[:fit], how, tag)
            self.page.y += min(fit, len(lines)) * how.line_height
            lines = lines[fit:]

    # ---- heading and money table ----
    def heading(self, facts: Sequence[tuple[str, tuple[str, ...]]]) -> None:
        width = self.right - self.left
        self.put(self.left, MARGIN_TOP, width, self.said.title, HEAD, "h1")
        self.put(self.left, MARGIN_TOP + 10, width, self.said.lead, LEAD)
        self.page.y += 20
        for name, lines in facts:
            self.put(self.left, self.page.y, FACT_LABEL - 2, name, FACT_NAME)
            x = self.left + FACT_LABEL
            self.put(x, self.page.y, width - FACT_LABEL, lines, FACT)
            self.page.y += len(lines) * FACT.line_height + 0.6
        self.page.y = MARGIN_TOP + heading_height([lines for _name, lines in facts])

    def table(self, page: Page) -> None:
        if page.number:
            self.turn()
        self.columns(self.said.columns, COLUMN, COLUMN_RIGHT, self.page.y + 1.5)
        self.page.y += TABLE_HEAD - 0.5
        self.rule("strong")
        self.page.y += 0.5
        if page.brought is not None:
            self.subtotal(words.BROUGHT, page.brought)
        for row in page.rows:
            self.row(row.shown)
        if page.carried is not None:
            self.subtotal(words.CARRIED, page.carried)
        else:
            self.total()

    def columns(
        self, texts: tuple[str, str, str, str, str], how: Lettering, figure: Lettering, y: float
    ) -> None:
        """Number, words and three columns of figures on one line."""
        self.put(self.left, y, NUMBER, texts[0], how)
        self.put(self.left + NUMBER, y, PICTURES + 40, texts[1], how)
        x = self.right - AMOUNT - EACH - PIECES
        for width, text in zip((PIECES, EACH, AMOUNT), texts[2:], strict=True):
            self.put(x, y, width, text, figure)
            x += width

    def subtotal(self, text: str, amount: Decimal) -> None:
        said = ("", text, "", "", figures(amount))
        self.columns(said, SUB, SUB_FIGURE, self.page.y + 1.5)
        self.page.y += SUBTOTAL

    def total(self) -> None:
        said = self.said
        self.rule("strong")
        sums = ("", words.TOTAL, said.total_pieces, "", said.total_amount)
        self.columns(sums, SUM, SUM_FIGURE, self.page.y + 1.2)
        self.page.y += SUBTOTAL - 0.6
        self.rule("rule")
        self.page.y += 0.6
        self.rule("rule")

    def row(self, shown: Shown) -> None:
        entry = shown.entry
        if entry.section:
            y = self.page.y + 3
            self.put(self.left, y, self.right - self.left, entry.section, SECTION_HEAD, "h2")
            self.page.y += SECTION
        y = self.page.y + PADDING / 2
        self.put(self.left, y, NUMBER, entry.number, CELL)
        x = self.left + NUMBER
        if entry.pictured:
            for number, (name, alt) in enumerate(entry.faces):
                at = x + number * (PICTURE + 1)
                alt = f"{entry.number}, {alt}"
                self.page.pictures.append(Picture(name, alt, at, y, PICTURE))
            if not entry.faces:
                self.put(x, y + 0.8, PICTURES, words.NO_PICTURE, NONE)
            x += PICTURES
        width = text_width(self.paper, entry.pictured)
        self.put(x, y, width, shown.title, TITLE)
        self.put(x, y + len(shown.title) * TITLE.line_height, width, shown.details, DETAIL)
        each = "" if entry.each is None else figures(entry.each)
        sums = ("", "", str(entry.pieces), each, figures(entry.amount))
        self.columns(sums, CELL, FIGURE, y)
        self.page.y += shown.height
        self.rule()

    # ---- what it says, and the place to sign ----
    def closing(self) -> None:
        said, width = self.said, self.right - self.left
        broken = [wrap(text, PROSE, width) for text in said.closing]
        height = 12 + sum(len(lines) * PROSE.line_height + 2 for lines in broken) + 24
        if self.page.y + height > self.bottom:
            self.turn()
        else:
            self.page.y += 6
        self.flow(words.CLOSING_HEAD, PART_HEAD, "h2")
        self.page.y += 2
        for text in said.closing:
            self.flow(text, PROSE)
            self.page.y += 2
        third = (width - 20) / 3
        signed = [wrap(text, SIGN, third) for text in said.sign]
        deep = max(len(lines) for lines in signed) * SIGN.line_height
        if self.page.y + 15 + deep > self.bottom:
            self.turn()
        self.page.y += 14
        for number, lines in enumerate(signed):
            x = self.left + number * (third + 10)
            self.page.lines.append(Line(x, self.page.y, x + third, self.page.y, "rule"))
            self.put(x, self.page.y + 1, third, lines, SIGN)
        self.page.y += 1 + deep

    # ---- descriptions ----
    def piece(self, piece: Described) -> None:
        """One piece with its faces and fields, on one page if any page could hold it."""
        width = self.right - self.left
        head = wrap(f"{piece.number}. {piece.label}", PIECE_HEAD, width)
        rows = _paired(piece.short, width) + [_single(row, width) for row in piece.fields]
        above = PIECE_PADDING + len(head) * PIECE_HEAD.line_height + HEAD_GAP
        fields = sum(map(_height, rows))
        faces = len(piece.faces) * _FACE_HEIGHT
        if self.page.y + above + max(faces, fields) > self.bottom + 1e-6:
            self.turn()
        else:
            self.rule()
        self.page.y += PIECE_PADDING
        self.put(self.left, self.page.y, width, head, PIECE_HEAD, "h3")
        self.page.y += above - PIECE_PADDING
        sheet, top = self.page, self.page.y
        self.faces(piece)
        for row in rows:
            self.fields(row)
        if self.page is sheet:
            self.page.y = max(self.page.y, top + faces)
        self.page.y += PIECE_PADDING

    def faces(self, piece: Described) -> None:
        y = self.page.y
        for face in piece.faces:
            alt = f"{piece.number}, {face.side}"
            shown = Picture(face.name, alt, self.left, y, FACE, face.scale)
            self.page.pictures.append(shown)
            level = y + FACE + CAPTION_GAP + 1
            self.put(self.left, level, FACE, face.caption, CAPTION)
            y += _FACE_HEIGHT

    def fields(self, row: Sequence[_Field]) -> None:
        """Fields side by side; only what is longer than a page goes on overleaf."""
        while any(part.words or part.name for part in row):
            fit = int((self.bottom - self.page.y) / FIELD.line_height + 1e-6)
            if fit < 1:
                self.turn()
                continue
            for part in row:
                x = self.left + part.x
                self.put(x, self.page.y, part.indent - 1, part.name[:fit], NAME)
                self.put(x + part.indent, self.page.y, part.width, part.words[:fit], FIELD)
            self.page.y += min(fit * FIELD.line_height, _height(row))
            row = [part.after(fit) for part in row]

    def sheets(self) -> tuple[Sheet, ...]:
        return tuple(self.sheet(page, number) for number, page in enumerate(self.pages, 1))

    def sheet(self, filled: _Filling, number: int) -> Sheet:
        total = len(self.pages)
        lines, texts = foot(self.paper, MARGINS, number, total)
        head_lines: tuple[Line, ...] = ()
        head_texts: tuple[Text, ...] = ()
        if number > 1:
            head_lines, head_texts = running_head(self.paper, MARGINS, self.said.running, "")
        page = Laid(
            self.paper,
            number,
            total,
            lines=(*head_lines, *filled.lines, *lines),
            texts=(*head_texts, *filled.texts, *texts),
        )
        return Sheet(page, tuple(filled.pictures))


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


_FACE_HEIGHT = FACE + CAPTION_GAP + 1 + CAPTION.line_height + 0.2


def _field(said: tuple[str, str], x: float, indent: float, width: float) -> _Field:
    name, text = said
    return _Field(x, indent, width, wrap(name, NAME, indent - 1), wrap(text, FIELD, width))


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
