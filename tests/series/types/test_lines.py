"""What people type about a face, read and written back."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.entries.tables import LegendText, MarkText
from series.money.typed_lines import read_denominations, read_units, unit_system
from series.money.units import AmountError, Unit
from series.types.lines import (
    KINDS,
    OF_A_PERSON,
    LineError,
    read_citations,
    read_legends,
    read_marks,
    read_motifs,
    read_references,
    write_legends,
    write_mark,
    write_motifs,
)

WORD = st.text("abcdefghijkl", min_size=1, max_size=9)
NAME = st.lists(WORD, max_size=2).map(" ".join)


@given(
    text=st.lists(WORD, min_size=1, max_size=2).map(" ".join),
    kind=st.sampled_from(sorted(KINDS.values())),
    side=st.sampled_from(["obverse", "reverse", "edge"]),
    quarters=st.none() | st.integers(4, 51),
    name=NAME,
    near=NAME,
    on_all=st.booleans(),
)
def test_a_mark_is_read_back_as_it_was_written(
    text: str, kind: str, side: str, quarters: int | None, name: str, near: str, on_all: bool
) -> None:
    of_person = kind in OF_A_PERSON
    mark = MarkText(
        text=text,
        side=side,
        kind=kind,
        clock=None if quarters is None else Decimal(quarters) / 4,
        near=near,
        mint="" if of_person else name,
        person=name if of_person else "",
        on_all=on_all,
    )
    assert read_marks(write_mark(mark)) == (mark,)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("S mint Saltmouth", "The face is"),
        ("S mint Saltmouth reverse 14", "place by the clock"),
        ("S mint reverse 6.1", "place by the clock"),
        ("S reverse 6\nS mint Sund reverse 3", "twice"),
    ],
)
def test_a_mark_that_cannot_be_read_says_what_to_write(line: str, said: str) -> None:
    with pytest.raises(LineError, match=said):
        read_marks(line)


def test_a_legend_keeps_the_script_it_had() -> None:
    known = [LegendText("1389", "Arab")]
    assert read_legends("1389\n1390", known) == (LegendText("1389", "Arab"), LegendText("1390"))


@given(st.lists(st.tuples(WORD, WORD | st.just("")), max_size=6, unique_by=lambda pair: pair[0]))
def test_motifs_are_read_back_as_they_were_written(motifs: list[tuple[str, str]]) -> None:
    assert read_motifs(write_motifs(motifs)) == tuple(motifs)


def test_legends_are_read_back_as_they_were_written() -> None:
    legends = (LegendText("A | B"), LegendText("ΔΡΑΧΜΗ", "Grek", "drachme", ""))
    assert read_legends(write_legends(legends[1:])) == legends[1:]
    assert read_legends("X |  | the year") == (LegendText("X", "Latn", "", "the year"),)


def test_a_reference_needs_a_number() -> None:
    with pytest.raises(LineError, match=r"work \| 14"):
        read_references("Moy, Coins of the Islands")


def test_a_source_with_a_colon_in_its_title_is_known_whole() -> None:
    assert read_citations("Act: a history: page 4", ["Act: a history"]) == (
        ("Act: a history", "page 4"),
    )


# ---- money ----
def test_denominations_of_two_units_have_exact_values() -> None:
    # 1 pound = 20 shillings = 240 pence: coinage arithmetic, from memory.
    money = unit_system(
        Unit("pound", "pounds"), read_units("shilling, shillings 20\npenny, pence 240")
    )
    found = {
        one.name: str(one.value) for one in read_denominations("½, 1, 3 pence; 1 pound", money)
    }
    assert found == {"½ penny": "1/480", "1 penny": "1/240", "3 pence": "1/80", "1 pound": "1"}


@pytest.mark.parametrize("text", ["1, 5 florins", "tinne", "1, x tinne", "1 tinne; 1 tinne", "0"])
def test_denominations_that_cannot_be_read_are_refused(text: str) -> None:
    money = unit_system(Unit("marl"), read_units("tinne 100"))
    with pytest.raises(AmountError):
        read_denominations(text, money)


@pytest.mark.parametrize("text", ["tinne", "100", "tinne -5", "tinne 0", "marl 100"])
def test_units_that_cannot_stand_are_refused(text: str) -> None:
    with pytest.raises(AmountError):
        unit_system(Unit("marl"), read_units(text))


def test_a_long_row_of_spaces_in_a_mark_is_read_once() -> None:
    """A reader that tries the face anew from each space would not come to an end."""
    with pytest.raises(LineError):
        read_marks("S" + " " * 400_000 + "mint")
