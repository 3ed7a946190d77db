"""The records of a reference pack as plain values, and their flat form.

One frozen dataclass a kind of record. Lengths in mm and masses in g (``Decimal`` without
trailing zeros), face values exact (``Fraction``), years civil. Records name each other by key.
:func:`flat` turns a record into ``{path: plain JSON value}``, the form in which what a pack gave,
what is stored and what a pack gives now are compared (see ``series.packs.merging``). The format
is this project's own.

>>> flat(MintEntry(key="sund", name="Sund"))
{'citations': [], 'name': 'Sund', 'town': '', 'issuer': '', 'note': ''}
>>> flat(SeriesEntry(key="s", rungs=(Rung("penny", first_year=1931),)))["rungs.penny"]
[1931, None, False, '']
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

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
    key: str
    title: str = ""
    publisher: str = ""
    published: str = ""
    url: str = ""
    note: str = ""


@dataclass(frozen=True)
class Citation:
    source: str
    where: str = ""


@dataclass(frozen=True)
class Entry:
    """What every record has."""

    key: str
    citations: tuple[Citation, ...] = ()
    place: Place = field(default=Place(), compare=False, repr=False, kw_only=True)


@dataclass(frozen=True)
class IssuerEntry(Entry):
    name: str = ""
    code: str = ""
    first_year: int | None = None
    last_year: int | None = None
    predecessors: tuple[str, ...] = ()
    story: str = ""


@dataclass(frozen=True)
class Unit:
    """``per_main`` of it make one main unit of its currency."""

    name: str
    per_main: Fraction
    plural: str = ""
    symbol: str = ""


@dataclass(frozen=True)
class PriceNote:
    year: int
    amount: str = ""
    bought: str = ""
    index: Decimal | None = None
    source: str = ""


@dataclass(frozen=True)
class CurrencyEntry(Entry):
    """``rate`` of it, as written, make one of ``successor``."""

    name: str = ""
    plural: str = ""
    symbol: str = ""
    code: str = ""
    issuers: tuple[str, ...] = ()
    first_year: int | None = None
    last_year: int | None = None
    units: tuple[Unit, ...] = ()
    successor: str = ""
    rate: str = ""
    rate_from: date | None = None
    subunit_in_use: bool = True
    note: str = ""
    price_notes: tuple[PriceNote, ...] = ()


@dataclass(frozen=True)
class DenominationEntry(Entry):
    """``value`` in main units of the currency."""

    name: str = ""
    currency: str = ""
    value: Fraction = Fraction(1)
    note: str = ""


@dataclass(frozen=True)
class MintEntry(Entry):
    name: str = ""
    town: str = ""
    issuer: str = ""
    note: str = ""


@dataclass(frozen=True)
class PersonEntry(Entry):
    """``born`` and ``died`` in EDTF."""

    name: str = ""
    born: str = ""
    died: str = ""
    signature: str = ""
    note: str = ""


@dataclass(frozen=True)
class MotifEntry(Entry):
    name: str = ""
    broader: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True)
class Rung:
    """A denomination's own years in a series, or the fact that it was not struck in it."""

    denomination: str
    first_year: int | None = None
    last_year: int | None = None
    not_struck: bool = False
    note: str = ""


@dataclass(frozen=True)
class SeriesEntry(Entry):
    name: str = ""
    issuer: str = ""
    currency: str = ""
    first_year: int | None = None
    last_year: int | None = None
    story: str = ""
    rungs: tuple[Rung, ...] = ()


@dataclass(frozen=True)
class LegendText:
    text: str
    script: str = "Latn"
    transliteration: str = ""
    translation: str = ""


@dataclass(frozen=True)
class Shown:
    """A motif on a face, with the words about it."""

    motif: str
    note: str = ""


@dataclass(frozen=True)
class FaceText:
    role: str = ""
    description: str = ""
    legends: tuple[LegendText, ...] = ()
    motifs: tuple[Shown, ...] = ()
    designers: tuple[str, ...] = ()
    engravers: tuple[str, ...] = ()
    value_as: str = ""
    bust: str = ""
    border: str = ""


@dataclass(frozen=True)
class MarkText:
    """A mark; one without a side is known by its text alone. ``clock`` in hours, 1 to 12.75."""

    text: str
    side: str = ""
    kind: str = "mint"
    clock: Decimal | None = None
    near: str = ""
    mint: str = ""
    person: str = ""
    on_all: bool = False

    @property
    def identity(self) -> str:
        """What tells it from the other marks of its type: ``mint/reverse/S``, or ``S`` alone."""
        return f"{self.kind}/{self.side}/{self.text}" if self.side else self.text


