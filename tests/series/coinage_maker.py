"""A hand-made coinage for the tests of pages: as many types as a test wants.

The islands of Testland: two currencies, each type in a series of its own choosing.
"""

from __future__ import annotations

from typing import Any

from series.models import (
    CoinType,
    Denomination,
    Face,
    FaceMotif,
    FacePerson,
    Issue,
    Legend,
    Mark,
    Motif,
    Person,
    Series,
)
from tests.conftest import Coinage


def add_type(coinage: Coinage, n: int, **fields: Any) -> CoinType:
    """One more type of its own denomination, with faces, a motif, a mark, a person, dates."""
    denomination, _ = Denomination.objects.get_or_create(
        key=f"testland-{n}-tinne",
        defaults={
            "currency": coinage.currency,
            "name": f"{n} tinne",
            "value_numerator": n,
            "value_denominator": 100,
        },
    )
    key = fields.pop("key", f"testland-type-{n}")
    coin_type = CoinType.objects.create(
        **{
            "key": key,
            "series": coinage.series,
            "denomination": denomination,
            "diameter_mm": "20",
            "metal": "bronze",
            "first_year": 1931,
            "last_year": 1933,
        }
        | fields
    )
    obverse = Face.objects.create(coin_type=coin_type, side="obverse", description="A gull.")
    Face.objects.create(coin_type=coin_type, side="reverse", value_as="numeral")
    Legend.objects.create(face=obverse, text="TESTLAND")
    FaceMotif.objects.create(face=obverse, motif=motif("gull"), note="in flight")
    FacePerson.objects.create(face=obverse, person=person("Ada Moy"), role="engraver")
    Mark.objects.create(coin_type=coin_type, kind="mint", text="S", side="reverse", clock=6)
    for year in (1931, 1932, 1933):
        add_issue(coin_type, year)
    return coin_type


def add_issue(coin_type: CoinType, year: int, **fields: Any) -> Issue:
    return Issue.objects.create(
        **{
            "coin_type": coin_type,
            "key": str(year),
            "shown": str(year),
            "struck_from": year,
            "struck_to": year,
        }
        | fields
    )


def motif(name: str) -> Motif:
    return Motif.objects.get_or_create(key=name.replace(" ", "-"), defaults={"name": name})[0]


def person(name: str) -> Person:
    key = name.lower().replace(" ", "-")
    return Person.objects.get_or_create(key=key, defaults={"name": name})[0]


def add_series(coinage: Coinage, key: str, first: int, last: int) -> Series:
    return Series.objects.create(
        key=key,
        issuer=coinage.issuer,
        currency=coinage.currency,
        name=key.title(),
        first_year=first,
        last_year=last,
    )
