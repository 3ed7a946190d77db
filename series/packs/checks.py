"""Check the records of a reference pack against each other and against what can be.

What is computed: what a pack leaves to be worked out (the years of series and rungs), and a list
of :class:`Problem` for keys that name nothing, doubles, circles and impossible measures. Lengths
in mm, masses in g. That nothing is denser than osmium, 22.59 g/cm³ (handbook value, from memory),
bounds the mass; the other bounds are geometry.

>>> from decimal import Decimal
>>> coin = TypeEntry("a", diameter_mm=Decimal("23.5"), ring_mm=Decimal("25"))
>>> for message in measure_faults(coin):
...     print(message)
ring_mm 25 is not within the coin (23.5 mm): write how wide the centre is.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from typing import Any

from series.entries.columns import columns
from series.entries.tables import (
    FACES,
    KINDS,
    SINGULAR,
    Entry,
    FaceText,
    PackEntry,
    Place,
    Rung,
    SeriesEntry,
    TypeEntry,
)
from series.metal.alloys import CompositionError
from series.metal.compositions import parse_composition
from series.packs.reading import Problem
from series.reaching import reached

OSMIUM = 22.59
SHARED = ("motifs", "sources")
"""Kinds that several packs may describe: the first description stands."""


@dataclass(frozen=True)
class Known:
    """Records outside the pack that it may refer to.

    ``owners`` gives for each kind the keys in use and in words whose they are ("pack euro");
    ``currencies`` the currency of each denomination and series (by ``kind``, then key); ``alike``
    are the types of the pack that this one needs, which its own may be like.
    """

    owners: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    currencies: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    alike: Mapping[str, TypeEntry] = field(default_factory=dict)


def unique(kind: str, keys: Sequence[tuple[Place, object]], problems: list[Problem]) -> None:
    """Note every key that comes a second time."""
    seen: dict[object, Place] = {}
    for place, key in keys:
        if key is None or not isinstance(key, str):
            continue
        if key in seen:
            where = "" if seen[key].file == place.file else f" (the other is in {seen[key].file})"
            problems.append(
                Problem(
                    place.file,
                    place.record,
                    f"there is another {SINGULAR[kind]} with this key{where}: give it one of "
                    "its own.",
                )
            )
        seen.setdefault(key, place)


def completed(pack: PackEntry) -> PackEntry:
    """With a rung for every denomination of a series' types, and years for every series."""
    types: dict[str, list[TypeEntry]] = {}
    for each in pack.types:
        types.setdefault(each.series, []).append(each)
    series = tuple(_with_years(one, types.get(one.key, [])) for one in pack.series)
    return replace(pack, series=series)


def _with_years(series: SeriesEntry, types: Sequence[TypeEntry]) -> SeriesEntry:
    rungs = {rung.denomination: rung for rung in series.rungs}
    for denomination in sorted({each.denomination for each in types if each.denomination}):
        rung = rungs.get(denomination, Rung(denomination))
        if rung.first_year is None and rung.last_year is None and not rung.not_struck:
            first, last = _span([t for t in types if t.denomination == denomination])
            rungs[denomination] = replace(rung, first_year=first, last_year=last)
    found = replace(series, rungs=tuple(rungs[key] for key in sorted(rungs)))
    if series.first_year is None and series.last_year is None:
        starts = [rung.first_year for rung in rungs.values() if rung.first_year is not None]
        struck = [rung for rung in rungs.values() if not rung.not_struck]
        ends = [rung.last_year for rung in struck if rung.last_year is not None]
        if starts:
            last = max(ends) if ends and len(ends) == len(struck) else None
            found = replace(found, first_year=min(starts), last_year=last)
    return found


def _span(types: Sequence[TypeEntry]) -> tuple[int | None, int | None]:
    """The years in which coins of these types were struck; patterns do not count."""
    first: list[int] = []
    last: list[int | None] = []
    for each in types:
        if each.purpose == "pattern":
            continue
        if each.first_year is not None:
            first.append(each.first_year)
            last.append(each.last_year)
        for issue in each.issues:
            if issue.fact == "struck" and issue.purpose != "pattern" and issue.struck_from:
                first.append(issue.struck_from)
                last.append(issue.struck_to)
    ends = [year for year in last if year is not None]
    return (
        min(first) if first else None,
        max(ends) if ends and len(ends) == len(last) else None,
    )


def cross_checks(pack: PackEntry, known: Known) -> list[Problem]:
    """Every mistake that shows only when the records are seen together."""
    found = (
        *_taken_keys(pack, known),
        *_unknown_keys(pack, known),
        *_circles(pack),
        *_years_and_rates(pack),
        *_series_and_money(pack, known),
        *((coin, message) for coin in pack.types for message in measure_faults(coin)),
    )
    return [Problem(entry.place.file, entry.place.record, message) for entry, message in found]


Fault = tuple[Entry, str]
"""A record and what is wrong with it."""


def _taken_keys(pack: PackEntry, known: Known) -> Iterator[Fault]:
    for kind in KINDS:
        for entry in pack.table(kind):
            owner = known.owners.get(kind, {}).get(entry.key)
            if owner and kind not in SHARED:
                yield (
                    entry,
                    f"the key is in use already, by {owner}: choose another, or refer to it "
                    "without describing it again.",
                )


def _unknown_keys(pack: PackEntry, known: Known) -> Iterator[Fault]:
    keys = {
        kind: {each.key for each in getattr(pack, kind)} | set(known.owners.get(kind, {}))
        for kind in ("sources", *KINDS)
    }
    for kind in KINDS:
        for entry in pack.table(kind):
            for name, wanted, key in _references(entry):
                if key not in keys[wanted]:
                    near = get_close_matches(key, keys[wanted], 1)
                    hint = f"did you mean '{near[0]}'?" if near else f"describe it in [[{wanted}]]."
                    yield entry, f"{name} names '{key}', no {SINGULAR[wanted]} known; {hint}"


