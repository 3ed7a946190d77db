"""What a site holds, so that two of them can be compared, and what is wrong with it."""

from __future__ import annotations

import io
import json
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any

from django.apps import apps

BEGINS_ANEW = {"created_at", "changed_at", "added_at", "made_at", "last_login", "seen_at"}
"""Columns that say when, which differ from run to run."""
BEGINS_ANEW |= {"at", "taken_at"}
NO_RECORDS = {"change", "changecounter", "device", "workerbeat"}


def records() -> dict[str, list[Any]]:
    """Every row of the site's own tables, but for columns that say when."""
    from django.db import connection

    found = {}
    with connection.cursor() as cursor:
        for model in apps.get_models(include_auto_created=True):
            name = model._meta.model_name or ""
            ours = model._meta.app_label in ("catalogue", "series", "valuation")
            if not ours or name in NO_RECORDS:
                continue
            columns = [
                f.column for f in model._meta.concrete_fields if f.attname not in BEGINS_ANEW
            ]
            asked = ", ".join(map(connection.ops.quote_name, columns))
            cursor.execute(f'SELECT {asked} FROM "{model._meta.db_table}" ORDER BY 1')
            rows = [dict(zip(columns, row, strict=True)) for row in cursor.fetchall()]
            found[model._meta.label_lower] = rows
    _number_deeds(found)
    plain: dict[str, list[Any]] = json.loads(json.dumps(found, default=str))
    return plain


def _number_deeds(found: dict[str, list[Any]]) -> None:
    """The number of a deed in the history is given by the clock; here by its place among them."""
    deeds = found["catalogue.deed"]
    numbers = {row["id"]: at for at, row in enumerate(deeds, start=1)}
    for row in deeds:
        row["id"] = numbers[row["id"]]
        row["takes_back_id"] = numbers.get(row["takes_back_id"])
    for row in found["catalogue.alteration"]:
        row["deed_id"] = numbers[row["deed_id"]]
        for name in ("before", "after"):
            values = json.loads(row[name]) if isinstance(row[name], str) else row[name]
            row[name] = values and {k: v for k, v in values.items() if k not in BEGINS_ANEW}


def backups() -> list[Any]:
    """Each file that has the name of a backup: what is wrong with it, whether it is on the list
    (which has where it lay when this was copied)."""
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


def files() -> dict[str, str]:
    """The digest of each stored file by its name."""
    from django.conf import settings

    root = Path(settings.MEDIA_ROOT)
    return {
        str(path.relative_to(root)): sha256(path.read_bytes()).hexdigest()
        for path in root.rglob("*")
        if path.is_file()
    }


def damage() -> list[str]:
    """What SQLite finds wrong with its own file."""
    from django.db import connection

    if connection.vendor != "sqlite":
        return []
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA integrity_check")
        return [said for (said,) in cursor.fetchall() if said != "ok"]


def looked(steps: int = 0, seconds: float = 0, *, closely: bool = True) -> dict[str, Any]:
    """What there is and what is wrong; ``closely``: all that ``check_records`` looks at."""
    from django.core.management import call_command

    held, wrong = records(), damage()
    shelf = backups()
    if held["catalogue.member"]:
        wrong += [f"{name} is on no list" for name, _wrong, listed in shelf if not listed]
    if closely:
        out = io.StringIO()
        with suppress(SystemExit):
            call_command("check_records", "--json", stdout=out)
        wrong += json.loads(out.getvalue())["wrong"]
    return {
        "records": held | {"backups": [each[:2] for each in shelf]},
        "files": files(),
        "wrong": wrong,
        "steps": steps,
        "seconds": seconds,
    }
