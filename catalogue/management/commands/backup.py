"""``manage.py backup FILE``: everything the site keeps, in one file."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import Error

from catalogue.backup.making import NotMade, make_backup
from catalogue.backup.progress import on_terminal
from catalogue.site.failures import no_room


class Command(BaseCommand):
    help = (
        "Write all records, pictures and papers into one file (a tar archive), which only this "
        "account may read, while the site goes on being used. It is there whole or not at all, and "
        "holds no sessions, one-time links, cookies of devices, failed sign-ins or queued tasks. "
        "The secret key is not in it either: keep that apart."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="where to write it, such as exergue.tar")

    def handle(self, *args: Any, file: Path, **options: Any) -> None:
        try:
            done = make_backup(file, on_terminal())
        except NotMade as error:
            raise CommandError(str(error)) from error
        except (OSError, Error) as error:
            raise CommandError(in_words(error, file)) from error
        size = done.made.size / 1_000_000
        self.stdout.write(
            f"{file}: {done.rows} records and {done.files} files, {size:.1f} MB, backup "
            f"{done.made.short} of {done.made.made_at:%d %B %Y, %H:%M} UTC. It was read back and "
            "is whole."
        )
        if done.lacking:
            self.stderr.write(
                f"{done.lacking} files that records name are not in the storage, so they are not "
                "in the backup either. manage.py check_records says which."
            )


def in_words(error: Exception, file: Path) -> str:
    """What kept a backup from being made, and what to do."""
    if no_room(error):
        return (
            f"The disk is full, so no backup was made and nothing is left of it. Make room where "
            f"{file} is to lie and in the folder of backups (EXERGUE_BACKUPS), or choose another."
        )
    return f"No backup was made: {error}."
