from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.years.numerals import read_numeral
from tests.series.years import writers

WRITERS: dict[str, Callable[[int], str]] = {
    "roman": writers.roman,
    "roman additive": lambda n: writers.roman(n, additive=True),
    "chinese": writers.chinese,
    "chinese without ones": lambda n: writers.chinese(n, ones=False),
    "chinese financial": lambda n: writers.chinese(n, financial=True),
    "chinese by place": writers.chinese_by_place,
    "ethiopic": writers.ethiopic,
}


def values(text: str) -> tuple[int, ...]:
    numeral = read_numeral(text)
    return numeral.values if numeral else ()


def blur(text: str, places: set[int]) -> str:
    return "".join("?" if place in places else sign for place, sign in enumerate(text))


@given(st.sampled_from(sorted(writers.ZEROS)), st.integers(1, 9999))
def test_figures_of_every_script_read_back(script: str, number: int) -> None:
    numeral = read_numeral(writers.by_place(number, writers.ZEROS[script]))
    assert numeral is not None
    assert (numeral.script, numeral.values, numeral.figures) == (script, (number,), str(number))


@given(st.sampled_from(sorted(writers.ZEROS)), st.integers(1000, 9999), st.sets(st.integers(0, 3)))
def test_unread_figures_leave_every_number_that_fits(
    script: str, number: int, places: set[int]
) -> None:
    places = places if len(places) < 4 else set()
    found = values(blur(writers.by_place(number, writers.ZEROS[script]), places))
    assert number in found
    assert len(found) == 10 ** len(places - {0}) * (9 if 0 in places else 1)


@given(st.sampled_from(sorted(WRITERS)), st.integers(1, 3999))
def test_numerals_of_letters_read_back(writer: str, number: int) -> None:
    assert values(WRITERS[writer](number)) == (number,)


@given(st.sampled_from(sorted(WRITERS)), st.integers(1, 3999), st.data())
def test_up_to_two_unread_letters_keep_the_right_number(
    writer: str, number: int, data: st.DataObject
) -> None:
    text = WRITERS[writer](number)
    # Unread financial figures are tried in their everyday form, which has no filling zeros.
    places = data.draw(st.sets(st.integers(0, len(text) - 1), max_size=min(2, len(text) - 1)))
    assert number in values(blur(text, places))


@given(st.integers(5100, 5999), st.booleans(), st.booleans())
def test_hebrew_years_read_back(year: int, thousands: bool, marks: bool) -> None:
    assert values(writers.hebrew(year, thousands=thousands, marks=marks)) == (year,)


@given(st.integers(5100, 5999), st.booleans(), st.booleans(), st.data())
def test_an_unread_hebrew_letter_keeps_the_right_year(
    year: int, thousands: bool, marks: bool, data: st.DataObject
) -> None:
    text = writers.hebrew(year, thousands=thousands, marks=marks)
    letters = [place for place, sign in enumerate(text) if sign.isalpha()]
    if len(letters) > 1:
        assert year in values(blur(text, {data.draw(st.sampled_from(letters))}))


@pytest.mark.parametrize(
    ("text", "number"),
    [
        # Common practice, no source: forms that engravers have cut.
        ("MDCCCCX", 1910), ("MDCCLXXXXVIII", 1798), ("MDCCCIIII", 1804), ("MDCXIIX", 1618),
        ("M.DCC.XX", 1720), ("M DCC LXX", 1770), ("MDCCCXXUI", 1826), ("mdcxvij", 1617),
        ("CIƆIƆCXX", 1620), ("CI)I)CC", 1700), ("ↀDC", 1600), ("Ⅿ", 1000),
        ("תרח״צ", 5698), ("תשד״מ", 5744), ("ער״ה", 5275), ("ה׳תש״ח", 5708), ('תש"ח', 5708),
        ("התשח", 5708), ("תש״ך", 5720), ("תשט״ז", 5716), ("ד׳תתק״צ", 4990),
        ("廿三", 23), ("卅", 30), ("卌五", 45), ("元", 1), ("千九百", 1900), ("壹佰零貳", 102),
        ("一千〇八", 1008), ("二十", 20), ("二〇", 20), ("拾", 10),
        ("፲፱፻", 1900), ("፻", 100), ("፲፱፻፶", 1950), ("፳፻", 2000),
    ],
)  # fmt: skip
def test_forms_met_on_coins(text: str, number: int) -> None:
    assert values(text.replace("Ⅿ", "M").upper()) == (number,)


@pytest.mark.parametrize(
    "text",
    ["MIM", "IC", "VX", "XXXXX", "MDCCLIL", "LIBRA", "קת", "כט״כ", "十廿", "四五十", "二千千",
     "三元", "十元", "፩፪", "፻፻", "", "?", "1A", "M???", "ת???", "0"],
)  # fmt: skip
def test_what_is_no_numeral_is_not_read(text: str) -> None:
    assert values(text) == ()


def test_an_unread_roman_letter_is_any_that_fits() -> None:
    assert values("MDCCC?") == (1801, 1805, 1810, 1850, 1900)


def test_many_unread_chinese_figures_stand_by_place() -> None:
    numeral = read_numeral("一???")
    assert numeral is not None
    assert (numeral.figures, len(numeral.values)) == ("1???", 1000)
