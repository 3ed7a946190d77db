from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.metal.alloys import NAMED
from series.metal.compositions import parse_composition
from series.metal.metals import colour, density, describe, fine_metal, metal_name, tints
from series.picture.metals import METALS


@pytest.mark.parametrize(
    ("text", "name", "tone"),
    [
        ("Cu75Ni25", "copper-nickel", "white"),
        ("Cu84Ni16", "copper-nickel", "white"),
        ("Cu95Sn4Zn1", "bronze", "copper-red"),
        ("Cu97Zn2.5Sn0.5", "bronze", "copper-red"),
        ("Cu99Sn1", "copper", "copper-red"),
        ("Cu95Zn5", "gilding metal", "copper-red"),
        ("Cu70Zn30", "brass", "yellow"),
        ("CuZn20Ni5", "nickel brass", "yellow"),
        ("Cu79Zn20Ni1", "nickel brass", "yellow"),
        ("Cu88.5Zn6Mn3.5Ni2", "manganese brass", "yellow"),
        ("Cu61Zn20Ni19", "nickel silver", "white"),
        ("Cu89Al5Zn5Sn1", "aluminium-bronze", "yellow"),
        ("Cu92Al6Ni2", "aluminium-bronze", "yellow"),
        ("Ni", "nickel", "white"),
        ("Ni75Cu25", "nickel-copper", "white"),
        ("AlMg3", "aluminium", "white"),
        ("Zn", "zinc", "grey"),
        ("Fe", "iron", "grey"),
        ("FeCr18Ni9", "stainless steel", "grey"),
        ("steel", "steel", "grey"),
        ("silver 500", "silver 500", "white"),
        ("Ag40Cu60", "silver 400", "white"),
        ("Ag10Cu90", "billon", "white"),
        ("gold 22 carat", "gold 917", "gold"),
        ("Au90Cu10", "gold 900", "gold"),
        ("gold 9 carat", "gold 375", "yellow"),
        ("platinum 950", "platinum 950", "white"),
        ('"porcelain"', "porcelain", ""),
        ("core: steel; plating: Cu", "copper-plated steel", "copper-red"),
        ("core: steel; plating: Ni; plating: brass", "brass-plated steel", "yellow"),
        ("core: Cu; cladding: Cu75Ni25 >=30%", "copper-nickel-clad copper", "white"),
        ("Cu75Ni25 | Ni 7% | Cu75Ni25", "copper-nickel-clad nickel", "white"),
        ("Cu | Ag", "layers of copper and silver", "copper-red"),
        (
            "ring: CuZn20Ni5; centre: Cu75Ni25 | Ni 7% | Cu75Ni25",
            "ring and centre: nickel brass, copper-nickel",
            "two-colour",
        ),
        ("ring: Cu75Ni25; centre: Ni", "ring and centre: copper-nickel, nickel", "white"),
    ],
)
def test_names_and_colours(text: str, name: str, tone: str) -> None:
    build = parse_composition(text)
    assert (metal_name(build), colour(build)) == (name, tone)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("bronze", "bronze"),
        ("core: Zn; plating: Cu 2.5%", "copper-plated zinc"),
        ("core: steel; plating: Ni; plating: Cu", "steel plated with nickel, then copper"),
        (
            "ring: Cu75Ni25; centre: CuZn20Ni5 | Ni 12% | CuZn20Ni5",
            "copper-nickel ring, nickel-brass-clad nickel centre",
        ),
        ("ring: Cu; inner ring: Ni; centre: Zn", "copper ring, nickel inner ring, zinc centre"),
    ],
)
def test_words(text: str, words: str) -> None:
    assert describe(parse_composition(text)) == words


