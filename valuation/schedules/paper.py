"""Lay a schedule on its pages: heading, money table, what it says and does not, descriptions.

Computed: where every text, line and picture stands, in mm from the top left corner of its page.
Each text is broken here to its column, so everything is as high as it was reckoned: a piece is
never parted from its pictures or fields, and only one that no page could hold goes on overleaf.
Each page has the 50 mm rule and its number, all but the first a
running head. Widths and gaps were chosen by trial, no source.

>>> from decimal import Decimal
>>> from catalogue.printing.geometry import PAPERS
>>> one = Entry("1", "25 tinne, 1953", (), 1, None, Decimal("14.50"))
>>> from valuation.schedules.contents import Said
>>> said = Said("Schedule 1", "", "", "EUR", 1, Decimal("14.50"), facts=[("Owner", "Ana")])
>>> page, = lay_schedule(said, [one], [], PAPERS["A4"])
>>> [text.lines[0] for text in page.texts][:3]
['Schedule 1', 'Owner', 'Ana']
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from catalogue.printing.drawing import BAR_GAP
from catalogue.printing.geometry import Line, Paper, Picture
from catalogue.printing.geometry import Page as Laid
from catalogue.printing.lettering import Lettering, wrap
from valuation.schedules import words
from valuation.schedules.contents import Described, Said
from valuation.schedules.layout import (
    FACT,
    FACT_LABEL,
    Entry,
    MoneyTable,
    fact_lines,
    heading_height,
)

FACE = 22.0  # a face in its description
FACE_COLUMN = 27.0
LABEL_COLUMN = 33.0
SECOND_LABEL = 25.0
HEAD_GAP = 0.8  # between the name of a piece and its fields
PIECE_PADDING = 1.8  # above and below a piece

HEAD = Lettering("head", "serif", 20, leading=1.2, weight=600)
LEAD = Lettering("lead", "sans", 9.5, leading=1.4, colour="muted")
FACT_NAME = Lettering("fact-name", "sans", 9.5, leading=1.4, colour="muted")
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
    layout.table(entries, layout.heading())
    layout.closing()
    if described:
        layout.turn()
        layout.descriptions(described)
    return layout.furnished(said.running)


class _Schedule(MoneyTable):
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
        self.y = self.overleaf + height
        return height

    # ---- what it says, and the place to sign ----
    def closing(self) -> None:
        broken = [wrap(text, PROSE, self.width) for text in self.said.closing]
        height = 12 + sum(len(lines) * PROSE.line_height + 2 for lines in broken) + 24
        if self.y + height > self.bottom:
            self.turn()
        else:
            self.y += 6
        self.flow("", words.CLOSING_HEAD, PART_HEAD, "h2")
        self.y += 2
        for text in self.said.closing:
            self.flow("", text, PROSE)
            self.y += 2
        self.signatures()

    def signatures(self) -> None:
        third = (self.width - 20) / 3
        signed = [wrap(text, SIGN, third) for text in words.signing(self.said.insured)]
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
        self.flow("", words.DESCRIBED_HEAD, PART_HEAD, "h2")
        self.y += 1
        self.flow("", words.DESCRIBED_LEAD, PROSE)
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
