"""Tasks of workers that are gone: given back, and given up after three tries."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import OperationalError
from django.db.models.functions import Now
from django_tasks_db.models import DBTaskResult

from catalogue.models import Member, Sheet, WorkerBeat
from catalogue.printing.tasks import ask_for, draw_sheet
from catalogue.working.beats import (
    LOST_AFTER,
    Beating,
    beat,
    give_back_broken_off,
    give_back_lost,
    in_hand,
    living,
)

THEN = datetime(2024, 5, 1, 12, 0, tzinfo=UTC)
MOMENT = timedelta(milliseconds=1)


@pytest.fixture
def taken(member: Member) -> DBTaskResult:
    """The task of a sheet in the hands of the worker "one", which was heard THEN."""
    ask_for(member, "labels", "Labels", {"query": ""}, 100)
    WorkerBeat.objects.create(pk="one", beaten_at=THEN)
    return _taken_by("one")


def _taken_by(worker: str) -> DBTaskResult:
    task = DBTaskResult.objects.get()
    task.claim(worker)
    Sheet.objects.update(state="drawing")
    return task


def _status() -> str:
    return str(DBTaskResult.objects.get().status)


def test_a_worker_heard_lately_keeps_its_task(taken: DBTaskResult) -> None:
    assert give_back_lost(THEN + LOST_AFTER) == 0
    assert _status() == "RUNNING"
    assert living(THEN + LOST_AFTER).exists()


def test_a_worker_not_heard_loses_its_task_to_the_next(taken: DBTaskResult) -> None:
    WorkerBeat.objects.create(pk="two", beaten_at=THEN + LOST_AFTER)
    assert give_back_lost(THEN + LOST_AFTER + MOMENT) == 1
    assert _status() == "READY"
    assert DBTaskResult.objects.ready().exists()
    assert list(WorkerBeat.objects.values_list("pk", flat=True)) == ["two"]


def test_a_clock_put_back_keeps_nothing_for_ever(taken: DBTaskResult) -> None:
    assert give_back_lost(THEN - LOST_AFTER - MOMENT) == 1


def test_a_task_whose_worker_never_said_that_it_lives_is_given_back(taken: DBTaskResult) -> None:
    WorkerBeat.objects.all().delete()
    assert give_back_lost(THEN) == 1


def test_two_that_look_after_the_lost_give_a_task_back_once(
    taken: DBTaskResult, monkeypatch: pytest.MonkeyPatch
) -> None:
    late = THEN + 2 * LOST_AFTER
    running = list(DBTaskResult.objects.running())
    assert give_back_lost(late) == 1
    _taken_by("two")
    seen = type("", (), {"order_by": lambda self, by: running})()
    with monkeypatch.context() as patch:
        patch.setattr(type(DBTaskResult.objects), "running", lambda self: seen)
        assert give_back_lost(late) == 0
    assert _status() == "RUNNING"


def test_the_third_worker_that_is_lost_is_the_last(taken: DBTaskResult, caplog: Any) -> None:
    late = THEN + 2 * LOST_AFTER
    for worker in ("two", "three"):
        assert give_back_lost(late) == 1
        _taken_by(worker)
    assert give_back_lost(late) == 1
    assert _status() == "FAILED"
    sheet = Sheet.objects.get()
    assert sheet.state == "failed"
    assert "It was begun 3 times" in sheet.message
    assert DBTaskResult.objects.get().task_result.errors[0].exception_class.__name__ == "WorkerLost"
    assert give_back_lost(late) == 0


def test_a_task_of_another_version_of_the_site_is_given_up_too(taken: DBTaskResult) -> None:
    DBTaskResult.objects.update(task_path="catalogue.gone.task", worker_ids=["a", "b", "c"])
    assert give_back_lost(THEN + 2 * LOST_AFTER) == 1
    assert _status() == "FAILED"


@pytest.mark.parametrize(("error", "status"), [(SystemExit, "READY"), (ValueError, "FAILED")])
def test_only_what_was_broken_off_from_outside_is_done_again(
    taken: DBTaskResult, error: type[BaseException], status: str
) -> None:
    taken.set_failed(error())
    give_back_broken_off(taken.task_result)
    assert _status() == status


def test_in_hand_is_what_waits_or_what_a_living_worker_does(taken: DBTaskResult) -> None:
    sheet = Sheet.objects.get()
    DBTaskResult.objects.update(worker_ids=["a", "b", "c"])
    WorkerBeat.objects.create(pk="c", beaten_at=Now())
    assert in_hand(draw_sheet, sheet.pk)
    assert not in_hand(draw_sheet, sheet.pk + 1)
    WorkerBeat.objects.all().delete()
    assert not in_hand(draw_sheet, sheet.pk)


def test_a_beat_is_by_the_clock_of_the_database(db: None) -> None:
    beat("one")
    beat("one")
    assert living().get().pk == "one"


@pytest.mark.django_db(transaction=True)
def test_a_worker_takes_the_place_of_one_that_is_known_to_be_gone(taken: DBTaskResult) -> None:
    WorkerBeat.objects.update(beaten_at=Now())
    with Beating("two", in_place_of="one"):
        assert _status() == "READY"
        assert list(living().values_list("pk", flat=True)) == ["two"]
    assert not WorkerBeat.objects.exists()


def test_a_full_database_ends_the_worker_in_words(
    db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(worker_id: str) -> None:
        raise OperationalError("database or disk is full")

    monkeypatch.setattr("catalogue.working.beats.beat", full)
    with pytest.raises(CommandError, match="Make room"):
        call_command("work", batch=True)
