"""``manage.py check_records``: whether all that is kept is there, whole and consistent."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand
from django.db import transaction
from django.utils.module_loading import import_string

from catalogue.checking.derived import made_anew


class Command(BaseCommand):
    help = (
        "Look whether every picture and paper is there and as it was stored, every link leads to a "
        "record, every rule holds, every column that is worked out is what its record says, and no "
        "file is without a record. Ends with 0, or with 1 and what is wrong, a sentence each. "
        "Best done while nobody changes anything."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--json", action="store_true", help="answer as JSON")
        parser.add_argument(
            "--mend", action="store_true", help="first work out anew what is worked out"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["mend"]:
            with transaction.atomic():
                mended = made_anew()
            if not options["json"]:
                self.stdout.write(f"{mended} records had a column that was not what it should be.")
        wrong: list[str] = []
        for path in settings.RECORD_CHECKS:
            for said in import_string(path)():
                wrong.append(said)
                if not options["json"]:
                    self.stdout.write(said)
        if options["json"]:
            self.stdout.write(json.dumps({"ok": not wrong, "wrong": wrong}, ensure_ascii=False))
        elif not wrong:
            self.stdout.write("All records and files are there and as they should be.")
        if wrong:
            sys.exit(1)
