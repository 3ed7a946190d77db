"""Schedules: made once, frozen, and their owner's alone."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from importlib import import_module
from typing import Any

import pytest
from django.apps import apps
from django.core.files.storage import default_storage
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from PIL import Image

from catalogue.holdings.actions import derive
from catalogue.models import Holding, Member, Photo
from catalogue.site.stored_files import delete_unnamed, named_by
from series.picture.pictures import keep_image, picture_name
from valuation.models import Schedule, ScheduleLine, ScheduleNumbers, SchedulePhoto
from valuation.schedules.drawing import draw_schedule, laid_out
from valuation.schedules.making import NothingToList, Terms, is_unchanged, make_schedule

Make = Callable[..., Any]
DAY = date(2026, 3, 1)


def test_it_lists_dear_pieces_and_groups_small_ones(box: list[Holding], schedule_of: Make) -> None:
    schedule = schedule_of()
    item, group = schedule.lines.all()
    assert (item.holding, item.pieces, item.amount) == (box[0], 2, Decimal("160.00"))
    assert (group.grouped, group.pieces, group.amount) == (True, 14, Decimal("1.90"))
    assert (group.facts["known"], group.facts["at_rate"]) == ("1.50", "0.40")
    assert (schedule.total, schedule.pieces) == (Decimal("161.90"), 16)


def test_each_owner_counts_numbers_of_their_own(
    box: list[Holding], schedule_of: Make, make_holding: Make, other: Member
) -> None:
    year = timezone.localdate().year
    assert [schedule_of().number, schedule_of().number] == [f"S-{year}-01", f"S-{year}-02"]
    make_holding(owner=other)
    terms = Terms("Bo", "", "", DAY, "EUR", Decimal(1), Decimal(0))
    theirs = make_schedule(other, terms, Holding.objects.filter(owner=other))
    assert theirs.number == f"S-{year}-01"


def test_a_number_is_not_given_again_when_its_schedule_is_deleted(
    box: list[Holding], schedule_of: Make, as_member: Client
) -> None:
    year = timezone.localdate().year
    schedule_of()
    as_member.post(reverse("schedule-delete", args=[schedule_of().pk]))
    assert schedule_of().number == f"S-{year}-03"
    Schedule.objects.all().delete()
    assert schedule_of().number == f"S-{year}-04"


def test_schedules_made_before_numbers_were_kept_are_counted_on(
    box: list[Holding], schedule_of: Make, other: Member
) -> None:
    year = timezone.localdate().year
    schedule = schedule_of()
    for owner, number in ((schedule.owner, f"S-{year}-107"), (other, "S-2019-04")):
        schedule.pk, schedule.owner, schedule.number = None, owner, number
        schedule.save(force_insert=True)
    ScheduleNumbers.objects.all().delete()
    import_module("valuation.migrations.0002_numbers_given").count_given(apps, None)
    said = set(ScheduleNumbers.objects.values_list("owner__username", "year", "highest"))
    assert said == {("ana", year, 107), ("bo", 2019, 4)}
    assert schedule_of().number == f"S-{year}-108"


def test_it_never_lists_what_belongs_to_another(
    box: list[Holding], schedule_of: Make, make_holding: Make, other: Member
) -> None:
    make_holding(owner=other, quantity=99)
    assert schedule_of(Holding.objects.all()).pieces == 16


def test_values_and_rates_are_those_of_the_day(
    make_holding: Make, make_value: Make, schedule_of: Make
) -> None:
    """100 EUR at 1.3759 USD, the European Central Bank's rate of 28 March 2014."""
    holding = make_holding()
    make_value("100.00", holding=holding, on=date(2014, 1, 1))
    make_value("900.00", holding=holding, on=date(2015, 1, 1))
    schedule = schedule_of(as_of=date(2014, 3, 29), currency="USD")
    line = schedule.lines.get()
    assert line.amount == Decimal("137.59")
    assert line.facts["value"]["amount"] == "100.00"
    assert "1.3759" in line.facts["rate"]
    assert "1.3759" in schedule.rates_note


def test_a_value_without_a_rate_counts_as_none_and_is_noted(
    make_holding: Make, make_value: Make, schedule_of: Make
) -> None:
    make_value("100.00", holding=make_holding(), currency="XTS")
    schedule = schedule_of()
    assert schedule.lines.get().facts["unvalued"] == 1
    assert "There is no rate for XTS" in schedule.rates_note


