"""How a whole list is written: what holds for a row that does not say it. Common practice."""

from __future__ import annotations

import pytest

from catalogue.importing.cells import habits_of, understand
from catalogue.importing.lists import Mapping, Row, Table


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