def _circles(pack: PackEntry) -> Iterator[Fault]:
    for kind, name in (
        ("issuers", "predecessors"),
        ("currencies", "successor"),
        ("motifs", "broader"),
    ):
        for entry in _in_circles(pack.table(kind), name):
            yield entry, f"{name} leads back to '{entry.key}' itself: break the circle."


def _years_and_rates(pack: PackEntry) -> Iterator[Fault]:
    for currency in pack.currencies:
        if currency.rate and not currency.successor:
            yield currency, "rate is given without a successor: write successor as well."
        if currency.rate_from and not currency.rate:
            yield currency, "rate_from is given without a rate: write rate as well."
    for one in pack.series:
        for rung in one.rungs:
            if not _within(rung.first_year, rung.last_year, one.first_year, one.last_year):
                yield (
                    one,
                    f"rungs.{rung.denomination}: its years are not within the series' own.",
                )


def _references(entry: Entry) -> Iterator[tuple[str, str, str]]:
    """Field, kind and key of every reference of a record."""
    for citation in entry.citations:
        yield "citations", "sources", citation.source
    yield from _named(entry)
    if isinstance(entry, SeriesEntry):
        for rung in entry.rungs:
            yield "rungs", "denominations", rung.denomination
    if isinstance(entry, TypeEntry):
        for side, name in FACES.items():
            face: FaceText = getattr(entry, name)
            for shown in face.motifs:
                yield f"{side}.motifs", "motifs", shown.motif
            for field_name, kind, key in _named(face):
                yield f"{side}.{field_name}", kind, key
        for mark in entry.marks:
            for _name, kind, key in _named(mark):
                yield "marks", kind, key


def _named(record: Any) -> Iterator[tuple[str, str, str]]:
    """Field, kind and key of what a record's own columns name."""
    for name, column in columns(type(record)).items():
        value = getattr(record, name)
        if column.names and value:
            for key in (value,) if isinstance(value, str) else value:
                yield name, column.names, key


def _in_circles(entries: Sequence[Any], name: str) -> list[Any]:
    """The entries from which following ``name`` leads back to themselves."""
    above: dict[str, set[str]] = {}
    for entry in entries:
        value = getattr(entry, name)
        above[entry.key] = ({value} if value else set()) if isinstance(value, str) else set(value)
    return [entry for entry in entries if entry.key in reached(above[entry.key], above)]


def _series_and_money(pack: PackEntry, known: Known) -> Iterator[Fault]:
    """Types against their series: one money, and nothing struck that was not struck."""
    money = {
        kind: {
            **known.currencies.get(kind, {}),
            **{each.key: each.currency for each in pack.table(kind)},
        }
        for kind in ("denominations", "series")
    }
    not_struck = {
        (one.key, rung.denomination) for one in pack.series for rung in one.rungs if rung.not_struck
    }
    for coin in pack.types:
        of_coin = money["denominations"].get(coin.denomination)
        of_series = money["series"].get(coin.series)
        if of_coin and of_series and of_coin != of_series:
            yield (
                coin,
                f"denomination '{coin.denomination}' is of currency '{of_coin}', its series of "
                f"'{of_series}': write a denomination of that currency.",
            )
        if (coin.series, coin.denomination) in not_struck and coin.purpose == "circulating":
            yield (
                coin,
                f"its series says that '{coin.denomination}' was not struck: take that rung out.",
            )


def _within(first: int | None, last: int | None, low: int | None, high: int | None) -> bool:
    return not (
        (first is not None and low is not None and first < low)
        or (last is not None and high is not None and last > high)
        or (first is not None and high is not None and first > high)
    )


def measure_faults(coin: TypeEntry) -> Iterator[str]:
    """What cannot be in the measures of a type, each with what to write."""
    across = coin.diameter_mm
    for name in ("ring_mm", "hole_mm", "thickness_mm"):
        value = getattr(coin, name)
        words = {"ring_mm": "how wide the centre is", "hole_mm": "how wide the hole is"}
        if value is not None and across is not None and value >= across:
            yield (
                f"{name} {value} is not within the coin ({across} mm): write "
                f"{words.get(name, 'how thick the coin is')}."
            )
    if coin.hole_mm is not None and coin.ring_mm is not None and coin.hole_mm >= coin.ring_mm:
        yield f"hole_mm {coin.hole_mm} is not within the centre ({coin.ring_mm} mm)."
    if coin.hole_mm is not None and not coin.hole:
        yield 'hole_mm is given without a hole: write hole = "round" or "square".'
    if coin.sides is not None and coin.outline == "round":
        yield 'sides is given for a round coin: write outline = "polygon" or take it out.'
    if coin.outline in ("polygon", "curved") and coin.sides is None:
        yield f"outline is {coin.outline}, but of how many sides? Write sides = 12."
    if coin.remedy_g is not None and coin.mass_g is not None and coin.remedy_g >= coin.mass_g:
        yield f"remedy_g {coin.remedy_g} is not less than the mass ({coin.mass_g} g)."
    if coin.mass_g is not None and across is not None and coin.thickness_mm is not None:
        reach = float(across) / 2 * (1 if coin.outline != "square" else math.sqrt(2))
        cm3 = math.pi * reach**2 * float(coin.thickness_mm) / 1000
        if float(coin.mass_g) > OSMIUM * cm3:
            yield (
                f"mass_g {coin.mass_g} is more than any metal of {across} mm by "
                f"{coin.thickness_mm} mm weighs: check the three measures."
            )
    if coin.composition:
        try:
            parse_composition(coin.composition)
        except CompositionError as error:
            yield f"composition: {error}"
