"""What matching takes of the reference catalogue, as plain rows.

Kept: countries, moneys, values, series, types and their dates, by key; values exact in main units
of their money, lengths in mm and masses in g as texts, years civil.

>>> TypeFacts("halvern-25", "first", "25-tinne", issues=(IssueFacts("1931", "1931"),)).purpose
'circulating'
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True)
class IssuerFacts:
    """A country: years as recorded, the keys of those before it."""

    key: str
    name: str
    code: str = ""
    first_year: int | None = None
    last_year: int | None = None
    predecessors: tuple[str, ...] = ()


@dataclass(frozen=True)
class UnitFacts:
    """A unit of a money; ``per_main`` of it make one main unit."""

    name: str
    plural: str = ""
    symbol: str = ""
    per_main: Fraction = Fraction(1)


@dataclass(frozen=True)
class CurrencyFacts:
    """A money: ``units`` below and above the main one, whose name is the money's own.

    ``successor`` is the key of the money that took its place, in the year ``successor_from``;
    ``subunit_in_use``: whether there were still coins below the main unit.
    """

    key: str
    name: str
    plural: str = ""
    symbol: str = ""
    code: str = ""
    issuers: tuple[str, ...] = ()
    units: tuple[UnitFacts, ...] = ()
    first_year: int | None = None
    last_year: int | None = None
    successor: str = ""
    successor_from: int | None = None
    subunit_in_use: bool = True


@dataclass(frozen=True)
class DenominationFacts:
    """A value in main units of its currency."""

    key: str
    name: str
    currency: str
    value: Fraction


@dataclass(frozen=True)
class SeriesFacts:
    key: str
    name: str
    issuer: str
    currency: str
    first_year: int | None = None
    last_year: int | None = None


@dataclass(frozen=True, eq=False)
class IssueFacts:
    """One date of a type; ``marks`` are texts of mint marks ("S"), ``fact`` as recorded.

    ``mints`` are names and towns of the mints that these marks are of.
    """

    key: str
    label: str
    shown: str = ""
    struck_from: int | None = None
    struck_to: int | None = None
    marks: tuple[str, ...] = ()
    mints: tuple[str, ...] = ()
    purpose: str = "circulation"
    fact: str = "struck"


@dataclass(frozen=True, eq=False)
class TypeFacts:
    """A type; ``words`` are its motifs and descriptions, ``metal`` its composition as recorded.

    ``first_year`` and ``last_year`` are its years where no issues are listed. ``common_side``: one
    face is common to several states, each of which has another one of its own.
    """

    key: str
    series: str
    denomination: str
    name: str = ""
    purpose: str = "circulating"
    metal: str = ""
    diameter_mm: str = ""
    mass_g: str = ""
    legends: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    first_year: int | None = None
    last_year: int | None = None
    issues: tuple[IssueFacts, ...] = ()
    common_side: bool = False
