"""What stands where on a printed page: plain shapes in mm from the top left corner.

Layouts (labels, album pages, ladders) return pages made of these; one template draws them all.
Every layout keeps inside the printable area: 5 mm from each edge, which nearly every desktop
printer reaches (common practice, no source). Paper sizes: ISO 216 (A4); ANSI/ASME Y14.1 (Letter,
8.5 × 11 in).

>>> PAPERS["A4"].width, PAPERS["Letter"].width
(210.0, 215.9)
>>> PAPERS["A4"].turned().width
297.0
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import NamedTuple

from catalogue.printing.lettering import Lettering


class SheetProblem(ValueError):
    """A sheet that cannot be laid out; its sentence says why, and what to do about it."""


@dataclass(frozen=True)
class Paper:
    """A size of paper in mm."""

    name: str
    width: float
    height: float

    def turned(self) -> Paper:
        """The same paper with its other side up (landscape for portrait)."""
        return replace(self, width=self.height, height=self.width)


PAPERS = {
    "A4": Paper("A4", 210.0, 297.0),
    "Letter": Paper("Letter", 215.9, 279.4),
}


@dataclass(frozen=True)
class Circle:
    """A coin's outline at its drawn size; ``look`` is "held", "gap" or "cut"."""

    key: str
    cx: float
    cy: float
    r: float
    look: str = "held"


@dataclass(frozen=True)
class Box:
    """A rectangle; ``look`` is "full", "empty", "cut" or "code"."""

    key: str
    x: float
    y: float
    width: float
    height: float
    look: str = "empty"


@dataclass(frozen=True)
class Line:
    """A straight thin line; ``look`` is "thin", "strong" or "rule" (the 50 mm check)."""

    x1: float
    y1: float
    x2: float
    y2: float
    look: str = "thin"


class Span(NamedTuple):
    """Part of a text: which of its lines, from which character to before which."""

    line: int
    start: int
    end: int


@dataclass(frozen=True)
class Text:
    """Lines of text in a box of known size. ``tag`` is its HTML element (h1 and h2 bookmark it).

    The parts in ``strong``, in their order, are set in the heavier weight.
    """

    key: str
    x: float
    y: float
    width: float
    lines: tuple[str, ...]
    lettering: Lettering
    tag: str = "p"
    strong: tuple[Span, ...] = ()

    @property
    def height(self) -> float:
        return len(self.lines) * self.lettering.line_height


@dataclass(frozen=True)
class Picture:
    """A picture in a square of ``size`` mm.

    ``scale`` is the length, in mm, of the bar under it that stands for 10 mm of the coin.
    """

    name: str
    alt: str
    x: float
    y: float
    size: float
    scale: str | None = None


@dataclass
class Page:
    """One page: its number, of how many, and everything on it."""

    paper: Paper
    number: int = 1
    total: int = 1
    circles: list[Circle] = field(default_factory=list)
    boxes: list[Box] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    pictures: list[Picture] = field(default_factory=list)
