"""What a talk is told from: plain values of coins and of opening pages.

What is computed: a type's facts as :mod:`series.differences` compares them, and the dates of a run.
Lengths mm, masses g, places by the clock hours, years civil unless a calendar is named. "" and None
mean not recorded, or (``held``) not asked.

>>> net = MotifTold("fishing net", "hung to dry")
>>> coin = Story("25-tinne", "25 tinne", faces=(FaceTold("reverse", motifs=(net,)),))
>>> coin.facts.faces[0].motifs
('fishing net',)
>>> DateTold("1934", run=("1933", "1934", "1936")).place
(2, 3)
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cached_property

from series.differences.facts import FaceFacts, LegendFacts, MarkFacts, TypeFacts


@dataclass(frozen=True)
class MotifTold:
    """A motif on a face: ``note`` how it is shown there, ``meaning`` what it stands for."""

    name: str
    note: str = ""
    meaning: str = ""


@dataclass(frozen=True)
class LegendTold:
    """A legend without its date, as struck, with what it says."""

    text: str
    script: str = "Latn"
    transliteration: str = ""
    translation: str = ""


@dataclass(frozen=True)
class FaceTold:
    """A face or the edge (``side``), as far as it is recorded."""

    side: str
    description: str = ""
    legends: tuple[LegendTold, ...] = ()
    motifs: tuple[MotifTold, ...] = ()
    value_as: str = ""
    bust: str = ""
    border: str = ""
    designers: tuple[str, ...] = ()
    engravers: tuple[str, ...] = ()

    @property
    def facts(self) -> FaceFacts:
        return FaceFacts(
            side=self.side,
            known=bool(self.description or self.legends or self.motifs),
            legends=tuple(LegendFacts(x.text, x.script) for x in self.legends),
            motifs=tuple(motif.name for motif in self.motifs),
            value_as=self.value_as,
            bust=self.bust,
            border=self.border,
            designers=self.designers,
            engravers=self.engravers,
        )


@dataclass(frozen=True)
class MarkTold:
    """A mark, and whose it is: the name of a mint or a person.

    ``on_all``: on every issue. A piece is told with its own marks and those alone.
    """

    kind: str
    text: str
    side: str
    clock: Decimal | None = None
    near: str = ""
    whose: str = ""
    on_all: bool = False

    @property
    def facts(self) -> MarkFacts:
        return MarkFacts(self.kind, self.text, self.side, self.clock, self.near)


@dataclass(frozen=True)
class DateTold:
    """The date of a piece: as shown, in which calendar, and the civil years of striking.

    ``run`` are the dates that were struck of its type, each once, in order. ``purpose`` as in
    ``Issue.Purpose``; ``mintage`` None where it is not recorded.
    """

    shown: str
    calendar: str = "civil"
    struck_from: int | None = None
    struck_to: int | None = None
    run: tuple[str, ...] = ()
    purpose: str = "circulation"
    mintage: int | None = None
    note: str = ""

    @property
    def place(self) -> tuple[int, int] | None:
        """Which date of how many this is, from 1; None where the run does not name it."""
        if self.shown not in self.run:
            return None
        return self.run.index(self.shown) + 1, len(self.run)


@dataclass(frozen=True)
class PieceTold:
    """What is told of the piece that is held, from its owner's records.

    ``grade`` in words ("very fine"), ``rank`` from 1 to 70 (``catalogue.holdings.grades``),
    ``problems`` in words as they stand on its page ("edge knock"), ``worth`` an amount in words
    ("about 40 euro"), which is told only in a talk that says worth.
    """

    grade: str = ""
    rank: int | None = None
    problems: tuple[str, ...] = ()
    variety: str = ""
    variety_note: str = ""
    worth: str = ""


@dataclass(frozen=True)
class Story:
    """A coin as it is told. ``key`` is its type's; ``body`` its measures, without faces and marks.

    ``units`` are the units of its currency, each by name and plural, so that "3 mites" can be
    said as "three-mite piece". ``amount`` is the value in main units.
    """

    key: str
    denomination: str
    country: str = ""
    currency: str = ""
    series: str = ""
    name: str = ""
    purpose: str = "circulating"
    first_year: int | None = None
    last_year: int | None = None
    units: tuple[tuple[str, str], ...] = ()
    amount: Fraction | None = None
    body: TypeFacts = field(default_factory=TypeFacts)
    faces: tuple[FaceTold, ...] = ()
    marks: tuple[MarkTold, ...] = ()
    date: DateTold | None = None
    piece: PieceTold | None = None
    note: str = ""

    @cached_property
    def facts(self) -> TypeFacts:
        """As :func:`series.differences.changes.changes` compares it."""
        return replace(
            self.body,
            faces=tuple(face.facts for face in self.faces),
            marks=tuple(mark.facts for mark in self.marks),
        )

    def face(self, side: str) -> FaceTold:
        """What is recorded of a face; nothing where nothing is."""
        return next((face for face in self.faces if face.side == side), FaceTold(side))


@dataclass(frozen=True)
class CountryOpening:
    """A country: its money as (name, first year, last year), and what it followed."""

    name: str
    first_year: int | None = None
    last_year: int | None = None
    story: str = ""
    currencies: tuple[tuple[str, int | None, int | None], ...] = ()
    predecessors: tuple[str, ...] = ()


@dataclass(frozen=True)
class ChangeOfMoney:
    """By law, ``rate`` units of the old money made one of the new, from a day on."""

    old: str
    old_plural: str
    new: str
    new_plural: str
    rate: str = ""
    on: date | None = None


@dataclass(frozen=True)
class UnitTold:
    """A unit of a currency; one main unit is ``per_main`` of these."""

    name: str
    plural: str
    per_main: Fraction


@dataclass(frozen=True)
class PriceTold:
    """What an amount bought in a year, or the price index of that year."""

    year: int
    amount: str = ""
    bought: str = ""
    index: Decimal | None = None


@dataclass(frozen=True)
class CurrencyOpening:
    """A currency: its years, units, what it replaced and became, and what it bought."""

    name: str
    country: str = ""
    first_year: int | None = None
    last_year: int | None = None
    units: tuple[UnitTold, ...] = ()
    note: str = ""
    replaced: tuple[ChangeOfMoney, ...] = ()
    became: ChangeOfMoney | None = None
    prices: tuple[PriceTold, ...] = ()


@dataclass(frozen=True)
class ValueTold:
    """A value of a series, smallest first, with the years in which it was struck in it.

    ``held``: whether the owner has a coin of it, None where nobody asked. ``ended``: its last
    year is known to be before that of the series.
    """

    denomination: str
    first_year: int | None = None
    last_year: int | None = None
    not_struck: bool = False
    note: str = ""
    held: bool | None = None


@dataclass(frozen=True)
class SeriesOpening:
    """A series: its story, its values, and the series before it with its last year."""

    name: str
    country: str = ""
    currency: str = ""
    first_year: int | None = None
    last_year: int | None = None
    story: str = ""
    units: tuple[tuple[str, str], ...] = ()
    values: tuple[ValueTold, ...] = ()
    before: str = ""
    before_ended: int | None = None


Opening = CountryOpening | CurrencyOpening | SeriesOpening
