"""The posterior: what counts for and against, and what counts for nothing."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.identifying.classes import (
    hole_chances,
    outline_chances,
    panel_chances,
    rings_chances,
)
from series.identifying.evidence import HOLES, PANELS, RINGS, read_evidence
from series.identifying.facts import RankedIssue, RankedType
from series.identifying.measures import MODELS, density_of_reading
from series.identifying.table import TypeTable
from series.identifying.weighing import PRIOR_NONE, Posterior, Weighing
from series.legends.spellings import StruckText
from series.picture.outlines import OUTLINES


def coin(number: int, **facts: Any) -> RankedType:
    country = facts.pop("country", "Halvern")
    return RankedType(number, f"type-{number}", f"{number} tinne", country, **facts)


def posterior(coins: list[RankedType], **texts: str) -> Posterior:
    return Weighing.of(TypeTable.of(coins), read_evidence(texts)).posterior()


def test_without_evidence_the_prior_stands() -> None:
    found = posterior([coin(1), coin(2, purpose="commemorative"), coin(3, purpose="pattern")])
    assert found.none == pytest.approx(PRIOR_NONE)
    assert found.types[1] == pytest.approx(found.types[0] / 2)
    assert found.types[2] == pytest.approx(found.types[0] / 50)


def test_what_a_record_lacks_is_neither_for_nor_against() -> None:
    silent = coin(3)
    coins = [coin(1, diameter_mm=20.0), coin(2, diameter_mm=25.0), silent]
    before, after = posterior(coins), posterior(coins, diameter="20.0")
    known_before, known_after = before.types.sum(), after.types.sum()
    assert after.types[2] / known_after == pytest.approx(before.types[2] / known_before)


def test_evidence_of_which_no_record_speaks_changes_nothing() -> None:
    coins = [coin(1, diameter_mm=20.0), coin(2, diameter_mm=25.0)]
    assert posterior(coins, edge="milled").types == pytest.approx(posterior(coins).types)


def test_types_not_eligible_have_no_chance() -> None:
    table = TypeTable.of([coin(1, diameter_mm=20.0), coin(2, diameter_mm=20.0)])
    weighing = Weighing.of(table, read_evidence({"diameter": "20"}))
    found = weighing.posterior(np.array([False, True]))
    assert found.types[0] == 0
    assert found.types[1] + found.none == pytest.approx(1)


def test_with_no_type_at_all_it_is_none_of_these() -> None:
    assert posterior([], diameter="20").none == 1.0


def test_a_size_no_record_has_speaks_for_none_of_these() -> None:
    coins = [coin(1, diameter_mm=20.0, mass_g=4.0), coin(2, diameter_mm=25.0, mass_g=6.0)]
    assert posterior(coins, diameter="31.5", mass="14.2").none > 0.9


def test_a_worn_piece_is_light_more_readily_than_heavy() -> None:
    light = density_of_reading("mass", 9.7, 0.01, np.array([10.0]), np.array([math.nan]))
    heavy = density_of_reading("mass", 10.3, 0.01, np.array([10.0]), np.array([math.nan]))
    assert light[0] > 3 * heavy[0]


@pytest.mark.parametrize("measure", sorted(MODELS))
@pytest.mark.parametrize("within", [0.05, 0.5])
def test_the_chances_of_all_readings_make_one(measure: str, within: float) -> None:
    grid = np.linspace(-10, 60, 140_001)
    density = density_of_reading(measure, grid, within, np.array(20.0), np.array(math.nan))
    assert density.sum() * (grid[1] - grid[0]) == pytest.approx(1, abs=1e-6)


def test_a_polygon_may_be_measured_across_its_flats() -> None:
    flat = 25.5 * math.cos(math.pi / 12)
    coins = [
        coin(1, diameter_mm=25.5, outline="polygon", sides=12),
        coin(2, diameter_mm=25.5),
    ]
    found = posterior(coins, diameter=f"{flat:.1f}")
    assert found.types[0] > 4 * found.types[1]


def test_the_shape_chances_sum_to_one_and_rule_nothing_out() -> None:
    every = [
        *map(outline_chances, OUTLINES),
        *(hole_chances(each) for each in ("", *HOLES)),
        *map(rings_chances, RINGS),
        *(panel_chances(each) for each in ("", *PANELS)),
    ]
    for chances in every:
        assert sum(chances.values()) == pytest.approx(1)
        assert min(chances.values()) > 0


def dated(number: int, *years: str, **facts: Any) -> RankedType:
    issues = tuple(
        RankedIssue(100 * number + n, year, year, "civil", int(year), int(year))
        for n, year in enumerate(years)
    )
    return coin(number, issues=issues, **facts)


def test_a_type_of_few_dates_gains_more_by_a_date_that_fits() -> None:
    found = posterior([dated(1, "1948"), dated(2, "1946", "1947", "1948", "1949")], year="1948")
    assert found.types[0] == pytest.approx(4 * found.types[1], rel=0.05)


def test_an_unread_figure_says_nothing() -> None:
    found = posterior([dated(1, "1948"), dated(2, "1958"), dated(3, "1949")], year="19?8")
    assert found.types[0] == pytest.approx(found.types[1])
    assert found.types[2] < 0.01 * found.types[0]


def test_the_issues_share_out_what_the_date_leaves_open() -> None:
    table = TypeTable.of([dated(1, "1938", "1948", "1949")])
    chances = Weighing.of(table, read_evidence({"year": "19?8"})).issue_chances(0)
    assert chances[0] == pytest.approx(chances[1])
    assert chances[2] < 0.01


def test_proofs_hardly_come_to_hand() -> None:
    issues = (
        RankedIssue(1, "1948", "1948", "civil", 1948, 1948),
        RankedIssue(2, "1948 proof", "1948", "civil", 1948, 1948, common=False),
    )
    table = TypeTable.of([coin(1, issues=issues)])
    chances = Weighing.of(table, read_evidence({"year": "1948"})).issue_chances(0)
    assert chances.tolist() == pytest.approx([20 / 21, 1 / 21])


def test_a_type_without_issues_bears_any_of_its_years() -> None:
    coins = [coin(1, first_year=1940, last_year=1949), coin(2, first_year=1960, last_year=1969)]
    found = posterior(coins, year="1943")
    assert found.types[0] > 0.9


def test_a_date_in_another_script_is_compared_by_its_figures() -> None:
    hijri = RankedIssue(1, "١٣٨٩", "١٣٨٩", "AH", 1969, 1969)
    other = RankedIssue(2, "١٣٥٠", "١٣٥٠", "AH", 1931, 1931)
    found = posterior([coin(1, issues=(hijri,)), coin(2, issues=(other,))], year="١٣?٩")
    assert found.types[0] > 50 * found.types[1]


def test_a_converted_year_still_points_to_the_hijri_date() -> None:
    hijri = RankedIssue(1, "١٣٨٩", "١٣٨٩", "AH", 1969, 1970)
    other = RankedIssue(2, "١٣٥٠", "١٣٥٠", "AH", 1931, 1931)
    found = posterior([coin(1, issues=(hijri,)), coin(2, issues=(other,))], year="1969")
    assert found.types[0] > 50 * found.types[1]


def test_one_of_two_dates_on_a_piece_may_be_the_one_read() -> None:
    double = RankedIssue(1, "1776–1976", "1776–1976", "civil", 1975, 1976)
    found = posterior([coin(1, issues=(double,)), dated(2, "1974", "1977")], year="1976")
    assert found.types[0] > 50 * found.types[1]


def test_a_date_in_letters_fits_the_year_in_figures() -> None:
    found = posterior([dated(1, "1948"), dated(2, "1958")], year="MCMXLVIII")
    assert found.types[0] > 50 * found.types[1]


def test_a_calendar_that_is_not_the_coins_speaks_against() -> None:
    hijri = RankedIssue(1, "١٣٨٩", "١٣٨٩", "AH", 1969, 1970)
    solar = RankedIssue(2, "١٣٨٩", "١٣٨٩", "SH", 2010, 2011)
    found = posterior(
        [coin(1, issues=(hijri,)), coin(2, issues=(solar,))], year="1389", calendar="solar-hijri"
    )
    assert found.types[1] > 8 * found.types[0]


def test_accession_and_regnal_year_may_be_read_together_or_apart() -> None:
    shown = RankedIssue(1, "١٢٩٣/٣٤", "١٢٩٣/٣٤", "AH", 1908, 1909)
    other = RankedIssue(2, "١٢٧٧/٣٤", "١٢٧٧/٣٤", "AH", 1893, 1894)
    for said in ("1293/34", "١٢٩٣"):
        found = posterior([coin(1, issues=(shown,)), coin(2, issues=(other,))], year=said)
        assert found.types[0] > 50 * found.types[1]


def test_a_value_fits_by_its_numeral_or_its_words() -> None:
    coins = [coin(1, denomination="half crown"), coin(2, denomination="crown")]
    assert posterior(coins, denomination="½").types[0] > 0.8
    assert posterior(coins, denomination="HALF CR?WN").types[0] > 0.8


def test_figures_of_a_value_are_not_guessed() -> None:
    coins = [coin(1, denomination="25 tinne"), coin(2, denomination="20 tinne")]
    found = posterior(coins, denomination="25")
    assert found.types[0] > 5 * found.types[1]


@pytest.mark.parametrize("said", ["twenty-five tinne", "Twenty Five", "25"])
def test_a_value_may_be_said_in_words(said: str) -> None:
    coins = [coin(1, denomination="25 tinne"), coin(2, denomination="1 tinne")]
    assert posterior(coins, denomination=said).types[0] > 0.9


def test_a_word_of_a_number_in_the_record_itself_is_found() -> None:
    coins = [coin(1, denomination="three halfpence"), coin(2, denomination="1 crown")]
    assert posterior(coins, denomination="three").types[0] > 0.9


def test_a_broader_motif_counts() -> None:
    coins = [coin(1, motifs=("herring gull", "gull", "bird")), coin(2, motifs=("net",))]
    assert posterior(coins, motif="bird").types[0] > 0.9


def test_a_country_is_known_by_its_code_its_name_or_part_of_it() -> None:
    us = coin(1, countries=("United States", "US"))
    coins = [us, coin(2, countries=("Halvern",))]
    for said in ("US", "united states", "Italy, US", "United States of America"):
        assert posterior(coins, country=said).types[0] > 0.9
    for said in ("States", "USA"):
        assert posterior(coins, country=said).types[0] > 0.75


def test_a_country_itself_comes_before_those_that_may_be_meant() -> None:
    union = coin(2, country="Union", countries=("Union",), related=("Halvern",))
    found = posterior([coin(1, countries=("Halvern",)), union], country="Halvern")
    assert 2 < found.types[0] / found.types[1] < 5


def test_a_script_not_on_the_piece_speaks_against() -> None:
    arab = (StruckText("فلز", "Arab", "falz"),)
    coins = [coin(1, legends=arab), coin(2, legends=(StruckText("HALVERN", "Latn"),))]
    assert posterior(coins, script="Arabic").types[0] > 0.9


def test_a_legend_in_pieces_finds_its_type() -> None:
    coins = [
        coin(1, legends=(StruckText("LIBERTY", "Latn"), StruckText("IN GOD WE TRUST", "Latn"))),
        coin(2, legends=(StruckText("HALVERN", "Latn"), StruckText("FIVE TINNE", "Latn"))),
    ]
    assert posterior(coins, legend="TRU LIB?RTY").types[0] > 0.95


@given(st.lists(st.floats(10, 40), min_size=1, max_size=12), st.floats(10, 40))
def test_all_chances_make_one(sizes: list[float], seen: float) -> None:
    found = posterior(
        [coin(n, diameter_mm=size) for n, size in enumerate(sizes)], diameter=f"{seen:.2f}"
    )
    assert found.types.sum() + found.none == pytest.approx(1)
    assert (found.types >= 0).all()


@given(st.permutations(range(4)))
def test_the_order_of_the_records_does_not_matter(order: list[int]) -> None:
    coins = [
        coin(0, diameter_mm=20.0, composition="Cu75Ni25", edge="reeded"),
        coin(1, diameter_mm=20.5, composition="bronze"),
        coin(2, mass_g=5.0, outline="square"),
        coin(3, diameter_mm=24.0, hole="round"),
    ]
    texts = {"diameter": "20.1", "colour": "white", "edge": "milled", "mass": "5.1"}
    straight = posterior(coins, **texts)
    mixed = posterior([coins[n] for n in order], **texts)
    assert mixed.types == pytest.approx(straight.types[list(order)])


def test_a_measure_of_nothing_in_a_record_says_nothing() -> None:
    table = TypeTable.of([RankedType(1, "a", "1 cent", "X", mass_g=0.0, remedy_g=0.0)])
    weighed = Weighing.of(table, read_evidence({"mass": "5"})).weighed
    assert math.isnan(weighed["mass"].of(0))


def test_a_count_without_an_outline_fits_scallops_as_well_as_sides() -> None:
    coins = [
        coin(1, outline="polygon", sides=12),
        coin(2, outline="scalloped", sides=12),
        coin(3, outline="scalloped", sides=8),
        coin(4),
    ]
    chances = Weighing.of(TypeTable.of(coins), read_evidence({"sides": "12"})).posterior().types
    assert chances[0] == pytest.approx(chances[1])
    assert min(chances[:2]) > 40 * max(chances[2:])
