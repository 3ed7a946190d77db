"""Densities, alloys set by law and fine metal, compared with published figures."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest

from series.metal.compositions import parse_composition
from series.metal.elements import DENSITY, NAME
from series.metal.metals import density, fine_metal


@pytest.mark.parametrize("symbol", sorted(DENSITY))
def test_density_of_elements(symbol: str) -> None:
    """Source: the PyPI package periodictable, whose densities come from a handbook.

    Three percent of slack: handbooks differ by the form of the element (carbon, arsenic,
    tellurium) and by the temperature.
    """
    import periodictable

    element = getattr(periodictable, symbol)
    assert pytest.approx(element.density, rel=0.03) == DENSITY[symbol]
    american = {"aluminium": "aluminum", "sulphur": "sulfur"}
    assert element.name == american.get(NAME[symbol], NAME[symbol])


@pytest.mark.parametrize(
    ("symbol", "published"),
    [
        ("Cu", 8.96), ("Ni", 8.90), ("Zn", 7.13), ("Al", 2.70), ("Sn", 7.31), ("Ag", 10.50),
        ("Au", 19.3), ("Fe", 7.87), ("Pt", 21.45),
    ],
)  # fmt: skip
def test_handbook_densities_at_20_degrees(symbol: str, published: float) -> None:
    """Source: handbook values at 20 °C, g/cm³."""
    assert density(parse_composition(symbol)) == pytest.approx((published, published))


@pytest.mark.parametrize(
    ("text", "published"), [("Ag90Cu10", 10.32), ("Ag92.5Cu7.5", 10.37), ("silver 900", 10.32)]
)
def test_silver_with_copper(text: str, published: float) -> None:
    """Source: handbook figures for 900 and 925 thousandths, the rest copper."""
    found = density(parse_composition(text))
    assert found
    assert round(found[1], 2) == published
    assert found[0] > published - 0.3


def test_alloy_of_the_50_cent_piece() -> None:
    """Source: Council Regulation (EU) No 729/2014, Annex I: Cu89Al5Zn5Sn1, 24.25 mm, 7.80 g,
    indicative thickness 2.38 mm. The stated thickness is that of the rim, so the mass over the
    cylinder makes 7.1 g/cm³, 0.82 to 0.92 of the alloy's own density of about 7.9.
    """
    found = density(parse_composition("Cu89Al5Zn5Sn1"))
    assert found
    assert found == pytest.approx((7.9, 7.9), abs=0.05)
    cylinder = 7.80 / (math.pi * 2.425**2 / 4 * 0.238)
    assert cylinder == pytest.approx(7.1, abs=0.05)
    assert 0.82 <= cylinder / found[0] <= 0.92


@pytest.mark.parametrize(
    ("text", "diameter_mm", "thickness_mm", "mass_g"),
    [
        ("ring: Cu75Ni25; centre: CuZn20Ni5 | Ni 12% | CuZn20Ni5", 25.75, 2.20, 8.50),
        ("ring: CuZn20Ni5; centre: Cu75Ni25 | Ni 7% | Cu75Ni25", 23.25, 2.33, 7.50),
        ("Cu89Al5Zn5Sn1", 19.75, 1.93, 4.10),
        ("core: steel; plating: Cu", 21.25, 1.67, 3.92),
        ("core: steel; plating: Cu", 18.75, 1.67, 3.06),
        ("core: steel; plating: Cu", 16.25, 1.67, 2.30),
    ],
)
def test_euro_coins_fill_most_of_their_cylinder(
    text: str, diameter_mm: float, thickness_mm: float, mass_g: float
) -> None:
    """Source of the measures: Council Regulation (EU) No 729/2014, Annex I. That a round, rimmed
    coin fills 0.82 to 0.92 of the cylinder of its rim is common practice, no source.
    """
    low, high = density(parse_composition(text)) or (0, 0)
    cylinder = mass_g / (math.pi * diameter_mm**2 / 4 * thickness_mm / 1000)
    assert cylinder / high < 0.92
    assert cylinder / low > 0.82


@pytest.mark.parametrize(
    ("mass_g", "ounces"),
    [("33.931", "1"), ("16.966", "0.5"), ("8.483", "0.25"), ("3.393", "0.1")],
)
def test_gold_pieces_of_the_united_states(mass_g: str, ounces: str) -> None:
    """Source: 31 U.S.C. § 5112(a)(7) to (10): 33.931 g hold one troy ounce of fine gold,
    16.966 g a half, 8.483 g a quarter, 3.393 g a tenth; the pieces are 22 carat.
    """
    found = fine_metal(parse_composition("gold 22 carat"), "Au", Decimal(mass_g))
    assert found
    assert round(found.least_ozt, 4) == Decimal(ounces)
    assert found.least_ozt == found.most_ozt


def test_clad_half_dollar_holds_copper_and_nickel_only() -> None:
    """Source: 31 U.S.C. § 5112(b): outer layers of 75 % copper and 25 % nickel, at least 30 % of
    the mass, over copper; the half dollar weighs 11.34 g. So at least 7.5 % nickel.
    """
    half = parse_composition("core: Cu; cladding: Cu75Ni25 >=30%")
    nickel = fine_metal(half, "Ni", Decimal("11.34"))
    copper = fine_metal(half, "Cu", Decimal("11.34"))
    assert nickel
    assert copper
    assert nickel.least_g == Decimal("0.8505")  # 11.34 × 0.30 × 0.25
    assert nickel.least_g + copper.most_g == Decimal("11.34")


def test_copper_of_the_plated_cent() -> None:
    """Source: published specification of the one-cent piece since 1982: 2.50 g, 97.5 % zinc,
    2.5 % copper. Zn at 7.13 and Cu at 8.96 make 7.17 by hand: 1 ÷ (0.975/7.13 + 0.025/8.96).
    """
    cent = parse_composition("core: Zn 97.5%; plating: Cu 2.5%")
    found = fine_metal(cent, "Cu", Decimal("2.50"))
    assert found
    assert found.least_g == found.most_g == Decimal("0.0625")
    assert density(cent) == pytest.approx((7.17, 7.17), abs=0.005)
