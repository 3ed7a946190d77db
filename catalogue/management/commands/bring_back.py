"""Bring a member's archive back: the zip file that "Take everything along" gives."""

from __future__ import annotations

import json
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError

from catalogue.exports.bringing_back import bring_back
from catalogue.exports.opening import ArchiveRefused
from catalogue.management.member_command import MemberCommand
from series.text.english import some_of

NAMED = 12


class Command(MemberCommand):
    help = "Bring back a member's archive: pieces, places, wants, photographs, papers, values."

    def add_arguments(self, parser: ArgumentParser) -> None:
        super().add_arguments(parser)
        parser.add_argument("archive", type=Path, help="the zip file, as it was made")
        parser.add_argument("--rehearse", action="store_true", help="say what would come back")
        parser.add_argument("--json", action="store_true", help="as JSON")

    def handle(self, *, username: str, archive: Path, rehearse: bool, **options: Any) -> None:
        member = self.member(username)
        try:
            with archive.open("rb") as file:
                report = bring_back(file, member, rehearse=rehearse)
        except ArchiveRefused as error:
            raise CommandError(str(error)) from error
        except OSError as error:
            raise CommandError(f"{archive}: {error.strerror or error}.") from error
        if options["json"]:
            said = {"made": report.made, "here": report.here, "left_out": report.left_out}
            self.stdout.write(json.dumps(said, ensure_ascii=False))
            return
        opening = "Would come back" if rehearse else "Came back"
        counts = [
            f"{count} {name.replace('_', ' ')}" for name, count in report.made.items() if count
        ]
        self.stdout.write(f"{opening}: {', '.join(counts) or 'nothing'}.")
        if report.here:
            self.stdout.write(
                f"Left alone, since in the collection already: {some_of(report.here, NAMED)}."
            )
        for line in report.left_out:
            self.stdout.write(line)
