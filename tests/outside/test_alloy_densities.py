"""Densities of alloys and builds against a reference library and handbook figures."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from series.measuring.real_density import real_density
from series.metal.compositions import parse_composition
from series.metal.metals import density

PACKS = Path(__file__).parents[2] / "fixtures" / "packs"

ALLOYS: dict[str, dict[str, float]] = {
    "Ag90Cu10": {"Ag": 90, "Cu": 10},
    "Ag92.5Cu7.5": {"Ag": 92.5, "Cu": 7.5},
    "Ag50Cu40Zn10": {"Ag": 50, "Cu": 40, "Zn": 10},
    "Au91.67Cu8.33": {"Au": 91.67, "Cu": 8.33},
    "Au91.67Ag3Cu5.33": {"Au": 91.67, "Ag": 3, "Cu": 5.33},
    "Cu75Ni25": {"Cu": 75, "Ni": 25},
    "CuZn20Ni5": {"Cu": 75, "Zn": 20, "Ni": 5},
    "Cu89Al5Zn5Sn1": {"Cu": 89, "Al": 5, "Zn": 5, "Sn": 1},
    "Cu88.5Zn6Mn3.5Ni2": {"Cu": 88.5, "Zn": 6, "Mn": 3.5, "Ni": 2},
    "Cu95Sn4Zn1": {"Cu": 95, "Sn": 4, "Zn": 1},
    "FeCr18Ni9": {"Fe": 73, "Cr": 18, "Ni": 9},
}


def by_library(shares: dict[str, float]) -> float:
    """g/cm³ where volumes add, with the densities of the PyPI package periodictable."""
    import periodictable

    volume = sum(w / getattr(periodictable, symbol).density for symbol, w in shares.items())
    return sum(shares.values()) / volume


@pytest.mark.parametrize("text", ALLOYS)
def test_alloys_by_mass_fractions(text: str) -> None:
    """Source: densities of the elements in the PyPI package periodictable."""
    low, high = density(parse_composition(text)) or (0, 0)
    assert low == high == pytest.approx(by_library(ALLOYS[text]), rel=0.006)


@pytest.mark.parametrize(
    ("text", "shares"),
    [
        ("core: Zn 97.5%; plating: Cu 2.5%", {"Zn": 97.5, "Cu": 2.5}),
        ("core: Fe 94%; plating: Cu 6%", {"Fe": 94, "Cu": 6}),
        ("core: Cu 66.7%; cladding: Cu75Ni25 33.3%", {"Cu": 91.675, "Ni": 8.325}),
        ("Cu75Ni25 46.5% | Ni 7% | Cu75Ni25 46.5%", {"Cu": 69.75, "Ni": 30.25}),
        ("CuZn20Ni5 44% | Ni 12% | CuZn20Ni5 44%", {"Cu": 66, "Zn": 17.6, "Ni": 16.4}),
        ("ring: silver 1000 60%; centre: gold 1000 40%", {"Ag": 60, "Au": 40}),
        (
            "ring: Cu75Ni25 60%; centre: (core: Fe 90%; plating: Ni 10%) 40%",
            {"Cu": 45, "Ni": 19, "Fe": 36},
        ),
    ],
)
def test_builds_from_their_parts(text: str, shares: dict[str, float]) -> None:
    """Shares of the elements multiplied out by hand; the layers' shares are not alloys."""
    low, high = density(parse_composition(text)) or (0, 0)
    assert low == high == pytest.approx(by_library(shares), rel=0.006)


@pytest.mark.parametrize(
    ("text", "published"),
    [
        ("Cu75Ni25", 8.94), ("Cu90Ni10", 8.94), ("Cu70Ni30", 8.94), ("sterling", 10.36),
        ("Ag90Cu10", 10.31), ("Ag80Cu20", 10.19), ("Ag50Cu50", 9.66), ("gold 22 carat", 17.7),
        ("Au90Cu10", 17.17), ("Cu95Zn5", 8.86), ("Cu90Zn10", 8.80), ("Cu85Zn15", 8.75),
        ("Cu70Zn30", 8.53), ("Cu60Zn40", 8.39), ("Cu95Sn5", 8.86), ("Cu90Sn10", 8.78),
        ("Cu95Al5", 8.17), ("Cu92Al8", 7.78), ("Cu65Zn18Ni17", 8.73), ("FeCr18Ni9", 7.93),
        ("FeCr17", 7.72), ("steel", 7.85), ("AlMg3", 2.66), ("Pt95Cu5", 20.0),
    ],
)  # fmt: skip
def test_real_alloys_lie_in_the_range_to_compare_with(text: str, published: float) -> None:
    """Source: handbook densities of wrought alloys, g/cm³, from memory."""
    low, high = real_density(parse_composition(text)) or (0, 0)
    assert low <= published <= high


@pytest.mark.parametrize("text", ["Cu75Ni25", "Ag92.5Cu7.5", "Cu95Sn5", "Cu90Ni10"])
def test_where_volumes_add_the_handbook_agrees_to_a_quarter_of_a_hundredth(text: str) -> None:
    """Source: handbook densities, from memory: 8.94, 10.36, 8.86, 8.94 g/cm³."""
    handbook = {"Cu75Ni25": 8.94, "Ag92.5Cu7.5": 10.36, "Cu95Sn5": 8.86, "Cu90Ni10": 8.94}
    low, _ = density(parse_composition(text)) or (0, 0)
    assert low == pytest.approx(handbook[text], rel=0.0025)


def compositions_of_packs() -> list[str]:
    found = {
        coin_type["composition"]
        for file in PACKS.rglob("*.toml")
        for coin_type in tomllib.loads(file.read_text()).get("types", [])
        if coin_type.get("composition")
    }
    return sorted(found)


def test_every_composition_of_the_shipped_packs_has_a_density_of_a_metal() -> None:
    """Between aluminium and gold (2.6 to 19.4 g/cm³), never wider than its own parts."""
    texts = compositions_of_packs()
    assert len(texts) > 20
    for text in texts:
        low, high = density(parse_composition(text)) or (0, 0)
        real = real_density(parse_composition(text)) or (0, 0)
        assert 2.5 < real[0] <= low <= high <= real[1] < 19.4, text
