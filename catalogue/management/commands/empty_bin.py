"""``manage.py empty_bin``: what has lain in the bin for 90 days goes for good."""

from __future__ import annotations

from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand
from django.utils import timezone

from catalogue.backup import erased, shelf
from catalogue.exports.archives import remove_old_archives
from catalogue.members.door.devices import forget_old_devices
from catalogue.members.door.slowing import forget_old_tallies
from catalogue.members.links import LINK_DAYS
from catalogue.models import HandedLink
from catalogue.printing.tasks import KEPT_DAYS, remove_old_sheets
from catalogue.site.bin import Emptied, empty_bin
from catalogue.site.overwriting import overwrite_if_due
from catalogue.site.stored_files import delete_left_uploads, delete_unnamed_files
from series.records import BIN_DAYS


class Command(BaseCommand):
    help = (
        f"Remove for good what was put into the bin more than {BIN_DAYS} days ago, with the files "
        "only it named; also sessions and unused links that ended, old finished tasks, sheets "
        f"made more than {KEPT_DAYS} days ago, and files a day old that no record names. "
        "The server does this by itself once a day."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        self._report(empty_bin())
        links, _ = HandedLink.objects.filter(used_at=None, expires_at__lt=timezone.now()).delete()
        if links:
            self.stdout.write(f"{links} links ended unused and are gone")
        sheets = remove_old_sheets()
        if sheets:
            self.stdout.write(f"{sheets} old sheets are gone")
        archives = remove_old_archives()
        if archives:
            self.stdout.write(f"{archives} archives that were brought back are forgotten")
        files = delete_unnamed_files() + delete_left_uploads()
        if files:
            self.stdout.write(f"{files} files that no record names are gone")
        call_command("clearsessions")
        forget_old_devices()
        forget_old_tallies()
        erased.write_down()
        shelf.forget_left()
        overwrite_if_due()
        call_command("prune_db_task_results", min_age_days=LINK_DAYS, verbosity=0)

    def _report(self, done: Emptied) -> None:
        for kind, count in sorted(done.gone.items()):
            self.stdout.write(f"{count} × {kind} gone for good")
        if done.files:
            self.stdout.write(f"{done.files} files deleted")
        for kind, count in sorted(done.kept.items()):
            self.stdout.write(f"{count} × {kind} kept: other records still need it")
        if not done.gone and not done.kept:
            self.stdout.write("Nothing in the bin is due.")
