"""Which coin of the reference a row of a list means."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from catalogue.importing.lists import Reading


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

    ``successor`` is the key of the money that took its place.
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


@dataclass(frozen=True)
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


@dataclass(frozen=True)
class TypeFacts:
    """A type; ``words`` are its motifs and descriptions, ``metal`` its composition as recorded.

    ``years`` are its first and last, where no issues are listed.
    """

    key: str
    series: str
    denomination: str
    name: str = ""
    purpose: str = "circulating"
    metal: str = ""
    diameter_mm: str = ""
    legends: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    first_year: int | None = None
    last_year: int | None = None
    issues: tuple[IssueFacts, ...] = ()


@dataclass(frozen=True)
class Reference:
    """The reference laid out for matching; made once for a whole list."""

    @classmethod
    def of(
        cls,
        issuers: Iterable[IssuerFacts],
        currencies: Iterable[CurrencyFacts],
        denominations: Iterable[DenominationFacts],
        series: Iterable[SeriesFacts],
        types: Iterable[TypeFacts],
    ) -> Reference:
        raise NotImplementedError


@dataclass(frozen=True)
class Candidate:
    """A type, and its issue where that is told; ``share`` is its part of the likelihood (0..1)."""

    type_key: str
    issue_key: str | None
    share: float


@dataclass(frozen=True)
class Match:
    """The candidates, the likeliest first; ``sure`` when the first is all that can be meant.

    A sure type whose issue is in doubt has ``issue_key`` None. ``why`` says in words what was
    found, or why nothing was.
    """

    candidates: tuple[Candidate, ...]
    sure: bool
    why: str


def match(reading: Reading, reference: Reference) -> Match:
    """The types and issues that a row may mean."""
    raise NotImplementedError
