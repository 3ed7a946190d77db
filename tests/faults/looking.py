"""What a site holds, so that two of them can be compared, and what is wrong with it."""

from __future__ import annotations

import io
import json
from pathlib import Path
from typing import Any

BEGINS_ANEW = {"created_at", "changed_at", "added_at", "made_at", "last_login", "seen_at"}
"""Columns that say when, which differ from run to run."""
BEGINS_ANEW |= {"at", "taken_at"}
NO_RECORDS = {"change", "changecounter", "device", "workerbeat"}
DEEDS = "catalogue.deed"


def records() -> dict[str, list[Any]]:
    """Every row of the site's own tables, but for columns that say when; nothing before there are
    tables."""
    from django.apps import apps
    from django.core.serializers import serialize
    from django.db import connection

    if not connection.introspection.table_names():
        return {}
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
    _number_deeds(found)
    return found


def _number_deeds(found: dict[str, list[Any]]) -> None:
    """The number of a deed in the history is given by the clock; here by its place among them."""
    numbers = {row["pk"]: at for at, row in enumerate(found[DEEDS], start=1)}
    for row in found[DEEDS]:
        row["pk"] = numbers[row["pk"]]
        row["fields"]["takes_back"] = numbers.get(row["fields"]["takes_back"])
    for row in found["catalogue.alteration"]:
        row["fields"]["deed"] = numbers[row["fields"]["deed"]]
        for values in (row["fields"]["before"], row["fields"]["after"]):
            for column in BEGINS_ANEW & set(values or ()):
                del values[column]


def backups() -> list[Any]:
    """Each file that has the name of a backup: what is wrong with it, whether it is on
    the list (which has where it lay when this was copied)."""
    from django.conf import settings

    from catalogue.backup.container import NotABackup, Reader
    from catalogue.backup.shelf import made_backups

    listed = {(Path(made.path).name, made.size) for made in made_backups()}
    found = []
    for path in sorted(Path(settings.VAR_DIR).glob("*.tar")):
        try:
            with path.open("rb") as file, Reader(file) as reader:
                wrong = list(reader.faults())
        except NotABackup as error:
            wrong = [str(error)]
        found.append([path.name, wrong, (path.name, path.stat().st_size) in listed])
    return found


def looked(steps: int = 0, seconds: float = 0) -> dict[str, Any]:
    from django.core.management import call_command

    held, wrong = records(), []
    if held:
        out = io.StringIO()
        try:
            call_command("check_records", "--json", stdout=out)
        except SystemExit:
            pass
        wrong = json.loads(out.getvalue())["wrong"]
        if held["catalogue.member"]:
            wrong += [f"{name} is on no list" for name, _wrong, listed in backups() if not listed]
    return {
        "records": held | {"backups": [each[:2] for each in backups()]},
        "wrong": wrong,
        "steps": steps,
        "seconds": seconds,
    }
