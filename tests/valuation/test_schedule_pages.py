"""The pages of schedules: made, shown, refused and deleted by their owner alone."""

from __future__ import annotations

import csv
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from catalogue.members.member_data import member_data
from catalogue.models import Holding, Member, Place
from valuation.models import Schedule

Make = Callable[..., Any]
NEW = reverse("schedule-new")
BACKEND = "django.contrib.auth.backends.ModelBackend"
DAY = date(2026, 3, 1)
FORM = {
    "insured": "Ana Vestergaard",
    "as_of": DAY.isoformat(),
    "currency": "EUR",
    "which": "all",
    "threshold": "50",
    "bulk_rate": "0.10",
}


def test_a_schedule_is_made_shown_and_listed(as_member: Client, box: list[Holding]) -> None:
    assert as_member.get(NEW).status_code == 200
    answer = as_member.post(NEW, FORM)
    schedule = Schedule.objects.get()
    assert answer.url == schedule.get_absolute_url()
    page = as_member.get(answer.url).content.decode()
    assert "161.90" in page
    assert schedule.digest in page
    assert schedule.number in as_member.get(reverse("schedules")).content.decode()


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"insured": ""}, "insured"),
        ({"as_of": "2999-01-01"}, "as_of"),
        ({"threshold": "-1"}, "threshold"),
        ({"bulk_rate": "a"}, "bulk_rate"),
        ({"which": "country:999999"}, "which"),
        ({"as_of": "1999-01-01"}, "which"),
        ({"currency": "DEM"}, "currency"),
    ],
)
def test_terms_that_make_no_sense_are_refused(
    as_member: Client, make_holding: Make, wrong: dict[str, str], field: str
) -> None:
    make_holding(acquired_on=date(2020, 1, 1))
    answer = as_member.post(NEW, {**FORM, **wrong})
    assert field in answer.context["form"].errors
    assert not Schedule.objects.exists()


def test_it_can_be_of_a_country_a_series_or_a_place_with_what_stands_in_it(
    as_member: Client, coinage: Any, make_holding: Make, member: Member
) -> None:
    album = Place.objects.create(owner=member, name="Album")
    page = Place.objects.create(owner=member, name="Page 1", within=album)
    make_holding(place=page, quantity=2)
    make_holding(place=album, quantity=3)
    make_holding(coin_type=None, title="disc", quantity=7)
    for which, pieces in (
        (f"place:{album.pk}", 5),
        (f"place:{page.pk}", 2),
        (f"country:{coinage.issuer.pk}", 5),
        (f"series:{coinage.series.pk}", 5),
        ("all", 12),
    ):
        as_member.post(NEW, {**FORM, "which": which})
        assert Schedule.objects.latest("pk").pieces == pieces


def test_a_place_of_another_cannot_be_chosen(
    as_member: Client, make_holding: Make, other: Member
) -> None:
    make_holding()
    theirs = Place.objects.create(owner=other, name="Safe")
    answer = as_member.post(NEW, {**FORM, "which": f"place:{theirs.pk}"})
    assert "which" in answer.context["form"].errors


@pytest.mark.parametrize("name", ["schedule", "schedule-file", "schedule-csv", "schedule-delete"])
@pytest.mark.parametrize("role", ["member", "curator", "administrator"])
def test_a_schedule_is_there_for_its_owner_alone(
    box: list[Holding], schedule_of: Make, make_member: Make, name: str, role: str
) -> None:
    schedule = schedule_of()
    client = Client()
    client.force_login(make_member("zed", role=role), backend=BACKEND)
    address = reverse(name, args=[schedule.pk])
    assert client.get(address).status_code == 404
    assert client.post(address).status_code in {404, 405}
    assert Schedule.objects.exists()
    assert Client().get(address).status_code == 302


def test_deleting_asks_first(box: list[Holding], schedule_of: Make, as_member: Client) -> None:
    address = reverse("schedule-delete", args=[schedule_of().pk])
    assert b"gone for good" in as_member.get(address).content
    assert Schedule.objects.exists()
    as_member.post(address)
    assert not Schedule.objects.exists()


def test_the_table_adds_up_and_holds_no_formula(
    as_member: Client, box: list[Holding], schedule_of: Make
) -> None:
    box[0].accession = "=1+1"
    box[0].save()
    answer = as_member.get(reverse("schedule-csv", args=[schedule_of().pk]))
    heading, *rows, last = csv.reader(answer.content.decode().splitlines())
    at = heading.index("Amount")
    assert sum(Decimal(row[at]) for row in rows) == Decimal(last[at]) == Decimal("161.90")
    assert rows[0][heading.index("Inventory number")] == "'=1+1"
    assert answer["Cache-Control"] == "private, no-store"


def test_it_belongs_to_what_a_member_takes_along_and_goes_when_erased(
    box: list[Holding], schedule_of: Make, member: Member
) -> None:
    schedule = schedule_of()
    tables = {table.name: table for part in member_data() for table in part.tables(member)}
    assert list(tables["schedules"].rows) == [schedule]
    assert tables["schedule_lines"].rows.count() == 2
    assert tables["values"].rows.count() == 2
