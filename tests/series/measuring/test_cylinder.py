from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.measuring.agreement import agreement
from series.measuring.cylinder import FILL, WIDE_FILL, Read, implied_density, implied_words
from series.metal.compositions import parse_composition
from series.metal.metals import density

EURO = [
    ("ring: Cu75Ni25; centre: CuZn20Ni5 | Ni 12% | CuZn20Ni5", 25.75, 2.20, 8.50),
    ("ring: CuZn20Ni5; centre: Cu75Ni25 | Ni 7% | Cu75Ni25", 23.25, 2.33, 7.50),
    ("Cu89Al5Zn5Sn1", 24.25, 2.38, 7.80),
    ("Cu89Al5Zn5Sn1", 19.75, 1.93, 4.10),
    ("core: steel; plating: Cu", 21.25, 1.67, 3.92),
    ("core: steel; plating: Cu", 18.75, 1.67, 3.06),
    ("core: steel; plating: Cu", 16.25, 1.67, 2.30),
]


@pytest.mark.parametrize(("text", "diameter", "thickness", "mass"), EURO)
def test_round_euro_pieces_agree_with_their_own_metal(
    text: str, diameter: float, thickness: float, mass: float
) -> None:
    """Measures: Council Regulation (EU) No 729/2014, Annex I."""
    found = implied_density(Read(mass, 0.05), Read(diameter, 0.05), Read(thickness, 0.02))
    told = agreement(found.least, found.most, [text, "silver 900", "gold 22 carat", "aluminium"])
    assert text in [each.composition for each in told.agree]
    assert {"gold 22 carat", "aluminium"} <= {each.composition for each in told.disagree}


@pytest.mark.parametrize(
    ("text", "diameter", "thickness", "mass"),
    [
        ("core: Cu; cladding: Cu75Ni25 >=30%", 17.91, 1.35, 2.268),
        ("core: Cu; cladding: Cu75Ni25 >=30%", 24.26, 1.75, 5.67),
        ("core: Cu; cladding: Cu75Ni25 >=30%", 30.61, 2.15, 11.34),
        ("Cu75Ni25", 21.21, 1.95, 5.0),
        ("core: Zn; plating: Cu 2.5%", 19.05, 1.52, 2.5),
    ],
)
def test_united_states_pieces_fill_less_but_lie_in_the_wide_range(
    text: str, diameter: float, thickness: float, mass: float
) -> None:
    """Mass and diameter: 31 U.S.C. § 5112(a) and the published specifications; thickness as
    published, from memory."""
    reads = Read(mass), Read(diameter), Read(thickness)
    usual, wide = implied_density(*reads), implied_density(*reads, fill=WIDE_FILL)
    low, high = density(parse_composition(text)) or (0, 0)
    assert usual.most < low
    assert wide.least <= low <= high <= wide.most
    assert implied_words(wide).endswith("as nearly every struck piece does")


@given(st.floats(1, 50), st.floats(10, 45), st.floats(0.8, 4))
def test_exact_measures_give_the_cylinder_through_the_fill(
    mass: float, diameter: float, thickness: float
) -> None:
    found = implied_density(Read(mass), Read(diameter), Read(thickness))
    assert found.cylinder == pytest.approx(
        1000 * mass / (math.pi * diameter**2 / 4 * thickness), rel=1e-9
    )
    assert found.least == pytest.approx(found.cylinder / FILL[1])
    assert found.most == pytest.approx(found.cylinder / FILL[0])


@given(st.floats(0.005, 0.1), st.floats(1.1, 4), st.sampled_from([0, 1, 2]))
def test_a_coarser_reading_of_any_measure_widens_the_range(
    within: float, times: float, which: int
) -> None:
    reads = [Read(5.67, within), Read(24.26, within), Read(1.75, within)]
    fine = implied_density(*reads)
    reads[which] = Read(reads[which].value, within * times)
    coarse = implied_density(*reads)
    assert coarse.least < fine.least < fine.most < coarse.most


def test_a_doubt_of_the_diameter_counts_twice() -> None:
    """The area grows as its square; with a hole of a quarter of the area, 2 ÷ (1 − 1/4)."""
    across = implied_density(Read(5), Read(20, 0.2), Read(2))
    high = implied_density(Read(5), Read(20), Read(2, 0.04))
    assert across.most == pytest.approx(high.most)
    holed = implied_density(Read(5), Read(20, 0.15), Read(2), hole="round", hole_mm=10)
    thick = implied_density(Read(5), Read(20), Read(2, 0.04), hole="round", hole_mm=10)
    assert holed.most == pytest.approx(thick.most)


@given(st.floats(0.5, 3))
def test_size_alone_changes_nothing(times: float) -> None:
    one = implied_density(Read(5, 0.1), Read(20, 0.2), Read(2, 0.05))
    large = implied_density(
        Read(5 * times**3, 0.1 * times**3),
        Read(20 * times, 0.2 * times),
        Read(2 * times, 0.05 * times),
    )
    assert large.least == pytest.approx(one.least)
    assert large.most == pytest.approx(one.most)


def test_a_hole_makes_the_rest_denser() -> None:
    whole = implied_density(Read(4), Read(20), Read(1.5))
    holed = implied_density(Read(4), Read(20), Read(1.5), hole="round", hole_mm=10)
    assert holed.cylinder == pytest.approx(whole.cylinder / (1 - 0.25))
    assert implied_density(Read(4), Read(20), Read(1.5), hole="round") == whole
    assert implied_density(Read(4), Read(20), Read(1.5), hole_mm=10) == whole


def test_the_area_of_a_polygon_is_less_than_its_circle() -> None:
    """A regular octagon covers 2√2 ÷ π of the circle through its corners; ours are rounded."""
    octagon = implied_density(Read(4), Read(20), Read(1.5), outline="polygon", sides=8)
    whole = implied_density(Read(4), Read(20), Read(1.5))
    assert whole.cylinder / octagon.cylinder == pytest.approx(2 * math.sqrt(2) / math.pi, rel=0.015)


@pytest.mark.parametrize(
    ("mass", "diameter", "thickness", "hole_mm", "says"),
    [
        (Read(0), Read(20), Read(2), 0, "The mass must be above nothing"),
        (Read(5), Read(-20), Read(2), 0, "The diameter must be above nothing"),
        (Read(5), Read(20), Read(2, 2), 0, "The thickness must be above nothing"),
        (Read(5), Read(20), Read(2), 20, "leaves nothing of the piece"),
    ],
)
def test_measures_that_cannot_be_are_refused(
    mass: Read, diameter: Read, thickness: Read, hole_mm: float, says: str
) -> None:
    with pytest.raises(ValueError, match=says):
        implied_density(mass, diameter, thickness, hole="round", hole_mm=hole_mm)


@given(st.floats(1, 50), st.floats(10, 45), st.floats(0.8, 4))
def test_words_round_outwards(mass: float, diameter: float, thickness: float) -> None:
    found = implied_density(Read(mass, 0.01), Read(diameter, 0.05), Read(thickness, 0.02))
    low, _, high = implied_words(found).split()[:3]
    assert found.least - 0.1 <= float(low) <= found.least + 1e-9
    assert found.most - 1e-9 <= float(high) <= found.most + 0.1
