from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from series.measuring.water import water_density
from series.measuring.weighing import (
    AIR,
    LEAST_G,
    MOST_G,
    Conditions,
    Weighed,
    WeighingError,
    scale_needed,
    weigh_hanging,
    weigh_in_beaker,
    weighed_words,
)

FINE = Conditions(within_g=0.001, temperature=20)

masses = st.floats(1, 60)
densities = st.floats(2, 22)
temperatures = st.floats(0, 40)


def readings(mass: float, density: float, temperature: float) -> tuple[float, float]:
    """What a perfect scale reads in air and in water, after Archimedes, in both media."""
    volume = mass / density
    return mass - volume * AIR, mass - volume * water_density(temperature)


@given(masses, densities, temperatures)
def test_perfect_readings_give_the_density_back(
    mass: float, density: float, temperature: float
) -> None:
    air, water = readings(mass, density, temperature)
    found = weigh_hanging(air, water, Conditions(0.001, temperature))
    assert found.density == pytest.approx(density, rel=1e-9)


@given(masses, densities)
def test_both_set_ups_give_the_same_density(mass: float, density: float) -> None:
    air, water = readings(mass, density, 20)
    beaker = weigh_in_beaker(air, air - water, FINE)
    assert beaker.density == pytest.approx(weigh_hanging(air, water, FINE).density)


@given(masses, densities, st.floats(0, 2))
def test_the_holder_is_taken_off(mass: float, density: float, holder: float) -> None:
    air, water = readings(mass, density, 20)
    hung = weigh_hanging(air, water + holder, FINE, holder_g=holder)
    rise = weigh_in_beaker(air, air - water + holder, FINE, holder_g=holder)
    assert hung.density == pytest.approx(density)
    assert rise.density == pytest.approx(density)
    assert hung.uncertainty > weigh_hanging(air, water, FINE).uncertainty


def test_less_the_air_it_is_the_plain_rule_of_archimedes() -> None:
    found = weigh_hanging(10, 9, Conditions(within_g=0.01, temperature=20))
    assert found.density - AIR == pytest.approx(10 * (water_density(20) - AIR))


@given(masses, densities, st.floats(1.5, 100))
def test_scaling_all_readings_changes_nothing(mass: float, density: float, times: float) -> None:
    air, water = readings(mass, density, 20)
    one = weigh_hanging(air, water, Conditions(0.01, 20))
    large = weigh_hanging(air * times, water * times, Conditions(0.01 * times, 20))
    assert large.density == pytest.approx(one.density)
    assert large.uncertainty == pytest.approx(one.uncertainty)


@given(masses, densities, st.floats(0.0001, 0.01), st.floats(1.1, 5))
def test_a_coarser_scale_gives_a_wider_range(
    mass: float, density: float, within: float, times: float
) -> None:
    air, water = readings(mass, density, 20)
    fine = weigh_hanging(air, water, Conditions(within, 20))
    coarse = weigh_hanging(air, water, Conditions(within * times, 20))
    assert coarse.least < fine.least < fine.density < fine.most < coarse.most
    assert coarse.uncertainty > fine.uncertainty


@given(masses, densities, st.floats(0.001, 0.01))
def test_drift_and_an_unsure_thermometer_widen_the_range(
    mass: float, density: float, drift: float
) -> None:
    air, water = readings(mass, density, 20)
    steady = weigh_hanging(air, water, FINE)
    drifting = weigh_hanging(air, water, Conditions(0.001, 20, drift_g=drift))
    unsure = weigh_hanging(air, water, Conditions(0.001, 20, temperature_within=5))
    assert drifting.uncertainty > steady.uncertainty
    assert unsure.uncertainty > steady.uncertainty


@given(masses, st.floats(0.05, 0.9), st.floats(0.001, 0.01))
def test_a_larger_loss_is_a_lighter_metal(mass: float, share: float, more: float) -> None:
    assert (
        weigh_hanging(mass, mass * (1 - share), FINE).density
        > weigh_hanging(mass, mass * (1 - share - more), FINE).density
    )


@pytest.mark.parametrize("beaker", [False, True])
@pytest.mark.parametrize("drift", [0.0, 0.02])
@pytest.mark.parametrize(
    ("mass", "density", "within"),
    [(7.78, 8.94, 0.01), (25.0, 10.37, 0.05), (3.4, 17.5, 0.005), (1.2, 2.7, 0.02)],
)
def test_the_range_covers_95_of_100_weighings(
    mass: float, density: float, within: float, drift: float, beaker: bool
) -> None:
    """20,000 weighings with errors drawn as stated: readings, zero and thermometer."""
    rng = np.random.default_rng(20250301)
    true_air, true_water = readings(mass, density, 21)
    held, deviations = 0, []
    for _ in range(20_000):
        errors = rng.uniform(-within, within, 2)
        moved, off = rng.uniform(-drift, drift), rng.uniform(-1, 1)
        conditions = Conditions(within, 21 + off, drift_g=drift)
        air = true_air + errors[0]
        if beaker:
            found = weigh_in_beaker(air, true_air - true_water + errors[1] + moved, conditions)
        else:
            found = weigh_hanging(air, true_water + errors[1] + moved, conditions)
        held += found.least <= density <= found.most
        deviations.append(found.density)
    assert 0.94 <= held / 20_000 <= 0.96
    spread = float(np.std(deviations))
    stated = _at(true_air, true_water, Conditions(within, 21, drift_g=drift), beaker).uncertainty
    assert spread == pytest.approx(stated, rel=0.06)


