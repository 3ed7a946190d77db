"""Somebody who uses the site: enters things two at a time, and says each time it was confirmed.

Until a line is read from standard input; then it says how many pairs were entered.
"""

from __future__ import annotations

import os
import sys
import threading

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")


def main() -> None:
    django.setup()
    from django.db import transaction

    from catalogue.models import Holding, Member
    from series.models import Motif

    ending = threading.Event()
    threading.Thread(target=lambda: (sys.stdin.readline(), ending.set()), daemon=True).start()
    owner, count = Member.objects.order_by("pk")[0], 0
    while not ending.is_set():
        count += 1
        with transaction.atomic():
            Motif.objects.create(key=f"w{count}", name=f"w{count}")
            Holding.objects.create(owner=owner, accession=f"W.{count}", title=f"w{count}")
        print(count, flush=True)


if __name__ == "__main__":
    main()
