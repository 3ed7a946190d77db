"""What a row says beside the piece: references, a status with its day, a worth; and back again."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.importing.parts import parts_of, without
from catalogue.importing.reading.lists import Mapping, Row
from catalogue.importing.taking_back import Touched, take_back
from catalogue.models import Holding, HoldingReference, Member, StatusChange
from tests.catalogue.importing.brought import HEADINGS, listed, taken_in
from valuation.models import PriceSource, Valuation

_USUAL = ("Accession number" if name == "Number" else name for name in HEADINGS)
MORE = (*_USUAL, "Reference", "Worth", "Status")


def line(number: str, reference: str, worth: str, status: str, quantity: str = "1") -> Any:
    return (
        "Testland",
        "25 tinne",
        "1931",
        "VF",
        quantity,
        number,
        "",
        "",
        reference,
        worth,
        status,
    )


@pytest.fixture
def brought(member: Member, coinage: Any) -> Any:
    rows = (
        line("P.1", '"Tarn 12a; Ole 7"', "12.50 EUR", "sold"),
        line("P.2", "44", "", "for swap"),
        line("P.3", "", "30 EUR", "held", quantity="3"),
    )
    return taken_in(member, listed(*rows, headings=MORE))


def held(number: str) -> Holding:
    return Holding.objects.get(accession=number)


def test_references_become_records_of_the_piece(brought: Any) -> None:
    rows = HoldingReference.objects.filter(holding=held("P.1")).order_by("pk")
    assert list(rows.values_list("work", "number")) == [("Tarn", "12a"), ("Ole", "7")]
    other = HoldingReference.objects.get(holding=held("P.2"))
    assert (other.work, other.number) == ("Reference", "44")
    assert "Tarn" not in held("P.1").imported


def test_a_worth_becomes_a_value_of_its_owner_with_the_list_as_source(brought: Any) -> None:
    value = Valuation.objects.get(holding=held("P.1"))
    assert (value.single, value.currency, value.on) == (
        Decimal("12.50"),
        "EUR",
        brought.made_at.date(),
    )
    assert (value.source.name, value.source.owner) == ("The list my list.csv", brought.owner)
    assert value.source.kind == PriceSource.Kind.OWN
    assert "12.50" not in held("P.1").imported


def test_what_stands_beside_several_pieces_stays_text(brought: Any) -> None:
    assert not Valuation.objects.filter(holding=held("P.3")).exists()
    assert "Worth: 30 EUR" in held("P.3").imported


def test_a_status_brings_a_change_on_the_day_of_the_list(brought: Any) -> None:
    change = StatusChange.objects.get()
    assert (change.holding, change.status) == (held("P.1"), "sold")
    assert "my list.csv" in change.note
    assert held("P.1").status == "sold"


def test_for_swap_is_a_spare(brought: Any) -> None:
    assert (held("P.2").spare, held("P.1").spare) == (True, False)


def test_the_list_is_taken_back_with_all_of_it(brought: Any) -> None:
    take_back(brought)
    for model in (Holding, HoldingReference, StatusChange, Valuation, PriceSource):
        assert not model.objects.exists(), model


def test_a_value_that_was_changed_or_added_since_keeps_the_list(brought: Any) -> None:
    value = Valuation.objects.get()
    value.single = Decimal("20")
    value.save()
    with pytest.raises(Touched, match=r"P\.1"):
        take_back(brought)
    HoldingReference.objects.create(holding=held("P.2"), work="Another", number="1")
    with pytest.raises(Touched, match=r"P\.1.*P\.2"):
        take_back(brought)


# ---- the computing room ----
COLUMNS = Mapping(True, 0, ("reference",))


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Tarn 12a", [["Tarn", "12a"]]),
        ("no. 7", [["Ref", "no. 7"]]),
        ("Tarn, p. 14 no.7", [["Tarn, p. 14", "no.7"]]),
        ("Tarn (not listed)", [["Tarn (not listed)", ""]]),
        (";;", []),
        ("x" * 201, []),
        ("Tarn " + "1" * 61, []),
    ],
)
def test_a_cell_names_works_and_numbers(text: str, found: list[list[str]]) -> None:
    """Common practice, no source."""
    assert parts_of(Row(2, (text,)), ("Ref",), COLUMNS, {}, "").references == found


@given(st.text(max_size=300))
def test_no_word_of_a_reference_is_lost(text: str) -> None:
    """What is taken into records has every sign of the cell but spaces, semicolons and commas."""
    parts = parts_of(Row(2, (text,)), ("",), COLUMNS, {}, "")
    if not parts.lines:
        assert parts.references == []
        return
    left = set(" ;,\n") | {each for each in text if each.isspace()}
    kept = "".join(
        (work if work != "Column 1" else "") + number for work, number in parts.references
    )
    assert sorted(c for c in text if c not in left) == sorted(c for c in kept if c not in left)


@given(st.lists(st.text(max_size=10)), st.text(max_size=10))
def test_only_the_line_itself_is_taken_out(lines: list[str], line: str) -> None:
    whole = "\n".join(each.replace("\n", " ").strip() for each in lines).strip("\n")
    taken = without(whole, [line.replace("\n", " ")])
    assert taken == whole or line.replace("\n", " ") in whole.split("\n")
