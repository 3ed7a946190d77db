"""What a holding is worth on a day, from the values recorded by then.

Computed: which recorded value counts, and what it comes to in a currency. The rule:

1. the newest own value of the holding (an appraisal or its owner's estimate) on or before the day;
2. else the newest estimate of its issue at its grade, or at the nearest lower grade that has one,
   never at a higher one; an estimate for any grade comes last;
3. else the same of its type; else nothing is known, which is not nought.

An ungraded piece takes estimates for any grade alone. Grades are compared by rank (1 to 70). A
value is per piece: one amount, or half way between two. Each piece is converted at the rate of
the day asked about and rounded to the cent, then multiplied by the number of pieces, so that
every total can be added up by hand. Source: common practice, no source.

>>> def value(id, amount, on, rank=None):
...     return Value(id, on, "EUR", Decimal(amount), rank=rank)
>>> vf, ef = value(1, "4.00", date(2024, 5, 1), 32), value(2, "9.00", date(2025, 5, 1), 50)
>>> choose([], [vf, ef], [], rank=45, as_of=date(2026, 1, 1)).id
1
>>> choose([], [vf, ef], [], rank=18, as_of=date(2026, 1, 1)) is None
True
>>> worth(vf, 3, "EUR", date(2026, 1, 1)).total
Decimal('12.00')
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from valuation.exchange import FIXED, Converted, FixedRate, NoRate, convert
from valuation.money import cents

OLD_YEARS = 5  # a value older than this is flagged; a rule of ours, no source


@dataclass(frozen=True)
class Value:
    """A value as recorded, per piece, with the range it lies in where one was given.

    ``kind`` is "appraisal", "own", "issue" or "type"; ``rank`` None means any grade; ``basis``,
    ``source`` and ``grade`` are words to show.
    """

    id: int
    on: date
    currency: str
    amount: Decimal
    low: Decimal | None = None
    high: Decimal | None = None
    rank: int | None = None
    kind: str = "type"
    grade: str = ""
    basis: str = ""
    source: str = ""
    appraiser: str = ""
    note: str = ""

    def old(self, as_of: date) -> bool:
        """Whether it was recorded more than OLD_YEARS years before a day."""
        years = as_of.year - self.on.year
        return years > OLD_YEARS or (
            years == OLD_YEARS and (as_of.month, as_of.day) > (self.on.month, self.on.day)
        )


@dataclass(frozen=True)
class Worth:
    """What one holding is worth on a day: ``each`` rounded to the cent, None without a rate."""

    value: Value
    pieces: int
    as_of: date
    currency: str
    each: Decimal | None
    converted: Converted | None
    no_rate: NoRate | None = None

    @property
    def total(self) -> Decimal | None:
        return None if self.each is None else self.each * self.pieces


def choose(
    own: Sequence[Value],
    of_issue: Sequence[Value],
    of_type: Sequence[Value],
    rank: int | None,
    as_of: date,
) -> Value | None:
    """The value that counts on a day; None when nothing is known."""
    known = [v for v in own if v.on <= as_of]
    if known:
        return max(known, key=lambda v: (v.on, v.id))
    return _at_grade(of_issue, rank, as_of) or _at_grade(of_type, rank, as_of)


def _at_grade(values: Sequence[Value], rank: int | None, as_of: date) -> Value | None:
    fit = [
        v
        for v in values
        if v.on <= as_of and (v.rank is None or (rank is not None and v.rank <= rank))
    ]
    return max(fit, key=lambda v: (v.rank or 0, v.on, v.id), default=None)


def each(
    amount: Decimal,
    currency: str,
    into: str,
    as_of: date,
    fixed: Mapping[str, FixedRate] = FIXED,
) -> Decimal | None:
    """One piece in another currency, rounded to the cent; None without a rate."""
    try:
        return cents(convert(amount, currency, into, as_of, fixed).amount)
    except NoRate:
        return None


def worth(
    value: Value,
    pieces: int,
    currency: str,
    as_of: date,
    fixed: Mapping[str, FixedRate] = FIXED,
) -> Worth:
    """A value turned into a currency at the rate of the day, times the number of pieces."""
    try:
        converted = convert(value.amount, value.currency, currency, as_of, fixed)
    except NoRate as problem:
        return Worth(value, pieces, as_of, currency, None, None, problem)
    return Worth(value, pieces, as_of, currency, cents(converted.amount), converted)


@dataclass
class Tally:
    """Pieces of one kind: how many, how many of them without a value, and the sum of the rest."""

    key: Hashable
    pieces: int = 0
    without: int = 0
    amount: Decimal | None = None

    @property
    def valued(self) -> int:
        return self.pieces - self.without


def tally(rows: Iterable[tuple[Hashable, int, Decimal | None]]) -> list[Tally]:
    """Sum (key, pieces, total or None) by key, dearest first; no known value stays None."""
    sums: dict[Hashable, Tally] = {}
    for key, pieces, total in rows:
        found = sums.setdefault(key, Tally(key))
        found.pieces += pieces
        if total is None:
            found.without += pieces
        else:
            found.amount = (found.amount or Decimal("0.00")) + total
    return sorted(sums.values(), key=lambda t: (t.amount is None, -(t.amount or 0), str(t.key)))
