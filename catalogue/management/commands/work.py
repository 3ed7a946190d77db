"""``manage.py work``: does the long tasks, as a companion of the server."""

from __future__ import annotations

import logging
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import CommandError
from django.db import Error
from django_tasks_db.management.commands import db_worker

from catalogue.backup.regular import QUEUE, BackupsBeside
from catalogue.site.companions import end_with_the_server
from catalogue.working.beats import Beating


class Command(db_worker.Command):
    help = (
        "Do the long tasks (sheets, mails) one after another. The server starts this by itself; "
        "run it by hand only with serve --no-worker."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        super().add_arguments(parser)
        parser.set_defaults(reload=False, startup_delay=False)
        parser.add_argument(
            "--with-server",
            action="store_true",
            help="end when standard input is closed, that is with the server that started this",
        )
        parser.add_argument(
            "--in-place-of",
            default="",
            metavar="ID",
            help="a worker that is known to have ended: what it had in hand is taken up at once",
        )

    def configure_logging(self, verbosity: int) -> None:
        """Tasks that fail are logged; their coming and going is not."""
        for name in ("django_tasks", "django_tasks_db"):
            logging.getLogger(name).setLevel(logging.ERROR)

    def handle(  # type: ignore[override]
        self,
        *,
        with_server: bool,
        in_place_of: str,
        worker_id: str,
        queue_name: str,
        **options: Any,
    ) -> None:
        if with_server:
            end_with_the_server()
        look = BackupsBeside().look if queue_name != QUEUE else None
        try:
            with Beating(worker_id, in_place_of, look):
                super().handle(worker_id=worker_id, queue_name=queue_name, **options)
        except Error as error:
            raise CommandError(
                f"Tasks wait, since the database takes nothing: {error}. Make room if its disk is "
                "full. The server starts this again by itself."
            ) from error
