"""A deed of a member in a process of its own, which kills itself at one of its steps.

``python -m tests.faults.deeds DEED [STEP]``. A step is an SQL statement, the beginning or end of a
commit, and a file opened to be written or given its name. Killed by SIGKILL, the process has no
time for anything. Without a step it says how many there were, and what ``look`` says: what the
records are and what ``check_records`` finds wrong. ``prepare`` makes what the deeds are done to.
"""

from __future__ import annotations

import io
import json
import os
import signal
import sys
from collections.abc import Callable
from typing import Any

import django

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
PIECES = 12
NAME = "ana"
BEGINS_ANEW = {"created_at", "changed_at", "added_at", "made_at", "last_login", "seen_at"}
"""Columns that say when, which differ from run to run."""
NO_RECORDS = {"change", "changecounter", "device", "workerbeat"}


class Steps:
    """Counts what is done, and kills the process at one of them."""

    def __init__(self, stop_at: int) -> None:
        self.done, self.stop_at, self.counting = 0, stop_at, False

    def step(self) -> None:
        if not self.counting:
            return
        self.done += 1
        if self.done == self.stop_at:
            os.kill(os.getpid(), signal.SIGKILL)

    def watch(self) -> None:
        from django.db import connection

        connection.ensure_connection()
        commit = connection._commit  # type: ignore[attr-defined]

        def committed() -> None:
            self.step()
            commit()
            self.step()

        def heard(event: str, told: tuple[Any, ...]) -> None:
            writes = event == "open" and isinstance(told[1], str) and set(told[1]) & set("wxa+")
            if writes or event == "os.rename":
                self.step()

        def asked(execute: Any, *of: Any) -> Any:
            self.step()
            return execute(*of)

        connection._commit = committed  # type: ignore[attr-defined]
        connection.execute_wrappers.append(asked)
        sys.addaudithook(heard)


# ---- records ----
def prepare() -> None:
    from catalogue.checking.derived import made_anew
    from catalogue.holdings.actions import derive
    from catalogue.holdings.changes import note_holdings
    from catalogue.models import Holding, Member
    from tests.conftest import make_coinage

    member = Member.objects.create_user(NAME, "a good long password")
    coinage = make_coinage()
    made = []
    for number in range(PIECES):
        holding = Holding(
            owner=member, accession=f"K.{number:02}", coin_type=coinage.type,
            issue=coinage.issues[number % 3], grade="VF", note=f"piece {number}",
        )  # fmt: skip
        derive(holding)
        holding.save()
        made.append(holding.pk)
    note_holdings(made)
    made_anew()


def records() -> dict[str, list[Any]]:
    """Every row of the site's own tables, but for columns that say when."""
    from django.apps import apps
    from django.core.serializers import serialize

    found = {}
    for label in ("catalogue", "series", "valuation"):
        for model in apps.get_app_config(label).get_models():
            name = model._meta.model_name or ""
            if name in NO_RECORDS:
                continue
            rows = json.loads(serialize("json", model._base_manager.order_by("pk")))
            for row in rows:
                for column in BEGINS_ANEW & set(row["fields"]):
                    del row["fields"][column]
            found[f"{label}.{name}"] = rows
    return found


def look(steps: int = 0) -> None:
    from django.core.management import call_command

    out = io.StringIO()
    try:
        call_command("check_records", "--json", stdout=out)
    except SystemExit:
        pass
    told = {"steps": steps, "records": records(), "wrong": json.loads(out.getvalue())["wrong"]}
    print(json.dumps(told))


# ---- deeds ----
def _client() -> Any:
    from django.test import Client

    from catalogue.models import Member

    client = Client(SERVER_NAME="localhost")
    member = Member.objects.get(username=NAME)
    client.force_login(member, backend="django.contrib.auth.backends.ModelBackend")
    return client


def _sent(address: str, data: dict[str, Any]) -> None:
    answer = _client().post(address, data)
    assert answer.status_code == 302, (answer.status_code, answer.content[:3000])


def upload() -> None:
    from django.core.files.uploadedfile import SimpleUploadedFile
    from PIL import Image

    from catalogue.models import Holding

    files = {}
    for side, colour in (("obverse", "#b08040"), ("reverse", "#806030")):
        out = io.BytesIO()
        Image.new("RGB", (300, 300), colour).save(out, "JPEG")
        files[side] = SimpleUploadedFile(f"{side}.jpg", out.getvalue(), "image/jpeg")
    _sent(f"/holdings/{Holding.objects.earliest('pk').pk}/photos/", files)


def bulk() -> None:
    from catalogue.models import Holding
    from tests.catalogue.holdings.bulk.test_bulk import versions

    held = list(Holding.objects.order_by("pk"))
    _sent(
        "/holdings/bulk/",
        {
            "holding": [each.pk for each in held],
            "back": "/holdings/",
            "do": "do",
            "deed": "change",
            "grade_scale": "british",
            "grade_do": "set",
            "grade": "EF",
            "expected": len(held),
            "seen": versions(held),
        },
    )


def schedule() -> None:
    from tests.valuation.test_schedule_pages import FORM, NEW

    _sent(NEW, FORM)


DEEDS: dict[str, Callable[[], None]] = {"upload": upload, "bulk": bulk, "schedule": schedule}


def main() -> None:
    name, stop_at = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 0
    django.setup()
    if name in ("prepare", "look"):
        {"prepare": prepare, "look": look}[name]()
        return
    steps = Steps(stop_at)
    steps.watch()
    steps.counting = True
    DEEDS[name]()
    steps.counting = False
    look(steps.done)


if __name__ == "__main__":
    main()
