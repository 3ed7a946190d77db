"""What changed from one type to the next, in words."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.differences.changes import changes, in_words
from series.differences.facts import FaceFacts, LegendFacts, MarkFacts, TypeFacts

OLD = TypeFacts(
    diameter_mm=D("23.5"),
    thickness_mm=D("1.6"),
    mass_g=D("5.40"),
    metal="copper-nickel",
    composition="Cu75Ni25",
    build="solid",
    edge="milled",
    alignment=6,
    faces=(FaceFacts("obverse"), FaceFacts("reverse")),
)


def said(before: TypeFacts, after: TypeFacts) -> str:
    return in_words(changes(before, after))


def with_face(**fields: Any) -> TypeFacts:
    return replace(OLD, faces=(FaceFacts("obverse", **fields), FaceFacts("reverse")))


def with_marks(*marks: MarkFacts) -> TypeFacts:
    return replace(OLD, marks=marks)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"diameter_mm": D("22.00")}, "smaller by 1.5 mm"),
        ({"diameter_mm": D("24.26")}, "larger by 0.76 mm"),
        ({"mass_g": D("5")}, "lighter by 0.4 g"),
        ({"thickness_mm": D("1.75")}, "thicker by 0.15 mm"),
        ({"metal": "steel", "composition": "Fe"}, "steel in place of copper-nickel"),
        ({"composition": "Cu80Ni20"}, "Cu80Ni20 in place of Cu75Ni25"),
        ({"build": "clad", "composition": "x"}, "clad where it was solid"),
        ({"outline": "polygon", "sides": 12}, "twelve-sided where it was round"),
        ({"outline": "scalloped", "sides": 8}, "scalloped with eight lobes where it was round"),
        ({"hole": "round", "hole_mm": D(4)}, "a round hole where there was none"),
        ({"ring_mm": D(16)}, "a ring and a centre where it was one piece"),
        ({"edge": "plain"}, "edge plain where it was milled"),
        ({"alignment": 12}, "medal alignment where it was coin alignment"),
    ],
)
def test_one_measure_that_changed(fields: dict[str, Any], words: str) -> None:
    assert said(OLD, replace(OLD, **fields)) == words


def test_a_hole_that_only_grew() -> None:
    holed = replace(OLD, hole="round", hole_mm=D(4))
    assert said(holed, replace(holed, hole_mm=D("4.5"))) == "hole larger by 0.5 mm"


def test_what_is_not_recorded_is_no_change() -> None:
    bare = TypeFacts(faces=(FaceFacts("obverse", known=False),))
    assert said(OLD, bare) == said(bare, OLD) == ""


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


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        (("mint", "S", "reverse", D(6)), ("mint", "S", "reverse", D(3)),
         "mint mark from 6 to 3 o'clock"),
        (("mint", "S", "reverse", D(6)), ("mint", "S", "obverse", D(3)),
         "mint mark from 6 o'clock on the reverse to 3 o'clock on the obverse"),
        (("mint", "S", "reverse"), ("mint", "S", "obverse"), "mint mark from reverse to obverse"),
        (("mint", "S", "reverse"), ("mint", "K", "reverse"), "mint mark K in place of S"),
        (("privy", "fish", "reverse", None, "the date"), ("privy", "fish", "reverse", None, "rim"),
         "privy mark near rim where it was near the date"),
    ],
)  # fmt: skip
def test_a_mark_that_changed(before: Any, after: Any, words: str) -> None:
    assert said(with_marks(MarkFacts(*before)), with_marks(MarkFacts(*after))) == words


def test_a_mark_that_came_and_one_that_went() -> None:
    mark = MarkFacts("mint", "S", "reverse", D(6))
    assert said(OLD, with_marks(mark)) == "mint mark S placed at 6 o'clock on the reverse"
    assert said(with_marks(mark), OLD) == "no mint mark where there was S"


def test_marks_of_a_kind_that_share_a_place_move_as_one() -> None:
    before = with_marks(*(MarkFacts("mint", t, "reverse", D(6)) for t in "SK"))
    after = with_marks(*(MarkFacts("mint", t, "reverse", D(9)) for t in "SKW"))
    assert said(before, after) == "mint mark from 6 to 9 o'clock; mint mark W new"


def test_what_a_collector_notes_first_comes_first() -> None:
    after = replace(
        with_face(motifs=("gull",), engravers=("B. Holm",)),
        diameter_mm=D(21), metal="steel", mass_g=D(4), edge="plain",
    )  # fmt: skip
    kinds = [step.kind for step in changes(with_face(engravers=("A. Keel",)), after)]
    assert kinds == ["diameter", "metal", "motif", "edge", "mass", "engravers"]


# ---- properties ----
def lengths() -> st.SearchStrategy[D | None]:
    return st.none() | st.decimals("0.01", "60", places=2)


motif_names = st.lists(st.sampled_from(["net", "gull", "arms"]), unique=True, max_size=3).map(tuple)
legend_texts = st.lists(
    st.builds(LegendFacts, st.sampled_from(["HALVERN", "REX", "V"]), st.sampled_from(["Latn"])),
    unique=True, max_size=2,
).map(tuple)  # fmt: skip


def faces(side: str) -> st.SearchStrategy[FaceFacts]:
    return st.builds(
        FaceFacts,
        side=st.just(side),
        known=st.booleans(),
        legends=legend_texts,
        motifs=motif_names,
        value_as=st.sampled_from(["", "numeral", "words", "both"]),
        bust=st.sampled_from(["", "left", "right", "facing"]),
        border=st.sampled_from(["", "none", "beaded", "linear"]),
        engravers=st.sampled_from([(), ("A. Keel",), ("B. Holm",)]),
    )


marks = st.lists(
    st.builds(
        MarkFacts,
        kind=st.sampled_from(["mint", "privy"]),
        text=st.sampled_from("SK"),
        side=st.sampled_from(["obverse", "reverse"]),
        clock=st.none() | st.sampled_from([D(3), D("6.25")]),
        near=st.sampled_from(["", "the date"]),
    ),
    unique_by=lambda mark: (mark.kind, mark.text, mark.side),
    max_size=3,
).map(tuple)

types = st.builds(
    TypeFacts,
    diameter_mm=lengths(),
    thickness_mm=lengths(),
    mass_g=lengths(),
    metal=st.sampled_from(["", "steel", "brass"]),
    build=st.sampled_from(["", "solid", "clad"]),
    outline=st.sampled_from(["round", "scalloped"]),
    hole=st.sampled_from(["", "round", "square"]),
    hole_mm=lengths(),
    ring_mm=lengths(),
    inner_panel=st.sampled_from(["", "square"]),
    edge=st.sampled_from(["", "plain", "milled"]),
    alignment=st.sampled_from([None, 6, 12]),
    faces=st.tuples(faces("obverse"), faces("reverse")),
    marks=marks,
)


@given(types)
def test_a_type_has_not_changed_from_itself(facts: TypeFacts) -> None:
    assert changes(facts, facts) == ()


@given(types, types)
def test_the_way_back_has_the_same_steps_the_other_way_round(a: TypeFacts, b: TypeFacts) -> None:
    there = sorted((c.kind, c.side, c.before, c.after) for c in changes(a, b))
    back = sorted((c.kind, c.side, c.after, c.before) for c in changes(b, a))
    assert there == back


@given(types, types)
def test_smaller_one_way_is_larger_by_as_much_the_other(a: TypeFacts, b: TypeFacts) -> None:
    opposite = {"smaller": "larger", "larger": "smaller", "lighter": "heavier",
                "heavier": "lighter", "thinner": "thicker", "thicker": "thinner"}  # fmt: skip
    kinds = {"diameter", "mass", "thickness"}
    there = [c.words for c in changes(a, b) if c.kind in kinds]
    back = [c.words for c in changes(b, a) if c.kind in kinds]
    assert [opposite[w.split()[0]] + w[w.index(" ") :] for w in there] == back


@given(types, types)
def test_every_step_has_words_and_both_ends_differ(a: TypeFacts, b: TypeFacts) -> None:
    for step in changes(a, b):
        assert step.words.strip() == step.words != ""
        assert step.before != step.after
