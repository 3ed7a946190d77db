from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.measuring import edges
from series.measuring.edges import EDGES, edge_chances, edge_kinds

PACKS = Path(__file__).parents[3] / "fixtures" / "packs"


def edges_of_packs() -> list[str]:
    found = set()
    for file in PACKS.rglob("*.toml"):
        for coin_type in tomllib.loads(file.read_text()).get("types", []):
            edge = coin_type.get("edge", "")
            found.add(edge.get("finish", "") if isinstance(edge, dict) else edge)
    return sorted(found - {""})


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("interrupted milling", {"interrupted"}),
        ("Interrupted reeding", {"interrupted"}),
        ("segmented reeding", {"interrupted"}),
        ("partly grained", {"interrupted"}),
        ("lettered, fine milled", {"lettered", "milled"}),
        ("reeded", {"milled"}),
        ("grained", {"milled"}),
        ("Coarsely milled", {"milled"}),
        ("shaped, with fine scallops", {"scalloped"}),
        ("smooth, with a groove", {"grooved"}),
        ("security edge", {"grooved", "milled"}),
        ("plain", {"plain"}),
        ("Smooth", {"plain"}),
        ("unmilled", {"plain"}),
        ("ribbed", {"milled"}),
        ("plain, not milled", {"plain"}),
        ("smooth without any lettering", {"plain"}),
        ("milled, without a groove", {"milled"}),
        ("unlettered, plain", {"plain"}),
        ("plain or reeded", {"plain", "milled"}),
        ("plain, inscribed", {"lettered"}),
        ("leaves and stars", {"ornamented"}),
        ("alternating plain and milled sections", {"interrupted"}),
        ("", set()),
        ("of its own kind", set()),
    ],
)
def test_kinds(text: str, kinds: set[str]) -> None:
    assert edge_kinds(text) == kinds


def test_every_edge_of_the_shipped_packs_is_understood() -> None:
    texts = edges_of_packs()
    assert len(texts) >= 5
    assert [text for text in texts if not edge_kinds(text)] == []


def test_what_is_reported_of_an_edge_makes_a_hundred_in_a_hundred() -> None:
    assert {kind: sum(seen.values()) for kind, seen in edges._REPORTED.items()} == dict.fromkeys(
        EDGES, 100
    )


def test_milled_reeded_and_grained_are_one() -> None:
    assert edge_chances("milled") == edge_chances("reeded") == edge_chances("grained")


@given(st.lists(st.sampled_from(["plain", "reeded", "grooved", "scalloped", "lettered", "stars"])))
def test_chances_sum_to_one_and_none_is_zero(words: list[str]) -> None:
    chances = edge_chances(", ".join(words))
    if not words:
        assert chances is None
        return
    assert chances
    assert tuple(chances) == tuple(EDGES)
    assert sum(chances.values()) == pytest.approx(1)
    assert min(chances.values()) > 0.004


@pytest.mark.parametrize("text", ["plain", "reeded", "interrupted", "scallops", "groove", "stars"])
def test_what_is_recorded_is_reported_most(text: str) -> None:
    chances = edge_chances(text)
    assert chances
    (kind,) = edge_kinds(text)
    assert chances[kind] == max(chances.values()) > 0.6


def test_letters_stand_out_on_a_milled_edge() -> None:
    chances = edge_chances("lettered, fine milled")
    assert chances
    assert chances["lettered"] > chances["milled"] > 5 * chances["plain"] / 2
