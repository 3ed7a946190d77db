from __future__ import annotations

import pytest

from series.measuring.agreement import (
    agreement,
    agreement_words,
    too_coarse,
    too_coarse_words,
)
from series.measuring.weighing import Conditions, weigh_hanging

ALLOYS = ["Cu75Ni25", "Cu70Zn30", "silver 900", "gold 22 carat", "Zn", "aluminium"]


def test_a_measured_range_sorts_the_compositions() -> None:
    told = agreement(8.85, 8.95, [*ALLOYS, '"porcelain"', "not a metal", "Zn"])
    assert [each.composition for each in told.agree] == ["Cu75Ni25"]
    assert [each.composition for each in told.disagree] == [
        "aluminium",
        "Zn",
        "Cu70Zn30",
        "silver 900",
        "gold 22 carat",
    ]
    assert told.unknown == ('"porcelain"', "not a metal")


def test_every_composition_is_named_in_the_words() -> None:
    words = agreement_words(agreement(8.85, 8.95, [*ALLOYS, '"porcelain"']))
    assert all(text in words for text in [*ALLOYS, '"porcelain"'])


def test_a_real_brass_agrees_with_brass() -> None:
    """8.53 g/cm³: handbook density of Cu70Zn30, from memory; volumes that add make 8.32."""
    told = agreement(8.52, 8.54, ["Cu70Zn30", "Cu75Ni25"])
    assert [each.composition for each in told.agree] == ["Cu70Zn30"]


@pytest.mark.parametrize(("least", "most"), [(0, 1), (9, 8), (-1, 2)])
def test_a_range_that_is_none_is_refused(least: float, most: float) -> None:
    with pytest.raises(ValueError):
        agreement(least, most, ALLOYS)


def test_a_scale_to_a_tenth_cannot_tell_and_the_one_asked_for_can() -> None:
    """A piece of copper-nickel of 5 g: 8.94 g/cm³ and 20 °C make 0.5576 g less in water."""
    coarse = weigh_hanging(5, 4.4424, Conditions(within_g=0.05, temperature=20))
    told = agreement(coarse.least, coarse.most, ["Cu75Ni25", "silver 900", "aluminium"])
    (pair,) = too_coarse(coarse, told)
    assert (pair.lighter, pair.denser) == ("Cu75Ni25", "silver 900")
    assert pair.within_g
    assert "too coarse to tell “Cu75Ni25” from “silver 900”" in too_coarse_words(pair)
    fine = weigh_hanging(5, 4.4424, Conditions(within_g=pair.within_g, temperature=20))
    sure = agreement(fine.least, fine.most, ["Cu75Ni25", "silver 900", "aluminium"])
    assert [each.composition for each in sure.agree] == ["Cu75Ni25"]
    assert too_coarse(fine, sure) == ()


def test_the_pair_that_is_easiest_to_tell_apart_comes_first() -> None:
    coarse = weigh_hanging(5, 4.4424, Conditions(within_g=0.1, temperature=20))
    told = agreement(coarse.least, coarse.most, ["Cu75Ni25", "silver 900", "Zn"])
    pairs = too_coarse(coarse, told)
    assert [(pair.lighter, pair.denser) for pair in pairs] == [
        ("Zn", "silver 900"),
        ("Zn", "Cu75Ni25"),
        ("Cu75Ni25", "silver 900"),
    ]
    needed = [pair.within_g or 0 for pair in pairs]
    assert needed == sorted(needed, reverse=True)


def test_alloys_whose_densities_meet_are_no_fault_of_the_scale() -> None:
    found = weigh_hanging(5, 4.4424, Conditions(within_g=0.05, temperature=20))
    told = agreement(found.least, found.most, ["Cu75Ni25", "Cu95Sn4Zn1"])
    assert len(told.agree) == 2
    assert too_coarse(found, told) == ()


def test_a_drifting_zero_is_said_to_be_the_fault() -> None:
    found = weigh_hanging(5, 4.4424, Conditions(within_g=0.01, temperature=20, drift_g=0.2))
    told = agreement(found.least, found.most, ["Cu75Ni25", "silver 900"])
    (pair,) = too_coarse(found, told)
    assert pair.within_g is None
    assert "a finer one would not help" in too_coarse_words(pair)
