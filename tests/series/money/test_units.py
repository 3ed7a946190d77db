from __future__ import annotations

import sys
import unicodedata
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.money.typed_lines import read_denominations, read_units, write_units
from series.money.units import AmountError, Unit, UnitSystem, read_number, read_rate, write_number

STERLING = UnitSystem(
    (
        Unit("pound", "pounds", "£"),
        Unit("shilling", "shillings", "s", Fraction(20)),
        Unit("penny", "pence", "d", Fraction(240)),
    )
)
# 1 rupee = 16 annas = 64 pice = 192 pies; coinage arithmetic, from memory.
RUPEE = UnitSystem(
    (
        Unit("rupee", "rupees", "Rs"),
        Unit("anna", "annas", "", Fraction(16)),
        Unit("pice", "pice", "", Fraction(64)),
        Unit("pie", "pies", "", Fraction(192)),
    )
)
MARL = UnitSystem((Unit("marl", "marl"), Unit("tinne", "tinne", "t", Fraction(100))))
GUINEA = UnitSystem((*STERLING.units, Unit("guinea", "guineas", "gn", Fraction(20, 21))))


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("3", "3"),
        ("2.50", "5/2"),
        (".5", "1/2"),
        ("1¼", "5/4"),
        ("⅓", "1/3"),
        ("1 1/4", "5/4"),
        ("3/8", "3/8"),
    ],
)
def test_numbers(text: str, value: str) -> None:
    assert read_number(text) == Fraction(value)


def test_every_vulgar_fraction_is_read_as_unicode_has_it() -> None:
    """Source: the Unicode Character Database, property Numeric_Value; 0/3 is no fraction here."""
    points = map(chr, range(sys.maxunicode + 1))
    signs = [s for s in points if unicodedata.name(s, "").startswith("VULGAR FRACTION")]
    values = {s: Fraction(unicodedata.numeric(s)).limit_denominator(10) for s in signs}
    values = {sign: value for sign, value in values.items() if value}
    assert {sign: read_number(sign) for sign in values} == values
    assert {sign: write_number(value) for sign, value in values.items()} == {s: s for s in values}


@pytest.mark.parametrize(
    "text", ["", "2,50", "1/0", "1 5/4", "-1", "one", "1.2.3", "1¼2", "9" * 99]
)
def test_what_is_no_number(text: str) -> None:
    with pytest.raises(AmountError, match="write 3"):
        read_number(text)


@given(st.fractions(min_value=0, max_value=10_000, max_denominator=500))
def test_numbers_written_read_back_the_same(number: Fraction) -> None:
    assert read_number(write_number(number)) == number


@pytest.mark.parametrize(
    ("system", "text", "value"),
    [
        (STERLING, "£3 7s 6d", "27/8"),
        (STERLING, "3 pounds, 7 shillings and 6 pence", "27/8"),
        (STERLING, "6d 7s £3", "27/8"),
        (STERLING, "2s 6d", "1/8"),
        (STERLING, "½ penny", "1/480"),
        (STERLING, "2½D", "1/96"),
        (STERLING, "£1 1/2", "3/2"),
        (STERLING, "1¼", "5/4"),
        (GUINEA, "1 guinea", "21/20"),
        (RUPEE, "Rs 3 8 annas", "7/2"),
        (RUPEE, "1 pice", "1/64"),
        (RUPEE, "1 pie", "1/192"),
        (MARL, "25 tinne", "1/4"),
        (MARL, "1 marl 25t", "5/4"),
    ],
)
def test_amounts(system: UnitSystem, text: str, value: str) -> None:
    assert system.parse(text) == Fraction(value)


@pytest.mark.parametrize(
    ("text", "advice"),
    [
        ("", "missing"),
        ("£", "3, 2.50"),
        ("3 crowns", "'crowns'"),
        ("3 7s", "of what"),
        ("7s 8s", "Name each unit once"),
        ("7s 6", "of what"),
        ("1,000", "nothing between thousands"),
        ("2,50", "point before decimals"),
        ("-3", "without a sign"),
        ("£3 7/6", "not a fraction"),
        ("7sx", "'sx'"),
    ],
)
def test_refusals_say_what_to_write(text: str, advice: str) -> None:
    with pytest.raises(AmountError) as refused:
        STERLING.parse(text)
    assert advice in str(refused.value)


@pytest.mark.parametrize(
    ("system", "value", "text"),
    [
        (STERLING, "27/8", "£3 7s 6d"),
        (STERLING, "1/480", "½d"),
        (STERLING, "0", "£0"),
        (STERLING, "7921/2640", "£3 0 1/11d"),
        (GUINEA, "21/20", "£1 1s"),
        (RUPEE, "7/2", "3 rupees 8 annas"),
        (RUPEE, "1/64", "1 pice"),
        (RUPEE, "1/384", "½ pie"),
        (MARL, "5/4", "1 marl 25 tinne"),
        (MARL, "1/4", "25t"),
    ],
)
def test_amounts_in_words(system: UnitSystem, value: str, text: str) -> None:
    assert system.format(Fraction(value)) == text


