"""The first page, the first ranking and the memory of a server that starts on a large club.

Run ``python -m tests.bench restart``, or, to keep the club that ``club.py`` makes, this file itself
with PYTHONPATH=. and EXERGUE_VAR=/some/folder. Each step is a process of its own that asks for
pages through ``django.test.Client``, as a server's process answers them, after the one page that
every process pays for (reading templates and the rest):

* made anew: nothing is kept on disk, so texts, columns and table are made and kept, as a server
  does at its start, in a thread of their own (``catalogue.site.warming``);
* started: they are kept, as after any restart; the first page, ranking and type-ahead are timed;
* changed: a holding is saved, then a type; the next page and ranking, which know of it, are timed.

It stops if an answer of a process that started from what is kept differs from one that made all
anew. The most memory (VmHWM) is that of the process that made everything, until it was made.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import statistics
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.bench.goals import Goal, tell

GOALS = {
    "page": Goal("first page after a restart, 100,000 holdings, in s", at_most=1),
    "ranking": Goal("first ranking after a restart, 50,000 types, in s", at_most=1),
    "memory": Goal("memory at the most while all is made, in MB", at_most=350),
    "change": Goal("next page after a holding changed, p50, in s", at_most=0.3),
    "type": Goal("next ranking after a type changed, p50, in s", at_most=1),
}
PAGES = {
    "page": "/holdings/?owner=any&status=any",
    "ranking": "/identify/?diameter=23.5&colour=red",
    "types": "/holdings/quick/types/?q=hal",
}
STEPS = ("made", "started", "changed")


def asked() -> Callable[[str], tuple[float, Any]]:
    """Asks a page as a member: seconds and the answer."""
    import django

    os.environ["DJANGO_SETTINGS_MODULE"] = "catalogue.settings"
    django.setup()
    from django.conf import settings
    from django.test import Client

    from catalogue.models import Member

    settings.ALLOWED_HOSTS.append("testserver")
    client = Client()
    backend = "django.contrib.auth.backends.ModelBackend"
    client.force_login(Member.objects.order_by("pk")[1], backend=backend)

    def ask(address: str) -> tuple[float, Any]:
        start = time.perf_counter()
        answer = client.get(address)
        took = time.perf_counter() - start
        if answer.status_code != 200:
            raise SystemExit(f"{address} answers {answer.status_code}")
        return took, answer

    ask("/account/")
    return ask


def most_memory() -> float:
    status = Path("/proc/self/status").read_text()
    return int(status.split("VmHWM:")[1].split()[0]) / 1000


def said(answer: Any) -> list[Any]:
    """What an answer leads to, in its order, and every figure in it."""
    return re.findall(r'href="(/[^"]*)"|>([^<>]*\d[^<>]*)<', answer.content.decode())


def pages(make_ready: bool) -> dict[str, Any]:
    """The first of each page, in seconds, and what it said; after all was made ready, or not."""
    ask = asked()
    times: dict[str, float] = {}
    if make_ready:
        from catalogue.site.warming import warm

        start = time.perf_counter()
        thread = threading.Thread(target=warm)
        thread.start()
        thread.join()
        times["all"] = time.perf_counter() - start
    memory = most_memory()
    found = {name: ask(address) for name, address in PAGES.items()}
    return {
        "times": times | {name: took for name, (took, _) in found.items()},
        "said": {name: said(answer) for name, (_, answer) in found.items()},
        "memory": memory if make_ready else most_memory(),
    }


def changed(turns: int) -> dict[str, Any]:
    """The next answers after a change, in seconds."""
    ask = asked()
    from catalogue.models import Holding
    from series.models import CoinType
    from series.types.editing import settle

    for address in PAGES.values():
        ask(address)
    times: dict[str, list[float]] = {"page": [], "ranking": []}
    for piece in Holding.objects.order_by("pk")[:turns]:
        piece.spare = not piece.spare
        piece.save()
        times["page"].append(ask(PAGES["page"])[0])
    for coin_type in CoinType.objects.order_by("pk")[:turns]:
        coin_type.diameter_mm = 23
        coin_type.save()
        settle([coin_type.pk])
        times["ranking"].append(ask(PAGES["ranking"])[0])
    return {"times": {name: statistics.median(each) for name, each in times.items()}}


def step(name: str, tiny: bool) -> dict[str, Any]:
    """What a process of its own found out."""
    command = [sys.executable, __file__, "--step", name, *(["--tiny"] if tiny else [])]
    done = subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True)
    found: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    for page, took in found["times"].items():
        print(f"{name:8s} {page:8s} {took:7.2f} s")
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--step", choices=STEPS)
    parser.add_argument("--tiny", action="store_true")
    given = parser.parse_args()
    if given.step:
        turns = 2 if given.tiny else 10
        made_ready = given.step == "made"
        found = changed(turns) if given.step == "changed" else pages(made_ready)
        return print(json.dumps(found))
    sys.path.insert(0, str(Path(__file__).parent))
    import club

    club.ready(0.002 if given.tiny else 1.0)
    from catalogue.site.kept_files import forget_kept

    forget_kept()
    made = step("made", given.tiny)
    print(f"made     memory  {made['memory']:7.0f} MB at the most")
    started = step("started", given.tiny)
    print(f"started  memory  {started['memory']:7.0f} MB at the most")
    if started["said"] != made["said"]:
        raise SystemExit("What is kept answers otherwise than what is made anew.")
    after = step("changed", given.tiny)
    tell(
        GOALS,
        {
            "page": started["times"]["page"],
            "ranking": started["times"]["ranking"],
            "memory": made["memory"],
            "change": after["times"]["page"],
            "type": after["times"]["ranking"],
        },
    )


if __name__ == "__main__":
    main()
