"""``manage.py import_holdings FILE --member NAME``: a member's list, brought in whole."""

from __future__ import annotations

import json
import sys
import time
from argparse import ArgumentParser
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.urls import reverse

from catalogue.holdings.actions import HoldingError
from catalogue.importing.keeping import bring
from catalogue.importing.picture_files import NO_PICTURES, Pictures, pictures_in
from catalogue.importing.publishing import publish
from catalogue.importing.reading.lists import ListError
from catalogue.importing.staging import stage
from catalogue.models import ImportedList, ImportedRow, ListMapping, Member
from catalogue.site.failures import no_room
from catalogue.site.served_at import believe_the_server

Outcome, State = ImportedRow.Outcome, ImportedList.State
DONE = {Outcome.MAKE: Outcome.MADE, Outcome.CHANGE: Outcome.CHANGED}  # also in a rehearsal
WIDE = 40
DOUBTFUL_LEFT = 2


class Command(BaseCommand):
    help = (
        "Bring a list of a member's pieces in: CSV, XLSX, XLS or ODS. Rows that are sure are taken "
        "in, all or none; doubtful ones wait on the list's page until settled. Exit codes: "
        "0 all that can be is in, 2 rows are doubtful or refused, 1 nothing was done."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="the list")
        parser.add_argument("--member", required=True, help="the sign-in name of whose it is")
        parser.add_argument("--mapping", help="the name under which its columns are remembered")
        parser.add_argument(
            "--pictures", type=Path, metavar="FOLDER", help="pictures to take along"
        )
        parser.add_argument("--rehearse", action="store_true", help="only say what would become")
        parser.add_argument("--json", action="store_true", help="say it as JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            member = self._member(options["member"])
            pictures = pictures_in(options["pictures"]) if options["pictures"] else NO_PICTURES
            brought = self._bring(member, options["file"], options["mapping"])
            self._do(brought, pictures, rehearse=options["rehearse"])
        except (ListError, HoldingError) as refused:
            raise CommandError(str(refused)) from refused
        except Exception as error:
            if not no_room(error):
                raise
            raise CommandError("The disk is full, so nothing was taken in. Make room.") from error
        if options["json"]:
            self.stdout.write(json.dumps(told(brought), ensure_ascii=False))
        else:
            self._say(brought, rehearsed=options["rehearse"])
        if any(brought.counts.get(name) for name in (Outcome.DOUBTFUL, Outcome.REFUSED)):
            sys.exit(DOUBTFUL_LEFT)

    def _member(self, name: str) -> Member:
        found: Member | None = Member.objects.filter(username=name).first()
        if found is None:
            raise CommandError(f"No member has the sign-in name {name}.")
        return found

    def _bring(self, member: Member, path: Path, mapping: str | None) -> ImportedList:
        known = None
        if mapping:
            known = ListMapping.objects.filter(owner=member, name=mapping).first()
            if known is None:
                names = ", ".join(
                    ListMapping.objects.filter(owner=member).values_list("name", flat=True)
                )
                raise CommandError(
                    f"No columns are remembered as {mapping}. "
                    + (
                        f"There are: {names}."
                        if names
                        else "Bring one list on the page and give its columns a name there."
                    )
                )
        try:
            with path.open("rb") as file:
                brought = bring(member, file, path.name)
        except OSError as error:
            if no_room(error):
                raise
            raise CommandError(f"{path} cannot be opened: {error.strerror}.") from error
        if known is not None:
            brought.mapping = {**brought.mapping, **known.mapping}
            brought.save()
        return brought

    def _do(self, brought: ImportedList, pictures: Pictures, *, rehearse: bool) -> None:
        bar = Bar(self.stderr)
        if not ImportedRow.objects.filter(of=brought, outcome__in=ImportedRow.TAKEN).exists():
            with bar("Reading"):
                stage(brought, pictures, bar.tell)
        if not rehearse:
            with bar("Taking in"):
                publish(brought, pictures, bar.tell)

    def _say(self, brought: ImportedList, *, rehearsed: bool) -> None:
        for row in _rows(brought):
            if row.outcome not in ImportedRow.TAKEN or rehearsed:
                self.stdout.write(f"line {row.line}, {row.get_outcome_display()}: {row.reason}")
        for name, why in brought.left_aside:
            self.stdout.write(f"picture {name}: {why}")
        counts = told(brought)
        words = [f"{counts[name]} {name}" for name in ("made", "changed", "refused", "doubtful")]
        opening = "Only rehearsed, nothing is made: " if rehearsed else ""
        self.stdout.write(f"{opening}{', '.join(words)}.")
        if counts["doubtful"]:
            self.stdout.write(
                "Doubtful rows are not taken in. Say what they are on the list's page:\n"
                f"{_address(brought)}"
            )


def _address(brought: ImportedList) -> str:
    believe_the_server()
    return f"{settings.SITE_ADDRESS}{reverse('import-settle', args=[brought.pk])}"


def _rows(brought: ImportedList) -> Any:
    return ImportedRow.objects.filter(of=brought).order_by("line").iterator(chunk_size=500)


def told(brought: ImportedList) -> dict[str, Any]:
    """What became of the list, or would: figures, and each row with its outcome and reason."""
    counts = brought.counts
    return {
        "made": counts.get(Outcome.MADE, 0) + counts.get(Outcome.MAKE, 0),
        "changed": counts.get(Outcome.CHANGED, 0) + counts.get(Outcome.CHANGE, 0),
        "refused": counts.get(Outcome.REFUSED, 0),
        "doubtful": counts.get(Outcome.DOUBTFUL, 0),
        "rows": [
            {"line": row.line, "outcome": DONE.get(row.outcome, row.outcome), "reason": row.reason}
            for row in _rows(brought)
        ],
    }


class Bar:
    """How far it is, on the terminal of whoever waits; silent where nobody looks on."""

    def __init__(self, out: Any) -> None:
        self.out, self.doing, self.told = out, "", 0.0
        self.looked_at = bool(getattr(out, "isatty", lambda: False)())

    @contextmanager
    def __call__(self, doing: str) -> Any:
        self.doing, self.told = doing, 0.0
        yield
        if self.looked_at:
            self.out.write("\r" + " " * (WIDE + 40) + "\r", ending="")

    def tell(self, done: int, total: int) -> None:
        now = time.monotonic()
        if not self.looked_at or (done < total and now - self.told < 0.1):
            return
        self.told = now
        full = WIDE * done // total if total else WIDE
        bar = "#" * full + "." * (WIDE - full)
        self.out.write(f"\r{self.doing} [{bar}] {done} of {total}", ending="")
