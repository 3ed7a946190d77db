"""Reasons in words: what is said for and against a type."""

from __future__ import annotations

from typing import Any

import pytest

from series.identifying.evidence import read_evidence
from series.identifying.facts import RankedIssue, RankedType
from series.identifying.reasons import reasons
from series.identifying.table import TypeTable
from series.identifying.weighing import Weighing
from series.legends.spellings import StruckText
from series.types.lines import read_legends


def said(facts: dict[str, Any], **texts: str) -> list[str]:
    """The reasons as "verdict: words" for one type."""
    coin = RankedType(1, "a", "25 tinne", "Halvern", **facts)
    weighing = Weighing.of(TypeTable.of([coin]), read_evidence(texts))
    return [f"{each.verdict}: {each.words}" for each in reasons(weighing, 0)]


STANDARD: dict[str, Any] = {"diameter_mm": 24.26, "mass_g": 5.67, "thickness_mm": 1.75}


def test_a_piece_too_small_is_so_by_millimetres() -> None:
    assert said(STANDARD, diameter="23.2") == [
        "against: 1.1 mm too small (23.2 mm, recorded 24.26 mm)"
    ]


def test_a_light_piece_is_light_and_no_grade_is_inferred() -> None:
    assert said(STANDARD, mass="5.53") == [
        "for: mass agrees (5.53 g, 2.5 hundredths light of 5.67 g)"
    ]


def test_a_heavy_piece_is_said_to_be_heavy() -> None:
    assert said(STANDARD, mass="7.4") == ["against: 1.73 g too heavy (7.4 g, recorded 5.67 g)"]


def test_a_difference_below_half_a_hundredth_is_not_counted_in_hundredths() -> None:
    assert said(STANDARD, mass="5.69") == ["for: mass agrees (5.69 g, recorded 5.67 g)"]
    assert said(STANDARD, mass="5.70") == [
        "for: mass agrees (5.7 g, 0.5 hundredths heavy of 5.67 g)"
    ]


def test_a_coarse_reading_says_how_coarse_it_is() -> None:
    assert said(STANDARD, mass="6") == ["for: mass agrees (6 g read to ± 0.5 g, recorded 5.67 g)"]


def test_a_coarse_reading_excuses_no_more_than_its_half_width() -> None:
    aluminium = {"mass_g": 0.9}
    assert said(aluminium, mass="2") == ["against: 1.1 g too heavy (2 g, recorded 0.9 g)"]
    assert said(aluminium, mass="1")[0].startswith("for: mass agrees")


def test_a_worn_piece_agrees_until_the_most_wear() -> None:
    assert said(STANDARD, mass="5.05")[0].startswith("for: mass agrees (5.05 g, 10.9 hundredths")
    assert said(STANDARD, mass="4.8")[0].startswith("against: 0.87 g too light")


def test_what_the_record_lacks_is_said() -> None:
    assert said({}, diameter="20", edge="milled", legend="GULL") == [
        "neither: diameter not recorded",
        "neither: edge not recorded",
        "neither: legend not recorded",
    ]


@pytest.mark.parametrize(
    ("composition", "texts", "words"),
    [
        ("steel", {"magnet": "none"}, "against: not magnetic; steel is strongly magnetic"),
        ("steel", {"magnet": "strong"}, "for: strongly magnetic, as steel is known to be"),
        ("Cu75Ni25", {"colour": "white"}, "for: white, as copper-nickel is known to be"),
        ("Cu75Ni25", {"colour": "copper-red"}, "against: copper-red; copper-nickel is white"),
        ("silver 900", {"sound": "long ring"}, "for: rings long, as silver 900 does"),
        ("zinc", {"sound": "long ring"}, "against: rings long; zinc sounds dull"),
        ("brass", {"sound": "dull"}, "against: sounds dull; brass rings briefly"),
    ],
)
def test_metal_is_named_beside_what_was_seen(
    composition: str, texts: dict[str, str], words: str
) -> None:
    assert said({"composition": composition}, **texts) == [words]


def test_density_is_held_against_the_recorded_metal() -> None:
    assert said({"composition": "Ag90Cu10"}, density="10.3") == [
        "for: density agrees (10.3 g/cm³; the recorded metal has 10.22 to 10.43)"
    ]
    silver = {"composition": "silver 900"}
    assert said(silver, density="10.3")[0].startswith("for: density agrees")
    assert said(silver, density="7.9")[0].startswith("against: too light a metal")


def test_a_hole_that_is_not_on_record() -> None:
    assert said({}, hole="round") == ["against: hole round; recorded without one"]


def test_no_hole_is_said_so_both_ways() -> None:
    assert said({}, hole="none") == ["for: no hole"]
    assert said({"hole": "round"}, hole="none") == ["against: no hole; recorded round"]


def test_sides_are_compared_with_the_record() -> None:
    facts = {"outline": "curved", "sides": 7}
    seven = {"outline": "polygon", "sides": "7"}
    assert said(facts, **seven) == ["for: outline agrees (seven-sided with curved sides)"]
    twelve = {"outline": "polygon", "sides": "12"}
    assert said(facts, **twelve)[0].startswith("against: 12 sides counted; recorded seven-sided")


