"""What changed in the design of the faces, in words."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from series.differences.facts import FaceFacts, LegendFacts
from tests.series.differences.two_types import OLD, said, with_face, with_faces


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        ({"motifs": ("arms",)}, {"motifs": ("gull",)}, "arms replaced by a gull on the obverse"),
        ({"motifs": ("owl",)}, {}, "the owl gone from the obverse"),
        ({}, {"motifs": ("owl", "net")}, "an owl and a net added to the obverse"),
        ({"bust": "right"}, {"bust": "left"}, "bust turned to the left"),
        ({"bust": "right"}, {"bust": "facing"}, "bust facing where it was turned to the right"),
        ({"bust": "right"}, {}, "no bust on the obverse where there was one"),
        ({"value_as": "words"}, {"value_as": "both"},
         "value in numerals and words where it was in words"),
        ({"border": "beaded"}, {"border": "none"},
         "on the obverse, no inner border where it was beaded"),
        ({"engravers": ("A. Keel",)}, {"engravers": ("B. Holm",)},
         "on the obverse, engraved by B. Holm in place of A. Keel"),
        ({"legends": (LegendFacts("REPUBLIC"),)}, {"legends": (LegendFacts("HALVERN"),)},
         "legend “HALVERN” in place of “REPUBLIC” on the obverse"),
        ({"legends": (LegendFacts("هالفرن", "Arab"),)}, {"legends": (LegendFacts("HALVERN"),)},
         "legend on the obverse in Latin letters where it was in Arabic"),
        ({"legends": (LegendFacts("오십 원", "Hang"),)},
         {"legends": (LegendFacts("백 원", "Kore"),)},
         "legend “백 원” in place of “오십 원” on the obverse"),
    ],
)  # fmt: skip
def test_one_thing_on_a_face_that_changed(
    before: dict[str, Any], after: dict[str, Any], words: str
) -> None:
    assert said(with_face(**before), with_face(**after)) == words


@pytest.mark.parametrize(
    ("before", "after", "there", "back"),
    [
        ({}, {"bust": "left"}, "a bust to the left on the obverse where there was none",
         "no bust on the obverse where there was one"),
        ({}, {"bust": "facing"}, "a bust facing on the obverse where there was none",
         "no bust on the obverse where there was one"),
        ({}, {"legends": (LegendFacts("REX"),)}, "legend “REX” added to the obverse",
         "legend “REX” gone from the obverse"),
        ({"legends": (LegendFacts("REX"), LegendFacts("V"))}, {"legends": (LegendFacts("V"),)},
         "legend “REX” gone from the obverse", "legend “REX” added to the obverse"),
        ({"legends": (LegendFacts("REX"),)},
         {"legends": (LegendFacts("ملك", "Arab"), LegendFacts("REX"))},
         "legend on the obverse in Arabic and Latin letters where it was in Latin",
         "legend on the obverse in Latin letters where it was in Arabic and Latin"),
        ({"border": "none"}, {"border": "beaded"},
         "on the obverse, a beaded inner border where there was none",
         "on the obverse, no inner border where it was beaded"),
        ({"border": ""}, {"border": "beaded"}, "", ""),
        ({"designers": ("A. Keel",)}, {"designers": ("B. Holm", "A. Keel")},
         "on the obverse, designed by B. Holm and A. Keel in place of A. Keel",
         "on the obverse, designed by A. Keel in place of B. Holm and A. Keel"),
        ({"designers": ("A. Keel", "B. Holm")}, {"designers": ("B. Holm", "A. Keel")}, "", ""),
        ({"designers": ()}, {"designers": ("A. Keel",)}, "", ""),
        ({"motifs": ("net", "owl")}, {"motifs": ("owl", "gull", "arms")},
         "the net replaced by a gull and arms on the obverse",
         "the gull and arms replaced by a net on the obverse"),
    ],
)  # fmt: skip
def test_a_step_on_a_face_and_the_way_back(
    before: dict[str, Any], after: dict[str, Any], there: str, back: str
) -> None:
    one, other = with_face(**before), with_face(**after)
    assert (said(one, other), said(other, one)) == (there, back)


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        (({"value_as": "words"}, {}), ({}, {"value_as": "words"}),
         "value moved from obverse to reverse"),
        (({"value_as": "words"}, {}), ({}, {"value_as": "numeral"}),
         "value in numerals where it was in words"),
        (({"value_as": "words"}, {}), ({"value_as": "words"}, {"value_as": "numeral"}),
         "value in numerals and words where it was in words"),
        (({"value_as": "words"}, {"value_as": "words"}), ({}, {"value_as": "words"}), ""),
        (({"value_as": "words"}, {}), ({}, {}), ""),
        (({"legends": (LegendFacts("REX"),)}, {}), ({}, {"legends": (LegendFacts("Rex"),)}),
         "legend “Rex” moved from obverse to reverse"),
        (({"legends": (LegendFacts("ملك", "Arab"),)}, {"legends": (LegendFacts("V"),)}),
         ({"legends": (LegendFacts("REX"),)}, {"legends": (LegendFacts("X"),)}),
         "legend on the obverse in Latin letters where it was in Arabic; "
         "legend “X” in place of “V” on the reverse"),
        (({"legends": (LegendFacts("V"),)}, {"legends": (LegendFacts("V"),)}),
         ({"legends": (LegendFacts("V"),)}, {"legends": (LegendFacts("X"),)}),
         "legend “X” in place of “V” on the reverse"),
        (({"motifs": ("net",)}, {}), ({"motifs": ("net",)}, {"motifs": ("net",)}),
         "a net added to the reverse"),
        (({"motifs": ("net",)}, {"motifs": ("net",)}), ({}, {"motifs": ("net",)}),
         "the net gone from the obverse"),
        (({"motifs": ("net",)}, {"motifs": ("owl",)}), ({"motifs": ("owl",)}, {"motifs": ("net",)}),
         "the net moved from obverse to reverse; the owl moved from reverse to obverse"),
        (({"bust": "left"}, {"bust": "right"}), ({"bust": "left"}, {}),
         "no bust on the reverse where there was one"),
        (({"bust": "left"}, {"bust": "right"}), ({"bust": "right"}, {"bust": "left"}),
         "bust turned to the right; bust turned to the left"),
        (({"engravers": ("A",)}, {"engravers": ("A",)}), ({"engravers": ("B",)},
         {"engravers": ("C",)}),
         "on the obverse, engraved by B in place of A; "
         "on the reverse, engraved by C in place of A"),
        (({"engravers": ("A",)}, {"engravers": ("A",)}), ({"engravers": ("B",)},
         {"engravers": ("B",)}), "engraved by B in place of A"),
    ],
)  # fmt: skip
def test_steps_on_two_faces(
    before: tuple[dict[str, Any], ...], after: tuple[dict[str, Any], ...], words: str
) -> None:
    assert said(with_faces(*before), with_faces(*after)) == words


def test_the_border_of_an_edge_stands_on_the_edge() -> None:
    before, after = (replace(OLD, faces=(FaceFacts("edge", border=b),)) for b in ("none", "beaded"))
    assert said(before, after) == "on the edge, a beaded inner border where there was none"


def test_a_legend_spelt_as_coins_do_is_the_same_legend() -> None:
    before = with_face(legends=(LegendFacts("GEORGIVS · REX"),))
    assert said(before, with_face(legends=(LegendFacts("Georgius Rex"),))) == ""


def test_a_motif_that_went_to_the_other_face_has_moved() -> None:
    after = replace(OLD, faces=(FaceFacts("obverse"), FaceFacts("reverse", motifs=("net",))))
    assert said(with_face(motifs=("net",)), after) == "the net moved from obverse to reverse"


def test_a_bust_that_went_to_the_other_face_has_moved() -> None:
    after = replace(OLD, faces=(FaceFacts("obverse"), FaceFacts("reverse", bust="left")))
    assert said(with_face(bust="left"), after) == "bust moved from obverse to reverse"


def test_the_same_step_on_both_faces_is_said_once() -> None:
    before, after = (
        replace(OLD, faces=tuple(FaceFacts(s, border=b) for s in ("obverse", "reverse")))
        for b in ("beaded", "toothed")
    )
    assert said(before, after) == "inner border toothed where it was beaded"
