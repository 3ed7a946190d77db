"""What the ranking needs to know of one type, as plain values.

Lengths in mm, mass in g; None or "" or () where the record says nothing. ``hole`` is "" where the
record knows of none. Years are civil years.

>>> cent = RankedType(1, "t", "1 cent", "Halvern", issues=(RankedIssue(5, "1953", "1953"),))
>>> cent.issues[0].shown, cent.outline
('1953', 'round')
"""

from __future__ import annotations

from dataclasses import dataclass

from series.legends.spellings import StruckText


@dataclass(frozen=True, slots=True)
class RankedIssue:
    """One issue that was struck: the date shown, its calendar, its civil years.

    ``common`` is False for what hardly circulated: proofs, patterns, sets only, not released.
    """

    id: int
    label: str
    shown: str = ""
    calendar: str = "civil"
    struck_from: int | None = None
    struck_to: int | None = None
    common: bool = True


@dataclass(frozen=True, slots=True)
class RankedType:
    """One type. ``countries`` are the names and codes of its country; ``related`` those of
    countries it may be taken for (predecessors, members of a union).

    ``motifs`` hold the broader ones too. ``purpose`` is a word of the catalogue: circulating,
    commemorative, pattern. ``everyones`` is False for a type that not every member may see.
    """

    id: int
    key: str
    label: str
    country: str
    countries: tuple[str, ...] = ()
    related: tuple[str, ...] = ()
    denomination: str = ""
    purpose: str = "circulating"
    composition: str = ""
    outline: str = "round"
    sides: int | None = None
    hole: str = ""
    ring_mm: float | None = None
    panel: str = ""
    edge: str = ""
    mass_g: float | None = None
    remedy_g: float | None = None
    diameter_mm: float | None = None
    thickness_mm: float | None = None
    legends: tuple[StruckText, ...] = ()
    motifs: tuple[str, ...] = ()
    issues: tuple[RankedIssue, ...] = ()
    first_year: int | None = None
    last_year: int | None = None
    everyones: bool = True
