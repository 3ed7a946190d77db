"""``manage.py write_talk NUMBER --out FILE.html``: a talk in one file of its own."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from catalogue.models import Talk
from catalogue.printing.geometry import SheetProblem
from catalogue.site.whole_files import write_whole
from catalogue.talks.own_file import talk_file


class Command(BaseCommand):
    help = "Write a talk into one file that any browser shows, without a site or a network."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("number", type=int, help="the number in the address of the talk")
        parser.add_argument("--out", type=Path, required=True, help="the file to write, .html")
        parser.add_argument("--notes", action="store_true", help="with the notes, for the speaker")

    def handle(self, *args: Any, **options: Any) -> None:
        talk = Talk.objects.filter(pk=options["number"]).first()
        if talk is None:
            raise CommandError(
                f"There is no talk {options['number']}. Its number stands in its address: "
                "/talks/NUMBER/."
            )
        out: Path = options["out"]
        if not out.parent.is_dir():
            raise CommandError(f"There is no folder {out.parent}. Make it, or name another.")
        try:
            write_whole(out, talk_file(talk, options["notes"], self._tell))
        except SheetProblem as problem:
            raise CommandError(str(problem)) from problem
        except OSError as problem:
            raise CommandError(f"{out} could not be written: {problem.strerror}.") from problem
        self.stdout.write(f"{out}: {out.stat().st_size / 1_000_000:.1f} MB")

    def _tell(self, done: int, total: int) -> None:
        if done % 20 == 0 or done == total:
            self.stdout.write(f"{done} of {total} stops written")
