from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.measuring.water import water_density


@pytest.mark.parametrize("temperature", [-0.1, 40.1, 100, float("nan")])
def test_outside_its_temperatures_it_says_so(temperature: float) -> None:
    with pytest.raises(ValueError, match="outside 0 to 40 °C: let it come"):
        water_density(temperature)


@given(st.floats(4, 40), st.floats(4, 40))
def test_warmer_water_is_lighter_above_four_degrees(one: float, other: float) -> None:
    cool, warm = sorted((one, other))
    assert water_density(cool) >= water_density(warm)


def test_decimals_are_taken() -> None:
    assert water_density(Decimal("20")) == water_density(20.0)
