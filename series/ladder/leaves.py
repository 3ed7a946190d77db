"""A ladder with many types is shown leaf by leaf: a currency, or some series of one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from django.db.models import Count, Q

from series.issuers.models import Currency, Issuer
from series.types.models import Series
from series.types.queries import standing_types

TYPES_ON_A_PAGE = 400
"""A country with more types is shown leaf by leaf. About a megabyte of page; a rule of ours."""


@dataclass(frozen=True)
class Leaf:
    """One page of a ladder: series of one currency, all of them where ``whole``."""

    currency: Currency
    series: Sequence[Series]
    types: int
    whole: bool = True

    @property
    def name(self) -> str:
        """What a link to it says: "marl", or "marl: First to Reform"."""
        money = self.currency.name
        if self.whole or not self.series:
            return money
        first, last = self.series[0], self.series[-1]
        if first == last:
            return f"{money}: {first.name}"
        return f"{money}: {first.name} to {last.name}"

    @property
    def address(self) -> str:
        """The query of its address: its first series, or its currency where it has none."""
        if self.series:
            return f"?series={self.series[0].key}"
        return f"?currency={self.currency.key}"

    @property
    def sheet(self) -> str:
        """The query for the sheet of its currency."""
        return f"?currency={self.currency.key}"


def leaves(issuer: Issuer, most: int | None = None) -> list[Leaf]:
    """The leaves of a country's ladder, oldest first; none where it fits one page.

    A leaf has at most ``most`` types (TYPES_ON_A_PAGE), or one series. Three queries.
    """
    most = TYPES_ON_A_PAGE if most is None else most
    counted = standing_types().filter(series__issuer=issuer).order_by().values("series")
    types: dict[int, int] = dict(counted.annotate(n=Count("pk")).values_list("series", "n"))
    if sum(types.values()) <= most:
        return []
    across: dict[int, list[Series]] = {}
    for series in issuer.series.order_by("first_year", "last_year", "pk"):
        across.setdefault(series.currency_id, []).append(series)
    currencies = (
        Currency.objects.filter(
            Q(series__issuer=issuer) | Q(issuers=issuer, denominations__isnull=False)
        )
        .distinct()
        .order_by("first_year", "name")
    )
    return [
        leaf
        for currency in currencies
        for leaf in _leaves_of(currency, across.get(currency.pk, []), types, most)
    ]


def leaf_asked(found: Sequence[Leaf], asked: Mapping[str, str]) -> Leaf | None:
    """The leaf with the series, else of the currency, that an address names; else the first."""
    for leaf in found:
        if asked.get("series") in {series.key for series in leaf.series}:
            return leaf
    for leaf in found:
        if asked.get("currency") == leaf.currency.key:
            return leaf
    return found[0] if found else None


def _leaves_of(
    currency: Currency, across: list[Series], types: Mapping[int, int], most: int
) -> Iterator[Leaf]:
    groups: list[list[Series]] = [[]]
    used = 0
    for series in across:
        here = types.get(series.pk, 0)
        if groups[-1] and used + here > most:
            groups.append([])
            used = 0
        groups[-1].append(series)
        used += here
    for group in groups:
        count = sum(types.get(series.pk, 0) for series in group)
        yield Leaf(currency, group, count, whole=len(groups) == 1)
