"""The figures of Japan and India, typed here from the sources named beside them.

Checked by an order in law: the coins of Japan's Appended Table 1. From an encyclopaedia or a report
in the press, and so no check by statute: what says so at its table. From memory, and so checked by
nothing: that such facts are marked is checked, not the facts.
"""

from __future__ import annotations

from fractions import Fraction

from tests.outside.measured import cites, differing, of_memory, sources_missing, type_of
from tests.shipped_packs import shipped

JAPAN = shipped("japan")
INDIA = shipped("india")

# Order for Enforcement of the Act on Currency Units and Issuance of Coins, Appended Table 1:
# metal, mass in g, width and hole in mm, edge.
CU_NI = "Cu75Ni25"  # copper 750, nickel 250 per mille
ORDER = {
    "japan-1-yen": {
        "composition": "Al", "mass_g": "1", "diameter_mm": "20", "hole_mm": None, "edge": "plain",
    },
    "japan-5-yen": {
        "composition": "brass", "mass_g": "3.7", "diameter_mm": "22", "hole_mm": "5",
        "thickness_mm": "1.5", "edge": "plain",
    },
    "japan-10-yen-milled": {"composition": "bronze", "mass_g": "4.5", "diameter_mm": "23.5"},
    "japan-10-yen-plain": {"composition": "bronze", "mass_g": "4.5", "diameter_mm": "23.5"},
    "japan-50-yen-1967": {
        "composition": CU_NI, "mass_g": "4", "diameter_mm": "21", "hole_mm": "4", "edge": "milled",
        "first_year": 1967,
    },
    "japan-100-yen-1967": {
        "composition": CU_NI, "mass_g": "4.8", "diameter_mm": "22.6", "hole_mm": None,
        "thickness_mm": "1.7", "edge": "milled", "first_year": 1967,
    },
    "japan-500-yen-1982": {
        "composition": CU_NI, "diameter_mm": "26.5", "edge": "lettered", "first_year": 1982,
        "last_year": 1999,
    },
    "japan-500-yen-2000": {"diameter_mm": "26.5"},
    "japan-500-yen-2021": {"diameter_mm": "26.5", "mass_g": "7.1"},
}  # fmt: skip
# No statute: Japanese Wikipedia, coins of Japan (thickness of 1 and 500 yen) and 500 yen coin (its
# first mass); the announcement of 2021 as reported (7.0 g).
NO_STATUTE = {
    "japan-1-yen": {"thickness_mm": "1.54"},
    "japan-500-yen-1982": {"mass_g": "7.2"},
    "japan-500-yen-2000": {"mass_g": "7.0", "thickness_mm": "2.0"},
}


def test_japan_is_as_the_order_says() -> None:
    assert differing(JAPAN, ORDER) == {}
    assert sources_missing(JAPAN, ORDER, "jp-coin-order-table-1") == []


def test_ranges_of_the_order_stand_in_the_notes() -> None:
    # 5 yen: copper 600–700, zinc 400–300 per mille; 10 yen: copper 950, zinc 30–40, tin 10–20.
    assert "copper 600 to 700, zinc 400 to 300" in type_of(JAPAN, "japan-5-yen").note
    for key in ("japan-10-yen-milled", "japan-10-yen-plain"):
        assert "Copper 950, zinc 30 to 40, tin 10 to 20" in type_of(JAPAN, key).note
    # The 500 yen of 2021, as reported: over all copper 750, zinc 125, nickel 125 per mille.
    assert "copper 750, zinc 125, nickel 125" in type_of(JAPAN, "japan-500-yen-2021").note


def test_figures_of_japan_that_are_no_statute_name_their_source() -> None:
    assert differing(JAPAN, NO_STATUTE) == {}
    assert cites(JAPAN, "japan-1-yen", "wikipedia-ja-coins-of-japan") == {"thickness_mm"}
    assert cites(JAPAN, "japan-500-yen-1982", "wikipedia-ja-500-yen-coin") == {"mass_g"}
    assert cites(JAPAN, "japan-500-yen-2000", "jp-500-yen-announced-2021") == {"mass_g"}
    assert cites(JAPAN, "japan-500-yen-2000", "wikipedia-ja-coins-of-japan") == {"thickness_mm"}


def test_coins_of_japan_from_memory_say_so_of_every_figure() -> None:
    for key in ("japan-5-yen-1948", "japan-50-yen-1955", "japan-50-yen-1959", "japan-100-yen-1957"):
        coin = type_of(JAPAN, key)
        figures = {"composition", "mass_g", "diameter_mm", "hole_mm"}
        assert {name for name in figures if getattr(coin, name)} | {"years"} == of_memory(
            JAPAN, key
        ), key
        assert {cited.source for cited in coin.citations} == {"japan-from-memory"}
    assert {"edge", "years"} <= of_memory(JAPAN, "japan-10-yen-milled")