@pytest.mark.parametrize(
    ("outline", "sides", "words"),
    [
        ("scalloped", 12, "for: the number of sides agrees (scalloped with twelve lobes)"),
        ("notched", 7, "against: 12 counted; recorded round with seven indentations"),
        ("curved", 11, "for: 12 counted; recorded eleven-sided with curved sides"),
        ("polygon", None, "neither: recorded many-sided, but not of how many sides"),
        ("round", None, "against: 12 counted; recorded round"),
    ],
)
def test_sides_are_counted_without_saying_of_what(
    outline: str, sides: int | None, words: str
) -> None:
    assert said({"outline": outline, "sides": sides}, sides="12") == [words]


def dated(*years: str) -> dict[str, Any]:
    return {
        "issues": tuple(
            RankedIssue(n, y, y, "civil", int(y), int(y)) for n, y in enumerate(years, 1)
        )
    }


def test_dates_that_fit_are_named() -> None:
    assert said(dated("1938", "1948", "1949"), year="19?8") == [
        "for: struck with the date 1938 or 1948"
    ]


def test_a_date_it_was_not_struck_in() -> None:
    assert said(dated("1931", "1939"), year="1876") == [
        "against: no date of it fits 1876 (struck 1931 to 1939)"
    ]


def test_a_date_one_figure_off_is_called_near() -> None:
    assert said(dated("1931", "1939"), year="1938") == [
        "against: 1938 is no date of it, but one is near (struck 1931 to 1939)"
    ]


HIJRI = {"issues": (RankedIssue(1, "x", "١٣٨٩", "AH", 1969, 1970),)}
KEPT = {"issues": (RankedIssue(1, "x", "1953", "civil", 1953, 1958),)}


def test_a_date_worked_out_from_another_calendar_speaks_for_the_piece() -> None:
    assert said(HIJRI, year="1969") == ["for: struck in 1969, with the date ١٣٨٩"]
    assert said(HIJRI, year="19?9") == ["for: struck in a year that 19?9 fits, with the date ١٣٨٩"]


def test_a_date_that_was_kept_is_not_the_year_of_striking() -> None:
    assert said(KEPT, year="1956") == ["against: struck in 1956, with the date 1953"]
    assert said(KEPT, year="1876") == ["against: no date of it fits 1876 (struck 1953 to 1958)"]


def test_the_same_figures_in_another_calendar_are_said_to_be_so() -> None:
    assert said(HIJRI, year="1389", calendar="civil") == [
        "against: 1389 stands on it in another calendar (struck 1969 to 1970)"
    ]


def test_a_value_in_words_fits_one_in_figures() -> None:
    assert said({"denomination": "25 tinne"}, denomination="twenty-five") == [
        "for: the value fits 25 tinne"
    ]


def test_a_value_that_fits_in_part() -> None:
    facts = {"denomination": "25 tinne"}
    assert said(facts, denomination="25 TINNE") == ["for: the value fits 25 tinne"]
    assert said(facts, denomination="twenty-five tinne") == ["for: the value fits 25 tinne"]
    assert said(facts, denomination="25 marl") == ["against: 25 tinne fits, but not marl"]
    assert said(facts, denomination="10") == ["against: the value is 25 tinne, not 10"]


def test_motif_script_and_country() -> None:
    facts: dict[str, Any] = {
        "motifs": ("gull", "bird"),
        "countries": ("Halvern",),
        "legends": (StruckText("HALVERN", "Latn"),),
    }
    texts = {"motif": "ship", "script": "Arabic", "country": "Italy"}
    assert said(facts, **texts) == [
        "against: no Arabic on it; recorded Latin",
        "against: no ship recorded; shows gull, bird",
        "against: country is Halvern, not Italy",
    ]


@pytest.mark.parametrize(
    ("struck", "script"),
    [("오십 원", "Korean"), ("五十圜", "Korean"), ("ごじゅう", "Japanese"), ("ゴエン", "Japanese"),
     ("大日本", "Japanese"), ("中華民國", "Chinese")],
)  # fmt: skip
def test_a_legend_typed_in_letters_of_a_language_is_in_the_script_named_by_it(
    struck: str, script: str
) -> None:
    [legend] = read_legends(struck)
    facts = {"legends": (StruckText(legend.text, legend.script),)}
    assert said(facts, script=script) == [f"for: there is {script} on it"]


def test_a_legend_in_two_signaries_of_one_language_is_in_one_script() -> None:
    facts = {"legends": (StruckText("日本", "Hani"), StruckText("ごじゅう", "Hira"))}
    assert said(facts, script="Arabic") == ["against: no Arabic on it; recorded Japanese"]
    assert said(facts, script="Korean") == ["against: no Korean on it; recorded Japanese"]


def test_a_legend_that_fits_and_one_that_does_not() -> None:
    facts = {"legends": (StruckText("SALTMOUTH", "Latn"),)}
    assert said(facts, legend="SALT??OUTH")[0].startswith("for: ")
    assert said(facts, legend="KRONUNG")[0].startswith("against: ")
