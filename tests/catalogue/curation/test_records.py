"""Countries, money, denominations, series, mints, people and motifs made on the site."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from series.models import CoinType, Currency, Denomination, Issuer, Mint, Motif, Person, Series
from tests.conftest import Coinage

pytestmark = pytest.mark.django_db

COUNTRY: dict[str, Any] = {
    "name": "Éiland",
    "currency": "marl",
    "plural": "marls",
    "units": "tinne 100",
    "series": "First coinage",
    "first_year": "1931",
    "last_year": "1959",
    "denominations": "1, 5, ½ tinne; 1 marl",
}


def test_a_member_begins_a_country_in_one_form(as_member: Client) -> None:
    response = as_member.post(reverse("country-start"), COUNTRY)
    assert response["Location"] == "/types/new/?series=eiland-first-coinage"
    series = Series.objects.get()
    assert (series.issuer.key, series.currency.name, series.first_year) == ("eiland", "marl", 1931)
    assert {d.name: d.value for d in Denomination.objects.all()} == {
        "½ tinne": Fraction(1, 200),
        "1 tinne": Fraction(1, 100),
        "5 tinne": Fraction(1, 20),
        "1 marl": Fraction(1),
    }
    assert Denomination.objects.get(name="½ tinne").key == "eiland-1-2-tinne"
    page = as_member.get(response["Location"])
    assert page.context["form"]["series"].value() == series.pk


def test_a_new_country_with_three_types_takes_four_posts(as_member: Client) -> None:
    address = as_member.post(reverse("country-start"), COUNTRY)["Location"]
    for name in ("1 tinne", "5 tinne", "1 marl"):
        page = as_member.get(address)
        values = {b.name: "" if b.value() is None else b.value() for b in page.context["form"]}
        values |= {
            "value": name,
            "purpose": "circulating",
            "outline": "round",
            "dates": "1931–38",
            "then": "like",
        }
        address = as_member.post(address, values)["Location"]
    assert CoinType.objects.count() == 3
    ladder = as_member.get(Issuer.objects.get().get_absolute_url()).content.decode()
    assert "5 tinne" in ladder


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("units", "tinne"),
        ("denominations", "1, 5 florins"),
        ("last_year", "1900"),
        ("name", "TESTLAND"),
        ("code", "1"),
    ],
)
def test_a_country_that_cannot_be_is_refused_and_nothing_is_lost(
    as_member: Client, coinage: Coinage, field: str, value: str
) -> None:
    response = as_member.post(reverse("country-start"), COUNTRY | {field: value})
    assert field in response.context["form"].errors
    assert "First coinage" in response.content.decode()
    assert Issuer.objects.count() == 1


def test_two_countries_of_one_name_in_ascii_get_keys_of_their_own(as_member: Client) -> None:
    for name in ("Eiland", "Éiland"):
        as_member.post(reverse("issuer-new"), {"name": name})
    assert set(Issuer.objects.values_list("key", flat=True)) == {"eiland", "eiland-2"}


def test_a_currency_has_exact_units_and_an_exact_rate(as_curator: Client, coinage: Coinage) -> None:
    sent = {
        "issuers": [coinage.issuer.pk],
        "name": "pound",
        "units": "shilling, shillings 20\npenny, pence 240",
        "successor": coinage.currency.pk,
        "rate": "2/3",
        "rate_from": "1931-01-01",
    }
    as_curator.post(reverse("currency-new"), sent)
    pound = Currency.objects.get(name="pound")
    assert [(u.name, u.plural, u.per_main) for u in pound.units.all()] == [
        ("shilling", "shillings", "20"),
        ("penny", "pence", "240"),
    ]
    bad = as_curator.post(reverse("currency-new"), sent | {"rate": "about 2", "units": "penny"})
    assert {"rate", "units"} <= set(bad.context["form"].errors)
    edit = reverse("currency-edit", args=[pound.key])
    page = as_curator.get(edit)
    assert page.context["form"]["units"].value() == "shilling, shillings 20\npenny, pence 240"


@pytest.mark.parametrize(
    ("name", "value", "exact"),
    [
        ("quarter", "1/4", Fraction(1, 4)),
        ("quarter", "¼", Fraction(1, 4)),
        ("dozen", "12", Fraction(12)),
        ("50 tinne", "", Fraction(1, 2)),
        ("half", "50 tinne", Fraction(1, 2)),
    ],
)
def test_a_denomination_has_an_exact_value(
    as_member: Client, coinage: Coinage, name: str, value: str, exact: Fraction
) -> None:
    sent = {"currency": coinage.currency.pk, "name": name, "value": value}
    as_member.post(reverse("denomination-new"), sent)
    assert Denomination.objects.get(name=name).value == exact


def test_a_value_that_is_none_is_refused(as_member: Client, coinage: Coinage) -> None:
    for value in ("0", "-1", "many", "1/0"):
        sent = {"currency": coinage.currency.pk, "name": "thing", "value": value}
        response = as_member.post(reverse("denomination-new"), sent)
        assert "value" in response.context["form"].errors


def test_mints_people_and_motifs_are_added_by_members_and_changed_by_curators(
    as_member: Client, as_curator: Client, coinage: Coinage
) -> None:
    for name, model in (("mint", Mint), ("person", Person), ("motif", Motif)):
        as_member.post(reverse(f"{name}-new"), {"name": "Ada"})
        record = model._default_manager.get()
        edit = reverse(f"{name}-edit", args=[record.key])
        assert as_member.post(edit, {"name": "Eve"}).status_code == 403
        form = as_curator.get(edit).context["form"]
        sent = {b.name: "" if b.value() is None else b.value() for b in form}
        as_curator.post(edit, sent | {"name": "Eve"})
        record.refresh_from_db()
        assert record.name == "Eve"


def test_a_changed_name_is_found_in_the_search_text(as_curator: Client, coinage: Coinage) -> None:
    edit = reverse("series-edit", args=[coinage.series.key])
    form = as_curator.get(edit).context["form"]
    sent = {b.name: "" if b.value() is None else b.value() for b in form}
    as_curator.post(edit, sent | {"name": "Harbour coinage"})
    coinage.type.refresh_from_db()
    assert "harbour" in coinage.type.search_text


def test_a_stale_country_is_refused(as_curator: Client, coinage: Coinage) -> None:
    edit = reverse("issuer-edit", args=[coinage.issuer.key])
    as_curator.post(edit, {"name": "One", "row_version": 1})
    response = as_curator.post(edit, {"name": "Two", "row_version": 1})
    assert [d.stored for d in response.context["form"].stale] == ["One"]
    assert Issuer.objects.get().name == "One"


def test_a_motif_is_not_broader_than_itself(as_curator: Client) -> None:
    bird = Motif.objects.create(key="bird", name="bird")
    gull = Motif.objects.create(key="gull", name="gull")
    gull.broader.add(bird)
    edit = reverse("motif-edit", args=["bird"])
    sent = {"name": "bird", "broader": [gull.pk], "row_version": 1}
    assert "broader" in as_curator.post(edit, sent).context["form"].errors
