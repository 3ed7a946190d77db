"""Conversion against the reference library and the law.

Sources: European Central Bank reference rates as converted by the PyPI package CurrencyConverter;
Council Regulation (EC) No 2866/98, Article 1, as amended (fixed rates); Council Regulation (EC)
No 1103/97, Articles 4 and 5 (how they are used).
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any

import pytest
from currency_converter import CurrencyConverter
from hypothesis import given, settings
from hypothesis import strategies as st

from valuation.exchange import FIXED, FixedRate, NoRate, convert, last_day
from valuation.money import TODAY, WITHDRAWN, cents

STILL_QUOTED = ["USD", "GBP", "CHF", "JPY", "SEK", "NOK", "DKK", "PLN", "CZK", "HUF", "AUD", "CAD"]


@cache
def reference() -> Any:
    return CurrencyConverter(
        decimal=True,
        fallback_on_missing_rate=True,
        fallback_on_missing_rate_method="last_known",
    )


@settings(deadline=None)  # the first call reads the rates
@given(
    st.decimals("0.01", "999999.99", places=2),
    st.sampled_from(["EUR", *STILL_QUOTED]),
    st.sampled_from(["EUR", *STILL_QUOTED]),
    st.dates(date(1999, 1, 4), date(2025, 12, 31)),
)
def test_a_conversion_equals_that_of_the_reference_library(
    amount: Decimal, one: str, other: str, on: date
) -> None:
    expected = amount if one == other else reference().convert(amount, one, other, on)
    assert convert(amount, one, other, on).amount == expected


def test_rates_of_the_european_central_bank_on_a_known_day() -> None:
    """28 March 2014: 1 euro = 1.3759 USD, as in CurrencyConverter's own documentation."""
    found = convert(Decimal(100), "EUR", "USD", date(2014, 3, 28))
    assert found.amount == Decimal("137.59")
    assert (found.rate, found.rate_date) == (Decimal("1.3759"), date(2014, 3, 28))


def test_a_day_without_a_rate_takes_the_last_earlier_day_and_says_so() -> None:
    sunday = convert(Decimal(1), "EUR", "USD", date(2014, 3, 30))
    assert sunday.rate_date == date(2014, 3, 28)
    easter_monday = convert(Decimal(1), "EUR", "USD", date(2024, 4, 1))
    assert easter_monday.rate_date == date(2024, 3, 28)


def test_a_day_after_the_shipped_rates_counts_at_their_last_day() -> None:
    found = convert(Decimal(1), "EUR", "USD", date(2090, 1, 1))
    assert found.rate_date == last_day()


@pytest.mark.parametrize(
    ("currency", "on", "why"),
    [
        ("RUB", date(2022, 3, 12), "nor shortly before"),
        ("USD", date(1999, 1, 3), "begin on 4 January 1999"),
        ("XTS", date(2020, 1, 1), "published tables"),
        ("RUB", date(2024, 1, 2), "nor shortly before"),
        ("ISK", date(2012, 6, 1), "nor shortly before"),
        ("DEM", date(1998, 12, 31), "published tables"),
    ],
)
def test_without_a_rate_it_says_why(currency: str, on: date, why: str) -> None:
    with pytest.raises(NoRate, match=why):
        convert(Decimal(1), currency, "EUR", on)


def test_a_last_rate_counts_for_ten_days() -> None:
    """The European Central Bank gave its last rate of the rouble on 1 March 2022."""
    found = convert(Decimal(1), "EUR", "RUB", date(2022, 3, 11))
    assert found.rate_date == date(2022, 3, 1)


def test_the_same_currency_is_converted_at_one() -> None:
    found = convert(Decimal("2.50"), "USD", "USD", date(2014, 3, 28))
    assert (found.amount, found.rate, found.legs) == (Decimal("2.50"), Decimal(1), ())


LAW = {
    "BEF": "40.3399",
    "DEM": "1.95583",
    "EEK": "15.6466",
    "GRD": "340.750",
    "ESP": "166.386",
    "FRF": "6.55957",
    "HRK": "7.53450",
    "IEP": "0.787564",
    "ITL": "1936.27",
    "CYP": "0.585274",
    "LVL": "0.702804",
    "LTL": "3.45280",
    "LUF": "40.3399",
    "MTL": "0.429300",
    "NLG": "2.20371",
    "ATS": "13.7603",
    "SIT": "239.640",
    "SKK": "30.1260",
    "FIM": "5.94573",
    "BGN": "1.95583",
}


def test_the_fixed_rates_are_those_of_the_regulation_to_six_significant_figures() -> None:
    assert {code: str(fixed.units) for code, fixed in FIXED.items()} == LAW
    for code, fixed in FIXED.items():
        assert len(fixed.units.as_tuple().digits) == 6, code


