"""Weighing in water on the page: what it tells, and what it refuses."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from series.measuring.weighing import CAUTIONS
from series.models import CoinType
from tests.markup import markup

pytestmark = pytest.mark.django_db


@pytest.fixture
def metals(coinage: Any) -> Any:
    for n, composition in enumerate(("silver 900", "Cu95Sn4Zn1", "gold 22 carat")):
        CoinType.objects.create(
            key=f"metal-{n}",
            series=coinage.series,
            denomination=coinage.denomination,
            composition=composition,
            mass_g="7.8",
        )
    return coinage


def get(client: Client, **asked: str) -> Any:
    return client.get(reverse("identify"), asked)


def test_the_density_is_told_with_its_range_and_counts(as_member: Client, metals: Any) -> None:
    """Archimedes: 7.78 g ÷ (7.78 − 6.96) g × 0.998 g/cm³ is 9.47; the air takes off 0.01."""
    response = get(as_member, mass="7.78", water="6.96", temperature="21")
    water = response.context["asked"].water
    assert water.words.startswith("Density 9.46 g/cm³, from 9.29 to 9.63")
    density = response.context["evidence"].density
    assert density.value == pytest.approx(9.46, abs=0.005)
    assert density.within == pytest.approx(0.17, abs=0.01)
    assert f'name="density" value="{density.value:.3f}"' in markup(response.text)


def test_both_ways_of_hanging_agree(as_member: Client, metals: Any) -> None:
    hung = get(as_member, mass="7.78", water="6.96").context["evidence"].density
    beaker = get(as_member, mass="7.78", water="0.82", water_how="beaker")
    assert beaker.context["evidence"].density.value == pytest.approx(hung.value, abs=1e-3)


def test_a_density_that_is_known_counts_instead(as_member: Client, metals: Any) -> None:
    response = get(as_member, mass="7.78", water="6.96", density="10.3")
    assert response.context["evidence"].density.value == 10.3
    assert "The density you gave counts" in response.text


def test_metals_that_agree_are_named(as_member: Client, metals: Any) -> None:
    told = get(as_member, mass="7.78", water="7.03").context["asked"].water.told
    assert [each.composition for each in told.agree] == ["silver 900"]


def test_a_scale_too_coarse_is_said_to_be(as_member: Client, metals: Any) -> None:
    response = get(as_member, mass="7.8", mass_within="0.05", water="7.0")
    assert "too coarse to tell" in response.text


def test_a_scale_that_tells_nothing_counts_for_nothing(as_member: Client, metals: Any) -> None:
    response = get(as_member, mass="1.0", mass_within="0.1", water="0.9")
    assert response.context["asked"].water.density is None
    assert response.context["evidence"].given == ("mass",)
    assert "It does not count as evidence" in response.text


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"mass": "7.78", "water": "0.82"}, "in a beaker that stands on the scale"),
        ({"mass": "7.78", "water": "0.1", "water_how": "beaker"}, "from the scale itself"),
    ],
)
def test_the_other_way_of_hanging_is_suggested_for_a_density_no_coin_has(
    as_member: Client, metals: Any, asked: dict[str, str], words: str
) -> None:
    response = get(as_member, **asked)
    assert words in response.text
    assert "It does not count as evidence" in response.text
    assert response.context["evidence"].density is None


def test_metals_that_cannot_be_told_are_named_in_plain_words(
    as_member: Client, coinage: Any
) -> None:
    for n, composition in enumerate(("core: Zn; plating: Cu 2.5%", "silver 925")):
        CoinType.objects.create(
            key=f"metal-{n}",
            series=coinage.series,
            denomination=coinage.denomination,
            composition=composition,
        )
    response = get(as_member, mass="5", water="4.4")
    assert "too coarse to tell “copper-plated zinc” from “silver 925”" in response.text


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"water": "6.96"}, "water"),
        ({"mass": "7.78", "water": "8.1"}, "water"),
        ({"mass": "7.78", "water": "heavy"}, "water"),
        ({"mass": "7.78", "water": "nan"}, "water"),
        ({"mass": "7.78", "water": "0", "water_how": "beaker"}, "water"),
        ({"mass": "7.78", "water": "6.96", "temperature": "61"}, "temperature"),
        ({"mass": "7.78", "water": "6.96", "temperature": "warm"}, "temperature"),
    ],
)
def test_readings_that_cannot_be_are_refused_at_their_field(
    as_member: Client, metals: Any, asked: dict[str, str], field: str
) -> None:
    response = get(as_member, **asked)
    assert response.status_code == 200
    assert list(response.context["asked"].errors) == [field]
    assert response.context["asked"].water is None
    assert response.context["evidence"].density is None


def test_the_cautions_stand_before_the_fields(as_member: Client, metals: Any) -> None:
    page = get(as_member).text
    for caution in CAUTIONS:
        assert page.index(caution.split("“")[0][:60]) < page.index('name="water"')
