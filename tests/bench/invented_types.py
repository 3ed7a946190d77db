"""A large invented catalogue for benches: types with all that a record can say, and a database.

Sizes, metals, shapes and dates are drawn so that each country has a few metals and a row of sizes,
as real coinages have; a tenth of what could be recorded is not. ``legends`` are those of
``legend_maker``: shared among types, or all different.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from series.identifying.facts import RankedIssue, RankedType
from series.legends.spellings import StruckText
from tests.bench.legend_maker import made_word

COUNTRIES, SERIES_EACH, MOTIFS = 120, 8, 600
VALUES = ("½", "1", "2", "5", "10", "20", "25", "50", "100")
METALS = (
    "Cu75Ni25", "Cu95Sn4Zn1", "silver 500", "silver 900", "Cu89Al5Zn5Sn1", "CuZn20Ni5", "steel",
    "core: steel; plating: Ni", "core: steel; plating: Cu", "aluminium", "zinc", "bronze", "brass",
    "ring: CuZn20Ni5; centre: Cu75Ni25", "ring: Cu75Ni25; centre: CuZn20Ni5", "gold 22 carat",
)  # fmt: skip
EDGES = ("plain", "plain", "reeded", "reeded", "interrupted reeding", "lettered, fine milled")
OUTLINES = (("round", None),) * 17 + (("polygon", 12), ("scalloped", 12), ("curved", 7))


@dataclass(frozen=True)
class Made:
    """A type before it has its series and denomination in a database."""

    country: int
    series: int
    value: int
    start: int
    dates: tuple[int, ...]
    legends: tuple[StruckText, ...]
    motifs: tuple[int, ...]
    fields: dict[str, Any]


def made_types(
    seed: int, legends: Sequence[Sequence[StruckText]], countries: int = COUNTRIES
) -> Iterator[Made]:
    """One type for each entry of ``legends``; about six issues each."""
    lot = random.Random(seed)
    metals = [lot.sample(METALS, 4) for _ in range(countries)]
    least = [lot.uniform(14, 19) for _ in range(countries)]
    starts = [lot.randint(1850, 2005) for _ in range(countries * SERIES_EACH)]
    for texts in legends:
        country = int(countries * lot.random() ** 2)
        series = country * SERIES_EACH + lot.randrange(SERIES_EACH)
        value = lot.randrange(len(VALUES))
        outline, sides = lot.choice(OUTLINES)
        composition = lot.choice(metals[country])
        width = round(least[country] + 2.1 * value + lot.gauss(0, 0.7), 2)
        thick = round(lot.uniform(1.1, 2.4), 2)
        mass = round(0.0065 * width * width * thick, 2)
        dates, year = [], starts[series] + lot.randrange(5)
        for _ in range(lot.randint(1, 11)):
            dates.append(year)
            year += lot.choice((1, 1, 1, 2, 3))
        fields = {
            "composition": composition,
            "outline": outline,
            "sides": sides,
            "edge": lot.choice(EDGES),
            "mass_g": mass,
            "diameter_mm": width,
            "thickness_mm": thick,
        }
        for name in ("composition", "edge", "mass_g", "diameter_mm", "thickness_mm"):
            if lot.random() < 0.1:
                fields[name] = None if name.endswith(("_g", "_mm")) else ""
        yield Made(
            country=country,
            series=series,
            value=value,
            start=starts[series],
            dates=tuple(dates),
            legends=tuple(texts),
            motifs=tuple(lot.sample(range(MOTIFS), lot.choice((0, 1, 1, 2)))),
            fields=fields,
        )


def facts_of_made(made: Iterable[Made], words: Sequence[str]) -> Iterator[RankedType]:
    """The same without a database; ``words`` as for it."""
    for n, each in enumerate(made, 1):
        country = words[each.country]
        yield RankedType(
            id=n,
            key=f"t{n}",
            label=f"type {n}",
            country=country,
            countries=(country,),
            denomination=f"{VALUES[each.value]} {words[COUNTRIES + each.country].lower()}",
            legends=each.legends,
            motifs=tuple(words[2 * COUNTRIES + at].lower() for at in each.motifs),
            issues=tuple(
                RankedIssue(100 * n + at, str(year), str(year), "civil", year, year)
                for at, year in enumerate(each.dates)
            ),
            first_year=each.dates[0],
            last_year=each.dates[-1],
            **each.fields,
        )


def made_names() -> list[str]:
    """Names of countries, of their money, and of motifs."""
    lot = random.Random(8)
    words: dict[str, None] = {}
    while len(words) < 2 * COUNTRIES + MOTIFS:
        words[made_word(lot).title() + made_word(lot).lower()] = None
    return list(words)


def fill_database(seed: int, legends: Sequence[Sequence[StruckText]]) -> None:
    """Write the catalogue to the (migrated, empty) database; Django must be set up."""
    from series.models import (
        CoinType,
        Currency,
        Denomination,
        Face,
        FaceMotif,
        Issue,
        Issuer,
        Legend,
        Motif,
        Series,
    )

    names = iter(made_names())
    issuers = _save(Issuer, (Issuer(key=f"c{n}", name=next(names)) for n in range(COUNTRIES)))
    money = _save(
        Currency, (Currency(key=f"u{n}", name=next(names).lower()) for n in range(COUNTRIES))
    )
    for one, other in zip(money, issuers, strict=True):
        one.issuers.add(other)
    values = _save(
        Denomination,
        (
            Denomination(
                key=f"{each.key}-{n}",
                currency=each,
                name=f"{VALUES[n]} {each.name}",
                value_numerator=n + 1,
                value_denominator=100,
                sort_value=n,
            )
            for each in money
            for n in range(len(VALUES))
        ),
    )
    series = _save(
        Series,
        (
            Series(
                key=f"s{n}",
                issuer=issuers[n // SERIES_EACH],
                currency=money[n // SERIES_EACH],
                name=f"plan {n}",
            )
            for n in range(COUNTRIES * SERIES_EACH)
        ),
    )
    motifs = _save(Motif, (Motif(key=f"m{n}", name=next(names).lower()) for n in range(MOTIFS)))
    types = list(made_types(seed, legends))
    saved = _save(
        CoinType,
        (
            CoinType(
                key=f"t{n}",
                series=series[each.series],
                denomination=values[each.country * len(VALUES) + each.value],
                name=f"design {n % 7}",
                first_year=each.dates[0],
                last_year=each.dates[-1],
                **each.fields,
            )
            for n, each in enumerate(types)
        ),
    )
    faces = _save(
        Face, (Face(coin_type=each, side=s) for each in saved for s in ("obverse", "reverse"))
    )
    _save(
        Legend,
        (
            Legend(face=faces[2 * n + at % 2], text=text.text, script=text.script, position=at)
            for n, each in enumerate(types)
            for at, text in enumerate(each.legends)
        ),
    )
    _save(
        FaceMotif,
        (
            FaceMotif(face=faces[2 * n], motif=motifs[at])
            for n, each in enumerate(types)
            for at in each.motifs
        ),
    )
    _save(
        Issue,
        (
            Issue(
                coin_type=saved[n],
                key=str(year),
                shown=str(year),
                struck_from=year,
                struck_to=year,
                position=at,
                fact="struck",
            )
            for n, each in enumerate(types)
            for at, year in enumerate(each.dates)
        ),
    )


def _save(model: Any, records: Iterable[Any]) -> list[Any]:
    made: list[Any] = []
    source = iter(records)
    while parcel := list(itertools.islice(source, 5000)):
        made += model._default_manager.bulk_create(parcel)
    return made
