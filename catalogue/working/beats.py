"""The heartbeat of the task workers, and what becomes of the tasks of one that has none any more.

A worker says every BEAT_EVERY seconds that it lives, by the clock of the database, which all
machines share. A task in the hands of a worker that has not said so for LOST_AFTER goes back to
be taken again; one that was taken TRIES times is given up, with the signal ``task_given_up``. A
task may therefore be done twice, and every task must bear that.
"""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime, timedelta
from types import TracebackType
from typing import Any

from django.core.exceptions import SuspiciousOperation
from django.db import Error, close_old_connections, connection, transaction
from django.db.models import QuerySet
from django.db.models.functions import Now
from django.utils import timezone
from django_tasks import TaskResultStatus
from django_tasks.base import Task
from django_tasks_db.models import DBTaskResult

from catalogue.signals import task_given_up
from catalogue.working.models import WorkerBeat

BEAT_EVERY = 10.0  # s
LOST_AFTER = timedelta(seconds=60)
TRIES = 3
ENDED = ("builtins.SystemExit", "builtins.KeyboardInterrupt")

log = logging.getLogger(__name__)


class WorkerLost(Exception):
    """The worker of a task ended in the middle of it."""


def beat(worker_id: str) -> None:
    """Note that a worker lives."""
    if not WorkerBeat.objects.filter(pk=worker_id).update(beaten_at=Now()):
        WorkerBeat.objects.create(pk=worker_id, beaten_at=Now())


def living(now: datetime | None = None) -> QuerySet[WorkerBeat]:
    """The workers that were heard lately; one heard in the future was before the clock was put."""
    moment: Any = Now() if now is None else now
    return WorkerBeat.objects.filter(
        beaten_at__gte=moment - LOST_AFTER, beaten_at__lte=moment + LOST_AFTER
    )


def give_back_lost(now: datetime | None = None) -> int:
    """Let others take what workers that are gone had in hand; returns how many tasks."""
    # In this order: a worker says that it lives before it takes its first task.
    running = list(DBTaskResult.objects.running().order_by("pk"))
    alive = set(living(now).values_list("pk", flat=True))
    WorkerBeat.objects.exclude(pk__in=living(now).values("pk")).delete()
    lost = [each for each in running if not alive.intersection(each.worker_ids[-1:])]
    return sum(_give_back(each) for each in lost)


def in_hand(task: Task[Any, Any], *arguments: Any) -> bool:
    """Whether this task waits to be done with these arguments, or a living worker does it."""
    give_back_lost()
    return DBTaskResult.objects.filter(
        task_path=task.module_path,
        args_kwargs={"args": list(arguments), "kwargs": {}},
        status__in=[TaskResultStatus.READY, TaskResultStatus.RUNNING],
    ).exists()


def give_back_broken_off(task_result: Any, **_: Any) -> None:
    """A task whose worker was told to end before it was done is no failure of the task."""
    kept = getattr(task_result, "db_result", None)  # of a task that is done at once there is none
    if kept is not None and kept.exception_class_path in ENDED:
        _give_back(kept)


def _give_back(taken: DBTaskResult) -> bool:
    """Unless another was quicker."""
    still = DBTaskResult.objects.filter(
        pk=taken.pk, status=taken.status, started_at=taken.started_at
    )
    if len(taken.worker_ids) < TRIES:
        return bool(still.update(status=TaskResultStatus.READY, started_at=None, finished_at=None))
    with transaction.atomic():
        given_up = still.update(
            status=TaskResultStatus.FAILED,
            finished_at=timezone.now(),
            exception_class_path=f"{WorkerLost.__module__}.{WorkerLost.__qualname__}",
            traceback="",
        )
        if given_up:
            log.error("task %s is given up: its worker ended %d times", taken.task_path, TRIES)
            _announce(taken)
    return bool(given_up)


def _announce(taken: DBTaskResult) -> None:
    try:
        task = taken.task
    except (ImportError, SuspiciousOperation):
        return  # of another version of the site
    task_given_up.send(sender=DBTaskResult, task=task, arguments=taken.args_kwargs["args"])


class Beating:
    """While this lasts, a thread says that the worker lives and looks after the lost ones' tasks.

    ``in_place_of`` is a worker that is known to be gone; ``also`` is done at every beat.
    """

    def __init__(
        self, worker_id: str, in_place_of: str = "", also: Callable[[], None] | None = None
    ) -> None:
        self._worker_id = worker_id
        self._gone = in_place_of
        self._also = also
        self._ending = threading.Event()
        self._thread = threading.Thread(target=self._run, name="heartbeat", daemon=True)

    def __enter__(self) -> None:
        WorkerBeat.objects.filter(pk=self._gone).delete()
        beat(self._worker_id)
        give_back_lost()
        self._thread.start()

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        at: TracebackType | None,
    ) -> None:
        self._ending.set()
        self._thread.join()
        with suppress(Error):  # else it is silent soon enough
            WorkerBeat.objects.filter(pk=self._worker_id).delete()

    def _run(self) -> None:
        while not self._ending.wait(BEAT_EVERY):
            close_old_connections()
            try:
                beat(self._worker_id)
                give_back_lost()
                if self._also is not None:
                    self._also()
            except (Error, OSError) as error:  # locked, full or away: it is tried again
                log.warning("the worker could not say that it lives: %s", error)
        connection.close()
