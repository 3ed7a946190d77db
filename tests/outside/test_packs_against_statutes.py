"""The figures of the packs against the tables of the statutes, typed here from the sources.

Sources, beside each table: Council Regulation (EU) No 729/2014, Annex I; Council Regulation (EC)
No 2866/98, Article 1, as amended; Council Regulation (EC) No 1103/97, Article 4; 31 U.S.C. § 5112
and § 5113; published specification tables of the United States Mint where so said.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from series.entries.tables import PackEntry, TypeEntry
from series.metal.compositions import parse_composition
from series.metal.metals import GRAMS_IN_TROY_OUNCE, fine_metal
from series.packs.format import read_pack

PACKS = Path(__file__).parent.parent.parent / "fixtures" / "packs"


def pack(name: str) -> PackEntry:
    return read_pack({p.name: p.read_text("utf-8") for p in (PACKS / name).glob("*.toml")})


EURO = pack("euro")
US = pack("united-states")


def types_of(found: PackEntry, denomination: str) -> list[TypeEntry]:
    return [each for each in found.types if each.denomination == denomination]


# Council Regulation (EU) No 729/2014, Annex I: diameter mm, thickness mm (indicative), mass g,
# shape, composition. Copper-covered steel: the law gives no share for the copper.
NORDIC = "Cu89Al5Zn5Sn1"
COVERED = "core: steel; plating: Cu"
EURO_TABLE = {
    "euro-2": (
        "25.75", "2.20", "8.50", "round",
        "ring: Cu75Ni25; centre: CuZn20Ni5 | Ni 12% | CuZn20Ni5",
    ),
    "euro-1": (
        "23.25", "2.33", "7.50", "round",
        "ring: CuZn20Ni5; centre: Cu75Ni25 | Ni 7% | Cu75Ni25",
    ),
    "euro-50-cent": ("24.25", "2.38", "7.80", "round", NORDIC),
    "euro-20-cent": ("22.25", "2.14", "5.74", "notched", NORDIC),
    "euro-10-cent": ("19.75", "1.93", "4.10", "round", NORDIC),
    "euro-5-cent": ("21.25", "1.67", "3.92", "round", COVERED),
    "euro-2-cent": ("18.75", "1.67", "3.06", "round", COVERED),
    "euro-1-cent": ("16.25", "1.67", "2.30", "round", COVERED),
}  # fmt: skip
# The same annex: a word of the edge.
EURO_EDGES = {
    "euro-2": "lettered", "euro-1": "interrupted", "euro-50-cent": "scallops",
    "euro-20-cent": "plain", "euro-10-cent": "scallops", "euro-5-cent": "smooth",
    "euro-2-cent": "groove", "euro-1-cent": "smooth",
}  # fmt: skip
EURO_VALUES = {
    "euro-2": 2, "euro-1": 1, "euro-50-cent": "1/2", "euro-20-cent": "1/5", "euro-10-cent": "1/10",
    "euro-5-cent": "1/20", "euro-2-cent": "1/50", "euro-1-cent": "1/100",
}  # fmt: skip


def test_every_denomination_of_the_euro_and_no_other() -> None:
    assert {each.key: each.value for each in EURO.denominations} == {
        key: Fraction(value) for key, value in EURO_VALUES.items()
    }
    assert {each.denomination for each in EURO.types} == set(EURO_TABLE)


@pytest.mark.parametrize("denomination", EURO_TABLE)
def test_euro_measures(denomination: str) -> None:
    diameter, thickness, mass, outline, composition = EURO_TABLE[denomination]
    for coin in types_of(EURO, denomination):
        assert coin.diameter_mm == Decimal(diameter)
        assert coin.thickness_mm == Decimal(thickness)
        assert coin.mass_g == Decimal(mass)
        assert coin.outline == outline
        assert parse_composition(coin.composition) == parse_composition(composition)
        assert EURO_EDGES[denomination] in coin.edge
        assert "indicative" in coin.note


def test_the_twenty_cent_has_seven_indentations() -> None:
    assert {coin.sides for coin in types_of(EURO, "euro-20-cent")} == {7}


@pytest.mark.parametrize("denomination", EURO_TABLE)
def test_euro_types_cite_the_annex_and_name_their_sides(denomination: str) -> None:
    for coin in types_of(EURO, denomination):
        assert ("regulation-eu-729-2014", "Annex I") in {
            (cited.source, cited.where) for cited in coin.citations
        }
        assert (coin.obverse.role, coin.reverse.role) == ("national", "common")


# Council Regulation (EC) No 2866/98, Article 1, as amended: so many to one euro.
RATES = {
    "BEF": "40.3399", "DEM": "1.95583", "EEK": "15.6466", "GRD": "340.750", "ESP": "166.386",
    "FRF": "6.55957", "HRK": "7.53450", "IEP": "0.787564", "ITL": "1936.27", "CYP": "0.585274",
    "LVL": "0.702804", "LTL": "3.45280", "LUF": "40.3399", "MTL": "0.429300", "NLG": "2.20371",
    "ATS": "13.7603", "SIT": "239.640", "SKK": "30.1260", "FIM": "5.94573", "BGN": "1.95583",
}  # fmt: skip


def test_the_legal_rates_are_kept_figure_by_figure() -> None:
    found = {each.code: each.rate for each in EURO.currencies if each.rate}
    assert found == RATES
    assert {each.successor for each in EURO.currencies if each.rate} == {"euro"}


def test_rates_have_six_significant_figures() -> None:
    # Council Regulation (EC) No 1103/97, Article 4(1).
    for currency in EURO.currencies:
        if currency.rate:
            assert len(currency.rate.replace(".", "").lstrip("0")) == 6, currency.key


def test_the_bulgarian_rate_applies_from_2026() -> None:
    lev = next(each for each in EURO.currencies if each.code == "BGN")
    assert str(lev.rate_from) == "2026-01-01"


def test_no_sub_unit_of_lira_peseta_and_drachma_is_in_use() -> None:
    # Council Regulation (EC) No 1103/97, Article 5: such results are rounded to the unit.
    assert {each.code for each in EURO.currencies if not each.subunit_in_use} == {
        "ITL", "ESP", "GRD",
    }  # fmt: skip


# 31 U.S.C. § 5112(a)(1) to (6): inches, grams; (b): alloys. The dollar has no mass there.
CLAD = "core: Cu; cladding: Cu75Ni25 >=30%"
STATUTE = {
    "us-1-dollar-anthony": ("1.043", None, CLAD),
    "us-half-clad": ("1.205", "11.34", CLAD),
    "us-half-bicentennial": ("1.205", "11.34", CLAD),
    "us-quarter-clad": ("0.955", "5.67", CLAD),
    "us-quarter-bicentennial": ("0.955", "5.67", CLAD),
    "us-dime-clad": ("0.705", "2.268", CLAD),
    "us-5-cents-monticello": ("0.835", "5", "Cu75Ni25"),
    "us-5-cents-facing": ("0.835", "5", "Cu75Ni25"),
    "us-1-cent-memorial-copper": ("0.75", "3.11", None),
}
MM_IN_INCH = Decimal("25.4")  # exact: international yard and pound agreement, 1959


def us_type(key: str) -> TypeEntry:
    return next(each for each in US.types if each.key == key)


@pytest.mark.parametrize("key", STATUTE)
def test_measures_of_the_united_states_statute(key: str) -> None:
    inches, mass, composition = STATUTE[key]
    coin = us_type(key)
    assert coin.diameter_mm == Decimal(inches) * MM_IN_INCH
    if mass is not None:
        assert coin.mass_g == Decimal(mass)
    if composition is not None:
        assert parse_composition(coin.composition) == parse_composition(composition)
    assert any(cited.source == "usc-31-5112" for cited in coin.citations)


def test_remedies_of_the_statute() -> None:
    # 31 U.S.C. § 5113(a).
    assert us_type("us-5-cents-monticello").remedy_g == Decimal("0.194")
    assert us_type("us-1-cent-memorial-copper").remedy_g == Decimal("0.13")


# As struck now, which the statute leaves to the Secretary: percent by mass over the whole piece,
# published specification tables of the United States Mint.
STRUCK = {
    "us-1-cent-memorial-zinc": ("19.05", "2.50", {"Zn": "97.5", "Cu": "2.5"}),
    "us-1-cent-shield": ("19.05", "2.50", {"Zn": "97.5", "Cu": "2.5"}),
    "us-1-dollar-sacagawea": ("26.5", "8.1", {"Cu": "88.5", "Zn": "6", "Mn": "3.5", "Ni": "2"}),
}


@pytest.mark.parametrize("key", STRUCK)
def test_what_is_struck_now_stands_beside_the_statute(key: str) -> None:
    diameter, mass, percents = STRUCK[key]
    coin = us_type(key)
    assert (coin.diameter_mm, coin.mass_g) == (Decimal(diameter), Decimal(mass))
    build = parse_composition(coin.composition)
    for element, percent in percents.items():
        found = fine_metal(build, element, Decimal(mass))
        assert found is not None
        assert found.least_g == found.most_g == Decimal(mass) * Decimal(percent) / 100


# 31 U.S.C. § 5112(a)(7) to (10): mm, grams, troy ounces of fine gold.
GOLD = {
    "us-50-dollars-gold": ("32.7", "33.931", "1"),
    "us-25-dollars-gold": ("27.0", "16.966", "0.5"),
    "us-10-dollars-gold": ("22.0", "8.483", "0.25"),
    "us-5-dollars-gold": ("16.5", "3.393", "0.1"),
}


@pytest.mark.parametrize("key", GOLD)
def test_gold_of_the_statute(key: str) -> None:
    diameter, mass, ounces = GOLD[key]
    coin = us_type(key)
    assert (coin.diameter_mm, coin.mass_g) == (Decimal(diameter), Decimal(mass))
    found = fine_metal(parse_composition(coin.composition), "Au", Decimal(mass))
    assert found is not None
    # The mass is given to a thousandth of a gram: half of that, in ounces, is the room there is.
    room = Decimal("0.0005") / GRAMS_IN_TROY_OUNCE
    assert abs(found.least_ozt - Decimal(ounces)) < room


def test_every_type_of_both_packs_cites_a_source_that_is_described() -> None:
    for each in (EURO, US):
        sources = {source.key for source in each.sources}
        for coin in each.types:
            assert coin.citations
            assert {cited.source for cited in coin.citations} <= sources


def test_denominations_of_the_united_states_are_exact() -> None:
    values = {each.key: each.value for each in US.denominations}
    assert values["us-dime"] == Fraction(1, 10)
    assert values["us-quarter"] == Fraction(1, 4)
    # 31 U.S.C. § 5101: dimes or tenths, cents or hundredths, mills or thousandths.
    units = {unit.name: unit.per_main for unit in US.currencies[0].units}
    assert units == {"dime": 10, "cent": 100, "mill": 1000}
