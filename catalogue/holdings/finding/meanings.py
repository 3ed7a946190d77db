"""What an amount of a unit and the name of a country may mean among the records of a catalogue.

Computed: the denominations that are worth an amount of a unit of their own currency, whatever
they are called ("25c" is a quarter dollar); and by a country's name or code the country, with the
currencies it shares and those that took the place of its own, so that a coin of a union is found
by a member's name.

Units: amounts and values are exact fractions; ``per_main`` is how many of a unit make one main
unit. Names come folded. Source: the records.

>>> money = [Money(1, ("crown",), Fraction(1)), Money(1, ("groat", "g"), Fraction(12))]
>>> known = Meanings.of(money, [(7, 1, Fraction(1, 2))], [(5, "halvern", "ha", frozenset({1}))])
>>> known.worth(Fraction(6), ("g",)), known.worth(Fraction(1, 2), ("cro",))
(frozenset({7}), frozenset({7}))
>>> known.worth(Fraction(6), ("o",)), known.called("halv"), known.called("al")
(frozenset(), (frozenset({5}), frozenset({1})), (frozenset(), frozenset()))
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

Ids = frozenset[int]

_BEGUN = 3
"""From so many letters on, a name may be begun only."""


class Money(NamedTuple):
    """A unit of a currency by its names and sign."""

    currency: int
    names: tuple[str, ...]
    per_main: Fraction


class Country(NamedTuple):
    """A country by its id, name and code, with the currencies its coins may be in."""

    id: int
    name: str
    code: str
    currencies: Ids


@dataclass(frozen=True)
class Meanings:
    """See the module's docstring."""

    money: tuple[Money, ...] = ()
    values: Mapping[tuple[int, Fraction], Ids] = field(default_factory=dict)
    countries: tuple[Country, ...] = ()

    @classmethod
    def of(
        cls,
        money: Iterable[Money],
        denominations: Iterable[tuple[int, int, Fraction]],
        countries: Iterable[tuple[int, str, str, Ids]],
    ) -> Meanings:
        """From units, from (id, currency, value) of denominations, and from countries."""
        values: dict[tuple[int, Fraction], set[int]] = defaultdict(set)
        for pk, currency, value in denominations:
            values[currency, value].add(pk)
        return cls(
            tuple(money),
            {key: frozenset(ids) for key, ids in values.items()},
            tuple(Country(*each) for each in countries),
        )

    def worth(self, amount: Fraction, units: Iterable[str]) -> Ids:
        """The denominations worth an amount of a unit that is called one of these."""
        found: set[int] = set()
        asked = tuple(units)
        for unit in self.money:
            if any(_names(name, word) for name in unit.names for word in asked):
                found |= self.values.get((unit.currency, amount / unit.per_main), frozenset())
        return frozenset(found)

    def called(self, word: str) -> tuple[Ids, Ids]:
        """The countries of a name or code, and the currencies that they share or went over to."""
        found = [each for each in self.countries if word == each.code or _names(each.name, word)]
        currencies = frozenset(pk for each in found for pk in each.currencies)
        return frozenset(each.id for each in found), currencies


def _names(name: str, word: str) -> bool:
    """Whether a word is one of a name, or begins one."""
    words = name.split()
    return word in words or (len(word) >= _BEGUN and any(w.startswith(word) for w in words))
