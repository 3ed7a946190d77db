"""The ladder of a country: its denominations down, its series across."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field

from django.db.models import Count, Q

from series.issuers.models import Currency, Denomination, Issuer, PriceNote
from series.money.prices import readable, worth
from series.types.models import CoinType, Series, SeriesDenomination
from series.types.queries import in_order, standing_types, with_dates, with_pictures


@dataclass
class Cell:
    """What one series made of one denomination: its types, or what is known of there being none.

    ``fact`` is "struck", "not_struck" or "not_recorded".
    """

    series: Series
    types: list[CoinType] = field(default_factory=list)
    rung: SeriesDenomination | None = None

    @property
    def fact(self) -> str:
        if self.types:
            return "struck"
        return "not_struck" if self.rung is not None and self.rung.not_struck else "not_recorded"


@dataclass
class LadderRow:
    denomination: Denomination
    cells: list[Cell]


@dataclass
class Bought:
    """What an amount bought, one text for each series; ``amount`` "" when amounts differ."""

    amount: str
    cells: list[list[str]]


@dataclass
class Ladder:
    """One currency's part of a ladder. ``worth`` is (unit and base year, texts by series)."""

    currency: Currency
    series: list[Series]
    rows: list[LadderRow]
    bought: Bought | None = None
    worth: Bought | None = None

    @property
    def bought_by_series(self) -> list[tuple[list[str], Series]]:
        return list(zip(self.bought.cells, self.series, strict=True)) if self.bought else []

    @property
    def worth_by_series(self) -> list[tuple[list[str], Series]]:
        return list(zip(self.worth.cells, self.series, strict=True)) if self.worth else []


def ladder(
    issuer: Issuer, *, currency: Currency | None = None, series: Sequence[Series] | None = None
) -> list[Ladder]:
    """The ladder of a country, one part a currency, oldest first. A constant number of queries.

    ``currency`` leaves out all others, and ``series`` all other series.
    """
    chosen = Q(series__issuer=issuer)
    if currency is not None:
        chosen &= Q(series__currency=currency)
    if series is None:
        of_issuer = issuer.series.select_related("currency")
        series = list(of_issuer.order_by("first_year", "last_year", "pk"))
    else:
        chosen &= Q(series__in=series)
    currencies = list(
        Currency.objects.annotate(issuer_count=Count("issuers", distinct=True))
        .filter(Q(issuers=issuer) | Q(series__issuer=issuer))
        .select_related("successor")
        .prefetch_related("units", "price_notes")
        .distinct()
        .order_by("first_year", "name")
    )
    if currency is not None:
        currencies = [each for each in currencies if each == currency]
    denominations = defaultdict(list)
    for denomination in Denomination.objects.filter(currency__in=currencies):
        denominations[denomination.currency_id].append(denomination)
    types: dict[tuple[int, int], list[CoinType]] = defaultdict(list)
    for coin_type in in_order(with_pictures(with_dates(standing_types())).filter(chosen)):
        types[coin_type.denomination_id, coin_type.series_id].append(coin_type)
    rungs = {
        (rung.denomination_id, rung.series_id): rung
        for rung in SeriesDenomination.objects.filter(chosen)
    }
    parts = []
    for money in currencies:
        across = [s for s in series if s.currency_id == money.pk]
        rows = []
        for denomination in denominations[money.pk]:
            cells = [
                Cell(s, types[denomination.pk, s.pk], rungs.get((denomination.pk, s.pk)))
                for s in across
            ]
            of_this_country = money.issuer_count < 2
            if of_this_country or any(cell.types or cell.rung for cell in cells):
                rows.append(LadderRow(denomination, cells))
        notes = list(money.price_notes.all())
        said, worth_then = bought(notes, across), worth_row(notes, across)
        parts.append(Ladder(money, across, rows, said, worth_then))
    return [part for part in parts if part.series or part.rows]


def types_of(parts: list[Ladder]) -> list[CoinType]:
    """Every type of a ladder, from the top left to the bottom right."""
    return [
        coin_type
        for part in parts
        for row in part.rows
        for cell in row.cells
        for coin_type in cell.types
    ]


def bought(notes: list[PriceNote], across: list[Series]) -> Bought | None:
    """What money bought during each series, where notes say so."""
    said = [note for note in notes if note.bought]
    if not said:
        return None
    amounts = {note.amount for note in said}
    amount = amounts.pop() if len(amounts) == 1 else ""

    def words(note: PriceNote) -> str:
        return note.bought if amount or not note.amount else f"{note.amount}: {note.bought}"

    cells = []
    for series in across:
        cells.append(
            [f"{words(note)} in {note.year}" for note in said if _during(series, note.year)]
        )
    return Bought(amount, cells)


def worth_row(notes: list[PriceNote], across: list[Series]) -> Bought | None:
    """What one main unit was worth at the end of each series, by the index of prices."""
    indices = [(note.year, note.index) for note in notes if note.index]
    if len(indices) < 2:
        return None
    base_year, base = indices[0]
    cells = []
    for series in across:
        during = [(year, index) for year, index in indices if _during(series, year)]
        said = [f"{readable(worth(base, index))} in {year}" for year, index in during[-1:]]
        cells.append(said)
    return Bought(str(base_year), cells)


def _during(series: Series, year: int) -> bool:
    return (series.first_year or -9999) <= year <= (series.last_year or 9999)
