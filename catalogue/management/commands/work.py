"""``manage.py work``: does the long tasks, as a companion of the server."""

from __future__ import annotations

import logging
from argparse import ArgumentParser
from typing import Any

from django_tasks_db.management.commands import db_worker

from catalogue.site.companions import end_with_the_server


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

    def configure_logging(self, verbosity: int) -> None:
        """Tasks that fail are logged; their coming and going is not."""
        for name in ("django_tasks", "django_tasks_db"):
            logging.getLogger(name).setLevel(logging.ERROR)

    def handle(self, *, with_server: bool, **options: Any) -> None:  # type: ignore[override]
        if with_server:
            end_with_the_server()
        super().handle(**options)
