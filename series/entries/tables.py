"""The records of the reference catalogue as plain values: every table, column by column.

One frozen dataclass a kind of record; ``series.entries.columns`` says what each column declares.
Lengths in mm and masses in g (``Decimal`` without trailing zeros), face values exact
(``Fraction``), years civil. Records name each other by key.

>>> MintEntry(key="sund", name="Sund").town, list(c.columns(MintEntry))
('', ['key', 'citations', 'name', 'town', 'issuer', 'note'])
>>> c.columns(TypeEntry)["mass_g"].limits
{'unit': 'g', 'places': 4, 'below': 10000}
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any, ClassVar

from series.entries import columns as c
from series.entries.choices import (
    Border,
    Bust,
    Convention,
    Hole,
    MarkKind,
    Outline,
    Purpose,
    Role,
    Side,
    ValueAs,
)

KINDS = ("issuers", "currencies", "denominations", "mints", "people", "motifs", "series", "types")
"""The tables of records, each after those it refers to."""

SINGULAR = {
    "sources": "source",
    "issuers": "issuer",
    "currencies": "currency",
    "denominations": "denomination",
    "mints": "mint",
    "people": "person",
    "motifs": "motif",
    "series": "series",
    "types": "type",
}


@dataclass(frozen=True)
class Place:
    """Where a record stands: the file, and the record as it is named to a reader."""

    file: str = ""
    record: str = ""


@dataclass(frozen=True)
class Source:
    key: str = c.own_key()
    title: str = c.text(300, needed=True)
    publisher: str = c.text(200)
    published: str = c.text(40)
    url: str = c.matching(r"https?://[^\s]{1,190}", "write an address, https://…")
    note: str = c.text()
    unchecked: bool = c.yes()


@dataclass(frozen=True)
class Citation:
    source: str
    where: str = ""


@dataclass(frozen=True)
class Entry:
    """What every record has."""

    key: str = c.own_key()
    citations: tuple[Citation, ...] = c.citations()
    place: Place = field(default=Place(), compare=False, repr=False, kw_only=True)


@dataclass(frozen=True)
class IssuerEntry(Entry):
    name: str = c.text(120, needed=True)
    code: str = c.matching("[A-Z]{2}", "a country code is two capitals (ISO 3166-1).")
    first_year: int | None = c.first_year()
    last_year: int | None = c.last_year()
    predecessors: tuple[str, ...] = c.keys_of("issuers", "issuer")
    story: str = c.text()


@dataclass(frozen=True)
class Unit:
    """``per_main`` of it make one main unit of its currency."""

    name: str = c.text(60, needed=True)
    per_main: Fraction = c.fraction(Fraction(1))
    plural: str = c.text(60)
    symbol: str = c.text(12)

    WRITTEN: ClassVar = ("name", "plural", "symbol", "per_main")


@dataclass(frozen=True)
class PriceNote:
    year: int = c.whole(1, 9999, "the year")
    amount: str = c.text(60)
    bought: str = c.text(200)
    index: Decimal | None = c.measure("index points", 4, 10**12)
    source: str = c.text(200)


@dataclass(frozen=True)
class CurrencyEntry(Entry):
    """``rate`` of it, as written, make one of ``successor``."""

    name: str = c.text(80, needed=True)
    plural: str = c.text(80)
    symbol: str = c.text(12)
    code: str = c.matching("[A-Z]{3}", "a currency code is three capitals (ISO 4217).")
    issuers: tuple[str, ...] = c.keys_of("issuers", "issuer", "the keys of who issued it")
    first_year: int | None = c.first_year()
    last_year: int | None = c.last_year()
    units: tuple[Unit, ...] = ()
    successor: str = c.key_of("currencies")
    rate: str = c.rate()
    rate_from: date | None = c.day()
    subunit_in_use: bool = c.yes(True)
    note: str = c.text()
    price_notes: tuple[PriceNote, ...] = ()


@dataclass(frozen=True)
class DenominationEntry(Entry):
    """``value`` in main units of the currency."""

    name: str = c.text(80, needed=True)
    currency: str = c.key_of("currencies", needed=True)
    value: Fraction = c.fraction(Fraction(1))
    note: str = c.text()


@dataclass(frozen=True)
class MintEntry(Entry):
    name: str = c.text(120, needed=True)
    town: str = c.text(120)
    issuer: str = c.key_of("issuers")
    note: str = c.text()


@dataclass(frozen=True)
class PersonEntry(Entry):
    """``born`` and ``died`` in EDTF."""

    name: str = c.text(160, needed=True)
    born: str = c.edtf(20)
    died: str = c.edtf(20)
    signature: str = c.text(40)
    note: str = c.text()


@dataclass(frozen=True)
class MotifEntry(Entry):
    """Without a name of its own it is called as its key, with spaces for hyphens."""

    name: str = c.text(120)
    broader: tuple[str, ...] = c.keys_of("motifs", "motif")
    note: str = c.text()


def motif_name(key: str) -> str:
    return key.replace("-", " ")


@dataclass(frozen=True)
class Rung:
    """A denomination's own years in a series, or the fact that it was not struck in it."""

    denomination: str = c.key_of("denominations")
    first_year: int | None = c.first_year()
    last_year: int | None = c.last_year()
    not_struck: bool = False
    note: str = c.text(200)