@given(
    st.sampled_from([STERLING, RUPEE, MARL, GUINEA]),
    st.fractions(min_value=0, max_value=10_000, max_denominator=2000),
)
def test_amounts_written_read_back_the_same(system: UnitSystem, value: Fraction) -> None:
    assert system.parse(system.format(value)) == value


@given(st.text("£sd0123456789 ½¼/.,-pencyoundshlig", max_size=20))
def test_any_amount_is_read_or_refused_in_words(text: str) -> None:
    try:
        value = STERLING.parse(text)
    except AmountError:
        return
    assert STERLING.parse(STERLING.format(value)) == value


def test_ratios_of_the_coinage() -> None:
    """Coinage arithmetic, from memory."""
    assert str(STERLING) == "1 pound = 20 shillings = 240 pence"
    assert str(RUPEE) == "1 rupee = 16 annas = 64 pice = 192 pies"
    assert RUPEE.unit("pies").per_main / 16 == 12
    assert STERLING.unit("pence").per_main / 20 == 12


def test_unknown_unit() -> None:
    with pytest.raises(AmountError, match="'florin' is no unit here"):
        STERLING.unit("florin")


@pytest.mark.parametrize(
    "units",
    [
        (),
        (Unit("penny", "pence", "d", Fraction(240)),),
        (Unit("pound"), Unit("penny", per_main=Fraction(0))),
        (Unit("marl", symbol="m"), Unit("mill", symbol="M", per_main=Fraction(1000))),
    ],
)
def test_units_that_make_no_currency(units: tuple[Unit, ...]) -> None:
    with pytest.raises(ValueError):
        UnitSystem(units)


@pytest.mark.parametrize("text", ["1e999999999", "1e-999999999", "9" * 19, "1/0", "-1", "0", "nan"])
def test_what_is_no_rate_is_refused_before_it_is_worked_out(text: str) -> None:
    """The first would take all memory as an exact number."""
    assert read_rate(text) is None


@given(st.integers(1, 10**18 - 1), st.integers(1, 10**18 - 1))
def test_a_rate_is_read_exactly(over: int, under: int) -> None:
    assert read_rate(f"{over}/{under}") == Fraction(over, under)


@pytest.mark.parametrize(
    ("line", "unit"),
    [
        ("tinne 100", Unit("tinne", "", "", Fraction(100))),
        ("penny, pence = 240", Unit("penny", "pence", "", Fraction(240))),
        ("guinea: 20/21", Unit("guinea", "", "", Fraction(20, 21))),
        ("half ½", Unit("half", "", "", Fraction(1, 2))),
        (f"{'x' * 60} 2", Unit("x" * 60, "", "", Fraction(2))),
        ("x 1000000007/100000000", Unit("x", "", "", Fraction(1000000007, 100000000))),
    ],
)
def test_a_unit_of_one_line(line: str, unit: Unit) -> None:
    assert read_units(line) == (unit,)
    assert read_units(write_units([unit])) == (unit,)


@pytest.mark.parametrize(
    "line",
    ["tinne", "100", "tinne 0", f"{'x' * 61} 2", f"a, {'x' * 61} 2", "x 1000000007/1000000000"],
)
def test_what_is_no_unit_of_one_line(line: str) -> None:
    with pytest.raises(AmountError):
        read_units(line)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("tinne 0", "must be more than nothing"),
        ("x 1000000007/1000000000", "is too long: write a number or a fraction, such as 20/21, of"),
        (f"tinne {'9' * 19}", "is not a number here: .* It may have 18 figures in a row."),
    ],
)
def test_a_number_that_is_no_ratio_of_units_says_what_is_wrong(line: str, said: str) -> None:
    with pytest.raises(AmountError, match=said):
        read_units(line)


SPACES = " " * 400_000
"""A reader that goes over the same spaces again for each of them would not come to an end."""


@pytest.mark.parametrize("text", [f"a{SPACES}b", f"tinne{SPACES}100{SPACES}b", f"=:{SPACES}="])
def test_a_long_row_of_spaces_between_a_unit_and_its_number_is_read_once(text: str) -> None:
    with pytest.raises(AmountError):
        read_units(text)


def test_a_long_row_of_spaces_between_denominations_is_read_once() -> None:
    with pytest.raises(AmountError):
        read_denominations(f"1{SPACES}1 tinne", UnitSystem((Unit("marl"),)))
