"""What a member's whole collection is worth on a day, and what it was worth before."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.utils.translation import gettext as _

from catalogue import access
from catalogue.members.requests import Viewer
from catalogue.models import Holding
from valuation.estimates.queries import (
    amounts_by_id,
    fixed_rates,
    held_on,
    with_worth,
    worths,
)
from valuation.estimates.worth import Worth, each

MOST_YEARS = 10
_SHOWN = (
    "accession",
    "title",
    "quantity",
    "grade",
    "date_reading",
    "coin_type__name",
    "coin_type__metal",
    "coin_type__denomination__name",
    "coin_type__series__name",
    "coin_type__series__issuer__name",
    "issue__shown",
    "issue__mark_text",
)


@dataclass(frozen=True)
class Held:
    """A holding in hand on the day, with what is known of its worth."""

    holding: Holding
    worth: Worth | None

    @property
    def pieces(self) -> int:
        return self.holding.quantity

    @property
    def total(self) -> Decimal | None:
        return None if self.worth is None else self.worth.total

    @property
    def country(self) -> str:
        coin_type = self.holding.coin_type
        return _("unidentified") if coin_type is None else coin_type.series.issuer.name

    @property
    def series(self) -> str:
        coin_type = self.holding.coin_type
        return _("unidentified") if coin_type is None else coin_type.series.name

    @property
    def metal(self) -> str:
        coin_type = self.holding.coin_type
        return (coin_type.metal if coin_type is not None else "") or _("not recorded")

    @property
    def old(self) -> bool:
        return self.worth is not None and self.worth.value.old(self.worth.as_of)


GROUPS: dict[str, Callable[[Held], tuple[str, ...]]] = {
    "country": lambda held: (held.country,),
    "series": lambda held: (held.country, held.series),
    "metal": lambda held: (held.metal,),
}


def collection(viewer: Viewer, currency: str, as_of: date) -> list[Held]:
    """The viewer's own holdings in hand on a day, each with its worth; five queries."""
    holdings = held_on(access.own_holdings(viewer), as_of)
    known = worths(holdings, currency, as_of)
    rows = (
        holdings.select_related("coin_type__denomination", "coin_type__series__issuer", "issue")
        .only(*_SHOWN)
        .order_by("accession", "pk")
    )
    return [Held(holding, known.get(holding.pk)) for holding in rows]


def earlier_days(as_of: date, years: int = MOST_YEARS) -> list[date]:
    """The same day in each of the years before, then the day itself."""
    day = min(as_of.day, 28) if as_of.month == 2 else as_of.day
    return [as_of.replace(year=as_of.year - n, day=day) for n in range(years, 0, -1)] + [as_of]


def history(viewer: Viewer, currency: str, days: Sequence[date]) -> list[tuple[date, Decimal]]:
    """The sum of all known values on each day, from the first day on which any is known."""
    by_day = {day: _chosen(viewer, day) for day in days}
    amounts = amounts_by_id({chosen for rows in by_day.values() for _pieces, chosen in rows})
    fixed = fixed_rates()
    found: list[tuple[date, Decimal]] = []
    for day, rows in by_day.items():
        known = [
            one * pieces
            for chosen, pieces in _pieces_by_value(rows).items()
            if (one := each(*amounts[chosen], currency, day, fixed)) is not None
        ]
        if known or found:
            found.append((day, sum(known, Decimal("0.00"))))
    return found


def _chosen(viewer: Viewer, day: date) -> list[tuple[int, int]]:
    holdings = with_worth(held_on(access.own_holdings(viewer), day), day)
    return list(
        holdings.filter(worth_id__isnull=False).order_by().values_list("quantity", "worth_id")
    )


def _pieces_by_value(rows: Iterable[tuple[int, int]]) -> dict[int, int]:
    pieces: Counter[int] = Counter()
    for count, chosen in rows:
        pieces[chosen] += count
    return pieces
