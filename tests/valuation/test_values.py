"""Entering values of holdings, types and issues, and the sources they come from."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from catalogue.models import Member
from series.signals import types_joined
from valuation.models import PriceSource, Valuation

Make = Callable[..., Any]
NEW = reverse("valuation-new")
BACKEND = "django.contrib.auth.backends.ModelBackend"

FILLED = {"single": "14.50", "currency": "EUR", "on": "2026-03-01", "basis": "retail"}
OF_TYPE = {**FILLED, "grade_scale": "british", "grade": "vf", "new_source": "Fair list"}


def signed_in(member: Member) -> Client:
    client = Client()
    client.force_login(member, backend=BACKEND)
    return client


def test_an_appraisal_of_a_piece_is_recorded_with_its_appraiser(
    as_member: Client, make_holding: Make, member: Member
) -> None:
    holding = make_holding()
    address = f"{NEW}?holding={holding.pk}"
    assert as_member.get(address).status_code == 200
    answer = as_member.post(address, {**FILLED, "appraiser": "Ilka Rosmund"})
    assert answer.url == holding.get_absolute_url()
    value = Valuation.objects.get()
    assert (value.single, value.on, value.entered_by) == (
        Decimal("14.50"),
        date(2026, 3, 1),
        member,
    )
    assert (value.source.name, value.source.kind, value.source.owner) == (
        "Ilka Rosmund",
        "person",
        member,
    )


def test_a_value_of_a_type_takes_a_grade_and_a_source_for_the_club(
    as_member: Client, coinage: Any
) -> None:
    answer = as_member.post(
        f"{NEW}?type={coinage.type.key}",
        {**OF_TYPE, "single": "", "low": "11", "high": "18", "new_shared": "on"},
    )
    assert answer.url == coinage.type.get_absolute_url()
    value = Valuation.objects.get()
    assert (value.grade, value.grade_rank, value.low, value.high) == ("VF", 32, 11, 18)
    assert value.source.owner is None


def test_a_value_of_an_issue_is_not_one_of_its_type(as_member: Client, coinage: Any) -> None:
    as_member.post(f"{NEW}?issue={coinage.issues[0].pk}", OF_TYPE)
    value = Valuation.objects.get()
    assert (value.issue, value.coin_type) == (coinage.issues[0], None)


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"single": ""}, "single"),
        ({"single": "-1"}, "single"),
        ({"single": "1.999"}, "single"),
        ({"low": "5"}, "high"),
        ({"high": "5"}, "low"),
        ({"low": "9", "high": "5"}, "high"),
        ({"low": "1", "high": "5"}, "single"),
        ({"currency": "XXX"}, "currency"),
        ({"grade": "XQ"}, "grade"),
        ({"new_source": ""}, "source"),
        ({"on": (timezone.localdate() + timedelta(days=2)).isoformat()}, "on"),
    ],
)
def test_a_value_that_makes_no_sense_is_refused_at_its_field(
    as_member: Client, coinage: Any, wrong: dict[str, str], field: str
) -> None:
    answer = as_member.post(f"{NEW}?type={coinage.type.key}", {**OF_TYPE, **wrong})
    assert answer.status_code == 200
    assert field in answer.context["form"].errors
    assert not Valuation.objects.exists()
    assert not PriceSource.objects.exists()


@pytest.mark.parametrize("query", ["", "?holding=x", "?holding=999", "?type=none", "?issue=9" * 9])
def test_there_is_no_form_for_what_is_not_there(as_member: Client, db: None, query: str) -> None:
    assert as_member.get(NEW + query).status_code == 404


def test_another_member_cannot_value_a_holding_even_one_shown_to_all(
    make_holding: Make, other: Member
) -> None:
    holding = make_holding(visibility="public")
    assert signed_in(other).get(f"{NEW}?holding={holding.pk}").status_code == 404


def test_values_of_a_holding_are_its_owners_alone(
    make_holding: Make, make_value: Make, curator: Member, administrator: Member, other: Member
) -> None:
    value = make_value(holding=make_holding(visibility="public"))
    for viewer in (other, curator, administrator):
        client = signed_in(viewer)
        assert client.get(reverse("valuation-edit", args=[value.pk])).status_code == 404
        assert client.post(reverse("valuation-bin", args=[value.pk])).status_code == 404
    assert Valuation.objects.filter(pk=value.pk).exists()


def test_an_estimate_of_a_type_is_changed_by_its_author_and_by_curators(
    coinage: Any, make_value: Make, member: Member, other: Member, curator: Member
) -> None:
    value = make_value(coin_type=coinage.type, entered_by=member)
    address = reverse("valuation-edit", args=[value.pk])
    assert signed_in(member).get(address).status_code == 200
    assert signed_in(curator).get(address).status_code == 200
    assert signed_in(other).get(address).status_code == 403
    assert signed_in(other).post(reverse("valuation-bin", args=[value.pk])).status_code == 403


def test_an_estimate_from_a_members_own_source_is_hidden_from_others(
    coinage: Any, make_value: Make, make_source: Make, member: Member, curator: Member
) -> None:
    value = make_value("77.00", coin_type=coinage.type, source=make_source("Own", owner=member))
    address = reverse("valuation-edit", args=[value.pk])
    assert signed_in(curator).get(address).status_code == 404
    page = coinage.type.get_absolute_url()
    assert b"77.00" in signed_in(member).get(page).content
    assert b"77.00" not in signed_in(curator).get(page).content


def test_a_change_made_on_an_old_version_is_refused_and_shown(
    as_member: Client, coinage: Any, make_value: Make
) -> None:
    value = make_value(coin_type=coinage.type, grade="VF", grade_rank=32)
    data = {**OF_TYPE, "new_source": "", "source": value.source_id, "row_version": "1"}
    value.note = "changed meanwhile"
    value.save()
    address = reverse("valuation-edit", args=[value.pk])
    answer = as_member.post(address, {**data, "single": "3.00"})
    assert b"changed meanwhile" in answer.content
    value.refresh_from_db()
    assert value.single == Decimal("10.00")


def test_a_value_goes_to_the_bin_and_comes_back(
    as_member: Client, make_holding: Make, make_value: Make
) -> None:
    value = make_value(holding=make_holding())
    as_member.post(reverse("valuation-bin", args=[value.pk]))
    assert not Valuation.objects.exists()
    assert b"Take back" in as_member.get(reverse("price-sources")).content
    as_member.post(reverse("valuation-take-back", args=[value.pk]))
    assert Valuation.objects.get() == value


def test_a_binned_value_is_not_taken_back_by_another(
    make_holding: Make, make_value: Make, other: Member
) -> None:
    value = make_value(holding=make_holding())
    value.bin()
    answer = signed_in(other).post(reverse("valuation-take-back", args=[value.pk]))
    assert answer.status_code == 404


def test_a_binning_asks_for_a_post(as_member: Client, make_holding: Make, make_value: Make) -> None:
    value = make_value(holding=make_holding())
    assert as_member.get(reverse("valuation-bin", args=[value.pk])).status_code == 405


def test_a_source_can_be_made_changed_and_put_away(as_member: Client, member: Member) -> None:
    as_member.post(
        reverse("price-source-new"), {"name": "Own list", "kind": "list", "url": "", "note": ""}
    )
    source = PriceSource.objects.get()
    assert source.owner == member
    address = reverse("price-source-edit", args=[source.pk])
    as_member.post(address, {"name": "Better name", "kind": "list", "row_version": "1"})
    source.refresh_from_db()
    assert source.name == "Better name"
    as_member.post(reverse("price-source-bin", args=[source.pk]))
    assert not PriceSource.objects.exists()


def test_a_source_that_values_name_stays(
    as_member: Client, make_holding: Make, make_value: Make, make_source: Make, member: Member
) -> None:
    source = make_source("Own", owner=member)
    make_value(holding=make_holding(), source=source)
    as_member.post(reverse("price-source-bin", args=[source.pk]))
    assert PriceSource.objects.filter(pk=source.pk).exists()


def test_a_source_of_the_club_is_changed_by_curators_alone(
    make_source: Make, member: Member, curator: Member, other: Member
) -> None:
    shared, own = make_source("shared"), make_source("own", owner=member)
    address = reverse("price-source-edit", args=[shared.pk])
    assert signed_in(member).get(address).status_code == 403
    assert signed_in(curator).get(address).status_code == 200
    assert signed_in(other).get(reverse("price-source-edit", args=[own.pk])).status_code == 404


def test_values_follow_when_a_double_is_joined(coinage: Any, make_value: Make) -> None:
    kept = type(coinage.type).objects.get(pk=coinage.type.pk)
    kept.pk, kept.key = None, "kept"
    kept._state.adding = True
    kept.save(force_insert=True)
    issue = kept.issues.create(key="1931")
    of_type, of_issue = make_value(coin_type=coinage.type), make_value(issue=coinage.issues[0])
    types_joined.send(
        None, gone=coinage.type, kept=kept, issue_map={coinage.issues[0].pk: issue.pk}
    )
    of_type.refresh_from_db()
    of_issue.refresh_from_db()
    assert (of_type.coin_type, of_issue.issue) == (kept, issue)