def test_legal_tender_up_to_twenty_times_the_face() -> None:
    # Act no. 42 of 1987, Article 7.
    coins = [coin for coin in JAPAN.types if coin.tender_until == ".."]
    assert len(coins) == 7
    for coin in coins:
        assert "twenty times" in coin.note
        assert cites(JAPAN, coin.key, "jp-currency-act-1987")


# Wikipedia's tables as kept in TabFact, no statute: metal, g, shape, mm, how it is measured.
ROUND = ("round", None, "")
EIGHT_SCALLOPS = ("scalloped", 8, "across the scallops")
SCALLOPS = ("scalloped", None, "across the scallops")
SQUARE = ("square", None, "across the corners")
HEXAGON = ("polygon", 6, "across the corners")
INDIA_TABLES = {
    "wikipedia-naye-paise-table": {
        "india-1-rupee-1957": ("nickel", "10", "28", ROUND),
        "india-50-naye-paise": ("nickel", "5", "24", ROUND),
        "india-25-naye-paise": ("nickel", "2.5", "19", ROUND),
        "india-10-naye-paise": ("copper-nickel", "5", "23", EIGHT_SCALLOPS),
        "india-5-naye-paise": ("copper-nickel", "4", "22", SQUARE),
        "india-2-naye-paise": ("copper-nickel", "3", "18", EIGHT_SCALLOPS),
        "india-1-naya-paisa": ("bronze", "1.5", "16", ROUND),
    },
    "wikipedia-aluminium-paise-table": {
        "india-1-paisa-aluminium": ("aluminium", "0.75", "17", SQUARE),
        "india-2-paise-aluminium": ("aluminium", "1", "20", SCALLOPS),
        "india-3-paise-aluminium": ("aluminium", "1.25", "21", HEXAGON),
        "india-5-paise-aluminium": ("aluminium", "1.5", "22", SQUARE),
        "india-10-paise-aluminium": ("aluminium", "2.3", "26", SCALLOPS),
        "india-20-paise-aluminium": (
            "aluminium", "2.2", "24.5", ("polygon", 6, "across the flats"),
        ),
    },
}  # fmt: skip


def test_decimal_coins_of_india_are_as_the_tables_say() -> None:
    for source, rows in INDIA_TABLES.items():
        table = {
            key: {
                "composition": metal, "mass_g": mass, "diameter_mm": across, "outline": shape,
                "sides": sides, "size_law": measured,
            }
            for key, (metal, mass, across, (shape, sides, measured)) in rows.items()
        }  # fmt: skip
        assert differing(INDIA, table) == {}
        assert sources_missing(INDIA, table, source) == []


def test_annas_have_metals_and_no_figures() -> None:
    # Reserve Bank of India, museum: rupee, half and quarter nickel; 2, 1, ½ anna copper-nickel;
    # 1 pice bronze; from 15 August 1950.
    metals = {
        "india-1-rupee-1950": "nickel", "india-half-rupee-1950": "nickel",
        "india-quarter-rupee-1950": "nickel", "india-2-annas-1950": "copper-nickel",
        "india-1-anna-1950": "copper-nickel", "india-half-anna-1950": "copper-nickel",
        "india-1-pice-1950": "bronze",
    }  # fmt: skip
    unknown = {"mass_g": None, "diameter_mm": None, "thickness_mm": None}
    table = {key: {"composition": metal, "first_year": 1950} for key, metal in metals.items()}
    assert differing(INDIA, {key: row | unknown for key, row in table.items()}) == {}
    assert sources_missing(INDIA, metals, "reserve-bank-of-india-museum") == []
    assert of_memory(INDIA, "india-2-annas-1950") == {"outline"}
    assert of_memory(INDIA, "india-1-anna-1950") == {"outline"}


def test_annas_pice_and_pies_of_the_rupee() -> None:
    # Reserve Bank of India, museum: 1 rupee is 16 annas, 64 pice, 192 pies.
    (rupee,) = INDIA.currencies
    units = {unit.name: unit.per_main for unit in rupee.units}
    assert units == {"anna": 16, "pice": 64, "pie": 192, "paisa": 100}
    values = {each.key: each.value for each in INDIA.denominations}
    assert values["india-1-pice"] == Fraction(1, 64)
    assert values["india-half-anna"] == Fraction(1, 32)
    assert values["india-2-annas"] == Fraction(1, 8)
    assert values["india-3-paise"] == Fraction(3, 100)


def test_no_figure_of_india_claims_a_statute() -> None:
    assert not [source.title for source in INDIA.sources if "Act" in source.title.split()]
