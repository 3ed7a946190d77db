"""How the series of a ladder share the width of its pages, and at which scale its coins fit.

Each series has a column: room for its widest coin, a gap, room for captions. A column is as wide
as its captions are on one line, up to a limit, and as narrow as their longest word where it must
be. Series that do not fit beside each other are put into groups, one for each page, as even in
number as their widths allow. Lengths in mm; widths were chosen by trial, no source.

>>> five = Rung("5 tinne", ((Piece("a", 16, "16 mm, brass"),),))
>>> shared = Shared([Column("First Marl")], [five], room=200, scale=1.0, paper="A4")
>>> shared.groups(), round(shared.places([0], 50)[0].caption_x, 1)
([[0]], 68.5)
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from catalogue.printing import words
from catalogue.printing.geometry import SheetProblem
from catalogue.printing.lettering import Lettering, longest_word, text_width

SERIES = Lettering("ladder-series", "serif", 10, leading=1.2, weight=600)
CAPTION = Lettering("ladder-caption", "sans", 8, colour="muted")

COIN_LEAST = 8.0  # width kept free for coins in a column of small ones
COIN_GAP = 2.5
CAPTION_LEAST, CAPTION_MOST = 19.0, 42.0
COLUMN_GAP = 4.0
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
class Place:
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


@dataclass(frozen=True)
class Shared:
    """Columns and what stands in them, at one scale, on pages with so much room."""

    columns: Sequence[Column]
    rungs: Sequence[Rung]
    room: float
    scale: float
    paper: str

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

    def places(self, group: list[int], left: float) -> list[Place]:
        """Share the width of the page, from ``left`` on, out among a group of columns."""
        free = self.free(group)
        if free < -TOLERANCE:
            first = self.columns[group[0]].heading
            raise SheetProblem(words.wide_series(first, self.paper, self.scale))
        wishes = [self.caption_widths(index)[1] - self.caption_widths(index)[0] for index in group]
        share = min(1.0, free / sum(wishes)) if sum(wishes) > 0 else 0.0
        spare = min(12.0, (free - share * sum(wishes)) / max(1, len(group)))
        places, x = [], left
        for index, wish in zip(group, wishes, strict=True):
            caption = self.caption_widths(index)[0] + share * wish
            places.append(Place(index, x, self.coin_width(index), caption))
            x += places[-1].width + COLUMN_GAP + spare
        return places
