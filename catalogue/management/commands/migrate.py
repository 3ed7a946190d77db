"""``manage.py migrate``: as Django's, but a database that holds records is backed up first."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.management.base import CommandError, CommandParser
from django.core.management.commands import migrate
from django.db import Error, connection
from django.db.migrations.executor import MigrationExecutor

from catalogue.backup.carried import applied, apps_at, carried
from catalogue.backup.making import NotMade, make_in_folder
from catalogue.backup.progress import on_terminal
from catalogue.backup.shelf import BEFORE_UPGRADE
from catalogue.management.commands.backup import in_words

NO_STEPS = ("plan", "check_unapplied", "fake", "prune")


class Command(migrate.Command):
    def add_arguments(self, parser: CommandParser) -> None:
        super().add_arguments(parser)
        parser.add_argument(
            "--no-backup",
            action="store_true",
            help="do not back up first a database that holds records",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        does_steps = not any(options.get(name) for name in NO_STEPS)
        wanted = does_steps and not options.get("no_backup")
        if wanted and is_to_be_backed_up(goes_anywhere=bool(options.get("app_label"))):
            self._back_up()
        super().handle(*args, **options)

    def _back_up(self) -> None:
        told = "Nothing was changed in the database. To go on without one: migrate --no-backup"
        try:
            made = make_in_folder(BEFORE_UPGRADE, on_terminal()).made
        except NotMade as error:
            raise CommandError(f"{error} {told}") from error
        except (OSError, Error) as error:
            raise CommandError(f"{in_words(error, settings.BACKUPS_DIR)} {told}") from error
        self.stdout.write(f"Backed up first: {made.path}")


def is_to_be_backed_up(*, goes_anywhere: bool = False) -> bool:
    """Whether steps are missing of this version, or it may go back, and something could be lost."""
    executor = MigrationExecutor(connection)
    if not executor.loader.applied_migrations:
        return False
    if not goes_anywhere and not executor.migration_plan(executor.loader.graph.leaf_nodes()):
        return False
    models = carried(apps_at(connection, applied(connection)))
    return any(model._base_manager.exists() for model in models)
