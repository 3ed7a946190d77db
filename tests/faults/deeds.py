"""A deed of a member in a process of its own, which kills itself at one of its steps.

``python -m tests.faults.deeds DEED`` does it and says how many steps it took, and what ``looking``
finds then; ``DEED STEP`` ends at a step (see ``steps``), ``DEED 0`` only does it. ``prepare`` makes
what the deeds are done to, ``look`` and ``glance`` only look, ``wait`` takes its orders from
``forks``.
"""

from __future__ import annotations

import io
import json
import os
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import django

from tests.faults.steps import Steps

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "catalogue.settings")
PIECES = 12
NAME = "ana"
KEPT, TAKEN, LIST, PICTURES = "kept.tar", "taken.tar", "brought/list.csv", "brought/pictures"
ASKED = "asked.json"
"""What a browser keeps and sends, so that a deed begins with its request."""


# ---- what they are done to ----
def prepare() -> None:
    from django.conf import settings

    from catalogue.backup.making import make_backup
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
        made.append(holding)
    note_holdings(each.pk for each in made)
    made_anew()
    _ask(member, made)
    _sent(f"/holdings/{made[1].pk}/photos/", _two_sides("#d0d0d0", "#a0a0a0"))
    make_backup(Path(settings.VAR_DIR) / KEPT)
    _make_list()


def _make_list() -> None:
    """New pieces in places that are not there yet, one with a picture; one is changed."""
    from django.conf import settings

    from tests.catalogue.importing.brought import listed, row

    pictures = Path(settings.VAR_DIR) / PICTURES
    pictures.mkdir(parents=True)
    rows = [row(number="K.03", grade="EF", quantity="4")]
    for number in range(11):
        rows.append(row(number=f"L.{number:02}", place=f"Box {number % 3}", ticket=f"no {number}"))
    (pictures / "L.00.jpg").write_bytes(_picture("#c0c0c0"))
    (Path(settings.VAR_DIR) / LIST).write_bytes(listed(*rows))


def _picture(colour: str) -> bytes:
    from PIL import Image

    out = io.BytesIO()
    Image.new("RGB", (300, 300), colour).save(out, "JPEG")
    return out.getvalue()


# ---- deeds ----
@cache
def browser() -> Any:
    from django.test import Client

    made = Client(SERVER_NAME="localhost", raise_request_exception=False)
    made.handler.load_middleware()
    return made


def _ask(member: Any, held: list[Any]) -> None:
    """Sign in once for all deeds, and note what they send."""
    from django.conf import settings

    from tests.catalogue.holdings.bulk.test_bulk import versions

    browser().force_login(member, backend="django.contrib.auth.backends.ModelBackend")
    asked = {
        "cookies": {name: cookie.value for name, cookie in browser().cookies.items()},
        "upload": f"/holdings/{held[0].pk}/photos/",
        "bulk": {
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
    }
    (Path(settings.VAR_DIR) / ASKED).write_text(json.dumps(asked))


def _asked(name: str) -> Any:
    from django.conf import settings

    return json.loads((Path(settings.VAR_DIR) / ASKED).read_text())[name]


def _sent(address: str, data: dict[str, Any]) -> None:
    browser().cookies.load(_asked("cookies"))
    answer = browser().post(address, data)
    assert answer.status_code == 302, (answer.status_code, answer.content[:3000])


def _command(name: str, *arguments: str, within: str) -> None:
    """A command with a file in the folder of the site."""
    from django.conf import settings
    from django.core.management import call_command

    path = str(Path(settings.VAR_DIR) / within)
    call_command(name, path, *arguments, stdout=io.StringIO())


def _two_sides(*colours: str) -> dict[str, Any]:
    from django.core.files.uploadedfile import SimpleUploadedFile

    return {
        side: SimpleUploadedFile(f"{side}.jpg", _picture(colour), "image/jpeg")
        for side, colour in zip(("obverse", "reverse"), colours, strict=True)
    }


def upload() -> None:
    _sent(_asked("upload"), _two_sides("#b08040", "#806030"))


def bulk() -> None:
    _sent("/holdings/bulk/", _asked("bulk"))


def schedule() -> None:
    from tests.valuation.test_schedule_pages import FORM, NEW

    _sent(NEW, FORM)


def bring_list() -> None:
    from django.conf import settings

    from catalogue.importing import publishing, staging

    publishing.PARCEL = staging.PARCEL = 4
    pictures = str(Path(settings.VAR_DIR) / PICTURES)
    _command("import_holdings", "--member", NAME, "--pictures", pictures, "--json", within=LIST)


def backup() -> None:
    _command("backup", within=TAKEN)


def restore() -> None:
    _command("restore", within=KEPT)


@dataclass(frozen=True)
class Deed:
    """``into_nothing``: it is done to a site that holds nothing. ``staged``: tables that nobody
    sees as part of a collection, and that it may leave half filled for the next time."""

    do: Callable[[], None]
    into_nothing: bool = False
    staged: tuple[str, ...] = ()


STAGED = ("catalogue.importedlist", "catalogue.importedrow")
DEEDS = {
    "import": Deed(bring_list, staged=STAGED),
    "upload": Deed(upload),
    "bulk": Deed(bulk),
    "backup": Deed(backup),
    "restore": Deed(restore, into_nothing=True),
    "schedule": Deed(schedule),
}


def do(name: str, stop_at: int | None = None) -> None:
    """What the command line asks for; Django is set up."""
    from tests.faults.looking import looked

    if name in ("prepare", "look", "glance"):
        said = prepare() if name == "prepare" else looked(closely=name == "look")
    else:
        steps = Steps(stop_at or 0)
        if stop_at != 0:
            steps.watch()
        steps.counting, began = True, time.perf_counter()
        DEEDS[name].do()
        steps.counting, took = False, time.perf_counter() - began
        said = looked(steps.done, took) if stop_at is None else None
    print(json.dumps(said))


def main() -> None:
    name, *step = sys.argv[1:]
    django.setup()
    if name == "wait":
        from tests.faults.forks import wait_for_orders

        wait_for_orders()
    else:
        do(name, *map(int, step))


if __name__ == "__main__":
    main()
