"""``manage.py dump_pack KEY PATH``: write a loaded reference pack as a folder of TOML files."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from series.models import Pack
from series.packs.dump import dump_pack
from series.packs.reading import PackErrors


class Command(BaseCommand):
    help = "Write a loaded reference pack, with the edits made here, as a folder of TOML files."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("key", help="the pack's key")
        parser.add_argument("path", type=Path, help="the folder to write into")
        parser.add_argument(
            "--replace", action="store_true", help="overwrite the files of this pack in the folder"
        )

    def handle(self, *args: Any, key: str, path: Path, replace: bool, **options: Any) -> None:
        try:
            written = dump_pack(key, path, replace=replace)
        except Pack.DoesNotExist:
            keys = ", ".join(Pack.objects.order_by("key").values_list("key", flat=True))
            raise CommandError(
                f"No pack '{key}' is loaded. Loaded are: {keys or 'none'}."
            ) from None
        except PackErrors as errors:
            raise CommandError(str(errors)) from errors
        for file in written:
            self.stdout.write(str(file))
