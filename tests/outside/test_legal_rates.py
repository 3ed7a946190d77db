"""Conversion at the fixed rates of the euro, compared with the regulations.

Rates: Council Regulation (EC) No 2866/98, Article 1, as amended. Rounding: Council Regulation
(EC) No 1103/97, Articles 4 and 5. The results were worked out by hand or by long division from
those two, apart from the code; the working stands beside each.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from series.money.legal_rates import EuroRate, between, from_euro, into_euro

# One euro in national units, 1000 national units in euro (by long division, to the cent), 100
# euro in national units (the rate with its point moved, to the sub-unit).
TABLE = {
    "BEF": ("40.3399", "24.79", "4033.99"),
    "DEM": ("1.95583", "511.29", "195.58"),
    "EEK": ("15.6466", "63.91", "1564.66"),
    "GRD": ("340.750", "2.93", "34075"),
    "ESP": ("166.386", "6.01", "16639"),
    "FRF": ("6.55957", "152.45", "655.96"),
    "HRK": ("7.53450", "132.72", "753.45"),
    "IEP": ("0.787564", "1269.74", "78.76"),
    "ITL": ("1936.27", "0.52", "193627"),
    "CYP": ("0.585274", "1708.60", "58.53"),
    "LVL": ("0.702804", "1422.87", "70.28"),
    "LTL": ("3.45280", "289.62", "345.28"),
    "LUF": ("40.3399", "24.79", "4033.99"),
    "MTL": ("0.429300", "2329.37", "42.93"),
    "NLG": ("2.20371", "453.78", "220.37"),
    "ATS": ("13.7603", "72.67", "1376.03"),
    "SIT": ("239.640", "4.17", "23964.00"),
    "SKK": ("30.1260", "33.19", "3012.60"),
    "FIM": ("5.94573", "168.19", "594.57"),
    "BGN": ("1.95583", "511.29", "195.58"),
}
# Where no sub-unit was in use sums are rounded to the unit.
WHOLE = ("GRD", "ESP", "ITL")


def rate(code: str) -> EuroRate:
    return EuroRate(code, Decimal(TABLE[code][0]), Decimal("1" if code in WHOLE else "0.01"))


@pytest.mark.parametrize("code", TABLE)
def test_every_rate_both_ways(code: str) -> None:
    _, euro, national = TABLE[code]
    assert str(into_euro(Decimal(1000), rate(code))) == euro
    assert str(from_euro(Decimal(100), rate(code))) == national


def test_all_twenty_rates_are_here() -> None:
    assert len(TABLE) == 20


@pytest.mark.parametrize(
    ("amount", "old", "new", "result"),
    [
        # 100 ÷ 1.95583 = 51.12918…, so 51.129 euro; × 6.55957 = 335.38425…
        # (335.39 if the euro were not rounded, since 51.12918… × 6.55957 = 335.38549…)
        ("100", "DEM", "FRF", "335.38"),
        # 5 ÷ 1.95583 = 2.55645…, so 2.556 euro; × 15.6466 = 39.99270…
        # (40.00 if not rounded, 40.06 if rounded to the cent)
        ("5", "DEM", "EEK", "39.99"),
        # 1 ÷ 1.95583 = 0.51129…, so 0.511 euro; × 1936.27 = 989.43…; the lira has no sub-unit
        ("1", "DEM", "ITL", "989"),
        # 10000 ÷ 1936.27 = 5.16456…, so 5.165 euro; × 1.95583 = 10.10186…
        ("10000", "ITL", "DEM", "10.10"),
        # one franc in two countries: 100 ÷ 40.3399 = 2.47893…, 2.479 euro; × 40.3399 = 100.0026…
        ("100", "BEF", "LUF", "100.00"),
        # 1 ÷ 0.787564 = 1.26974…, so 1.270 euro; × 340.750 = 432.7525
        ("1", "IEP", "GRD", "433"),
    ],
)
def test_between_national_units_through_three_decimals(
    amount: str, old: str, new: str, result: str
) -> None:
    """Regulation 1103/97, Article 4 (4)."""
    assert str(between(Decimal(amount), rate(old), rate(new))) == result


@pytest.mark.parametrize(
    ("amount", "code", "result"),
    [
        # 0.005 × 1.95583 = 0.00977915 marks are half a cent exactly
        ("0.00977915", "DEM", "0.01"),
        ("0.00977914", "DEM", "0.00"),
        # 40.3399 × 0.125 = 5.0424875 francs are 0.125 euro exactly
        ("5.0424875", "BEF", "0.13"),
    ],
)
def test_a_half_cent_goes_up(amount: str, code: str, result: str) -> None:
    """Regulation 1103/97, Article 5."""
    assert str(into_euro(Decimal(amount), rate(code))) == result


def test_a_half_unit_goes_up_where_no_sub_unit_is_in_use() -> None:
    """Regulation 1103/97, Article 5: 2 euro are 681.50 drachmas, so 682."""
    assert str(from_euro(Decimal(2), rate("GRD"))) == "682"


def test_no_inverse_rate_is_used() -> None:
    """Regulation 1103/97, Article 4 (3): one mark as 0.511292 euro, an inverse rate of six
    figures, would make 511292.00 of a million marks.
    """
    assert into_euro(Decimal(1_000_000), rate("DEM")) == Decimal("511291.88")


@pytest.mark.parametrize("figures", ["1.956", "1.9558300", "340.75"])
def test_six_significant_figures(figures: str) -> None:
    """Regulation 1103/97, Article 4 (1)."""
    with pytest.raises(ValueError, match="six significant figures"):
        EuroRate("DEM", Decimal(figures))
