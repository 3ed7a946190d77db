"""Records as a talk tells them: stories of types and pieces, openings of countries and money.

A fixed number of queries however many stops there are. Facts of a piece come from the caller as
plain values, for what is held belongs to another app.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from series.telling.story import (
    CountryOpening,
    CurrencyOpening,
    PieceTold,
    SeriesOpening,
    Story,
)


@dataclass(frozen=True)
class Shown:
    """A coin to be told: its type and issue by id, and what is told of the piece, if it is one."""

    type_id: int
    issue_id: int | None = None
    piece: PieceTold | None = None


def stories(coins: Iterable[Shown]) -> list[Story | None]:
    """The story of each, in the same order; None for a type that is not there any more."""
    raise NotImplementedError


def country_openings(ids: Collection[int]) -> Mapping[int, CountryOpening]:
    """By the id of ``Issuer``."""
    raise NotImplementedError


def currency_openings(ids: Collection[int]) -> Mapping[int, CurrencyOpening]:
    """By the id of ``Currency``."""
    raise NotImplementedError


def series_openings(
    ids: Collection[int], held: Collection[int] | None = None
) -> Mapping[int, SeriesOpening]:
    """By the id of ``Series``; ``held`` are the ids of the types that the owner has."""
    raise NotImplementedError
