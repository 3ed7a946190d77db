"""Two candidates side by side."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from series.models import CoinType, Series
from series.types.derived import derive_types
from tests.markup import markup

pytestmark = pytest.mark.django_db


@pytest.fixture
def two(coinage: Any) -> Any:
    coinage.other = CoinType.objects.create(
        key="steel",
        name="steel",
        series=coinage.series,
        denomination=coinage.denomination,
        composition="steel",
        diameter_mm="22",
        thickness_mm="1.6",
        first_year=1954,
        last_year=1959,
    )
    derive_types()
    return coinage


def get(client: Client, **asked: Any) -> Any:
    return client.get(reverse("identify-compare"), asked)


def test_differences_come_first_and_what_is_the_same_is_folded(as_member: Client, two: Any) -> None:
    response = get(as_member, a=two.type.key, b=two.other.key)
    compared = response.context["compared"]
    different = {line.label: (line.one, line.other) for line in compared.different}
    assert different["Diameter"] == ("23.5\u00a0mm", "22\u00a0mm")
    assert different["Metal"] == ("copper-nickel", "steel")
    assert different["Years"] == ("1931–1953", "1954–1959")
    same = dict(compared.same)
    assert same["Thickness"] == "1.6\u00a0mm"
    assert same["Country"] == "Testland"
    assert not set(same) & set(different)
    assert [line.label for line in compared.of_one] == ["Mass"]
    page = response.text
    assert page.index("What differs") < page.index("<summary>What is the same")


def test_each_thing_put_in_is_held_against_both(as_member: Client, two: Any) -> None:
    response = get(as_member, a=two.type.key, b=two.other.key, diameter="22.0", magnet="strong")
    stands = {one.kind: (one.verdict, other.verdict)
              for one, other in response.context["compared"].stands}  # fmt: skip
    assert stands == {"diameter": ("against", "for"), "magnet": ("against", "for")}
    one, other = response.context["compared"].rows
    assert one.candidate.probability < 0.01 < other.candidate.probability
    assert "22 mm you measured" in response.text


def test_what_would_tell_them_apart_is_said(as_member: Client, two: Any) -> None:
    apart = get(as_member, a=two.type.key, b=two.other.key, country="Testland").context["compared"]
    assert apart.apart is not None
    assert apart.apart.kind in ("magnet", "diameter", "year")


def test_two_that_are_ticked_are_compared(as_member: Client, two: Any) -> None:
    response = get(as_member, of=[two.other.key, two.type.key])
    rows = response.context["compared"].rows
    assert [row.coin_type for row in rows] == [two.other, two.type]


@pytest.mark.parametrize("ticked", [[], ["steel"], ["steel", "steel"], ["steel", "a", "b"]])
def test_other_than_two_are_asked_for_again(as_member: Client, two: Any, ticked: list[str]) -> None:
    response = get(as_member, of=ticked, diameter="22")
    assert response.status_code == 200
    assert "compared" not in response.context
    assert "Two candidates are needed" in response.text
    assert "/identify/?diameter=22" in response.text


def test_an_unknown_key_is_not_found(as_member: Client, two: Any) -> None:
    assert get(as_member, a=two.type.key, b="no-such-type").status_code == 404


def test_a_type_that_was_joined_is_not_found(as_member: Client, two: Any) -> None:
    CoinType.objects.filter(pk=two.other.pk).update(standing="joined", joined_to=two.type)
    assert get(as_member, a=two.type.key, b=two.other.key).status_code == 404


def test_a_type_proposed_by_another_is_not_found(as_member: Client, two: Any) -> None:
    CoinType.objects.filter(pk=two.other.pk).update(standing="proposed")
    derive_types()
    assert get(as_member, a=two.type.key, b=two.other.key).status_code == 404


def test_wrong_input_does_not_hinder_comparing(as_member: Client, two: Any) -> None:
    response = get(as_member, a=two.type.key, b=two.other.key, diameter="big", mass="5.4")
    assert [one.kind for one, _ in response.context["compared"].stands] == ["mass"]


def test_evidence_that_rules_both_out_still_compares(as_member: Client, two: Any) -> None:
    asked = {"diameter": "90", "legend": "QQQQQQ", "year": "1600", "colour": "gold"}
    response = get(as_member, a=two.type.key, b=two.other.key, **asked)
    assert response.status_code == 200
    assert "under 1" in response.text


def test_queries_are_few(as_member: Client, two: Any, django_assert_max_num_queries: Any) -> None:
    get(as_member, a=two.type.key, b=two.other.key)
    with django_assert_max_num_queries(14):
        get(as_member, a=two.type.key, b=two.other.key, diameter="22")


def test_two_of_one_name_are_told_apart_by_their_series(as_member: Client, two: Any) -> None:
    later = Series.objects.create(
        key="later", issuer=two.series.issuer, currency=two.series.currency, name="Second"
    )
    other = CoinType.objects.create(key="again", series=later, denomination=two.denomination)
    derive_types()
    assert "25 tinne, Second</th>" in markup(get(as_member, a=two.type.key, b=other.key).text)
    apart = get(as_member, a=two.type.key, b=two.other.key)
    assert "25 tinne, First</th>" not in markup(apart.text)