# Alloys on either side of a limit of the rules; common practice, no source, but for stainless
# steel: EN 10088 asks for at least 10.5 % chromium.
LIMITS = {
    "Ag4Cu96": "copper-silver", "Ag5Cu95": "billon", "Ag24Cu76": "billon",
    "Ag25Cu75": "silver 250",
    "Cu98.5Zn1.5": "copper", "Cu98Zn2": "copper-zinc",
    "Cu85Ni10Zn5": "nickel silver", "Cu86Ni9Zn5": "nickel brass",
    "Cu91Ni5Zn4": "copper-nickel", "Cu90Ni5Zn5": "nickel brass",
    "Cu97Al3": "aluminium-bronze", "Cu98Al2": "copper-aluminium",
    "Cu80Zn10Al10": "aluminium-bronze", "Cu79Zn11Al10": "brass",
    "Cu94Zn5Mn1": "manganese brass", "Cu94.5Zn5Mn0.5": "gilding metal",
    "Cu94.5Zn5Ni0.5": "nickel brass", "Cu94.6Zn5Ni0.4": "gilding metal",
    "Cu94.5Zn5Sn0.5": "bronze", "Cu93.5Zn6Sn0.5": "gilding metal",
    "Cu90Sn5Pb5": "potin", "Cu91Sn5Pb4": "bronze", "Cu91Sn4Pb5": "copper-lead",
    "Cu97Zn3": "gilding metal", "Cu97.5Zn2.5": "copper-zinc",
    "Cu90Zn10": "gilding metal", "Cu89Zn11": "brass",
    "Cu50Zn50": "brass", "Zn51Cu49": "zinc-copper",
    "Ni95Cu5": "nickel", "Ni94Cu6": "nickel-copper",
    "Al90Cu10": "aluminium", "Al89Cu11": "aluminium-copper",
    "Zn93Al7": "zinc", "Zn92Al8": "zinc-aluminium",
    "Fe89.5Cr10.5": "stainless steel", "Fe90Cr10": "steel",
    "Fe90Ni10": "steel", "Fe89Ni11": "iron-nickel", "Fe99C1": "steel",
    "Sn85Pb15": "tin", "Sn84Pb16": "pewter", "Sn50Pb50": "pewter", "Sn49Pb51": "lead-tin",
    "Pb85Sn15": "lead", "Pb84Sn16": "lead-tin", "Pb": "lead",
    "gold 333": "gold 333", "gold 8 carat": "gold 333", "gold 332": "gold-copper",
    "Pt50Cu50": "platinum 500", "Pt49Cu51": "copper-platinum",
    "Pd50Cu50": "palladium 500", "Pd49Cu51": "copper-palladium",
    "Ag99.9Cu0.1": "silver 999", "Ag100": "silver",
}  # fmt: skip


@pytest.mark.parametrize("text", LIMITS)
def test_where_one_name_ends_and_the_next_begins(text: str) -> None:
    assert metal_name(parse_composition(text)) == LIMITS[text]


@pytest.mark.parametrize(
    ("text", "look"),
    [
        ("Al80Zn20", "aluminium"),
        ("Zn60Cu40", "zinc"),
        ("gold 333", "pale gold"),
        ("Au49Cu51", "pale gold"),
        ("Au50Cu50", "gold"),
        ("palladium 950", "platinum"),
        ("Cu70Sn10Pb20", "bronze"),
    ],
)
def test_what_an_alloy_looks_like(text: str, look: str) -> None:
    """Common practice, no source."""
    assert tints(parse_composition(text)) == (look,)


@pytest.mark.parametrize("name", NAMED)
def test_a_plain_name_stands_for_shares_that_can_make_a_whole(name: str) -> None:
    ranges = NAMED[name]
    least = sum(low for low, _ in ranges.values())
    assert all(0 <= low < high <= 100 for low, high in ranges.values())
    assert least < 100 <= sum(high for _, high in ranges.values())
    assert [s for s, (low, high) in ranges.items() if high > 100 - (least - low)] == []


@pytest.mark.parametrize("name", NAMED)
def test_every_plain_name_has_a_look_that_is_drawn(name: str) -> None:
    build = parse_composition(name)
    assert set(tints(build)) <= METALS.keys()
    assert colour(build)


def test_proportions_unknown_give_a_range_of_densities() -> None:
    low, high = density(parse_composition("brass")) or (0, 0)
    assert low < 8.32 < high  # Cu70Zn30