@dataclass(frozen=True)
class SeriesEntry(Entry):
    name: str = c.text(120, needed=True)
    issuer: str = c.key_of("issuers", needed=True)
    currency: str = c.key_of("currencies", needed=True)
    first_year: int | None = c.first_year()
    last_year: int | None = c.last_year()
    story: str = c.text()
    rungs: tuple[Rung, ...] = ()


@dataclass(frozen=True)
class LegendText:
    text: str = c.text(300, needed=True)
    script: str = c.matching("[A-Z][a-z]{3}", "write an ISO 15924 code, like Arab.", "Latn")
    transliteration: str = c.text(300)
    translation: str = c.text(300)


@dataclass(frozen=True)
class Shown:
    """A motif on a face, with the words about it."""

    motif: str = c.key_of("motifs")
    note: str = c.text(300)


@dataclass(frozen=True)
class FaceText:
    role: str = c.choice(Role)
    description: str = c.text()
    legends: tuple[LegendText, ...] = ()
    motifs: tuple[Shown, ...] = ()
    designers: tuple[str, ...] = c.keys_of("people", "person")
    engravers: tuple[str, ...] = c.keys_of("people", "person")
    value_as: str = c.choice(ValueAs)
    bust: str = c.choice(Bust)
    border: str = c.choice(Border)


@dataclass(frozen=True)
class MarkText:
    """A mark; one without a side is known by its text alone. ``clock`` in hours, 1 to 12.75."""

    text: str = c.text(60, needed=True)
    side: str = c.choice(Side, "")
    kind: str = c.choice(MarkKind)
    clock: Decimal | None = c.clock()
    near: str = c.text(120)
    mint: str = c.key_of("mints")
    person: str = c.key_of("people")
    on_all: bool = c.yes()

    WRITTEN: ClassVar = ("text", "kind", "mint", "person", "side", "clock", "near", "on_all")

    @property
    def identity(self) -> str:
        """What tells it from the other marks of its type: ``mint/reverse/S``, or ``S`` alone."""
        return f"{self.kind}/{self.side}/{self.text}" if self.side else self.text


@dataclass(frozen=True)
class ReferenceText:
    work: str = c.text(200, needed=True)
    number: str = c.text(60, needed=True)
    edition: str = c.text(60)

    WRITTEN: ClassVar = ("work", "edition", "number")


@dataclass(frozen=True)
class VarietyText:
    key: str = c.own_key(80)
    name: str = c.text(160, needed=True)
    description: str = c.text()


