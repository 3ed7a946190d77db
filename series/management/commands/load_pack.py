"""``manage.py load_pack [PACK …] [--all] [--check]``: load packs that ship, or a pack's folder."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection

from series.models import Pack
from series.packs.load import load_pack
from series.packs.reading import PackErrors
from series.packs.shipped import Shipped, in_order, shipped_packs


class Command(BaseCommand):
    help = (
        "Load reference packs, or bring loaded ones up to date: each wholly or not at all. "
        "Without a pack, list those that come with the site."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "packs", nargs="*", metavar="PACK", help="a folder with pack.toml in it, or a key"
        )
        parser.add_argument("--all", action="store_true", help="all that come with the site")
        parser.add_argument(
            "--check", action="store_true", help="say what is wrong or would change; save nothing"
        )

    def handle(self, *args: Any, packs: list[str], check: bool, **options: Any) -> None:
        if Pack._meta.db_table not in connection.introspection.table_names():
            raise CommandError("The database has no tables yet: run manage.py migrate first.")
        shipped = shipped_packs()
        if options["all"]:
            packs = [each.key for each in shipped if each.key not in packs] + packs
        if not packs:
            self._list(shipped)
            return
        for folder in self._folders(packs, shipped):
            self._load(folder, check)
        if check:
            self.stdout.write("This was a check: nothing was saved.")

    def _list(self, shipped: list[Shipped]) -> None:
        for each in shipped:
            state = f" (loaded, version {each.loaded})" if each.loaded is not None else ""
            self.stdout.write(f"{each.key}{state}\n    {each.title}. {each.about}\n")
        self.stdout.write("\nLoad some by their keys, as in: manage.py load_pack euro\n")

    def _folders(self, packs: list[str], shipped: list[Shipped]) -> list[Path]:
        """A name with a folder is that folder; else it is the key of a pack that ships."""
        keys = {each.key for each in shipped}
        unknown = [name for name in packs if name not in keys and not Path(name).is_dir()]
        if unknown:
            raise CommandError(
                f"There is no pack and no folder {unknown[0]}. The packs that come with the site "
                f"are {', '.join(sorted(keys))}."
            )
        found: list[Path] = []
        for name in packs:
            if name in keys and not (Path(name) / "pack.toml").is_file():
                found += [each.folder for each in in_order([name], shipped)]
            else:
                found.append(Path(name))
        return list(dict.fromkeys(found))

    def _load(self, folder: Path, check: bool) -> None:
        try:
            report = load_pack(folder, check_only=check)
        except PackErrors as errors:
            count = len(errors.problems)
            mistakes = "one mistake" if count == 1 else f"{count} mistakes"
            raise CommandError(f"{errors}\n{mistakes}; nothing was saved.") from errors
        self.stdout.write(str(report))
