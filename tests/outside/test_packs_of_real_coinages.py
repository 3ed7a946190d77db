"""The figures of country packs against statutes and banks' tables, typed here from the sources.

Only what a statute, an issue notice, a mint or a central bank publishes is checked here; what
a pack has from an encyclopaedia or from memory says so in its citations, and nothing here counts it
as checked. Sources stand beside each table.
"""

from __future__ import annotations

from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest

from series.entries.cited import cited_facts
from series.entries.tables import PackEntry, TypeEntry
from series.packs.checks import Known
from series.packs.format import read_pack

PACKS = Path(__file__).parent.parent.parent / "fixtures" / "packs"
GRAIN = Decimal("0.06479891")  # g exactly: 1/7000 of the international pound of 453.59237 g


def files(name: str) -> dict[str, str]:
    return {p.name: p.read_text("utf-8") for p in (PACKS / name).glob("*.toml")}


@cache
def pack(name: str) -> PackEntry:
    euro = read_pack(files("euro"))
    kinds = ("issuers", "currencies", "denominations", "motifs", "sources", "people", "series")
    owners = {kind: {one.key: "euro" for one in getattr(euro, kind)} for kind in kinds}
    return read_pack(files(name), Known(owners))


def types(name: str) -> dict[str, TypeEntry]:
    return {each.key: each for each in pack(name).types}


COUNTRIES = (
    "canada", "germany-mark", "ireland", "new-zealand", "switzerland", "united-kingdom-decimal",
)  # fmt: skip


# ---- Ireland ----
# Coinage Act 1926, Schedule: standard weight in grains, and one part in so many of remedy.
IRISH_GRAINS = {
    "half-crown": ("218.18181", 180), "florin": ("174.54545", 175), "shilling": ("87.27272", 150),
    "sixpence": ("70", 125), "threepence": ("50", 100), "penny": ("145.83333", 40),
    "halfpenny": ("87.5", 40), "farthing": ("43.75", 40),
}  # fmt: skip


@pytest.mark.parametrize("coin", IRISH_GRAINS)
def test_irish_coins_weigh_what_the_act_of_1926_says(coin: str) -> None:
    grains, part = IRISH_GRAINS[coin]
    kept = types("ireland")[f"ireland-1928-{coin}"]
    assert kept.mass_g == (Decimal(grains) * GRAIN).quantize(Decimal("0.0001")).normalize()
    assert kept.remedy_law.startswith(f"1 in {part}")


def test_the_act_of_1950_changed_the_metal_and_not_the_weight() -> None:
    found = types("ireland")
    for coin in ("half-crown", "florin", "shilling"):
        assert found[f"ireland-1928-{coin}"].composition == "Ag75Cu25"
        assert found[f"ireland-copper-nickel-{coin}"].composition == "Cu75Ni25"
        assert found[f"ireland-1928-{coin}"].mass_g == found[f"ireland-copper-nickel-{coin}"].mass_g


def test_the_ten_shillings_of_1966_are_280_grains() -> None:  # Act of 1966 (No. 5)
    kept = types("ireland")["ireland-1966-ten-shillings"]
    assert kept.mass_g == (280 * GRAIN).quantize(Decimal("0.0001"))
    assert "1 in 800" in kept.remedy_law


# Decimal Currency Act 1969, First Schedule: mass g, remedy g; Act of 1990, section 3, the pound.
IRISH_DECIMAL = {
    "half-penny": ("1.78200", "0.0375"), "1-penny": ("3.56400", "0.0750"),
    "2-pence": ("7.12800", "0.1500"), "5-pence-large": ("5.65518", "0.0375"),
    "10-pence-large": ("11.31036", "0.0646"), "50-pence": ("13.50000", "0.0800"),
    "1-pound": ("10.00000", "0.0450"),
}  # fmt: skip