def test_density_of_parts_lies_between_theirs() -> None:
    low, high = density(parse_composition("ring: Cu; centre: Al")) or (0, 0)
    assert (low, high) == pytest.approx((2.70, 8.96))
    mixed = density(parse_composition("ring: Cu 50%; centre: Al 50%"))
    assert mixed == pytest.approx((2 / (1 / 8.96 + 1 / 2.70),) * 2)


def test_thickness_of_plating_is_assumed_only_where_nothing_is_stated() -> None:
    thin, _ = density(parse_composition("core: Fe; plating: Al")) or (0, 0)
    assert thin == pytest.approx(1 / (0.9 / 7.87 + 0.1 / 2.70))
    stated = density(parse_composition("core: Fe 50%; plating: Al"))
    assert stated == pytest.approx((1 / (0.5 / 7.87 + 0.5 / 2.70),) * 2)


def test_density_of_the_unknown_is_unknown() -> None:
    assert density(parse_composition('ring: Cu; centre: "a shell\'s nacre"')) is None


def test_fine_metal_of_parts() -> None:
    build = parse_composition("ring: silver 900 40%; centre: Cu89Al5Zn5Sn1 60%")
    found = fine_metal(build, "Ag", Decimal(10))
    assert found
    assert (found.least_g, found.most_g) == (Decimal("3.6"), Decimal("3.6"))


def test_fine_metal_is_a_range_where_shares_are() -> None:
    found = fine_metal(parse_composition("core: Cu; cladding: Ag80Cu20 >=30%"), "Ag", Decimal(10))
    assert found
    assert (found.least_g, found.most_g) == (Decimal("2.4"), Decimal("8"))


def test_fine_metal_of_the_unknown_is_unknown() -> None:
    assert fine_metal(parse_composition('"fibre"'), "Au", Decimal(1)) is None


@pytest.mark.parametrize(
    ("element", "mass"), [("Xx", "1"), ("silver", "1"), ("Ag", "0"), ("Ag", "-1")]
)
def test_fine_metal_refuses_nonsense(element: str, mass: str) -> None:
    with pytest.raises(ValueError):
        fine_metal(parse_composition("silver 900"), element, Decimal(mass))


metals = st.sampled_from(["Cu", "Ni", "Zn", "Al", "Ag", "Au"])
percents = st.integers(1, 999).map(lambda n: Decimal(n) / 10)


@given(metals, metals, percents)
def test_density_of_two_metals_lies_between_theirs(one: str, other: str, percent: Decimal) -> None:
    if one == other:
        return
    low, high = density(parse_composition(f"{one}{other}{percent}")) or (0, 0)
    ends = sorted((density(parse_composition(each)) or (0, 0))[0] for each in (one, other))
    assert low == high
    assert ends[0] < low < ends[1]


@given(metals, metals, percents, st.integers(1, 100_000))
def test_fine_metals_make_the_whole(one: str, other: str, percent: Decimal, mg: int) -> None:
    if one == other:
        return
    build, mass = parse_composition(f"{one}{other}{percent}"), Decimal(mg) / 1000
    parts = [fine_metal(build, each, mass) for each in (one, other)]
    total = sum((part.least_g for part in parts if part), Decimal(0))
    assert abs(total - mass) <= Decimal("0.000001")


@given(st.sampled_from(sorted(NAMED)), percents)
def test_a_known_alloy_lies_within_the_range_of_its_plain_name(name: str, place: Decimal) -> None:
    """Some mixture inside the ranges, made by going part of the way for each element."""
    shares = parse_composition(name).parts[0].material.shares  # type: ignore[union-attr]
    free = 1 - sum((low for _, low, _ in shares), Fraction(0))
    room = sum((high - low for _, low, high in shares), Fraction(0))
    mixture = {s: low + (high - low) * free / room for s, low, high in shares}
    from series.metal.elements import DENSITY

    mixed = 1 / sum(float(part) / DENSITY[symbol] for symbol, part in mixture.items())
    low, high = density(parse_composition(name)) or (0, 0)
    assert low - 1e-9 <= mixed <= high + 1e-9
