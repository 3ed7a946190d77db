"""What is said before the first coin of a country, of a money, of a series.

What is computed: sentences from the plain values of an opening: years, units and their ratios, what
the money replaced and became by law, what it bought; the values of a series, and of those the
owner lacks the lowest, the short-lived and what never was. Rates are exact.

>>> from datetime import date
>>> marl = CurrencyOpening("new marl", first_year=1960, last_year=2004,
...     units=(UnitTold("new marl", "new marls", Fraction(1)),
...            UnitTold("tinne", "tinne", Fraction(100))),
...     replaced=(ChangeOfMoney("marl", "marls", "new marl", "new marls", "10", date(1960, 1, 4)),),
...     prices=(PriceTold(1961, "100 tinne", "3 loaves"), PriceTold(1995, "100 tinne", "nothing")))
>>> for said in opening(marl):
...     print(said.text)
The new marl, from 1960 to 2004.
One new marl is a hundred tinne.
Ten marls became one new marl on 4 January 1960.
In 1961, a hundred tinne bought three loaves; in 1995, nothing.
>>> rate("1/2"), rate("2.5")
((Fraction(1, 1), Fraction(2, 1)), (Fraction(5, 1), Fraction(2, 1)))
>>> rate("340.75")
(Fraction(1363, 4), Fraction(1, 1))
"""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise

from series.dates.words import day_in_words
from series.telling import words
from series.telling.context import Earlier
from series.telling.sentences import Sentence
from series.telling.story import (
    ChangeOfMoney,
    CountryOpening,
    CurrencyOpening,
    Opening,
    PriceTold,
    SeriesOpening,
    UnitTold,
    ValueTold,
)
from series.text.english import listed
from series.text.folding import fold
from series.text.words import plain

MOST_PRICES = 4
MOST_REPLACED = 3
"""Above so many, the moneys that one replaced are counted, not told one by one."""

SHORT_YEARS = 2
"""A value struck for at most so many years is said to be short-lived; common practice."""


def opening(of: Opening, earlier: Earlier | None = None) -> list[Sentence]:
    """What is said on an opening page, in order."""
    if isinstance(of, CountryOpening):
        return _country(of)
    if isinstance(of, CurrencyOpening):
        return _currency(of, earlier or Earlier())
    return _series(of)


def _said(key: str, text: str, *cites: str) -> list[Sentence]:
    return [Sentence(key, words.sentence(text), cites)] if text else []


def _head(name: str, first: int | None, last: int | None) -> str:
    years = words.of_years(first, last)
    return f"{name}, {years}" if years else name


# ---- a country ----
def _country(of: CountryOpening) -> list[Sentence]:
    head = _head(words.country(of.name), of.first_year, of.last_year)
    found = _said("opening.what", head, "name", "first_year", "last_year")
    if of.predecessors:
        before = listed(words.country(name) for name in of.predecessors)
        found += _said("opening.before", f"before it came {before}", "predecessors")
    found += _said("story.story", words.aloud(of.story), "story")
    money = [f"in the {_head(*each)}".replace(", ", " ") for each in of.currencies]
    if money:
        found += _said("money.currencies", f"it counted {listed(money)}", "currencies")
    return found


# ---- a currency ----
def _currency(of: CurrencyOpening, earlier: Earlier) -> list[Sentence]:
    head = _head(f"the {of.name}", of.first_year, of.last_year)
    found = _said("opening.what", head, "name", "first_year", "last_year")
    found += _said("opening.units", listed(_ratios(of.units)), "units")
    if len(of.replaced) > MOST_REPLACED:
        text = f"it replaced {words.number(len(of.replaced))} currencies"
        found += _said("law.replaced", text, "replaced")
    few = of.replaced if len(of.replaced) <= MOST_REPLACED else ()
    for change in few:
        if (change.old, change.new) not in earlier.money:
            found += _said(f"law.{change.old}", _by_law(change), "replaced", "earlier.became")
    found += _said("story.note", words.aloud(of.note), "note")
    if of.became and (of.became.old, of.became.new) not in earlier.money:
        found += _said("law.became", _by_law(of.became), "became", "earlier.replaced")
    found += _said("prices.bought", _bought(of.prices), "prices")
    return found + _said("prices.index", _index(of.prices), "prices")


def _ratios(units: tuple[UnitTold, ...]) -> list[str]:
    """ "one crown is twelve groats", "one groat twelve mites": each by the next larger one."""
    ordered = sorted(units, key=lambda unit: unit.per_main)
    said: list[str] = []
    for larger, smaller in pairwise(ordered):
        ratio = smaller.per_main / larger.per_main
        if ratio > 1:
            verb = "" if said else " is"
            name = smaller.plural or smaller.name
            said.append(f"one {larger.name}{verb} {words.times(ratio)} {name}")
    return said


def rate(text: str) -> tuple[Fraction, Fraction]:
    """How many old units became how many new ones, in small whole numbers where there are any."""
    ratio = Fraction(text)
    if max(ratio.numerator, ratio.denominator) < 100 or "." not in text:
        return Fraction(ratio.numerator), Fraction(ratio.denominator)
    return ratio, Fraction(1)


