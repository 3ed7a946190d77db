"""``manage.py demo``: a database with an invented coinage and club, its sheets, and the site.

It fills an empty database only, and marks it; a database that holds other records is left alone.
Running it again makes nothing twice.
"""

from __future__ import annotations

import os
import secrets
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import transaction
from django.utils.module_loading import import_string

from catalogue.demo.scenario import MEMBERS
from catalogue.models import Holding, Member, SiteFact
from catalogue.printing.pdf import PrintingUnavailable
from series.models import Pack

MARK = "demo"
_SYLLABLES = [consonant + vowel for consonant in "bdfghklmnprstv" for vowel in "aeiou"]


class Command(BaseCommand):
    help = "Make the demo of Halvern, write its sheets and its talk, and serve the site."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--no-serve", action="store_true", help="make everything, then stop")
        parser.add_argument("--out", type=Path, help="folder for the sheets (var/demo)")
        parser.add_argument("--port", type=int, default=8000, help="port to listen on (8000)")

    def handle(self, *args: Any, **options: Any) -> None:
        call_command("migrate", verbosity=0)
        passwords = self._passwords()
        if not SiteFact.objects.filter(key=MARK).exists():
            self._build(passwords)
        out: Path = options["out"] or settings.VAR_DIR / "demo"
        self._write_sheets(out)
        self._say(f"Address: http://127.0.0.1:{options['port']}/")
        for username, name, role in MEMBERS:
            self._say(f"  {name} ({role}): sign in as {username}, password {passwords[username]}")
        if not options["no_serve"]:
            call_command("serve", port=options["port"])

    def _say(self, text: str) -> None:
        self.stdout.write(text)
        self.stdout.flush()

    def _build(self, passwords: dict[str, str]) -> None:
        if Member.objects.exists() or Holding.everything.exists() or Pack.objects.exists():
            raise CommandError(
                "This database holds records that are not the demo's, so nothing was changed. "
                "Set EXERGUE_VAR to another folder (or DATABASE_URL to another database) for the "
                "demo."
            )
        with transaction.atomic():
            for step in settings.DEMO_STEPS:
                import_string(step)(passwords, self._say)
            SiteFact.objects.create(key=MARK, value="Halvern")

    def _passwords(self) -> dict[str, str]:
        """The demo's passwords, made once for this installation and kept beside its database."""
        path = settings.VAR_DIR / "demo-sign-ins"
        if not path.exists():
            lines = [f"{username} {_password()}" for username, _name, _role in MEMBERS]
            handle = os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
            with os.fdopen(handle, "w") as file:
                file.write("\n".join(lines) + "\n")
        return dict(line.split() for line in path.read_text().splitlines())

    def _write_sheets(self, out: Path) -> None:
        out.mkdir(parents=True, exist_ok=True)
        for name, maker in settings.DEMO_SHEETS.items():
            path = out / name
            if not path.exists():
                try:
                    data: bytes = import_string(maker)()
                except PrintingUnavailable as error:
                    self.stderr.write(str(error))
                    return
                path.write_bytes(data)
            self._say(f"Sheet: {path}")


def _password() -> str:
    """Three spoken words of three syllables: 55 random bits that a person can type."""
    words = ("".join(secrets.choice(_SYLLABLES) for _ in range(3)) for _ in range(3))
    return "-".join(words)
