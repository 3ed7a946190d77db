"""What a coin is and what changed of it, as a speaker says it; faces and legends."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from typing import Any

import pytest

from series.differences.facts import TypeFacts
from series.telling.coin import body, what
from series.telling.context import Context
from series.telling.faces import on_faces
from series.telling.story import FaceTold, LegendTold, MotifTold, SeriesOpening, Story
from series.telling.talk import tell

OLD = Story(
    "a", "25 tinne", "Halvern", "marl", "First Marl", first_year=1933, last_year=1958,
    body=TypeFacts(metal="copper-nickel", diameter_mm=D("23.5"), mass_g=D("5.4")),
)  # fmt: skip


def of_body(**fields: Any) -> Story:
    return replace(OLD, name="other", body=replace(OLD.body, **fields))


# ---- what it is ----
@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"name": "steel", "first_year": 1942, "last_year": 1944},
         "The twenty-five tinne again, “steel”, struck from 1942 to 1944."),
        ({"series": "Reform"},
         "The twenty-five tinne again, now of the Reform series, struck from 1933 to 1958."),
        ({"denomination": "1 marl", "units": (("marl", "marls"),), "first_year": None,
          "last_year": None}, "The one-marl piece."),
        ({"purpose": "commemorative", "name": "peace", "first_year": 1946, "last_year": 1946},
         "The twenty-five tinne again, “peace”, a commemorative, struck in 1946."),
        ({"country": "Ouran Islands", "series": "Treasury"},
         "The twenty-five tinne again, now of the Treasury series of the Ouran Islands, struck "
         "from 1933 to 1958."),
        ({"country": "Halvern, Harbour Board", "series": "Harbour Board of Halvern"},
         "The twenty-five tinne again, now of the Harbour Board of Halvern, struck from 1933 to "
         "1958."),
    ],
)  # fmt: skip
def test_what_it_is_leaves_out_what_was_just_said(fields: dict[str, Any], said: str) -> None:
    assert what(Context(replace(OLD, **fields), OLD)).text == said


def test_a_country_that_stands_in_the_name_of_its_series_is_not_said_twice() -> None:
    lights = replace(OLD, series="Lights of Halvern")
    assert what(Context(lights)).text.startswith("The twenty-five tinne of the Lights of Halvern")
    assert what(Context(lights)).text.count("Halvern") == 1


def test_what_an_opening_said_is_not_said_again() -> None:
    told = tell([SeriesOpening("First Marl", "Halvern"), OLD])[1]
    assert told.sentences[0].text == "The twenty-five tinne, struck from 1933 to 1958."


# ---- size and metal ----
@pytest.mark.parametrize(
    ("fields", "said", "wall"),
    [
        ({"diameter_mm": D("21")},
         "Again copper-nickel, but smaller by two and a half millimetres, at twenty-one.",
         "smaller by two and a half millimetres"),
        ({"metal": "steel"}, "Steel where it was copper-nickel; the size is the same.",
         "steel where it was copper-nickel"),
        ({"diameter_mm": D("21"), "metal": "aluminium"},
         "Smaller by two and a half millimetres, and aluminium where it was copper-nickel.",
         "smaller by two and a half millimetres; aluminium where it was copper-nickel"),
        ({"outline": "curved", "sides": 7},
         "Again copper-nickel, but seven-sided with curved sides where it was round.",
         "seven-sided with curved sides where it was round"),
        ({"diameter_mm": D("23.4")}, "Again copper-nickel.", ""),
        ({"mass_g": D("4.9")},
         "Again copper-nickel and the same size, but lighter by half a gram, at 4.9 grams.", ""),
        ({"metal": "", "diameter_mm": None}, "", ""),
    ],
)  # fmt: skip
def test_what_changed_of_the_body(fields: dict[str, Any], said: str, wall: str) -> None:
    found = body(Context(of_body(**fields), OLD))
    assert [(each.text, each.brief) for each in found] == ([(said, wall)] if said else [])


def test_a_second_piece_of_one_type_is_not_measured_again() -> None:
    assert body(Context(OLD, OLD, nth=2)) == []


def test_what_the_coin_before_lacks_is_stated() -> None:
    assert [each.text for each in body(Context(OLD, Story("b", "5 tinne")))] == [
        "It is copper-nickel, twenty-three and a half millimetres across."
    ]


# ---- faces ----
def face(description: str = "", *motifs: str, **fields: Any) -> FaceTold:
    shown = tuple(MotifTold(name, meaning=fields.pop(name, "")) for name in motifs)
    return FaceTold("obverse", description, motifs=shown, **fields)


def said(now: FaceTold, before: FaceTold | None = None) -> list[str]:
    last = replace(OLD, faces=(before,)) if before else None
    return [each.text for each in on_faces(Context(replace(OLD, faces=(now,)), last))]


@pytest.mark.parametrize(
    ("before", "now", "text"),
    [
        (face("A net.", "net"), face("A gull.", "gull"),
         ["On the obverse, in place of the net, a gull."]),
        (face("A net.", "net"), face("A numeral."),
         ["On the obverse, now without the net, a numeral."]),
        (face("A net.", "net"), face("A net, hung.", "net"), ["On the obverse, a net, hung."]),
        (face("", "net"), face("", "gull"), ["On the obverse, a gull where the net was."]),
        (face("", "net"), face("", "net", "gull"),
         ["On the obverse, a gull, which was not there."]),
        (face("", "net", "gull"), face("", "net"), ["The obverse has lost the gull."]),
        (face("A net.", "net"), face("A net.", "net"), []),
        (face("A net.", "net"), face(), []),
    ],
)  # fmt: skip
def test_a_face_is_told_by_what_changed_on_it(
    before: FaceTold, now: FaceTold, text: list[str]
) -> None:
    assert said(now, before) == text


def test_a_legend_in_another_script_is_read_and_translated() -> None:
    name = LegendTold("جزر عوران", "Arab", "juzur ʿūrān", "Islands of Ouran")
    assert said(face(legends=(name,))) == [
        "On the obverse stands in Arabic letters جزر عوران, read juzur ʿūrān: “Islands of Ouran”."
    ]


@pytest.mark.parametrize(
    ("legend", "told"),
    [("HALVERN", False), ("25 TINNE", False), ("TWENTY-FIVE TINNE", False), ("25 T", False),
     ("THE LIGHTS ARE LIT", True)],
)  # fmt: skip
def test_a_legend_is_read_out_when_it_says_more_than_country_and_value(
    legend: str, told: bool
) -> None:
    assert said(face(legends=(LegendTold(legend),))) == (
        [f"The obverse reads “{legend}”."] if told else []
    )


def test_people_are_named_where_they_are_new() -> None:
    fenn, vane = face("A net.", designers=("Fenn",)), face("A net.", designers=("Vane",))
    assert said(fenn)[-1] == "Fenn designed it."
    assert said(vane, fenn) == ["Now Vane designed it."]
    assert said(fenn, fenn) == []


def test_of_two_faces_the_one_that_somebody_else_designed_is_named() -> None:
    def coin(of_reverse: str) -> Story:
        reverse = FaceTold("reverse", "A numeral.", designers=(of_reverse,))
        return replace(OLD, faces=(face("A net.", designers=("Fenn",)), reverse))

    def told(here: Context) -> list[str]:
        return [each.text for each in on_faces(here) if each.key == "faces.people"]

    assert told(Context(coin("Vane"))) == ["Fenn designed the obverse and Vane the reverse."]
    assert told(Context(coin("Skerry"), coin("Vane"))) == ["Now Skerry designed the reverse."]


# ---- a motif is explained once ----
def test_a_motif_is_explained_once_and_then_referred_back_to() -> None:
    light = face("", "light", light="First lit in 1788.")
    coins = [replace(OLD, key=str(n), name=f"no. {n}") for n in range(5)]
    coins[0] = replace(coins[0], faces=(light,))
    coins[4] = replace(coins[4], faces=(light,))
    told = [[each.text for each in at.sentences] for at in tell(coins)]
    assert "The light: First lit in 1788." in told[0]
    assert "The light again, as on the twenty-five tinne of the First Marl series." in told[4]


def test_a_motif_that_was_seen_two_coins_ago_is_not_referred_back_to() -> None:
    light = face("", "light", light="First lit in 1788.")
    coins = [replace(OLD, key=str(n), name=f"no. {n}") for n in range(3)]
    coins[0], coins[2] = (replace(coins[n], faces=(light,)) for n in (0, 2))
    assert not [each for each in tell(coins)[2].sentences if each.key.startswith("faces.motif")]


def test_a_motif_of_the_coin_before_is_passed_over() -> None:
    light = face("", "light", light="First lit in 1788.")
    coins = [replace(OLD, key=str(n), name=f"no. {n}", faces=(light,)) for n in range(2)]
    assert not [each for each in tell(coins)[1].sentences if "light" in each.text.lower()]