@pytest.mark.parametrize("coin", IRISH_DECIMAL)
def test_irish_decimal_coins(coin: str) -> None:
    mass, remedy = IRISH_DECIMAL[coin]
    kept = types("ireland")[f"ireland-decimal-{coin}"]
    assert kept.mass_g == Decimal(mass).quantize(Decimal("0.0001"))
    assert kept.remedy_law.startswith(f"{remedy} g on the mean of a sample of at most 1 kg")


def test_the_irish_pound_kept_its_worth_in_1971() -> None:  # Decimal Currency Act 1969
    old = next(c for c in pack("ireland").currencies if c.key == "irish-pound-lsd")
    assert (old.successor, old.rate, str(old.rate_from)) == ("irish-pound", "1", "1971-02-15")


# ---- Germany: the federal issue notices named beside; Ø mm, mass g ----
GERMAN = {
    "1-pfennig-bank": ("16.5", "2"),  # 1948-11-04
    "2-pfennig-steel": ("19.25", "2.9"),  # 1968-12-11
    "5-pfennig-bank": ("18.5", "3"),  # 1949-03-07
    "10-pfennig-bank": ("21.5", "4"),  # 1949-03-07
    "50-pfennig-bank": ("20", "3.5"),  # 1949-12-02
    "50-pfennig-plain": ("20", "3.5"),  # 1972-09-12
    "1-mark": ("23.5", "5.5"),  # 1950-09-08
    "2-mark-adenauer": ("26.75", "7"),  # 1970-12-10
    "2-mark-heuss": ("26.75", "7"),  # 1973-06-15
    "2-mark-schumacher": ("26.75", "7"),  # 1979-01-22
    "2-mark-erhard": ("26.75", "7"),  # 1988-05-17
    "5-mark-silver": ("29", "11.2"),  # commemorative notices 1953-1979
    "5-mark-copper-nickel": ("29", "10"),  # 1975-01-08
    "10-mark-1987": ("32.5", "15.5"),  # BGBl I 1159
}


@pytest.mark.parametrize("coin", GERMAN)
def test_german_coins_measure_what_their_notices_say(coin: str) -> None:
    kept = types("germany-mark")[f"germany-{coin}"]
    assert (kept.diameter_mm, kept.mass_g) == tuple(map(Decimal, GERMAN[coin]))


def test_the_fifty_pfennig_lost_its_milling_in_1972() -> None:  # BGBl I 1726
    found = types("germany-mark")
    assert found["germany-50-pfennig-milled"].edge == "milled"
    assert found["germany-50-pfennig-plain"].edge == "plain"
    assert found["germany-50-pfennig-plain"].first_year == 1972


# ---- Switzerland: Münzverordnung (SR 941.101), Article 2; Ø in whole mm, mass g ----
SWISS = {
    "5-francs": (31, "13.2", "Cu75Ni25"), "2-francs": (27, "8.8", "Cu75Ni25"),
    "1-franc": (23, "4.4", "Cu75Ni25"), "half-franc": (18, "2.2", "Cu75Ni25"),
    "20-rappen": (21, "4", "Cu75Ni25"), "10-rappen": (19, "3", "Cu75Ni25"),
    "5-rappen": (17, "1.8", "Cu92Al6Ni2"),
}  # fmt: skip


@pytest.mark.parametrize("coin", SWISS)
def test_swiss_coins_in_force(coin: str) -> None:
    across, mass, metal = SWISS[coin]
    kept = types("switzerland")[f"switzerland-{coin}"]
    assert kept.mass_g == Decimal(mass)
    assert kept.composition == metal
    assert kept.size_law.startswith(f"{across} mm in law")
    assert kept.diameter_mm is not None
    assert abs(kept.diameter_mm - across) < Decimal("0.5")  # rounded to the millimetre of the law


