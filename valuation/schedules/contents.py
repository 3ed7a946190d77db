"""What a printed schedule is made of: its words and its described pieces.

Plain values, lengths in mm; nothing is computed but what a piece's bar of 10 mm measures.

>>> bar("26.50", 22.0)
'8.30'
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

SCALE_MM = 10


def bar(diameter: str, size: float) -> str:
    """How long 10 mm of a coin are in a picture ``size`` mm wide, to a hundredth."""
    return f"{Decimal(size) * SCALE_MM / Decimal(diameter):.2f}"


@dataclass(frozen=True)
class Said:
    """What a schedule says beside its lines.

    ``lead`` stands under its title, ``running`` at the head of later pages; ``facts`` are names
    and words; ``closing`` are paragraphs; ``insured`` is who signs as the owner.
    """

    title: str
    lead: str
    running: str
    currency: str
    pieces: int
    total: Decimal
    insured: str = ""
    facts: Sequence[tuple[str, str]] = ()
    closing: Sequence[str] = ()


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
