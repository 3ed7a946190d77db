"""A backup of a large club and its restoration: seconds, megabytes, the most memory.

Run ``python -m tests.bench backup``, or, to keep the club that ``club.py`` makes, this file itself
with PYTHONPATH=. and EXERGUE_VAR=/some/folder. Every photograph of the club gets files of noise in
the storage, as large as those of small pictures. Then each command is a process of its own whose
time and memory (ru_maxrss) are taken: Django's own dumpdata of all that a backup carries, as the
peer; the backup, which holds the files too and is read back; verify_backup; restore into an empty
folder. It stops if the restored site gives another backup than the one it came from.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.bench.goals import Goal, tell

GOALS = {
    "time": Goal("a backup with its files, 100,000 holdings", "dumpdata of records", at_most=1),
    "memory": Goal("memory at the most while it is made, in MB", at_most=250),
    "restoring": Goal("memory at the most while it is restored, in MB", at_most=350),
}
ROOT = Path(__file__).parents[2]
PHOTOGRAPHS = 20_000
SIZES = {"small": 4_000, "medium": 20_000, "large": 60_000, "full": 80_000}


MEASURED = """
import os, subprocess, sys
process = subprocess.Popen(sys.argv[1:], stdout=subprocess.DEVNULL)
_pid, status, used = os.wait4(process.pid, 0)
print(used.ru_maxrss)
sys.exit(os.waitstatus_to_exitcode(status))
"""
"""By a small process between, since a process begins with the memory of the one that started it."""


def run(name: str, *arguments: str, var: Path | None = None) -> tuple[float, float]:
    """Seconds and megabytes of a command of the site."""
    own = os.environ if var is None else os.environ | {"EXERGUE_VAR": str(var)}
    start = time.perf_counter()
    command = [sys.executable, str(ROOT / "manage.py"), *arguments]
    between = [sys.executable, "-S", "-c", MEASURED, *command]
    done = subprocess.run(between, cwd=ROOT, env=own, stdout=subprocess.PIPE, text=True)
    took = time.perf_counter() - start
    if done.returncode:
        raise SystemExit(f"{name} ended with {done.returncode}")
    memory = int(done.stdout) / 1000
    print(f"{name:16s} {took:8.1f} s {memory:7.0f} MB at the most", flush=True)
    return took, memory


def make_files(most: int) -> int:
    """Noise for the files of up to so many photographs; returns how many photographs."""
    from django.core.files.base import ContentFile
    from django.core.files.storage import default_storage

    from catalogue.models import Photo
    from series.picture.pictures import picture_name

    digests = Photo.objects.order_by("digest").values_list("digest", flat=True).distinct()[:most]
    for digest in digests:
        for size, length in SIZES.items():
            name = picture_name(digest, size)
            if not default_storage.exists(name):
                default_storage.save(name, ContentFile(os.urandom(length)))
    return len(digests)


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
    print(f"{make_files(5 if given.tiny else int(PHOTOGRAPHS * share))} photographs have files")
    from django.apps import apps

    from catalogue.backup.carried import LEFT_OUT, carried

    rows = sum(model._base_manager.count() for model in carried(apps))
    with tempfile.TemporaryDirectory(dir=os.environ.get("EXERGUE_VAR")) as folder:
        one, two, other = (Path(folder) / name for name in ("one.tar", "two.tar", "other"))
        left_out = [f"--exclude={label}" for label in LEFT_OUT]
        peer, _ = run("dumpdata", "dumpdata", "--all", *left_out, "-o", f"{folder}/all.jsonl")
        took, memory = run("backup", "backup", str(one))
        size = one.stat().st_size / 1e6
        print(f"{rows:,d} rows, {size:,.0f} MB, {size / took:.0f} MB a second")
        run("verify_backup", "verify_backup", str(one))
        other.mkdir()
        _, restoring = run("restore", "restore", str(one), var=other)
        run("backup again", "backup", str(two), var=other)
        if records_in(one) != records_in(two):
            raise SystemExit("What was restored is not what was backed up.")
    tell(GOALS, {"time": took / peer, "memory": memory, "restoring": restoring})


if __name__ == "__main__":
    main()
