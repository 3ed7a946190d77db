"""A backup of a large club while others write, and its restoration: seconds, megabytes, what is in.

Run ``python -m tests.bench backup``, or, to keep the club that ``club.py`` makes, this file itself
with PYTHONPATH=. and EXERGUE_VAR=/some/folder. The photographs of the club share 20,000 pictures, a
few pixels each in files as large as those of small pictures. Each command is a process of its own
whose time and memory (ru_maxrss) are taken: Django's own dumpdata of all that a backup carries, as
the peer; the backup, which holds the files too and is read back; a backup while twenty clients
edit pieces and enter new ones over the network. That one is verified and restored into an empty
folder, which must pass check_records and hold every write that was confirmed before the backup
began. It stops if the restored site gives another backup than the one it came from. With
``BENCH_DATABASE_URL`` (an empty database) it also goes over PostgreSQL and back.
"""

from __future__ import annotations

import argparse
import hashlib
import io
import os
import random
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

from tests.bench.goals import Goal, tell

GOALS = {
    "time": Goal("a backup with its files, 100,000 holdings", "dumpdata of records", at_most=1),
    "memory": Goal("memory at the most while it is made, in MB", at_most=250),
    "restoring": Goal("memory at the most while it is restored, in MB", at_most=350),
    "lost": Goal("writes confirmed before the backup and not in it, of 20 clients", at_most=0),
    "wrong": Goal("restored sites of which check_records finds something wrong", at_most=0),
}
CLIENTS = 20
ROOT = Path(__file__).parents[2]
PHOTOGRAPHS = 20_000
SIZES = {"small": 2_000, "medium": 8_000, "large": 20_000, "full": 30_000}


MEASURED = """
import os, subprocess, sys
process = subprocess.Popen(sys.argv[1:], stdout=subprocess.DEVNULL)
_pid, status, used = os.wait4(process.pid, 0)
print(used.ru_maxrss)
sys.exit(os.waitstatus_to_exitcode(status))
"""
"""By a small process between, since a process begins with the memory of the one that started it."""


def run(name: str, *arguments: str, var: Path | None = None, url: str = "") -> tuple[float, float]:
    """Seconds and megabytes of a command of the site."""
    own = {**os.environ, **({"EXERGUE_VAR": str(var)} if var else {})}
    own |= {"DATABASE_URL": url} if url else {}
    start = time.perf_counter()
    command = [sys.executable, str(ROOT / "manage.py"), *arguments]
    between = [sys.executable, "-S", "-c", MEASURED, *command]
    done = subprocess.run(between, cwd=ROOT, env=own, stdout=subprocess.PIPE, text=True)
    took = time.perf_counter() - start
    if done.returncode:
        raise SystemExit(f"{name} ended with {done.returncode}")
    memory = int(done.stdout) / 1000
    print(f"{name:24s} {took:8.1f} s {memory:7.0f} MB at the most", flush=True)
    return took, memory


# ---- pictures ----
def make_files(most: int) -> int:
    """Give the photographs so many pictures between them; returns how many."""
    from django.core.files.storage import default_storage
    from django.db import connection, transaction

    from catalogue.models import Photo
    from series.picture.pictures import FULL, picture_name

    if Photo.objects.filter(digest__lt="0" * 40 + "g").count() == 0:
        return most  # they have them already
    digests = []
    for at in range(most):
        made = {size: picture(at, size, length) for size, length in SIZES.items()}
        digests.append(hashlib.sha256(made[FULL]).hexdigest())
        for size, data in made.items():
            path = Path(default_storage.path(picture_name(digests[-1], size)))
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
    photos = Photo.everything.order_by("pk").values_list("pk", "holding")
    rows = [(digests[holding % most], pk) for pk, holding in photos]
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.executemany(f"UPDATE {Photo._meta.db_table} SET digest = %s WHERE id = %s", rows)
    return most


@cache
def _small() -> bytes:
    from PIL import Image

    out = io.BytesIO()
    Image.new("RGB", (24, 24), "#a08050").save(out, "WEBP")
    return out.getvalue()[12:]


