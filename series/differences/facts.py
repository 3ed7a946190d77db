"""What is recorded of a type, as plain values, and one step between two of them.

What is computed: whether a design is recorded at all, and a legend without its date. Lengths
are mm, masses g, alignment hours, places by the clock hours (1 to 12 in quarters).

>>> TypeFacts(faces=(FaceFacts("obverse", known=False),)).described
False
>>> undated("HALVERN 1931", ["1931"]), undated("١٣٥٠", ["1350"]), undated("1000 LIRE", ["1955"])
('HALVERN', '', '1000 LIRE')
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from series.text.folding import fold


@dataclass(frozen=True)
class LegendFacts:
    """A legend as struck and the ISO 15924 code of its script."""

    text: str
    script: str = "Latn"


@dataclass(frozen=True)
class FaceFacts:
    """What is recorded of one face. ``known`` is False when nothing of its design is."""

    side: str
    known: bool = True
    legends: tuple[LegendFacts, ...] = ()
    motifs: tuple[str, ...] = ()
    value_as: str = ""
    bust: str = ""
    border: str = ""
    designers: tuple[str, ...] = ()
    engravers: tuple[str, ...] = ()


@dataclass(frozen=True)
class MarkFacts:
    """A mark: its kind, what it is, on which face, where by the clock and near what."""

    kind: str
    text: str
    side: str
    clock: Decimal | None = None
    near: str = ""


@dataclass(frozen=True)
class TypeFacts:
    """What is recorded of a type; None and "" mean not recorded (``hole`` "": no hole)."""

    diameter_mm: Decimal | None = None
    thickness_mm: Decimal | None = None
    mass_g: Decimal | None = None
    metal: str = ""
    composition: str = ""
    build: str = ""
    outline: str = "round"
    sides: int = 0
    hole: str = ""
    hole_mm: Decimal | None = None
    ring_mm: Decimal | None = None
    inner_panel: str = ""
    edge: str = ""
    alignment: int | None = None
    faces: tuple[FaceFacts, ...] = ()
    marks: tuple[MarkFacts, ...] = ()

    @property
    def described(self) -> bool:
        """Whether the design of a face is recorded, so that what is missing is really absent."""
        return any(face.known for face in self.faces)


@dataclass(frozen=True)
class Change:
    """One step: its kind, the face (or ""), what was and what is, and the step in words.

    ``gone`` and ``come`` are the things by name where they may be several (motifs).
    """

    kind: str
    before: str
    after: str
    words: str
    side: str = ""
    gone: tuple[str, ...] = ()
    come: tuple[str, ...] = ()


def undated(text: str, dates: Iterable[str]) -> str:
    """A legend without the words that are its date: the date belongs to the issue.

    ``dates`` are the dates shown on the issues of the type, in whatever script.
    """
    gone = {fold(date) for date in dates if date}
    return " ".join(word for word in text.split() if fold(word) not in gone)
