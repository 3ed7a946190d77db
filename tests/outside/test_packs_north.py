"""The figures of Sweden and Norway, typed here from the sources named beside them."""

from __future__ import annotations

from decimal import Decimal

from series.metal.compositions import parse_composition
from series.metal.metals import fine_metal
from tests.outside.measured import cites, differing, of_memory, sources_missing, type_of
from tests.shipped_packs import shipped

SWEDEN = shipped("sweden")
NORWAY = shipped("norway")

# Lag (1970:1028) om rikets mynt, appendix, as worded by Lag (1986:90): mm, g, edge.
ACT = {
    "sweden-5-kronor-1986": {"diameter_mm": "28.5", "mass_g": "9.50", "edge": "plain"},
    "sweden-1-krona-1986": {
        "diameter_mm": "25.0", "mass_g": "7.00", "edge": "reeded", "composition": "Cu75Ni25",
    },
    "sweden-50-ore-1986": {
        "diameter_mm": "22.0", "mass_g": "4.50", "edge": "plain", "composition": "Cu75Ni25",
    },
    "sweden-10-ore-1986": {
        "diameter_mm": "15.0", "mass_g": "1.44", "edge": "plain", "composition": "Cu75Ni25",
    },
}  # fmt: skip


def test_sweden_is_as_the_act_says() -> None:
    assert {coin.key for coin in SWEDEN.types} == set(ACT)
    assert differing(SWEDEN, ACT) == {}
    assert sources_missing(SWEDEN, ACT, "se-coinage-act-1970-1028") == []


def test_the_layers_of_the_five_kronor() -> None:
    # The same appendix: nickel between outer layers of Cu 75 Ni 25, each 46.5 % of the mass.
    coin = type_of(SWEDEN, "sweden-5-kronor-1986")
    build = parse_composition(coin.composition)
    assert str(build) == "Cu75Ni25 46.5% | Ni 7% | Cu75Ni25 46.5%"
    found = fine_metal(build, "Cu", coin.mass_g)
    assert found is not None
    # Copper over all: 75 % of 93 % of 9.50 g.
    assert found.least_g == found.most_g == Decimal("9.50") * Decimal("0.75") * Decimal("0.93")


def test_the_tolerance_is_of_a_mean_and_so_of_no_single_piece() -> None:
    # § 4: the mean of about a kilogram within 2 %.
    for coin in SWEDEN.types:
        assert coin.remedy_g is None
        assert "2 %" in coin.remedy_law
        assert "mean of about a kilogram" in coin.remedy_law


def test_the_years_of_sweden_are_left_open() -> None:
    assert {(coin.first_year, coin.last_year, coin.issues) for coin in SWEDEN.types} == {
        (None, None, ())
    }


# Norges Bank, technical data of the 1 krone and 5 kroner; press release of September 1998.
NORGES_BANK = {
    "norway-1-krone-1997": {
        "diameter_mm": "21.0", "hole_mm": "3.2", "thickness_mm": "1.7", "mass_g": "4.35",
        "composition": "Cu75Ni25", "edge": "plain", "hole": "round",
    },
    "norway-5-kroner-1998": {
        "diameter_mm": "26.0", "hole_mm": "4.4", "thickness_mm": "2.0", "mass_g": "7.85",
        "composition": "Cu75Ni25", "edge": "milled", "hole": "round", "first_year": 1998,
    },
}  # fmt: skip


def test_norway_is_as_norges_bank_says() -> None:
    assert {coin.key for coin in NORWAY.types} == set(NORGES_BANK)
    assert differing(NORWAY, NORGES_BANK) == {}
    assert cites(NORWAY, "norway-1-krone-1997", "norges-bank-1-krone") == {""}
    assert cites(NORWAY, "norway-5-kroner-1998", "norges-bank-5-kroner") == {""}
    assert cites(NORWAY, "norway-5-kroner-1998", "norges-bank-september-1998") == {"years"}


def test_the_first_year_of_the_krone_is_from_memory() -> None:
    assert of_memory(NORWAY, "norway-1-krone-1997") == {"years"}
    assert of_memory(NORWAY, "norway-5-kroner-1998") == set()