def picture(at: int, size: str, length: int) -> bytes:
    """A WebP picture with a chunk of noise (RFC 9649: unknown chunks are passed over)."""
    noise = random.Random(f"{at} {size}").randbytes(length // 2 * 2)
    body = b"WEBP" + _small() + b"junk" + len(noise).to_bytes(4, "little") + noise
    return b"RIFF" + len(body).to_bytes(4, "little") + body


# ---- writers ----
@contextmanager
def writing(clients: int) -> Iterator[list[tuple[str, str]]]:
    """Clients that edit pieces and enter new ones while this lasts: what was confirmed so far."""
    from tests.bench.bench_load import Side, Visitor, served
    from tests.bench.bench_writers import Told, signed_in, write_on

    side = Side("this code", ROOT, Path(os.environ["EXERGUE_VAR"]))
    side.prepare(None)
    told, ending = Told(), threading.Event()
    with served(side) as port:
        visitors, pieces = signed_in(side, port)
        threads = []
        for n in range(clients):
            which = n % len(visitors)
            visitor = Visitor(port, visitors[which].cookies)
            given = (told, visitor, pieces[which], f"w{n}", lambda: not ending.is_set())
            threads.append(threading.Thread(target=write_on, args=given))
        for thread in threads:
            thread.start()
        while len(told.confirmed) < clients and any(thread.is_alive() for thread in threads):
            threads[0].join(0.1)
        try:
            yield told.confirmed
        finally:
            ending.set()
            for thread in threads:
                thread.join()
    print(
        f"{len(told.confirmed)} writes confirmed, {told.refused} refused as made on an older "
        f"version, {len(told.errors)} answers that were errors {told.errors[:2]}"
    )


def lost_of(confirmed: list[tuple[str, str]], var: Path) -> int:
    from tests.bench.bench_load import Side
    from tests.bench.bench_writers import lost

    return len(lost(Side("restored", ROOT, var), confirmed))


def is_wrong(var: Path) -> bool:
    own = os.environ | {"EXERGUE_VAR": str(var)}
    start = time.perf_counter()
    command = [sys.executable, str(ROOT / "manage.py"), "check_records"]
    done = subprocess.run(command, cwd=ROOT, env=own, capture_output=True, text=True)
    print(f"check_records {time.perf_counter() - start:18.1f} s, {done.stdout[:300].strip()}")
    return done.returncode != 0


def records_in(path: Path) -> list[tuple[str, int | None]]:
    from catalogue.backup.container import Reader

    with path.open("rb") as file, Reader(file) as reader:
        return [(e.model, e.rows) if e.model else (e.name, e.size) for e in reader.listed()]


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--tiny", action="store_true", help="only show that it runs")
    parser.add_argument("--share", type=float, default=1.0, help="how much of the club to make")
    given = parser.parse_args()
    share = 0.002 if given.tiny else given.share
    sys.path.insert(0, str(Path(__file__).parent))
    import club

    club.ready(share)
    print(f"{make_files(5 if given.tiny else int(PHOTOGRAPHS * share))} pictures have files")
    from django.apps import apps

    from catalogue.backup.carried import LEFT_OUT, carried

    rows = sum(model._base_manager.count() for model in carried(apps))
    with tempfile.TemporaryDirectory(dir=os.environ.get("EXERGUE_VAR")) as name:
        folder = Path(name)
        quiet, one, two = (folder / name for name in ("quiet.tar", "one.tar", "two.tar"))
        left_out = [f"--exclude={label}" for label in LEFT_OUT]
        peer, _ = run("dumpdata", "dumpdata", "--all", *left_out, "-o", f"{folder}/all.jsonl")
        took, memory = run("backup", "backup", str(quiet))
        size = quiet.stat().st_size / 1e6
        quiet.unlink()
        print(f"{rows:,d} rows, {size:,.0f} MB, {size / took:.0f} MB a second")
        with writing(2 if given.tiny else CLIENTS) as confirmed:
            before = list(confirmed)
            run("backup while they write", "backup", str(one))
        run("verify_backup", "verify_backup", str(one))
        other = folder / "other"
        other.mkdir()
        _, restoring = run("restore", "restore", str(one), var=other)
        lost, wrong = lost_of(before, other), is_wrong(other)
        print(f"{len(before)} writes confirmed before, {lost} of them not in it")
        run("backup again", "backup", str(two), var=other)
        if records_in(one) != records_in(two):
            raise SystemExit("What was restored is not what was backed up.")
        if url := os.environ.get("BENCH_DATABASE_URL"):
            wrong += there_and_back(one, folder, url)
    figures = {"time": took / peer, "memory": memory, "restoring": restoring}
    tell(GOALS, {**figures, "lost": float(lost), "wrong": float(wrong)})


def there_and_back(one: Path, folder: Path, url: str) -> int:
    """Over PostgreSQL and back; on how many sites something is wrong."""
    there, back = folder / "there", folder / "back"
    three, four = folder / "three.tar", folder / "four.tar"
    for var in (there, back):
        var.mkdir()
    run("restore there", "restore", str(one), var=there, url=url)
    run("backup there", "backup", str(three), var=there, url=url)
    run("restore back", "restore", str(three), var=back)
    run("backup once back", "backup", str(four), var=back)
    if records_in(one) != records_in(four):
        raise SystemExit("What came back is not what was backed up.")
    return is_wrong(back)


if __name__ == "__main__":
    main()
