"""The next look: the one expected to tell most, among those that can be done."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.identifying.evidence import read_evidence
from series.identifying.expected import (
    denominations,
    information,
    information_of_texts,
    legends,
    motifs,
    scripts,
    years,
)
from series.identifying.facts import RankedIssue, RankedType
from series.identifying.looks import AT_HAND
from series.identifying.ranking import identify
from series.identifying.table import TypeTable
from series.legends.spellings import StruckText


def coin(number: int, **facts: Any) -> RankedType:
    return RankedType(number, f"type-{number}", f"{number} tinne", "Halvern", **facts)


@pytest.mark.parametrize("texts", [denominations, years, scripts, motifs, legends])
def test_what_may_be_read_on_a_type_is_something_or_nothing(texts: Any) -> None:
    table = TypeTable.of(
        [
            coin(1, denomination="half crown", motifs=("net", "owl"), first_year=1931,
                 legends=(StruckText("HALVERN · REX", "Latn"), StruckText("ملك", "Arab")),
                 issues=(RankedIssue(1, "1931", "1931", "civil", 1931, 1931),
                         RankedIssue(2, "1932", "", "civil", 1932, 1932))),
            coin(2, denomination="florin"),
        ]
    )  # fmt: skip
    found = texts(table, np.arange(2))
    assert found[0]
    for shares in filter(None, found):
        assert sum(shares.values()) == pytest.approx(1)
        assert min(shares.values()) > 0


def kinds(coins: list[RankedType], tools: tuple[str, ...] = AT_HAND, **texts: str) -> list[str]:
    table = TypeTable.of(coins)
    return [each.kind for each in identify(table, read_evidence(texts), tools=tools).looks]


def test_what_parts_the_candidates_comes_first() -> None:
    pair = [
        coin(1, diameter_mm=20.0, mass_g=4.0, composition="steel"),
        coin(2, diameter_mm=20.1, mass_g=4.05, composition="Cu75Ni25"),
    ]
    assert kinds(pair, diameter="20.0")[0] == "magnet"


def test_without_the_tool_it_is_not_advised() -> None:
    pair = [coin(1, mass_g=4.0, diameter_mm=20.0), coin(2, mass_g=9.0, diameter_mm=20.0)]
    assert "mass" in kinds(pair)
    assert "mass" not in kinds(pair, tools=("ruler",))


def test_weighing_in_water_is_advised_only_to_those_who_can() -> None:
    pair = [coin(1, composition="steel"), coin(2, composition="silver 900")]
    assert "density" not in kinds(pair, tools=AT_HAND)
    assert "density" in kinds(pair, tools=(*AT_HAND, "water"))


def test_what_was_looked_at_is_not_advised_again() -> None:
    pair = [coin(1, mass_g=4.0), coin(2, mass_g=9.0)]
    assert "mass" not in kinds(pair, mass="6.5")


def test_nothing_is_advised_when_nothing_would_help() -> None:
    table = TypeTable.of([coin(1, mass_g=4.0), coin(2, mass_g=4.0)])
    assert identify(table, read_evidence({})).next is None


def test_a_record_that_does_not_say_promises_nothing() -> None:
    assert "mass" not in kinds([coin(1, mass_g=4.0), coin(2)])


def test_a_ruler_promises_less_than_a_calliper() -> None:
    pair = [coin(n, diameter_mm=20.0 + 0.3 * n) for n in range(4)]
    table, nothing = TypeTable.of(pair), read_evidence({})
    by = {
        tool: next(
            each.bits
            for each in identify(table, nothing, tools=(tool,)).looks
            if each.kind == "diameter"
        )
        for tool in ("ruler", "calliper")
    }
    assert by["ruler"] < 0.5 * by["calliper"]


def test_the_reason_names_what_it_parts() -> None:
    pair = [coin(1, mass_g=4.0), coin(2, mass_g=9.0)]
    look = next(each for each in identify(TypeTable.of(pair), read_evidence({})).looks)
    assert look.kind == "mass"
    assert look.why == "1 tinne weighs 4 g, but 2 tinne 9 g"


def test_types_alike_in_name_are_told_apart_by_their_years() -> None:
    pair = [
        RankedType(1, "a", "1 tinne", "H", mass_g=4.0, first_year=1931, last_year=1939),
        RankedType(2, "b", "1 tinne", "H", mass_g=9.0, first_year=1960, last_year=1960),
    ]
    look = identify(TypeTable.of(pair), read_evidence({})).next
    assert look is not None
    assert look.why == "1 tinne (1931–39) weighs 4 g, but 1 tinne (1960) 9 g"


def test_how_many_other_answers_there_are_is_said() -> None:
    words = {}
    for many in (2, 3, 5):
        coins = [coin(n, mass_g=3.0 * n) for n in range(1, many + 1)]
        look = identify(TypeTable.of(coins), read_evidence({}), tools=("scale",)).next
        assert look is not None
        words[many] = look.why.partition("; ")[2]
    assert words == {
        2: "",
        3: "one other answer is possible",
        5: "3 other answers are possible",
    }


@pytest.mark.parametrize(
    ("one", "two", "kind", "why"),
    [
        ({"composition": "steel"}, {"composition": "Cu75Ni25"}, "magnet",
         "1 tinne shows a strong pull, but 2 tinne no pull"),
        ({"hole": "round"}, {}, "hole", "1 tinne has a round hole, but 2 tinne no hole"),
        ({"edge": "interrupted milling"}, {"edge": "plain"}, "edge",
         "1 tinne has an interrupted edge, but 2 tinne a plain edge"),
        ({"ring_mm": 15.0}, {"composition": "steel"}, "rings",
         "1 tinne is of ring and centre, but 2 tinne one metal"),
    ],
)  # fmt: skip
def test_what_a_look_parts_is_said_in_words(
    one: dict[str, Any], two: dict[str, Any], kind: str, why: str
) -> None:
    table = TypeTable.of([coin(1, **one), coin(2, **two)])
    looks = {each.kind: each.why for each in identify(table, read_evidence({})).looks}
    assert looks[kind] == why


def test_a_value_is_named_once() -> None:
    pair = [coin(1, denomination="1 tinne"), coin(2, denomination="2 tinne")]
    look = identify(TypeTable.of(pair), read_evidence({})).next
    assert look is not None
    assert look.why == "it may be 1 tinne or 2 tinne"


def test_a_date_parts_types_of_different_years() -> None:
    old = RankedIssue(1, "1931", "1931", "civil", 1931, 1931)
    new = RankedIssue(2, "1960", "1960", "civil", 1960, 1960)
    assert "year" in kinds([coin(1, issues=(old,)), coin(2, issues=(new,))])


def test_a_type_of_several_dates_is_not_said_to_bear_one() -> None:
    issues = tuple(RankedIssue(y, str(y), str(y), "civil", y, y) for y in (1931, 1932))
    late = (RankedIssue(1, "1960", "1960", "civil", 1960, 1960),)
    table = TypeTable.of([coin(1, issues=issues), coin(2, issues=late)])
    look = identify(table, read_evidence({})).next
    assert look is not None
    assert look.why.startswith("1 tinne may bear 1931, but 2 tinne 1960")


def test_a_legend_without_a_letter_promises_nothing() -> None:
    blank = (StruckText("", "Latn"), StruckText("★", "Latn"))
    assert kinds([coin(1, legends=blank), coin(2, legends=blank)]) == []


def test_advice_is_given_with_many_types_open() -> None:
    many = [coin(n, diameter_mm=15 + n % 200 / 10, mass_g=2 + n % 77 / 10) for n in range(3000)]
    look = identify(TypeTable.of(many), read_evidence({})).next
    assert look is not None
    assert look.bits > 3


def test_an_unknown_tool_is_refused() -> None:
    with pytest.raises(ValueError, match="anvil: choose from ruler"):
        identify(TypeTable.of([coin(1)]), read_evidence({}), tools=("anvil",))


# Shannon, A Mathematical Theory of Communication (1948): rate of a noisy channel is
# H(x) + H(y) - H(x, y); for a binary symmetric channel with even input 1 - H(error).
@pytest.mark.parametrize("error", [0.0, 0.01, 0.11, 0.5])
def test_information_of_a_binary_symmetric_channel(error: float) -> None:
    rows = np.array([[1 - error, error], [error, 1 - error]])
    parts = [p for p in (error, 1 - error) if p]
    entropy = -sum(p * math.log2(p) for p in parts)
    assert information(np.array([0.5, 0.5]), rows) == pytest.approx(1 - entropy, abs=1e-12)


@given(
    st.lists(st.floats(0.01, 1), min_size=2, max_size=6),
    st.integers(2, 6),
    st.integers(0, 2**32 - 1),
)
def test_information_is_never_negative_nor_more_than_is_open(
    weights: list[float], outcomes: int, seed: int
) -> None:
    chances = np.array(weights) / sum(weights)
    rows = np.random.default_rng(seed).dirichlet(np.ones(outcomes), len(weights))
    entropy = float(-(chances * np.log2(chances)).sum())
    assert -1e-12 <= information(chances, rows) <= entropy + 1e-9


@given(
    st.lists(
        st.dictionaries(st.sampled_from("abcd"), st.floats(0.1, 1), max_size=3),
        min_size=2,
        max_size=6,
    ),
    st.floats(0.1, 1),
    st.floats(0.01, 0.3),
)
def test_information_of_texts_is_that_of_the_whole_table(
    texts: list[dict[str, float]], legible: float, noise: float
) -> None:
    """Against the same worked out over every text and "cannot be read" in full."""
    texts = [{t: s / sum(each.values()) for t, s in each.items()} for each in texts]
    known = [each for each in texts if each]
    chances = np.full(len(texts), 1 / len(texts))
    found = information_of_texts(chances, texts, legible=legible, noise=noise)
    if len(known) < 2:
        assert found == 0
        return
    every = sorted({text for each in known for text in each})
    rows = np.array([[(1 - noise) * each.get(t, 0) + noise / len(every) for t in every]
                     for each in known]) * legible  # fmt: skip
    rows = np.column_stack([rows, np.full(len(known), 1 - legible)])
    whole = information(np.full(len(known), 1 / len(known)), rows)
    assert found == pytest.approx(whole * len(known) / len(texts), abs=1e-9)
