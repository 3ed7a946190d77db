"""Coins described by the figures of the statutes are found among the types of every pack.

Sources: Council Regulation (EU) No 729/2014, Annex I (euro; diameter mm, mass g, edge in a word);
31 U.S.C. § 5112(a) (dollar to cent; inches and grams) and the published specification tables of
the United States Mint for the cent and the dollar as struck now.
"""

from __future__ import annotations

import pytest

from series.identifying.evidence import read_evidence
from series.identifying.ranking import identify
from series.identifying.table import TypeTable

EURO = {
    # diameter, mass, colour, what a magnet shows, edge
    "euro-2-": ("25.75", "8.50", "two-colour", "centre only", "lettered"),
    "euro-1-": ("23.25", "7.50", "two-colour", "centre only", "interrupted"),
    "euro-50-cent": ("24.25", "7.80", "yellow", "none", "scalloped"),
    "euro-20-cent": ("22.25", "5.74", "yellow", "none", "plain"),
    "euro-10-cent": ("19.75", "4.10", "yellow", "none", "scalloped"),
    "euro-5-cent": ("21.25", "3.92", "copper-red", "strong", "plain"),
    "euro-2-cent": ("18.75", "3.06", "copper-red", "strong", "grooved"),
    "euro-1-cent": ("16.25", "2.30", "copper-red", "strong", "plain"),
}
INCH = 25.4  # mm exactly: international yard and pound agreement, 1959
UNITED_STATES = {
    # denomination of the records: (diameter in, mass g)
    "half dollar": (1.205, 11.34),
    "quarter dollar": (0.955, 5.67),
    "dime": (0.705, 2.268),
    "5 cents": (0.835, 5.0),
}


@pytest.mark.parametrize("key", EURO)
def test_a_euro_coin_by_its_measures_and_metal(shipped: TypeTable, key: str) -> None:
    diameter, mass, colour, magnet, edge = EURO[key]
    evidence = read_evidence(
        {"diameter": diameter, "mass": mass, "colour": colour, "magnet": magnet, "edge": edge}
    )
    answer = identify(shipped, evidence)
    right = [each for each in answer.candidates if each.key.startswith(key)]
    assert answer.candidates[0] in right
    # Two common sides (1999 and 2007) share the measures of the six higher values.
    assert sum(each.probability for each in right) > 0.9


@pytest.mark.parametrize("name", UNITED_STATES)
def test_a_coin_of_the_united_states_by_its_measures(shipped: TypeTable, name: str) -> None:
    inches, grams = UNITED_STATES[name]
    evidence = read_evidence({"diameter": f"{inches * INCH:.2f}", "mass": str(grams)})
    answer = identify(shipped, evidence)
    right = [
        each
        for each in answer.candidates
        if each.country == "United States" and each.denomination == name
    ]
    assert answer.candidates[0] in right
    assert sum(each.probability for each in right) > 0.8


# Published specification tables of the United States Mint: one-cent since 1982, 19.05 mm, 2.50 g,
# copper-plated zinc; before, 3.11 g, bronze. § 5113(a): a remedy of 0.13 g.
@pytest.mark.parametrize(("mass", "zinc"), [("2.50", True), ("3.11", False)])
def test_the_two_cents_are_told_apart_by_mass(shipped: TypeTable, mass: str, zinc: bool) -> None:
    evidence = read_evidence({"diameter": "19.05", "mass": mass, "country": "US"})
    first = identify(shipped, evidence).candidates[0]
    composition = shipped.classed["colour"].of(shipped.numbers[first.type_id])
    assert ("Zn;" in composition) is zinc


# 31 U.S.C. § 5112(b), from memory: the dollar coin "shall … be golden in color".
def test_the_golden_dollar_may_be_called_gold(shipped: TypeTable) -> None:
    evidence = read_evidence({"diameter": "26.5", "mass": "8.1", "colour": "gold"})
    first = identify(shipped, evidence).candidates[0]
    assert (first.country, first.denomination) == ("United States", "1 dollar")
    assert first.reasons_against == ()
