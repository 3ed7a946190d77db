"""``manage.py load_pack PATH [--check]``: load a reference pack from a folder of TOML files."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from series.packs.load import load_pack
from series.packs.reading import PackErrors


class Command(BaseCommand):
    help = "Load a reference pack, or bring a loaded one up to date: all of it or nothing."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("path", type=Path, help="the pack's folder, with pack.toml in it")
        parser.add_argument(
            "--check", action="store_true", help="say what is wrong or would change; save nothing"
        )

    def handle(self, *args: Any, path: Path, check: bool, **options: Any) -> None:
        try:
            report = load_pack(path, check_only=check)
        except PackErrors as errors:
            count = len(errors.problems)
            mistakes = "one mistake" if count == 1 else f"{count} mistakes"
            raise CommandError(f"{errors}\n{mistakes}; nothing was saved.") from errors
        self.stdout.write(str(report))
        if check:
            self.stdout.write("This was a check: nothing was saved.")