# ---- Canada: Royal Canadian Mint Act, Schedule, Part 2; mass g, tolerance g, pieces ----
CANADIAN = {
    "2-dollars-nickel-ring": ("7.30", "42.38", 137), "2-dollars-plated": ("6.92", "±30.45", 145),
    "1-dollar-bronze-plated": ("7.0", "21.38", 143),
    "1-dollar-brass-plated": ("7.0", "±21.38", 143),
    "1-dollar-steel": ("6.27", "±30.4", 160), "50-cents-nickel": ("8.1", "12.81", 123),
    "50-cents-steel": ("6.9", "±30.39", 144), "25-cents-nickel": ("5.05", "14.26", 198),
    "25-cents-steel": ("4.4", "±29.66", 227), "10-cents-nickel": ("2.07", "21.44", 483),
    "10-cents-steel": ("1.75", "±34.43", 571), "5-cents-copper-nickel": ("4.6", "39.77", 217),
    "5-cents-steel": ("3.95", "±30.51", 253), "1-cent-bronze": ("2.5", "44.96", 400),
    "1-cent-zinc": ("2.25", "26.72", 444), "1-cent-steel": ("2.35", "25.5", 425),
}  # fmt: skip


@pytest.mark.parametrize("coin", CANADIAN)
def test_canadian_coins(coin: str) -> None:
    mass, tolerance, pieces = CANADIAN[coin]
    kept = types("canada")[f"canada-{coin}"]
    assert kept.mass_g == Decimal(mass)
    assert kept.remedy_law == f"{tolerance} g per kilogram of {pieces} pieces"
    assert abs(pieces * Decimal(mass) - 1000) < Decimal(mass)  # so many pieces are a kilogram


# ---- New Zealand: specifications of the Reserve Bank; Ø mm, mass g, thickness mm ----
NEW_ZEALAND = {
    "10-cents-small": ("20.5", "3.30", "1.58"), "20-cents-small": ("21.75", "4.00", "1.56"),
    "50-cents-small": ("24.75", "5.00", "1.70"), "2-dollars": ("26.50", "10.00", "2.70"),
}  # fmt: skip


@pytest.mark.parametrize("coin", NEW_ZEALAND)
def test_new_zealand_coins(coin: str) -> None:
    kept = types("new-zealand")[f"new-zealand-{coin}"]
    measured = (kept.diameter_mm, kept.mass_g, kept.thickness_mm)
    assert measured == tuple(map(Decimal, NEW_ZEALAND[coin]))


def test_two_new_zealand_dollars_made_a_pound() -> None:  # encyclopaedia: 10 July 1967
    pound = next(c for c in pack("new-zealand").currencies if c.key == "new-zealand-pound")
    assert (pound.rate, str(pound.rate_from)) == ("1/2", "1967-07-10")


# ---- United Kingdom: the Royal Mint's own pages; Ø mm, mass g ----
BRITISH = {
    "1-penny-bronze": ("20.3", "3.56"), "1-penny-steel": ("20.3", "3.56"),
    "5-pence-small": ("18.0", "3.25"), "10-pence-small": ("24.5", "6.5"),
    "1-pound-twelve-sided": ("23.43", "8.75"),
}  # fmt: skip


@pytest.mark.parametrize("coin", BRITISH)
def test_british_coins_as_the_mint_publishes_them(coin: str) -> None:
    kept = types("united-kingdom-decimal")[f"uk-{coin}"]
    assert (kept.diameter_mm, kept.mass_g) == tuple(map(Decimal, BRITISH[coin]))


# ---- all of them ----
@pytest.mark.parametrize("name", COUNTRIES)
def test_every_measure_says_whose_it_is(name: str) -> None:
    """A figure without a source that is named for it would pass for one of the statute."""
    for coin in pack(name).types:
        named = {fact for each in coin.citations for fact in cited_facts(each.where)}
        kept = {f for f in ("mass_g", "diameter_mm", "thickness_mm", "composition", "edge")
                if getattr(coin, f) not in (None, "")}  # fmt: skip
        assert kept <= named, coin.key
        if coin.first_year is not None:
            assert {"years", "dates"} & named, coin.key


@pytest.mark.parametrize("name", COUNTRIES)
def test_a_title_says_what_is_covered_and_never_all(name: str) -> None:
    assert " all " not in f" {pack(name).title.lower()} "