def test_nothing_to_list_is_said(schedule_of: Make) -> None:
    with pytest.raises(NothingToList):
        schedule_of()
    assert not Schedule.objects.exists()


def test_a_schedule_stays_as_it_was_whatever_becomes_of_its_holdings(
    box: list[Holding], schedule_of: Make, coinage: Any
) -> None:
    schedule = schedule_of()
    before = list(schedule.lines.values("position", "pieces", "amount", "facts"))
    dear, small, unknown = box
    dear.grade, dear.quantity, dear.accession = "VG", 7, "changed"
    derive(dear)
    dear.save()
    dear.valuations.update(single=Decimal("1.00"))
    dear.bin()
    small.delete()
    coinage.type.name = "renamed"
    coinage.type.save()
    unknown.status = "sold"
    unknown.save()
    schedule.refresh_from_db()
    assert list(schedule.lines.values("position", "pieces", "amount", "facts")) == before
    assert schedule.total == Decimal("161.90")
    assert is_unchanged(schedule)


def test_a_binned_holding_keeps_its_line_and_even_a_purged_one(
    box: list[Holding], schedule_of: Make
) -> None:
    schedule = schedule_of()
    box[0].bin()
    assert schedule.lines.get(grouped=False).holding_id == box[0].pk
    Holding.everything.filter(pk=box[0].pk).delete()
    line = schedule.lines.get(grouped=False)
    assert (line.holding, line.amount) == (None, Decimal("160.00"))
    assert draw_schedule(schedule).startswith(b"%PDF")


@pytest.mark.parametrize("change", ["total", "insured", "amount", "facts"])
def test_a_tampered_schedule_is_noticed(
    box: list[Holding], schedule_of: Make, as_member: Client, change: str
) -> None:
    schedule = schedule_of()
    assert b"no longer agrees" not in as_member.get(schedule.get_absolute_url()).content
    if change in {"total", "insured"}:
        Schedule.objects.update(**{change: Decimal("1.00") if change == "total" else "Bo"})
    else:
        first = ScheduleLine.objects.filter(grouped=False)
        first.update(
            **{change: Decimal("999.00")}
            if change == "amount"
            else {"facts": {**first.get().facts, "grade": "FDC"}}
        )
    assert b"no longer agrees" in as_member.get(schedule.get_absolute_url()).content


def test_the_number_of_queries_does_not_grow(
    make_holding: Make, make_value: Make, schedule_of: Make, django_assert_max_num_queries: Any
) -> None:
    def count() -> int:
        with django_assert_max_num_queries(60) as found:
            schedule_of()
        return len(found)

    for _ in range(3):
        make_value("80.00", holding=make_holding())
    schedule_of()  # the first of a year also begins to count numbers
    few = count()
    for _ in range(27):
        make_value("80.00", holding=make_holding())
    assert count() == few


@pytest.fixture
def pictured(make_holding: Make, make_value: Make) -> Photo:
    holding = make_holding()
    make_value("80.00", holding=holding)
    kept = keep_image(Image.new("RGB", (60, 60), "brown"))
    return Photo.objects.create(
        holding=holding, side="obverse", digest=kept.digest, width=60, height=60
    )


def test_a_photograph_is_kept_while_a_schedule_shows_it(
    pictured: Photo, schedule_of: Make, as_member: Client
) -> None:
    schedule = schedule_of()
    named = named_by([pictured])
    Photo.everything.all().delete()
    assert delete_unnamed(named) == 0
    assert len(laid_out(schedule)[1]) == 1
    assert default_storage.exists(picture_name(pictured.digest, "print"))
    as_member.post(reverse("schedule-delete", args=[schedule.pk]))
    for size in ("full", "print"):
        assert not default_storage.exists(picture_name(pictured.digest, size))


def test_deleting_a_schedule_leaves_the_photograph_of_a_piece(
    pictured: Photo, schedule_of: Make, as_member: Client
) -> None:
    as_member.post(reverse("schedule-delete", args=[schedule_of().pk]))
    assert default_storage.exists(picture_name(pictured.digest, "full"))
    assert not SchedulePhoto.objects.exists()
