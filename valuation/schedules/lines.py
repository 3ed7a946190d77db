"""Which pieces a schedule names one by one, which it groups, and what it comes to.

Computed, in one currency, from pieces whose value each is already rounded to the cent: a holding
worth the threshold or more each has a line of its own; the rest are grouped by country and
series, at the sum of their known values and, for each piece without one, a stated rate. Every
amount is a whole number of cents and the total is their exact sum, so that it can be added up by
hand. Source: common practice, no source.

>>> dear = Piece(1, "2024.117", "5 marl, 1952", ("Testland", "First"), 2, Decimal("80.00"))
>>> small = Piece(2, "2024.118", "5 tinne, 1931", ("Testland", "First"), 10, Decimal("0.15"))
>>> unknown = Piece(3, "2024.119", "5 tinne, 1934", ("Testland", "First"), 4, None)
>>> made = plan([dear, small, unknown], threshold=Decimal("50"), rate=Decimal("0.10"))
>>> made.items[0].amount, made.groups[0].amount, made.total, made.pieces
(Decimal('160.00'), Decimal('1.90'), Decimal('161.90'), 16)
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from valuation.money import cents

NOUGHT = Decimal("0.00")


@dataclass(frozen=True)
class Piece:
    """A holding: ``each`` is the value of one piece in the schedule's currency, or None."""

    id: int
    accession: str
    label: str
    group: tuple[str, str]
    pieces: int
    each: Decimal | None


@dataclass(frozen=True)
class Item:
    """A line of its own: so many pieces at so much each."""

    piece: Piece
    amount: Decimal


@dataclass(frozen=True)
class Group:
    """Small pieces of one country and series: those with a value, and the rest at a rate."""

    group: tuple[str, str]
    parts: tuple[Piece, ...]
    valued: int
    known: Decimal
    unvalued: int
    rate: Decimal

    @property
    def pieces(self) -> int:
        return self.valued + self.unvalued

    @property
    def at_rate(self) -> Decimal:
        return self.unvalued * self.rate

    @property
    def amount(self) -> Decimal:
        return self.known + self.at_rate


@dataclass(frozen=True)
class Plan:
    """The lines of a schedule, dearest first, and their sum."""

    items: tuple[Item, ...]
    groups: tuple[Group, ...]

    @property
    def total(self) -> Decimal:
        amounts = [item.amount for item in self.items] + [group.amount for group in self.groups]
        return sum(amounts, NOUGHT)

    @property
    def pieces(self) -> int:
        return sum(i.piece.pieces for i in self.items) + sum(g.pieces for g in self.groups)


def plan(pieces: Iterable[Piece], threshold: Decimal, rate: Decimal) -> Plan:
    """Divide pieces into those itemised and those grouped; ``rate`` is for one without a value."""
    rate = cents(rate)
    items: list[Item] = []
    small: dict[tuple[str, str], list[Piece]] = {}
    for piece in pieces:
        if piece.each is not None and piece.each >= threshold:
            items.append(Item(piece, cents(piece.each) * piece.pieces))
        else:
            small.setdefault(piece.group, []).append(piece)
    items.sort(key=lambda i: (-i.amount, i.piece.accession, i.piece.id))
    groups = [_group(key, parts, rate) for key, parts in sorted(small.items())]
    return Plan(tuple(items), tuple(groups))


def _group(key: tuple[str, str], parts: list[Piece], rate: Decimal) -> Group:
    known = sum((cents(p.each) * p.pieces for p in parts if p.each is not None), NOUGHT)
    unvalued = sum(p.pieces for p in parts if p.each is None)
    valued = sum(p.pieces for p in parts if p.each is not None)
    return Group(key, tuple(parts), valued, known, unvalued, rate)


def digest(document: dict[str, Any]) -> str:
    """SHA-256, in hexadecimal, of a document of texts, whole numbers, lists and mappings.

    It is taken over JSON with sorted keys and without spaces, in UTF-8, so that anyone can
    compute it again.

    >>> digest({"total": "1.00"}) == digest({"total": "1.00"}) != digest({"total": "1.01"})
    True
    """
    text = json.dumps(document, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()
