"""``manage.py verify_backup FILE``: whether a backup is whole and as it was written."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from catalogue.backup.container import NotABackup, Reader
from catalogue.backup.progress import on_terminal


class Command(BaseCommand):
    help = (
        "Read a backup from end to end and compare it with its own list: every digest, every row "
        "count, nothing missing, nothing added. Ends with 0, or with 1 and what is wrong."
    )
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="the backup")
        parser.add_argument("--json", action="store_true", help="answer as JSON")

    def handle(self, *args: Any, file: Path, **options: Any) -> None:
        head: dict[str, Any] = {}
        rows = files = 0
        try:
            with file.open("rb") as opened, Reader(opened) as reader:
                head = reader.head
                progress = on_terminal()
                with progress("reading", file.stat().st_size) as told:
                    wrong = list(reader.faults(told))
                for entry in reader.listed() if not wrong else ():
                    rows += entry.rows or 0
                    files += entry.rows is None
        except NotABackup as error:
            wrong = [str(error)]
        except OSError as error:
            wrong = [f"{file} cannot be read: {error.strerror}."]
        if options["json"]:
            said = {name: head.get(name) for name in ("number", "made_at", "release", "database")}
            found = {"ok": not wrong, "wrong": wrong, "rows": rows, "files": files, **said}
            self.stdout.write(json.dumps(found, ensure_ascii=False))
        elif wrong:
            self.stdout.write("\n".join(wrong))
        else:
            self.stdout.write(
                f"{file} is whole: backup {head['number'][:8]} of {head['made_at']}, "
                f"{rows} rows and {files} files."
            )
        if wrong:
            sys.exit(1)
