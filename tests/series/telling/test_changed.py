"""What a person names first of what changed, and what is folded."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D

import pytest
from hypothesis import given

from series.differences.changes import changes
from series.differences.facts import Change, FaceFacts, TypeFacts
from series.telling import changed, ranks
from series.telling.story import Story
from tests.series.differences.two_types import OLD, with_faces
from tests.series.telling.told_of import stories


def steps(before: TypeFacts, after: TypeFacts) -> tuple[changed.Heard, ...]:
    return changed.heard(changes(before, after))


def first(before: TypeFacts, after: TypeFacts) -> str:
    return changed.first(steps(before, after))


def motifs(obverse: tuple[str, ...], reverse: tuple[str, ...]) -> TypeFacts:
    return with_faces({"motifs": obverse}, {"motifs": reverse})


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ((("gull",), ("net",)), (("gull",), ("owl",)), "On the reverse an owl where the net was."),
        ((("gull",), ("net",)), (("net",), ("owl",)),
         "The net moved from the reverse to the obverse, where the gull was, and on the reverse "
         "an owl where the net was."),
        ((("gull",), ("net",)), (("net",), ("gull",)),
         "The net moved from the reverse to the obverse, where the gull was, and the gull moved "
         "from the obverse to the reverse, where the net was."),
        ((("gull", "net"), ("owl",)), (("gull",), ("owl", "net")),
         "The net moved from the obverse to the reverse."),
        ((("gull",), ("net",)), (("gull",), ()), "The net gone from the reverse."),
        ((("gull",), ()), (("gull",), ("arms of Halvern",)),
         "The arms of Halvern added on the reverse."),
        ((("gull", "owl"), ("net",)), (("Queen Maren",), ("net",)),
         "On the obverse Queen Maren where the gull and the owl were."),
    ],
)  # fmt: skip
def test_motifs_are_said_with_what_they_replaced(
    before: tuple[tuple[str, ...], tuple[str, ...]],
    after: tuple[tuple[str, ...], tuple[str, ...]],
    said: str,
) -> None:
    assert first(motifs(*before), motifs(*after)) == said


def test_a_speck_is_named_first_only_where_nothing_else_changed() -> None:
    lighter = replace(OLD, mass_g=D("5.00"))
    assert first(OLD, lighter) == "Lighter by four tenths of a gram."
    smaller = replace(lighter, diameter_mm=D("21"))
    assert first(OLD, smaller) == "Smaller by two and a half millimetres."
    assert changed.more(steps(OLD, smaller)) == [
        ("size and metal", ("lighter by four tenths of a gram",))
    ]


def test_at_most_three_are_named_in_the_order_in_which_they_are_noted() -> None:
    other = replace(
        OLD, diameter_mm=D("21"), metal="steel", outline="polygon", sides=12, edge="plain"
    )
    assert first(OLD, other) == (
        "Smaller by two and a half millimetres, steel where it was copper-nickel, and "
        "twelve-sided where it was round."
    )
    assert changed.more(steps(OLD, other)) == [("edge", ("the edge plain where it was milled",))]


@given(stories, stories)
def test_every_step_is_either_named_or_folded(one: Story, other: Story) -> None:
    found = steps(one.facts, other.facts)
    folded = [words for _, some in changed.more(found) for words in some]
    assert sorted([*folded, *(step.words for step in changed.named(found))]) == sorted(
        step.words for step in found
    )


@given(stories, stories)
def test_every_kind_of_change_has_its_rank_and_group(one: Story, other: Story) -> None:
    for step in changes(one.facts, other.facts):
        assert 0 < ranks.weight(step) <= 100
        assert ranks.group(step) in ranks.GROUPS


def test_a_size_weighs_what_an_eye_sees() -> None:
    weights = [ranks.weight(Change("diameter", "20", now, "")) for now in ("18", "19.5", "19.9")]
    assert weights == sorted(weights, reverse=True)
    assert len(set(weights)) == 3


def test_two_alike_have_nothing_to_say() -> None:
    facts = TypeFacts(faces=(FaceFacts("obverse", motifs=("net",)),))
    assert (first(facts, facts), changed.more(steps(facts, facts))) == ("", [])