def _at(air: float, water: float, conditions: Conditions, beaker: bool) -> Weighed:
    if beaker:
        return weigh_in_beaker(air, air - water, conditions)
    return weigh_hanging(air, water, conditions)


def test_of_a_tiny_piece_only_a_least_density_is_known() -> None:
    found = weigh_hanging(0.3, 0.27, Conditions(within_g=0.05, temperature=20))
    assert math.isinf(found.most)
    assert "too coarse" in weighed_words(found)


@given(masses, densities, st.floats(1.02, 1.3))
def test_the_scale_that_is_asked_for_makes_a_range_as_narrow_as_asked(
    mass: float, density: float, apart: float
) -> None:
    air, water = readings(mass, density, 20)
    lower, upper = density / math.sqrt(apart), density * math.sqrt(apart)
    needed = scale_needed(weigh_hanging(air, water, Conditions(0.01, 20)), lower, upper)
    assert needed
    fine = weigh_hanging(air, water, Conditions(needed, 20))
    assert fine.most / fine.least == pytest.approx(upper / lower, rel=1e-3)


def test_no_scale_helps_where_the_zero_drifts() -> None:
    drifting = Conditions(within_g=0.01, temperature=20, drift_g=0.1)
    assert scale_needed(weigh_hanging(7.78, 6.9, drifting), 8.8, 8.9) is None


@pytest.mark.parametrize(
    ("air", "water", "says"),
    [
        (7.78, 7.78, "is not less than 7.78 g in air"),
        (7.78, 9, "is not less than 7.78 g in air"),
        (7.78, -0.5, "floats"),
        (0, -1, "The reading in air is in grams"),
        (-3, 1, "The reading in air is in grams"),
        (math.nan, 1, "The reading in air is in grams"),
        (7.78, math.nan, "is not less"),
        (1e-320, 0, "The reading in air is in grams"),
        (1e300, 1e9, "The reading in air is in grams"),
        (7.78, math.nextafter(7.78, 0), "is not less"),
    ],
)
def test_readings_that_cannot_be_are_refused(air: float, water: float, says: str) -> None:
    with pytest.raises(WeighingError, match=says):
        weigh_hanging(air, water, FINE)


@pytest.mark.parametrize(
    ("rise", "says"),
    [
        (0, "not above nothing"),
        (1e-320, "not above nothing"),
        (-1, "not above nothing"),
        (9, "Let it hang free"),
    ],
)
def test_a_rise_that_cannot_be_is_refused(rise: float, says: str) -> None:
    with pytest.raises(WeighingError, match=says):
        weigh_in_beaker(7.78, rise, FINE)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"within_g": 0}, "How finely the scale reads"),
        ({"within_g": -1}, "How finely the scale reads"),
        ({"within_g": 1e-320}, "How finely the scale reads"),
        ({"within_g": 1e308}, "How finely the scale reads"),
        ({"drift_g": 1e308}, "drift of the zero"),
        ({"drift_g": -1}, "drift of the zero"),
        ({"temperature_within": math.nan}, "thermometer"),
        ({"temperature_within": 40}, "thermometer"),
        ({"temperature": 41}, "outside 0 to 40"),
    ],
)
def test_conditions_that_cannot_be_are_refused(changes: dict[str, float], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        Conditions(**{"within_g": 0.01, "temperature": 20, **changes})


def test_a_density_that_no_coin_has_is_doubted() -> None:
    assert "check both readings" in weighed_words(weigh_hanging(7.78, 7.5, FINE))
    assert "shake off bubbles" in weighed_words(weigh_hanging(7.78, 0.2, FINE))
    assert "check" not in weighed_words(weigh_hanging(7.78, 6.96, FINE))
    unsure = weigh_hanging(5, 4.76, Conditions(0.05, 20))  # 20.8, but it may be gold
    assert unsure.least < 19.3 < unsure.most
    assert "check" not in weighed_words(unsure)


grams = st.floats(LEAST_G, MOST_G)


@given(grams, st.floats(0, MOST_G), grams, st.floats(0, MOST_G), st.floats(0, 40))
def test_any_readings_give_finite_figures_or_a_sentence(
    air: float, other: float, within: float, drift: float, temperature: float
) -> None:
    conditions = Conditions(within, temperature, drift_g=drift)
    for weigh in (weigh_hanging, weigh_in_beaker):
        try:
            found = weigh(air, other, conditions)
        except WeighingError:
            continue
        assert 0 < found.least <= found.density <= found.most
        assert math.isfinite(found.uncertainty)
        assert "nan" not in weighed_words(found)


@given(masses, densities)
def test_words_give_no_more_figures_than_are_known(mass: float, density: float) -> None:
    air, water = readings(mass, density, 20)
    found = weigh_hanging(air, water, Conditions(0.01, 20))
    assume(0.001 < found.uncertainty < 1 and math.isfinite(found.most))
    figure = weighed_words(found).split()[1]
    last_place = 10.0 ** -len(figure.partition(".")[2])
    assert last_place <= found.uncertainty * 1.0001 < last_place * 10.001
