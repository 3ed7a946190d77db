"""The ranking against the same posterior written down plainly, on a made catalogue and by hand."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np
import pytest

from series.identifying.evidence import CHOICES, KINDS, Evidence, read_evidence
from series.identifying.facts import RankedIssue, RankedType
from series.identifying.table import TypeTable
from series.identifying.weighing import Weighing
from series.legends.spellings import StruckText
from series.measuring.edges import EDGES
from series.measuring.signs import COLOURS
from tests.series.identifying.plain_posterior import normal, plainly

# A made catalogue of 40 types, a quarter of what could be recorded left out.

COMPOSITIONS = ("Cu75Ni25", "zinc", "iron", "silver 500", "ring: CuZn20Ni5; centre: Cu75Ni25")
VALUES = ("1 tinne", "2 tinne", "5 tinne", "10 tinne", "25 marl", "50 marl")
COUNTRIES = (("halvern",), ("ouran",), ("dyr", "sund"), ("gannet",))
MOTIFS = ("gull", "net", "herring", "lighthouse", "kelp wreath", "anchor")
SEEN_MOTIFS = ("gull", "net", "kelp", "anchor")
EDGE_WORDS = ("plain", "reeded", "lettered, fine milled", "interrupted reeding")
ROUND_OR_NOT: tuple[tuple[str, int | None], ...] = (
    ("round", None), ("round", None), ("polygon", 12), ("polygon", 7), ("polygon", None),
    ("square", None), ("scalloped", 8), ("curved", 7),
)  # fmt: skip


def an_issue(number: int, year: int, common: bool, arabic: bool) -> RankedIssue:
    if not arabic:
        return RankedIssue(number, str(year), str(year), "civil", year, year, common)
    hijri = str(year - 580).translate({ord(str(k)): chr(0x660 + k) for k in range(10)})
    return RankedIssue(number, hijri, hijri, "AH", year, year + 1, common)


def made_types(count: int, seed: int) -> list[RankedType]:
    lot = random.Random(seed)

    def maybe(value: Any, nothing: Any) -> Any:
        return value if lot.random() < 0.75 else nothing

    found = []
    for number in range(count):
        outline, sides = lot.choice(ROUND_OR_NOT)
        composition = maybe(lot.choice(COMPOSITIONS), "")
        mass = maybe(round(lot.uniform(1.5, 12), 2), None)
        start, arabic = lot.randrange(1900, 1980), lot.random() < 0.2
        issues = [
            an_issue(100 * number + k, start + 2 * k, lot.random() < 0.8, arabic)
            for k in range(lot.randint(1, 5))
        ]
        scripts = lot.choice((("Latn",), ("Arab",), ("Latn", "Arab"), ()))
        names = lot.choice(COUNTRIES)
        found.append(
            RankedType(
                id=number + 1,
                key=f"made-{number}",
                label=f"made {number}",
                country=names[0],
                countries=names,
                denomination=lot.choice(VALUES),
                purpose=lot.choice(("circulating", "circulating", "commemorative", "pattern")),
                composition=composition,
                outline=outline,
                sides=sides,
                hole=maybe("", lot.choice(("round", "square"))),
                panel=maybe("", "square"),
                edge=maybe(lot.choice(EDGE_WORDS), ""),
                mass_g=mass,
                remedy_g=0.1 if mass and lot.random() < 0.3 else None,
                diameter_mm=maybe(round(lot.uniform(16, 32), 2), None),
                thickness_mm=maybe(round(lot.uniform(1, 2.5), 2), None),
                legends=tuple(
                    StruckText("SALT" if script == "Latn" else "جزر", script) for script in scripts
                ),
                motifs=tuple(lot.sample(MOTIFS, lot.randint(0, 3))),
                issues=tuple(maybe(issues, [])),
            )
        )
    return found


def some_evidence(lot: random.Random, kinds: Sequence[str]) -> Evidence:
    every: dict[str, Callable[[], str]] = {
        "diameter": lambda: f"{lot.uniform(16, 32):.1f}",
        "mass": lambda: f"{lot.uniform(1.5, 12):.2f}",
        "thickness": lambda: f"{lot.uniform(1, 2.5):.1f}",
        "density": lambda: f"{lot.uniform(6.5, 10.5):.2f}",
        "denomination": lambda: lot.choice((*VALUES, "marl", "25", "3 tinne")),
        "year": lambda: lot.choice(("1948", "19?8", "1?36", "1369", "13?2", "19??")),
        "script": lambda: lot.choice(("Latin", "Arabic", "Greek")),
        "motif": lambda: ", ".join(lot.sample(SEEN_MOTIFS, lot.randint(1, 2))),
        "country": lambda: ", ".join(lot.sample(("halvern", "ouran", "sund", "bexley"), 2)),
    }
    texts = {kind: every[kind]() if kind in every else lot.choice(CHOICES[kind]) for kind in kinds}
    if texts.get("outline") in ("polygon", "scalloped") and lot.random() < 0.8:
        texts["sides"] = lot.choice(("7", "8", "12", "13"))
        if lot.random() < 0.3:
            del texts["outline"]
    if "mass" in texts and lot.random() < 0.5:
        texts["mass_within"] = "0.25"
    return read_evidence(texts)


PLAIN_KINDS = tuple(kind for kind in KINDS if kind != "legend")
TYPES = made_types(40, 11)
TABLE = TypeTable.of(TYPES)


def agrees(evidence: Evidence, **more: object) -> None:
    types, none = plainly(TYPES, evidence, **more)  # type: ignore[arg-type]
    if "eligible" in more:
        more["eligible"] = np.array(more["eligible"])
    found = Weighing.of(TABLE, evidence).posterior(**more)  # type: ignore[arg-type]
    assert found.types == pytest.approx(types, rel=1e-9, abs=0), evidence.texts
    assert found.none == pytest.approx(none, rel=1e-9, abs=0), evidence.texts


@pytest.mark.parametrize("kind", PLAIN_KINDS)
def test_one_kind_of_evidence_gives_the_posterior_that_is_written_down(kind: str) -> None:
    lot = random.Random(kind)
    for _ in range(12):
        agrees(some_evidence(lot, [kind]))


@pytest.mark.parametrize("seed", range(40))
def test_several_kinds_together_do_too(seed: int) -> None:
    lot = random.Random(seed)
    agrees(some_evidence(lot, lot.sample(PLAIN_KINDS, lot.randint(2, len(PLAIN_KINDS)))))


@pytest.mark.parametrize("seed", range(10))
def test_it_does_where_some_types_are_not_eligible_and_the_prior_of_none_is_another(
    seed: int,
) -> None:
    lot = random.Random(100 + seed)
    evidence = some_evidence(lot, lot.sample([k for k in PLAIN_KINDS if k != "outline"], 5))
    agrees(evidence, eligible=[lot.random() < 0.6 for _ in TYPES], none_prior=0.2)


def test_the_made_catalogue_has_what_it_should_try() -> None:
    assert len(TYPES) == 40
    for missing in ("composition", "edge", "mass_g", "diameter_mm", "motifs", "issues", "legends"):
        assert 2 < sum(not getattr(each, missing) for each in TYPES) < 38, missing
    assert {each.outline for each in TYPES} >= {"round", "polygon", "square", "scalloped"}


# Small cases by hand.


def test_two_types_and_one_measure() -> None:
    """Far from both standards only gross mistakes are left, and the nearer one has more of them."""
    coins = [
        RankedType(1, "a", "a", "Halvern", thickness_mm=1.0),
        RankedType(2, "b", "b", "Halvern", thickness_mm=2.0),
    ]
    found = Weighing.of(TypeTable.of(coins), read_evidence({"thickness": "1.5"})).posterior()
    wear_of = ((0.0, 0.35), (0.03, 0.30), (0.06, 0.20), (0.11, 0.10), (0.18, 0.05))
    chances = []
    for standard in (1.0, 2.0):
        spread = math.sqrt((0.035 * standard) ** 2 + 0.05**2)
        total = 0.05 * normal(1.5, standard, 0.25 * standard + 0.05)
        for lost, share in wear_of:
            total += 0.95 * share * normal(1.5, standard * (1 - lost), spread)
        chances.append(0.475 * total)
    none = 0.05 * normal(math.log(1.5), math.log(1.7), 0.30) / 1.5
    whole = sum(chances) + none
    assert found.types == pytest.approx([each / whole for each in chances], rel=1e-9)
    assert found.none == pytest.approx(none / whole, rel=1e-9)


def test_two_types_and_two_colours() -> None:
    """Zinc is called grey by 79 in 100, copper-nickel by 31; three in a hundred say anything."""
    coins = [
        RankedType(1, "a", "a", "Halvern", composition="zinc"),
        RankedType(2, "b", "b", "Halvern", composition="Cu75Ni25"),
    ]
    found = Weighing.of(TypeTable.of(coins), read_evidence({"colour": "grey"})).posterior()
    zinc, white = 0.97 * 0.79 + 0.03 / 8, 0.97 * 0.31 + 0.03 / 8
    none = 0.05 * (0.5 * (zinc + white) / 2 + 0.5 / len(COLOURS))
    whole = 0.475 * (zinc + white) + none
    expected = [0.475 * zinc / whole, 0.475 * white / whole]
    assert found.types == pytest.approx(expected, rel=1e-9)
    assert found.none == pytest.approx(none / whole, rel=1e-9)


def test_a_type_that_does_not_say_gets_the_mean_of_those_that_do() -> None:
    """Plain is called plain by 97 in 100, a milled edge by 7; a commemorative counts half."""
    coins = [
        RankedType(1, "a", "a", "Halvern", edge="plain"),
        RankedType(2, "b", "b", "Halvern", edge="reeded", purpose="commemorative"),
        RankedType(3, "c", "c", "Halvern"),
    ]
    found = Weighing.of(TypeTable.of(coins), read_evidence({"edge": "plain"})).posterior()
    plain, milled = (0.97 * share + 0.03 / len(EDGES) for share in (0.97, 0.07))
    mean = (plain + milled / 2) / 1.5
    parts = [plain / 2.5, milled / 5, mean / 2.5]
    none = 0.05 * (0.5 * mean + 0.5 / len(EDGES))
    whole = 0.95 * sum(parts) + none
    assert found.types == pytest.approx([0.95 * each / whole for each in parts], rel=1e-9)
