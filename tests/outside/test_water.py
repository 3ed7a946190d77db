"""The density of water against the paper's own figures and an international formulation."""

from __future__ import annotations

import pytest

from series.measuring.water import UNCERTAINTY, water_density


@pytest.mark.parametrize("tenths", range(0, 401, 5))
def test_against_iapws_95(tenths: int) -> None:
    """Source: IAPWS-95 in the PyPI package iapws, at 0.101325 MPa, 0 to 40 °C each half degree.

    Each states an uncertainty of about 1 part in a million here (from memory), so they may lie
    two parts apart.
    """
    from iapws import IAPWS95

    reference = IAPWS95(T=273.15 + tenths / 10, P=0.101325).rho / 1000
    assert water_density(tenths / 10) == pytest.approx(reference, abs=2 * UNCERTAINTY)


@pytest.mark.parametrize(
    ("temperature", "published"),
    [
        (0, 999.8428), (3.983035, 999.974950), (5, 999.9668), (10, 999.7027), (15, 999.1026),
        (20, 998.2067), (25, 997.0470), (30, 995.6488), (40, 992.2152),
    ],
)  # fmt: skip
def test_against_the_papers_table(temperature: float, published: float) -> None:
    """Source: Tanaka et al., Metrologia 38 (2001) 301–309, kg/m³, from memory."""
    assert water_density(temperature) * 1000 == pytest.approx(published, abs=0.0006)
