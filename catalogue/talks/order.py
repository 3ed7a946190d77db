"""In which order coins are shown, and where an opening page stands before them.

What is computed: orders of plain values. Down the ladder: a country's denominations from the least
to the greatest, each through its series and years, also where the money changed and the value kept
its name; what is of one name is placed where it first was struck. Size from the smallest. What is
not known comes last.

>>> penny = Coin("a", "Testland", "shilling", 1900, "penny", 0.1, "First", 1900, struck=1901)
>>> crown = Coin("b", "Testland", "shilling", 1900, "crown", 5.0, "First", 1900, struck=1899)
>>> late = Coin("c", "Testland", "mark", 1950, "penny", 0.01, "Second", 1950, struck=1950)
>>> [coin.key for coin in in_order([crown, late, penny], "ladder")]
['a', 'c', 'b']
>>> [coin.key for coin in in_order([crown, late, penny], "date")]
['b', 'a', 'c']
>>> openings([penny, late, crown])
[('country', 0), ('currency', 0), ('currency', 1)]
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

LAST = 9999


@dataclass(frozen=True)
class Coin:
    """What an order needs to know of a coin; ``key`` is the caller's own name for it.

    "" and None stand for what is not recorded; ``value`` in main units of its money.
    """

    key: Any
    country: str = ""
    money: str = ""
    money_from: int | None = None
    denomination: str = ""
    value: float = 0.0
    series: str = ""
    series_from: int | None = None
    type_from: int | None = None
    struck: int | None = None
    diameter: float | None = None
    metal: str = ""
    motif: str = ""


ORDERS = ("ladder", "series", "date", "size", "metal", "motif")


def in_order(coins: Sequence[Coin], order: str) -> list[Coin]:
    """The coins in one of ORDERS; coins that it does not part stay as they are."""
    place: Callable[[Coin], Any] = {
        "ladder": _ladder(coins),
        "series": _series,
        "date": lambda coin: (_year(coin), coin.country, coin.value),
        "size": lambda coin: (coin.diameter or LAST, _year(coin)),
        "metal": lambda coin: (not coin.metal, coin.metal, _year(coin), coin.value),
        "motif": lambda coin: (not coin.motif, coin.motif, _year(coin), coin.value),
    }[order]
    return sorted(coins, key=place)


def _ladder(coins: Sequence[Coin]) -> Callable[[Coin], Any]:
    """A denomination stands by its value in the first money that has it."""
    first: dict[tuple[str, str], tuple[int, float]] = {}
    for coin in coins:
        here = (_or_last(coin.money_from), coin.value)
        name = (coin.country, coin.denomination)
        first[name] = min(here, first.get(name, here))
    begun = _begun(coins)

    def place(coin: Coin) -> tuple[Any, ...]:
        value = first[coin.country, coin.denomination][1]
        at = (not coin.country, coin.country, begun[coin.country, coin.money], value)
        through = (_or_last(coin.money_from), _or_last(coin.series_from), coin.series)
        years = (_or_last(coin.type_from), _or_last(coin.struck))
        return (*at, coin.denomination, *through, *years)

    return place


def _begun(coins: Sequence[Coin]) -> dict[tuple[str, str], int]:
    """When the money of a country began, with all money that has a value of the same name."""
    named: dict[tuple[str, str], set[str]] = {}
    for coin in coins:
        named.setdefault((coin.country, coin.denomination), set()).add(coin.money)
    begun = {(coin.country, coin.money): _or_last(coin.money_from) for coin in coins}
    again = True
    while again:
        again = False
        for (country, _name), money in named.items():
            earliest = min(begun[country, each] for each in money)
            for each in money:
                again = again or begun[country, each] != earliest
                begun[country, each] = earliest
    return begun


def _series(coin: Coin) -> tuple[Any, ...]:
    years = (_or_last(coin.type_from), _or_last(coin.struck))
    of_series = (_or_last(coin.series_from), coin.series)
    return (not coin.country, coin.country, *of_series, coin.value, *years)


def _year(coin: Coin) -> int:
    return next((y for y in (coin.struck, coin.type_from, coin.series_from) if y is not None), LAST)


def _or_last(year: int | None) -> int:
    return LAST if year is None else year


def openings(coins: Sequence[Coin], with_series: bool = False) -> list[tuple[str, int]]:
    """Which opening pages stand before which coins, by their places: each page once."""
    met: set[tuple[str, str]] = set()
    found = []
    for at, coin in enumerate(coins):
        if not coin.country:
            continue
        names = [("country", coin.country), ("currency", coin.money)]
        if with_series:
            names.append(("series", f"{coin.country}/{coin.series}"))
        for page in names:
            if page not in met:
                met.add(page)
                found.append((page[0], at))
    return found
