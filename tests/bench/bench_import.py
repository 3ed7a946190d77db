"""A list brought in: how long it takes, and how long it keeps others from writing.

Run ``python -m tests.bench import``, or with ``--rows 100000``. A list of invented rows (of the
islands of Halvern; one in ten of a country without types, which becomes provisional types; one in
fifty of nothing known) is read, matched, judged and taken in, while ten writers change a row each,
one after another, as on a busy evening. The peer is a bare loop that saves as many pieces with
``Model.save()``, one commit each. Told are seconds, those of the processor apart (another program
takes its share of the others), the longest that a writer waited (SQLite takes one writer at a time)
and the most memory (VmHWM) of the process. ``--types`` says how many types are unknown.
"""

from __future__ import annotations

import argparse
import io
import os
import random
import resource
import sqlite3
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

from tests.bench.goals import Goal, tell

GOALS = {
    "wait": Goal("longest wait of ten writers while a list comes in, in s", at_most=5),
    "time": Goal("a list brought in, times the peer's", "a loop of Model.save()", at_most=1),
    "memory": Goal("memory at the most, in MB", at_most=400),
    "in": Goal("rows that are not in afterwards", at_most=0),
}
ROWS, WRITERS = 2_000, 10
HEADINGS = "Country;Value;Year;Grade;Quantity;Price;Place;Remark"


def list_of(rows: int, known: list[tuple[str, str]], unknown: int) -> bytes:
    chance = random.Random(7)
    lines = [HEADINGS]
    for n in range(rows):
        value, year = chance.choice(known)
        country = "Halvern"
        if n % 50 == 7:
            country, value = "", f"token {n}"
        elif n % 10 == 3:
            country, value = "Skarvø", f"{n // 10 % unknown + 1} ort"
            year = str(1900 + n % 40)
        grade = chance.choice(("VF", "F", "EF", ""))
        lines.append(f"{country};{value};{year};{grade};1;{n % 90},50;Box {n % 30};ticket {n}")
    return "\n".join(lines).encode()


@contextmanager
def writers(database: Path, waits: list[float]) -> Iterator[None]:
    """Ten threads that each change a row over and over; the longest each waited is kept."""
    ended = threading.Event()

    def write(number: int) -> None:
        longest = 0.0
        with closing(sqlite3.connect(database, timeout=60, isolation_level=None)) as own:
            own.execute("PRAGMA synchronous=FULL")
            while not ended.wait(0.02):
                began = time.perf_counter()
                own.execute("BEGIN IMMEDIATE")
                own.execute("UPDATE bench_writers SET n = n + 1 WHERE id = ?", (number,))
                own.execute("COMMIT")
                longest = max(longest, time.perf_counter() - began)
        waits.append(longest)

    with closing(sqlite3.connect(database, timeout=60, isolation_level=None)) as own:
        own.execute("CREATE TABLE IF NOT EXISTS bench_writers (id INTEGER PRIMARY KEY, n INTEGER)")
        for number in range(WRITERS):
            own.execute("INSERT OR REPLACE INTO bench_writers VALUES (?, 0)", (number,))
    threads = [threading.Thread(target=write, args=(number,)) for number in range(WRITERS)]
    for thread in threads:
        thread.start()
    try:
        yield
    finally:
        ended.set()
        for thread in threads:
            thread.join()


def measure(rows: int, types: int) -> dict[str, float]:
    from django.conf import settings
    from django.db import connection

    from catalogue.importing.keeping import bring
    from catalogue.importing.publishing import publish
    from catalogue.importing.settling import doubtful, settle_all
    from catalogue.importing.staging import stage
    from catalogue.models import Holding, Member
    from series.models import Issue

    owner = Member.objects.create_user("ana")
    issues = Issue.objects.filter(coin_type__series__issuer__name="Halvern", fact="struck")
    known = sorted({(i.coin_type.denomination.name, i.shown) for i in issues if i.shown.isdigit()})
    data = list_of(rows, known, types)
    peer = _peer(owner, rows)
    waits: list[float] = []
    took: dict[str, tuple[float, float]] = {}
    began, worked = time.perf_counter(), time.process_time()

    def note(name: str) -> None:
        took[name] = time.perf_counter() - began, time.process_time() - worked

    brought = bring(owner, io.BytesIO(data), "bench.csv")
    stage(brought)
    note("read")
    settle_all(brought, doubtful(brought).filter(reading__country="Skarvø"), "provisional")
    settle_all(brought, doubtful(brought), "unidentified")
    note("settled")
    sqlite = connection.vendor == "sqlite"
    database = Path(settings.DATABASES["default"]["NAME"])
    with writers(database, waits) if sqlite else _nobody():
        publish(brought)
    note("in")
    for name, (seconds, busy) in {**took, "peer": peer}.items():
        print(f"{name:<10}{seconds:9.1f} s, of the processor {busy:9.1f} s")
    print(f"load       {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores")
    print(f"counts     {brought.counts}, longest waits {sorted(waits)[-3:]}")
    held = Holding.objects.filter(owner=owner).exclude(accession__startswith="P").count()
    return {
        "wait": max(waits, default=0.0),
        "time": took["in"][0] / peer[0],
        "memory": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
        "in": rows - held,
    }


def _peer(owner: Any, rows: int) -> tuple[float, float]:
    from catalogue.models import Holding

    began, worked = time.perf_counter(), time.process_time()
    for n in range(rows):
        Holding(owner=owner, accession=f"P{n}", title=f"token {n}").save()
    return time.perf_counter() - began, time.process_time() - worked


@contextmanager
def _nobody() -> Iterator[None]:
    yield


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--rows", type=int, default=ROWS)
    parser.add_argument("--types", type=int, default=100)
    parser.add_argument("--tiny", action="store_true", help="only show that it runs")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        os.environ["EXERGUE_VAR"] = folder
        os.environ["DJANGO_SETTINGS_MODULE"] = "catalogue.settings"
        import django

        django.setup()
        from django.core.management import call_command

        call_command("migrate", verbosity=0)
        call_command("load_pack", "fixtures/packs/halvern", verbosity=0)
        tell(GOALS, measure(20 if given.tiny else given.rows, given.types))
    sys.stdout.flush()


if __name__ == "__main__":
    main()
