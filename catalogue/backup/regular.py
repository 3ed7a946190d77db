"""Backups that the site makes by itself: a living worker asks for them, in a queue of their own.

A process that lives no longer than they wait makes them, so that no other task waits for a backup.
"""

from __future__ import annotations

import logging
import subprocess
from datetime import timedelta
from pathlib import Path

from django.conf import settings
from django.utils import timezone
from django_tasks import task
from django_tasks_db.models import DBTaskResult

from catalogue.backup.making import NotMade, make_in_folder
from catalogue.backup.shelf import SCHEDULED, Made, folder, made_backups
from catalogue.site.companions import started
from catalogue.site.disk_space import ENOUGH, free
from catalogue.working.beats import in_hand

QUEUE = "backups"
AGAIN_AFTER = timedelta(hours=1)  # when one could not be made

log = logging.getLogger(__name__)


@task(queue_name=QUEUE)
def back_up() -> None:
    """Make a backup, unless another worker has just made it."""
    if not is_due():
        return
    before = made_backups()
    if before and free(Path(settings.BACKUPS_DIR)) < before[-1].size + ENOUGH:
        raise NotMade(f"There is not enough room for another backup in {folder()}. Make room.")
    make_in_folder(SCHEDULED)


def is_due() -> bool:
    """Whether the last that the site made by itself is so many days old, or there is none."""
    if not settings.BACKUP_EVERY:
        return False
    own: list[Made] = [made for made in made_backups() if made.why == SCHEDULED and made.is_good]
    before = timezone.now() - timedelta(days=settings.BACKUP_EVERY)
    return not own or own[-1].made_at <= before


def ask_if_due() -> None:
    """Ask for a backup that is due, but not again soon after one could not be made."""
    if not is_due() or in_hand(back_up):
        return
    since = timezone.now() - AGAIN_AFTER
    if not DBTaskResult.objects.filter(
        task_path=back_up.module_path, enqueued_at__gt=since
    ).exists():
        back_up.enqueue()


class BackupsBeside:
    """Keeps a process at the backups that wait, and none when none waits."""

    process: subprocess.Popen[bytes] | None = None

    def look(self) -> None:
        """Ask for a backup that is due; begin with those that wait, whoever asked for them."""
        ask_if_due()
        working = self.process is not None and self.process.poll() is None
        if not working and DBTaskResult.objects.ready().filter(queue_name=QUEUE).exists():
            self.process = started(
                *("work", "--with-server", "--batch", f"--queue-name={QUEUE}"),
                stdin=subprocess.PIPE,  # which closes with this process, however it ends
                start_new_session=True,
                stdout=subprocess.DEVNULL,
            )
