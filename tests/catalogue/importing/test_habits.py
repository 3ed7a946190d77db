"""How a whole list is written: what holds for a row that does not say it. Common practice."""

from __future__ import annotations

import pytest

from catalogue.importing.reading.cells import habits_of, understand
from catalogue.importing.reading.lists import ANY_COUNTRY, Mapping, Row, Table


def _countries(
    *cells: str, name: str = "list", fields: tuple[str, ...] = ("country", "coin")
) -> list[str]:
    rows = tuple(Row(n, (cell, f"{n} cent 1960")) for n, cell in enumerate(cells, 1))
    table, mapping = Table(name, rows), Mapping(False, 0, fields)
    habits = habits_of(table, mapping)
    read = [understand(row, mapping, habits).values.get("country") for row in rows]
    return [country.text if country else "" for country in read]


def test_a_country_written_once_for_all_of_its_rows_is_carried_down() -> None:
    assert _countries("USA", "", "GB", "", "Malta", "") == [
        "USA",
        "USA",
        "GB",
        "GB",
        "Malta",
        "Malta",
    ]
    assert _countries("USA", "", "", "", "", "GB") == ["USA"] * 5 + ["GB"]


def test_a_country_left_out_now_and_then_stays_unknown() -> None:
    assert _countries("USA", "USA", "", "GB", "GB", "GB") == ["USA", "USA", "", "GB", "GB", "GB"]
    assert _countries("", "USA", "", "GB", "", "Malta")[0] == ""


def test_a_list_without_countries_takes_that_of_its_sheet() -> None:
    said = _countries("1", "2", "3", "4", name="USA 2019", fields=("accession", "coin"))
    assert said == ["USA 2019"] * 4
    assert _countries("1", "2", "3", "4", name="list", fields=("accession", "coin")) == [""] * 4


@pytest.mark.parametrize(
    ("prices", "decimal"),
    [
        (("2,50", "3,00"), ","),
        (("2.50", "1,200.00"), "."),
        (("5,–", "7,-"), ","),
        (("1", "2"), ","),
    ],
)
def test_the_decimal_sign_is_that_of_the_figures(prices: tuple[str, ...], decimal: str) -> None:
    rows = tuple(Row(n, ("Land", price)) for n, price in enumerate(("Preis", *prices), 1))
    assert habits_of(Table("x", rows), Mapping(True, 0, ("country", "price"))).decimal == decimal


@pytest.mark.parametrize(
    ("days", "day_first"),
    [(("3/20/2004", "4/5/2004"), False), (("20/3/2004", "4/5/2004"), True), (("1/2/2004",), True)],
)
def test_the_order_of_day_and_month_is_that_of_all_days(
    days: tuple[str, ...], day_first: bool
) -> None:
    rows = tuple(Row(n, (day,)) for n, day in enumerate(days, 1))
    assert habits_of(Table("x", rows), Mapping(False, 0, ("acquired_on",))).day_first is day_first


def _under_a_section(*rows: tuple[str, str]) -> list[tuple[str, str]]:
    """The country and its rival of each row below a heading "Greece", in a list with countries."""
    above = Row(1, ("", "Greece", "", ""))
    below = tuple(Row(n, (str(n), *cells, "1960")) for n, cells in enumerate(rows, 2))
    table = Table("list", (above, *below))
    mapping = Mapping(False, 0, ("accession", "country", "coin", "date"))
    habits = habits_of(table, mapping)
    read = [understand(row, mapping, habits) for row in below]
    assert all(each.kind == "coin" for each in read)
    named = [each.values.get("country") for each in read]
    return [(c.text if c else "", r.rival) for c, r in zip(named, read, strict=True)]


def test_a_country_of_a_row_ends_the_section_above_it() -> None:
    rows = [("", "2 cent"), ("USA", "5 cents"), ('"', "1 cent"), ("", "10 cents")]
    assert _under_a_section(*rows) == [
        ("Greece", ""),
        ("USA", ""),
        ("USA", ""),
        ("USA", "Greece"),
    ]


def test_the_same_country_said_again_leaves_the_section_as_it_is() -> None:
    rows = [("", "2 cent"), ("Griechenland", "5 cent"), ("", "1 cent"), ("", "2 cent")]
    assert [rival for _country, rival in _under_a_section(*rows)] == [""] * 4


def test_a_coin_that_names_its_country_is_not_of_the_section() -> None:
    coins = "USA 5 Cents|U.S.A 5¢|PAYS-BAS 2 cent|Grikkland 1 c|quarter, Canada"
    rows = [("", coin) for coin in coins.split("|")]
    named = [country for country, _rival in _under_a_section(*rows)]
    assert named == ["USA", "U.S.A", "PAYS-BAS", "Grikkland", "Canada"]
    assert _under_a_section(("", "1 Deutsche Mark"))[0][0] == "Greece"


@pytest.mark.parametrize("headline", ["ESPAÑA", "Francia", "RESTO"])
def test_a_headline_over_two_columns_is_a_section(headline: str) -> None:
    rows = (
        Row(1, (headline, "", "")),
        Row(2, ("1 cent 1999", "SC")),
        Row(3, ("2 cent 2001", "BC")),
    )
    table, mapping = Table("list", rows), Mapping(False, 0, ("coin", "grade", "note"))
    habits = habits_of(table, mapping)
    assert [understand(row, mapping, habits).kind for row in rows] == ["section", "coin", "coin"]
    assert understand(rows[1], mapping, habits).values["country"].text == headline


def test_a_coin_alone_in_its_row_is_no_headline() -> None:
    rows = (Row(1, ("DIME",)), Row(2, ("1 cent 1999", "SC")), Row(3, ("2 CENT", "BC")))
    table, mapping = Table("list", rows), Mapping(False, 0, ("coin", "grade", "note"))
    assert understand(rows[0], mapping, habits_of(table, mapping)).kind == "coin"


@pytest.mark.parametrize("mark", ['"', '-"-', "—„—", "dito", "dto.", "wie oben", "as above"])
def test_marks_that_repeat_the_country_above(mark: str) -> None:
    assert _countries("USA", mark, "GB", mark) == ["USA", "USA", "GB", "GB"]


def test_a_blank_after_rows_that_each_name_their_country_may_be_any() -> None:
    for run in (["USA", "USA"], ["USA", "USA", "Malta", "GB"]):
        rows = [*((country, "1 cent") for country in run), ("", "2 cent")]
        assert _under_a_section(*rows)[-1] == (run[-1], ANY_COUNTRY)