def text_of(identity: str) -> str:
    """The text of a mark, from its identity.

    >>> text_of("mint/reverse/S"), text_of("a/b/c")
    ('S', 'a/b/c')
    """
    _kind, _slash, rest = identity.partition("/")
    side, slash, text = rest.partition("/")
    return text if slash and side in ("obverse", "reverse", "edge") else identity


@dataclass(frozen=True)
class ReferenceText:
    work: str
    number: str
    edition: str = ""


@dataclass(frozen=True)
class VarietyText:
    key: str
    name: str
    description: str = ""


@dataclass(frozen=True)
class IssueEntry:
    """``marks`` are identities of the type's marks; ``position`` counts within a year."""

    key: str
    shown: str = ""
    calendar: str = "civil"
    struck_from: int | None = None
    struck_to: int | None = None
    marks: tuple[str, ...] = ()
    purpose: str = "circulation"
    fact: str = "struck"
    mintage: int | None = None
    note: str = ""
    position: int = 0
    references: tuple[ReferenceText, ...] = ()
    varieties: tuple[VarietyText, ...] = ()


@dataclass(frozen=True)
class TypeEntry(Entry):
    series: str = ""
    denomination: str = ""
    name: str = ""
    purpose: str = "circulating"
    first_year: int | None = None
    last_year: int | None = None
    composition: str = ""
    outline: str = "round"
    sides: int | None = None
    hole: str = ""
    hole_mm: Decimal | None = None
    ring_mm: Decimal | None = None
    inner_panel: str = ""
    edge: str = ""
    mass_g: Decimal | None = None
    remedy_g: Decimal | None = None
    diameter_mm: Decimal | None = None
    thickness_mm: Decimal | None = None
    alignment: int | None = None
    convention: str = ""
    withdrawn_on: str = ""
    tender_until: str = ""
    exchange_until: str = ""
    exchange_where: str = ""
    exchange_rate: str = ""
    note: str = ""
    obverse: FaceText = FaceText()
    reverse: FaceText = FaceText()
    edge_face: FaceText = FaceText()
    marks: tuple[MarkText, ...] = ()
    references: tuple[ReferenceText, ...] = ()
    issues: tuple[IssueEntry, ...] = ()


@dataclass(frozen=True)
class PackEntry:
    """A whole pack, each table in the order of its records' keys."""

    key: str
    title: str
    version: str = ""
    licence: str = ""
    about: str = ""
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


_ASIDE = {"key", "place", "issues", "position"}
_FACES = {"obverse", "reverse", "edge_face"}
_EACH = {"rungs": "denomination", "marks": "identity", "varieties": "key"}


def flat(entry: Entry | IssueEntry) -> dict[str, Any]:
    """The record as ``{path: plain JSON value}``, without its key, place, issues and position.

    A face's fields have paths like ``obverse.border``; each rung, mark and variety one of its
    own, like ``rungs.halvern-1-tinne``, so that one can be edited beside the others. A mark of
    which only the text is known stands with the issues alone.
    """
    values: dict[str, Any] = {}
    for each in fields(entry):
        value = getattr(entry, each.name)
        if each.name in _ASIDE:
            continue
        if each.name in _FACES:
            for inner in fields(value):
                values[f"{each.name}.{inner.name}"] = _plain(getattr(value, inner.name))
        elif each.name in _EACH and (each.name != "marks" or isinstance(entry, TypeEntry)):
            for item in value:
                if not isinstance(item, MarkText) or item.side:
                    plain = _plain(item)
                    path = f"{each.name}.{getattr(item, _EACH[each.name])}"
                    values[path] = plain if each.name == "marks" else plain[1:]
        else:
            values[each.name] = _plain(value)
    return values


def _plain(value: Any) -> Any:
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, Fraction):
        return str(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if hasattr(value, "__dataclass_fields__"):
        return [_plain(getattr(value, each.name)) for each in fields(value)]
    return value


def trimmed(value: Decimal) -> Decimal:
    """Without trailing zeros and without an exponent: 8.50 is 8.5, 1E+2 is 100.

    >>> trimmed(Decimal("8.50")), trimmed(Decimal("1E+2"))
    (Decimal('8.5'), Decimal('100'))
    """
    short = value.normalize()
    return short.quantize(Decimal(1)) if short == short.to_integral_value() else short
