"""A table changed in part, and one packed for the disk, against one made of all types anew."""

from __future__ import annotations

import json
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from series.identifying.evidence import read_evidence
from series.identifying.facts import RankedIssue, RankedType
from series.identifying.merging import merged
from series.identifying.packing import packed, unpacked
from series.identifying.ranking import identify
from series.identifying.table import TypeTable
from series.legends.spellings import StruckText

some_text = st.sampled_from(["HALVERN", "SALTMOUTH", "5 TINNE", "NET"])
some_legend = st.one_of(
    st.builds(StruckText, some_text, st.just("Latn")),
    st.just(StruckText("جزر عوران", "Arab", "juzur ʿūrān")),
)
some_issue = st.builds(
    RankedIssue,
    st.integers(1, 99),
    st.sampled_from(["1931", "1931 A"]),
    st.sampled_from(["1931", "1947", "١٣٤٦"]),
    common=st.booleans(),
)
some_facts = st.builds(
    RankedType,
    id=st.integers(1, 12),
    key=st.sampled_from(["a", "b"]),
    label=st.sampled_from(["1 cent", "5 tinne"]),
    country=st.sampled_from(["Halvern", "Ouran"]),
    countries=st.sampled_from([(), ("HA",)]),
    denomination=st.sampled_from(["1 cent", "5 tinne"]),
    purpose=st.sampled_from(["circulating", "pattern"]),
    composition=st.sampled_from(["", "Cu75Ni25", "silver 500", "core: steel; plating: Ni"]),
    outline=st.sampled_from(["round", "square", "scalloped"]),
    sides=st.sampled_from([None, 8]),
    hole=st.sampled_from(["", "round"]),
    edge=st.sampled_from(["", "plain", "reeded"]),
    mass_g=st.sampled_from([None, 3.9, 5.4]),
    remedy_g=st.sampled_from([None, 0.1]),
    diameter_mm=st.sampled_from([None, 18.0, 23.5]),
    legends=st.lists(some_legend, max_size=2).map(tuple),
    motifs=st.lists(st.sampled_from(["gull", "net", "ship"]), max_size=2, unique=True).map(tuple),
    issues=st.lists(some_issue, max_size=3).map(tuple),
    first_year=st.sampled_from([None, 1931]),
    last_year=st.sampled_from([None, 1933]),
    everyones=st.booleans(),
)
some_types = st.lists(some_facts, max_size=8, unique_by=lambda each: each.id)
EVIDENCE = (
    {"diameter": "23.4", "mass": "5.3", "colour": "white"},
    {"legend": "SALT", "denomination": "5 tinne"},
    {"year": "19?1", "motif": "gull", "hole": "none", "edge": "plain", "country": "Halvern"},
)


def by_id(facts: list[RankedType]) -> TypeTable:
    return TypeTable.of(sorted(facts, key=lambda each: each.id))


def described(table: TypeTable) -> list[tuple[Any, ...]]:
    """Each type as the table has it, in things and not their numbers."""
    return [
        (
            int(table.ids[n]),
            table.keys[n],
            table.labels[n],
            table.spans[n],
            float(table.weights[n]),
            bool(table.everyones[n]),
            int(table.sides[n]),
            [
                np.nan_to_num([each.value_of(n), each.remedy_of(n), each.other_of(n)]).tolist()
                for each in table.standards.values()
            ],
            np.nan_to_num(
                [table.metal_low[table.metal[n]], table.metal_high[table.metal[n]]]
            ).tolist(),
            [each.of(n) for each in table.classed.values()],
            [np.nan_to_num(each.chances[each.rows[n]]).tolist() for each in table.classed.values()],
            table.country.of(n),
            table.denomination.of(n),
            table.script.of(n),
            table.motifs.of(n),
            [
                (
                    table.issues.things[table.issues.rows[at]],
                    int(table.issue_ids[at]),
                    table.issue_label.of(at),
                    float(table.issue_weights[at]),
                )
                for at in range(table.issues.start[n], table.issues.start[n + 1])
            ],
            table.legends.recorded.of(n),
            table.numbers[int(table.ids[n])],
        )
        for n in range(len(table))
    ]


def things(table: TypeTable) -> list[Any]:
    """The distinct things that the table knows of: no more than its types have."""
    return [
        sorted(map(repr, each))
        for each in (
            table.country.things,
            table.denomination.things,
            table.script.things,
            table.motifs.things,
            table.issues.things,
            table.issue_label.things,
            table.legends.recorded.things,
            *(classed.things for classed in table.classed.values()),
        )
    ]


def answers(table: TypeTable) -> list[Any]:
    found = [identify(table, read_evidence(texts)) for texts in EVIDENCE]
    return [
        [(each.type_id, round(each.probability, 9)) for each in answer.candidates]
        for answer in found
    ]


@given(some_types, some_types, st.sets(st.integers(1, 12), max_size=3))
@settings(max_examples=60)
def test_a_table_changed_in_part_is_as_if_made_anew(
    before: list[RankedType], fresh: list[RankedType], gone: set[int]
) -> None:
    table = merged(by_id(before), by_id(fresh), gone)
    left = {each.id: each for each in before if each.id not in gone}
    anew = by_id([*(left | {each.id: each for each in fresh}).values()])
    assert described(table) == described(anew)
    assert things(table) == things(anew)
    assert answers(table) == answers(anew)


@given(some_types)
@settings(max_examples=40)
def test_a_table_comes_back_from_arrays_and_json_as_it_was(facts: list[RankedType]) -> None:
    table = by_id(facts)
    arrays, plain = packed(table)
    anew = unpacked(arrays, json.loads(json.dumps(plain)))
    assert described(anew) == described(table)
    assert answers(anew) == answers(table)
    assert described(merged(anew, by_id([]))) == described(table)


def test_legends_are_laid_out_anew_only_where_they_changed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    text = StruckText("HALVERN", "Latn")
    one = RankedType(1, "a", "1 cent", "Halvern", legends=(text,))
    table = by_id([one, RankedType(2, "b", "2 cents", "Halvern")])
    wider = RankedType(1, "a", "1 cent", "Halvern", legends=(text,), diameter_mm=19.0)
    assert merged(table, by_id([wider])).legends is table.legends
    assert (
        merged(table, by_id([RankedType(1, "a", "1 cent", "Halvern")])).legends.recorded.things
        == []
    )
