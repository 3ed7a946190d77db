"""Ten worn pieces described as a collector would: each is found, or honestly left open.

The descriptions are invented; the types are those of the shipped packs. Where the records hold two
types that the description cannot part, both must lead.
"""

from __future__ import annotations

from typing import NamedTuple

import pytest

from series.identifying.answer import Answer
from series.identifying.evidence import read_evidence
from series.identifying.ranking import identify
from series.identifying.table import TypeTable


class Piece(NamedTuple):
    said: dict[str, str]
    found: tuple[str, ...]
    """The keys that must lead, in any order; together they hold nine tenths."""


FOUND = {
    "a dark cent with half a motto": Piece(
        {"legend": "E PLUR US", "diameter": "19", "mass": "3.1", "colour": "brown", "year": "197?"},
        ("us-1-cent-memorial-copper",),
    ),
    "a zinc wartime piece weighed on a kitchen scale": Piece(
        {"legend": "TIN?E", "denomination": "10", "colour": "grey", "mass": "2", "magnet": "none"},
        ("halvern-first-10-tinne-zinc",),
    ),
    "its steel sister": Piece(
        {"denomination": "25", "magnet": "strong", "diameter": "23", "year": "194?"},
        ("halvern-first-25-tinne-steel",),
    ),
    "silver with an Arabic date": Piece(
        {"year": "١٣?٧", "diameter": "29", "colour": "white", "legend": "عور"},
        ("ouran-1-sahm",),
    ),
    "the same script, transliterated": Piece(
        {"legend": "uran", "denomination": "5", "outline": "scalloped", "mass": "3.3"},
        ("ouran-5-falz",),
    ),
    "a two-coloured piece with a magnetic centre": Piece(
        {"rings": "ring and centre", "magnet": "centre only", "diameter": "25.7"},
        ("euro-2-states", "euro-2-continent"),
    ),
    "a worn piece with a hole": Piece(
        {"hole": "round", "legend": "HALV", "diameter": "17.8", "colour": "brown"},
        ("halvern-first-2-tinne",),
    ),
    "a seven-sided piece of which nothing can be read": Piece(
        {"sides": "7", "diameter": "22.3", "mass": "4.8", "colour": "white"},
        ("halvern-reform-50-tinne",),
    ),
}  # fmt: skip
OPEN = {
    # Nothing in the records is so large and heavy.
    "a large silver coin of another country": {
        "diameter": "38.1", "mass": "26.9", "colour": "white", "legend": "REPVBLIK",
    },
    # A bronze piece of middling size: many types fit.
    "a smooth brown disc": {"colour": "brown", "diameter": "19", "edge": "plain"},
}  # fmt: skip


def answer(table: TypeTable, said: dict[str, str]) -> Answer:
    return identify(table, read_evidence(said))


@pytest.mark.parametrize("name", FOUND)
def test_a_piece_is_found(shipped: TypeTable, name: str) -> None:
    piece = FOUND[name]
    ranked = answer(shipped, piece.said).candidates
    leading = ranked[: len(piece.found)]
    assert {each.key for each in leading} == set(piece.found)
    assert sum(each.probability for each in leading) >= 0.9


@pytest.mark.parametrize("name", FOUND)
def test_the_type_found_has_more_for_it_than_against(shipped: TypeTable, name: str) -> None:
    first = answer(shipped, FOUND[name].said).candidates[0]
    assert len(first.reasons_for) > len(first.reasons_against)
    assert len(first.reasons_against) <= 1


def test_what_the_records_do_not_hold_is_none_of_these(shipped: TypeTable) -> None:
    found = answer(shipped, OPEN["a large silver coin of another country"])
    assert found.none_of_these > 0.9


def test_what_many_types_fit_is_left_open_with_advice(shipped: TypeTable) -> None:
    found = answer(shipped, OPEN["a smooth brown disc"])
    assert found.candidates[0].probability < 0.6
    assert found.next is not None