# The first year in the euro: Regulation 2866/98 for the eleven of 1999, and as amended by
# Regulations 1478/2000, 1086/2006, 1134/2007, 1135/2007, 694/2008, 671/2010, 870/2013, 851/2014
# and 2022/1208, from memory; Bulgaria from 2026 on.
FIRST_YEAR = dict.fromkeys(
    ("ATS", "BEF", "DEM", "ESP", "FIM", "FRF", "IEP", "ITL", "LUF", "NLG"), 1999
) | {
    "GRD": 2001, "SIT": 2007, "CYP": 2008, "MTL": 2008, "SKK": 2009, "EEK": 2011, "LVL": 2014,
    "LTL": 2015, "HRK": 2023, "BGN": 2026,
}  # fmt: skip


def test_each_fixed_rate_counts_from_the_first_day_of_its_year() -> None:
    assert {code: fixed.since for code, fixed in FIXED.items()} == {
        code: date(year, 1, 1) for code, year in FIRST_YEAR.items()
    }


def test_the_european_central_bank_gave_rates_up_to_that_day() -> None:
    quoted = {code: reference().bounds[code] for code in FIXED.keys() & reference().currencies}
    assert len(quoted) >= 9
    for code, bounds in quoted.items():
        assert 1 <= (FIXED[code].since - bounds.last_date).days <= 3, code


CROWN = {"XCR": FixedRate("DEM", Decimal(4), date(1948, 6, 20), "a decree")}
MARL = {"XMA": FixedRate("XNM", Decimal("3.00000"), date(1950, 1, 1), "a decree")}


def test_what_other_laws_fixed_is_not_rounded_as_the_regulation_asks() -> None:
    """Down to the euro and up again in two steps, and from one money into the next in one."""
    on = date(2001, 5, 1)
    down = convert(Decimal(10), "XCR", "EUR", on, FIXED | CROWN)
    assert down.amount == Decimal(10) / 4 / Decimal("1.95583")
    assert [leg.of for leg in down.legs] == ["XCR", "DEM"]
    up = convert(Decimal("0.333"), "EUR", "XCR", on, FIXED | CROWN)
    assert up.amount == Decimal("0.333") * Decimal("1.95583") * 4
    aside = convert(Decimal("0.333"), "FRF", "XCR", on, FIXED | CROWN)
    assert aside.amount == Decimal("0.333") / Decimal("6.55957") * Decimal("1.95583") * 4
    next_money = convert(Decimal(10), "XMA", "XNM", on, MARL)
    assert next_money.amount == Decimal(10) / 3


def test_between_two_national_units_the_euro_amount_has_three_decimals() -> None:
    """Regulation 1103/97, Article 4(4): 100 DEM = 51.129 EUR (rounded) = 335.38 FRF."""
    found = convert(Decimal(100), "DEM", "FRF", date(2001, 5, 1))
    assert found.amount == Decimal("335.38")
    assert cents(found.rate * 100) == Decimal("335.39")  # without the euro in between


def test_where_no_sub_unit_is_in_use_the_amount_is_whole() -> None:
    """Article 5: in lire to the nearest lira, half up; 12.34 euro = 23,893.57 lire."""
    assert convert(Decimal("12.34"), "EUR", "ITL", date(2000, 1, 3)).amount == Decimal(23894)


def test_a_fixed_rate_is_divided_by_and_not_inverted() -> None:
    """Article 4(3). A rounded inverse (1 DEM = 0.51129 EUR) would give 511,290.00."""
    assert cents(convert(Decimal(1_000_000), "DEM", "EUR", date(2001, 5, 1)).amount) == Decimal(
        "511291.88"
    )


def test_a_fixed_rate_counts_from_its_day_and_market_rates_before() -> None:
    before = convert(Decimal(1), "EUR", "BGN", date(2025, 12, 31))
    after = convert(Decimal(1), "EUR", "BGN", date(2026, 1, 1))
    assert before.source == "European Central Bank"
    assert after.source == "Council Regulation (EC) No 2866/98"
    assert after.rate == Decimal("1.95583")


def test_a_replaced_unit_reaches_other_currencies_through_the_euro() -> None:
    on = date(2014, 3, 28)
    found = convert(Decimal("195.583"), "DEM", "USD", on)
    assert found.amount == reference().convert(Decimal(100), "EUR", "USD", on)
    assert [leg.of for leg in found.legs] == ["DEM", "USD"]
    assert found.rate_date == on


def test_every_currency_with_a_rate_has_a_name() -> None:
    assert reference().currencies | set(FIXED) == set(TODAY) | set(WITHDRAWN)


@given(st.decimals("-99999", "99999", places=4))
def test_cents_round_half_up_as_article_5_asks(amount: Decimal) -> None:
    rounded = cents(amount)
    assert abs(rounded - amount) <= Decimal("0.005")
    if abs(amount * 100 % 1) == Decimal("0.5"):
        assert abs(rounded) > abs(amount)
