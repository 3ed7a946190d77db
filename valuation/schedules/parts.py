"""What a printed schedule is made of: its words, its described pieces, its pages and pictures.

Plain values, lengths in mm; nothing is computed but what a piece's bar of 10 mm measures.

>>> bar("26.50", 22.0)
'8.30'
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from catalogue.printing.geometry import Page as Laid

SCALE_MM = 10


def bar(diameter: str, size: float) -> str:
    """How long 10 mm of a coin are in a picture ``size`` mm wide, to a hundredth."""
    return f"{Decimal(size) * SCALE_MM / Decimal(diameter):.2f}"


@dataclass(frozen=True)
class Said:
    """What a schedule says of itself.

    ``columns`` are number, piece, pieces, each, amount; ``closing`` paragraphs; ``sign`` what
    stands under the three lines to sign on.
    """

    title: str
    lead: str
    running: str
    columns: tuple[str, str, str, str, str]
    total_pieces: str
    total_amount: str
    closing: tuple[str, ...]
    sign: tuple[str, str, str]


@dataclass(frozen=True)
class PrintedFace:
    """A picture in the document, and how long 10 mm are in it (None when not known)."""

    name: str
    side: str
    caption: str
    scale: str | None


@dataclass(frozen=True)
class Described:
    """An itemised piece as its description prints it: ``short`` fields stand two abreast."""

    number: int
    label: str
    faces: list[PrintedFace]
    short: list[tuple[str, str]]
    fields: list[tuple[str, str]]


@dataclass(frozen=True)
class Picture:
    """A picture in a square of ``size`` mm, and the bar under it that is 10 mm of the coin."""

    name: str
    alt: str
    x: float
    y: float
    size: float
    scale: str | None = None


@dataclass(frozen=True)
class Sheet:
    """A page and the pictures on it."""

    page: Laid
    pictures: tuple[Picture, ...]
