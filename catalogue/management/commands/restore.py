"""``manage.py restore FILE``: a backup into an empty instance, all of it or nothing."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import Error

from catalogue.backup.progress import on_terminal
from catalogue.backup.restoring import NotRestored, restore
from catalogue.backup.rows import RowRefused
from catalogue.models import Member
from catalogue.site.failures import no_room


class Command(BaseCommand):
    help = (
        "Put a backup back into an instance that holds nothing yet, on SQLite or PostgreSQL, "
        "whichever it came from; also one of an older release. It is verified first. Members who "
        "were erased since are erased again, by the list in the folder of backups and the one "
        "that lies beside the file (erased.txt)."
    )
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="the backup")
        parser.add_argument(
            "--erased",
            type=Path,
            action="append",
            default=[],
            metavar="LIST",
            help="another list of who was erased since; may be given more than once",
        )

    def handle(self, *args: Any, file: Path, **options: Any) -> None:
        for path in options["erased"]:
            if not path.is_file():
                raise CommandError(f"There is no list {path}. Nothing was restored.")
        try:
            progress = on_terminal()
            done = restore(file, progress, options["erased"])
        except (NotRestored, RowRefused) as error:
            raise CommandError(str(error)) from error
        except FileNotFoundError as error:
            raise CommandError(f"There is no file {error.filename}.") from error
        except (OSError, Error) as error:
            if no_room(error):
                said = "The disk is full, so nothing was restored. Make room, then try again."
            else:
                said = f"Nothing was restored: {error}"
            raise CommandError(said) from error
        self.stdout.write(
            f"Restored: backup {done.number[:8]} of {done.made_at}, {done.rows} records and "
            f"{done.files} files."
        )
        if done.erased:
            self.stdout.write(f"{done.erased} members who were erased since are erased again.")
        if not Member.objects.filter(role=Member.Role.ADMINISTRATOR, is_active=True).exists():
            self.stdout.write(
                "No administrator can sign in. Run: python manage.py first_administrator NAME"
            )
        self.stdout.write("Look it over with: python manage.py check_records")
