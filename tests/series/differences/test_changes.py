"""What changed from one type to the next, in words."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.differences.changes import changes
from series.differences.facts import FaceFacts, LegendFacts, MarkFacts, TypeFacts
from tests.series.differences.two_types import NOT_DESCRIBED, OLD, said, with_face


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
        ({"outline": "scalloped"}, "scalloped where it was round"),
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


@pytest.mark.parametrize(
    ("before", "after", "there", "back"),
    [
        ({}, {"hole": "round"}, "a round hole where there was none", "no hole where there was one"),
        ({"hole": "round"}, {"hole": "square"}, "the hole square where it was round",
         "the hole round where it was square"),
        ({"hole": "round", "hole_mm": D(4)}, {"hole": "square", "hole_mm": D(5)},
         "the hole square where it was round", "the hole round where it was square"),
        ({}, {"hole_mm": D(4)}, "", ""),
        ({"hole": "round", "hole_mm": D(4)}, {"hole": "round", "hole_mm": D("4.5")},
         "hole larger by 0.5 mm", "hole smaller by 0.5 mm"),
        ({}, {"ring_mm": D(16)}, "a ring and a centre where it was one piece",
         "one piece where it was a ring and a centre"),
        ({"ring_mm": D(16)}, {"ring_mm": D(17)}, "centre larger by 1 mm", "centre smaller by 1 mm"),
        ({}, {"inner_panel": "square"}, "an inner panel, square, where there was none",
         "no inner panel where it was square"),
        ({"inner_panel": "square"}, {"inner_panel": "octagon"},
         "inner panel octagon where it was square", "inner panel square where it was octagon"),
        ({"inner_panel": "square"}, {"inner_panel": "octagon", "faces": NOT_DESCRIBED}, "", ""),
        ({"edge": "Milled"}, {"edge": "milled"}, "", ""),
        ({"edge": "milled"}, {"edge": ""}, "", ""),
        ({"metal": ""}, {"metal": "steel", "build": "clad"}, "clad where it was solid",
         "solid where it was clad"),
        ({"alignment": None}, {"alignment": 12}, "", ""),
    ],
)  # fmt: skip
def test_a_step_and_the_way_back(
    before: dict[str, Any], after: dict[str, Any], there: str, back: str
) -> None:
    one, other = replace(OLD, **before), replace(OLD, **after)
    assert (said(one, other), said(other, one)) == (there, back)


def test_what_is_not_recorded_is_no_change() -> None:
    bare = TypeFacts(faces=(FaceFacts("obverse", known=False),))
    assert said(OLD, bare) == said(bare, OLD) == ""


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