@dataclass(frozen=True)
class IssueEntry:
    """``marks`` are identities of the type's marks; ``position`` counts within a year."""

    key: str = c.own_key(80)
    shown: str = c.text(40)
    calendar: str = c.text(20, default="civil")
    struck_from: int | None = None
    struck_to: int | None = None
    marks: tuple[str, ...] = ()
    purpose: str = "circulation"
    fact: str = "struck"
    mintage: int | None = c.whole(0, 2**63 - 1, "the number struck")
    note: str = c.text(300)
    position: int = 0
    references: tuple[ReferenceText, ...] = ()
    varieties: tuple[VarietyText, ...] = ()

    @property
    def order(self) -> tuple[bool, int, int]:
        """By the year of striking, what has none last."""
        return self.struck_from is None, self.struck_from or 0, self.position


@dataclass(frozen=True)
class TypeEntry(Entry):
    """The years are given only where no issues are; ``edge`` is how the edge is finished."""

    series: str = c.key_of("series", needed=True)
    denomination: str = c.key_of("denominations", needed=True)
    name: str = c.text(160)
    purpose: str = c.choice(Purpose)
    first_year: int | None = c.first_year()
    last_year: int | None = c.last_year()
    composition: str = c.text(200)
    outline: str = c.choice(Outline)
    sides: int | None = c.whole(3, 60, "the number of sides, scallops or indentations")
    hole: str = c.choice(Hole)
    hole_mm: Decimal | None = c.measure("mm", 2, 1000)
    ring_mm: Decimal | None = c.measure("mm", 2, 1000)
    inner_panel: str = c.text(60)
    edge: str = c.text(160)
    mass_g: Decimal | None = c.measure("g", 4, 10_000)
    remedy_g: Decimal | None = c.measure("g", 4, 1000)
    diameter_mm: Decimal | None = c.measure("mm", 4, 1000)
    thickness_mm: Decimal | None = c.measure("mm", 3, 100)
    alignment: int | None = c.whole(1, 12, "hours (12 medal, 6 coin alignment)")
    convention: str = c.choice(Convention)
    withdrawn_on: str = c.edtf(40)
    tender_until: str = c.edtf(40, open_end=True)
    exchange_until: str = c.edtf(40, open_end=True)
    exchange_where: str = c.text(200)
    exchange_rate: str = c.text(120)
    remedy_law: str = c.text(120)
    size_law: str = c.text(120)
    note: str = c.text()
    obverse: FaceText = FaceText()
    reverse: FaceText = FaceText()
    edge_face: FaceText = FaceText()
    marks: tuple[MarkText, ...] = ()
    references: tuple[ReferenceText, ...] = ()
    issues: tuple[IssueEntry, ...] = ()


@dataclass(frozen=True)
class PackEntry:
    """A whole pack, each table in the order of its records' keys.

    ``needs`` is the key of a pack whose records it names, and which is loaded before it.
    """

    key: str = c.own_key(60)
    title: str = c.text(200, needed=True)
    version: str = c.text(40)
    licence: str = c.text(80)
    about: str = c.text()
    needs: str = c.matching(r"[a-z0-9]+(-[a-z0-9]+)*", "write the key of the other pack.")
    sources: tuple[Source, ...] = ()
    issuers: tuple[IssuerEntry, ...] = ()
    currencies: tuple[CurrencyEntry, ...] = ()
    denominations: tuple[DenominationEntry, ...] = ()
    mints: tuple[MintEntry, ...] = ()
    people: tuple[PersonEntry, ...] = ()
    motifs: tuple[MotifEntry, ...] = ()
    series: tuple[SeriesEntry, ...] = ()
    types: tuple[TypeEntry, ...] = ()

    def table(self, kind: str) -> tuple[Any, ...]:
        """The records of one kind of :data:`KINDS`."""
        return tuple(getattr(self, kind))


ENTRIES: dict[str, type[Any]] = {
    "sources": Source,
    "issuers": IssuerEntry,
    "currencies": CurrencyEntry,
    "denominations": DenominationEntry,
    "mints": MintEntry,
    "people": PersonEntry,
    "motifs": MotifEntry,
    "series": SeriesEntry,
    "types": TypeEntry,
}
FACES = {Side.OBVERSE: "obverse", Side.REVERSE: "reverse", Side.EDGE: "edge_face"}
"""The sides of a type, and the field of a ``TypeEntry`` that holds the face of each."""
