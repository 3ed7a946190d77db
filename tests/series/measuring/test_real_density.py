from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.measuring.real_density import SLACK, real_density
from series.metal.alloys import NAMED
from series.metal.compositions import parse_composition
from series.metal.metals import density


@given(st.sampled_from([*NAMED, "Cu89Al5Zn5Sn1", "core: steel; plating: brass", "Cu | Zn"]))
def test_the_range_holds_that_of_volumes_that_add(text: str) -> None:
    build = parse_composition(text)
    adding, real = density(build), real_density(build)
    assert adding
    assert real
    assert real[0] <= adding[0] * (1 - SLACK) * 1.000001
    assert real[1] >= adding[1] * (1 + SLACK) * 0.999999


def test_zinc_takes_less_room_in_copper_but_not_beside_it() -> None:
    mixed = real_density(parse_composition("Cu70Zn30"))
    beside = real_density(parse_composition("ring: Cu 70%; centre: Zn 30%"))
    assert mixed
    assert beside
    assert mixed[1] > 1.02 * beside[1]
    assert mixed[0] == pytest.approx(beside[0])


def test_of_austenitic_steel_the_iron_alone_packs_closer() -> None:
    """Handbook densities, from memory: iron in it 8.03, chromium 7.19, nickel 8.90, so 7.93."""
    found = real_density(parse_composition("FeCr18Ni9"))
    assert found
    assert found[1] == pytest.approx((1 + SLACK) / (0.73 / 8.03 + 0.18 / 7.19 + 0.09 / 8.90))
    assert found[0] < 7.93 < found[1]


@pytest.mark.parametrize(("text", "packed"), [("FeCr18Ni7", False), ("FeCr18Ni8", True)])
def test_steel_is_austenitic_from_8_in_100_of_nickel_on(text: str, packed: bool) -> None:
    build = parse_composition(text)
    adding, real = density(build), real_density(build)
    assert adding
    assert real
    assert (real[1] > adding[1] * (1 + SLACK) * 1.0001) == packed


def test_of_the_unknown_nothing_is_said() -> None:
    assert real_density(parse_composition('"porcelain"')) is None