def _by_law(change: ChangeOfMoney) -> str:
    when = f" on {day_in_words(change.on)}" if change.on else ""
    try:
        old, new = rate(change.rate)
    except (ValueError, ZeroDivisionError):
        return f"the {change.old} gave way to the {change.new}{when}"
    was = f"{words.times(old)} {_many(old, change.old, change.old_plural)}"
    now = f"{words.times(new)} {_many(new, change.new, change.new_plural)}"
    return f"{'by law ' * was[0].isdigit()}{was} became {now}{when}"


def _many(count: Fraction, one: str, many: str) -> str:
    return one if count == 1 or not many else many


def _bought(prices: tuple[PriceTold, ...]) -> str:
    """What an amount bought, from the first year to the last, the amount once."""
    told = [price for price in prices if price.bought and price.amount]
    if len(told) > MOST_PRICES:
        step = (len(told) - 1) / (MOST_PRICES - 1)
        told = [told[round(step * place)] for place in range(MOST_PRICES)]
    said: list[str] = []
    amount = ""
    for price in told:
        paid = "" if price.amount == amount else f"{_count(price.amount)} bought "
        said.append(f"in {price.year}, {paid}{_count(price.bought)}")
        amount = price.amount
    return "; ".join(said)


def _count(text: str) -> str:
    """An amount or a number of things with its figures in words: "4 loaves", "100 tinne"."""
    return re.sub(r"^[0-9]{1,3}(?= )", lambda found: words.number(int(found[0])), text)


def _index(prices: tuple[PriceTold, ...]) -> str:
    told = [price for price in prices if price.index is not None]
    if len(told) < 2:
        return ""
    first, last = told[0], told[-1]
    return (f"the price index stood at {plain(first.index)} in {first.year}, "
            f"at {plain(last.index)} in {last.year}")  # fmt: skip


# ---- a series ----
def _series(of: SeriesOpening) -> list[Sentence]:
    head = words.series_of(of.name)
    if of.country and fold(of.country) not in fold(of.name):
        head += f" of {words.country(of.country)}"
    head = _head(head, of.first_year, of.last_year)
    found = _said("opening.what", head, "name", "country", "first_year", "last_year")
    if of.before and of.before_ended and of.first_year and of.first_year - of.before_ended > 1:
        gap = f"the series before it, {words.series_of(of.before)}, ended in {of.before_ended}"
        between = of.first_year - of.before_ended - 1
        gap += f": {words.number(between)} {'year' if between == 1 else 'years'} lie between"
        gap = gap.replace("1 year lie", "1 year lies").replace("one year lie", "one year lies")
        found += _said("opening.gap", gap, "before", "before_ended", "first_year")
    found += _said("story.story", words.aloud(of.story), "story")
    return found + _values(of)


def _values(of: SeriesOpening) -> list[Sentence]:
    struck = [value for value in of.values if not value.not_struck]
    found = []
    if len(struck) > 1:
        count = words.number(len(struck))
        ends = f"from the {_coin(of, struck[0])} to the {_coin(of, struck[-1])}"
        found += _said("values.struck", f"{count} values, {ends}", "values", "units")
    elif struck:
        found += _said("values.struck", f"one value, the {_coin(of, struck[0])}", "values", "units")
    for value in struck:
        if said := _of_value(of, value, lowest=value is struck[0]):
            found += _said(f"values.{value.denomination}", said, "values", "units", "last_year")
    lacks = [v for v in struck[1:] if v.held is False and not _short(v)]
    if lacks:
        verb = "is" if len(lacks) == 1 else "are"
        text = f"{_listed(of, lacks)} {verb} not in this collection"
        found += _said("values.missing", text, "values", "units")
    never = [value for value in of.values if value.not_struck]
    if never:
        text = f"{_listed(of, never)} {'was' if len(never) == 1 else 'were'} not struck in it"
        found += _said("values.never", text, "values", "units")
    return found


def _listed(of: SeriesOpening, values: list[ValueTold]) -> str:
    return listed(f"the {_coin(of, value)}" for value in values)


def _coin(of: SeriesOpening, value: ValueTold) -> str:
    return words.coin(value.denomination, of.units)


def _short(value: ValueTold) -> bool:
    """Whether a value was struck for a year or two."""
    first, last = value.first_year, value.last_year
    return first is not None and last is not None and last - first < SHORT_YEARS


def _of_value(of: SeriesOpening, value: ValueTold, lowest: bool) -> str:
    """What is worth saying of one value: the lowest that ended early or is not here, the odd one
    that was struck for a year or two."""
    first, last, short = value.first_year, value.last_year, _short(value)
    early = bool(lowest and last and of.last_year and last < of.last_year)
    lacks = value.held is False
    if not (short or early or (lowest and lacks)):
        return ""
    name = f"the {_coin(of, value)}{', the lowest value,' if lowest else ''}"
    when = f"struck {words.of_years(first, last)}{' only' if short else ''}" if first else ""
    if early and not short:
        when = f"last struck in {last}"
    note = f", {value.note}" if value.note else ""
    if lacks:
        said = f"{name} is not in this collection"
        return f"{said}: it was {when}{note}" if when else f"{said}{note}"
    return f"{name} was {when}{note}"
