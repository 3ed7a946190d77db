"""Fifty members read and ten write at once for two minutes: no error, nothing confirmed is lost.

Run ``python -m tests.bench writers``; with ``BENCH_DATABASE_URL`` it is done on that PostgreSQL
database, which must be empty or this bench's own. Readers ask as in ``bench_load``. Writers work
in pairs, two browsers of one member on one and the same piece: each reads its form and adds a token
of its own to the note. An edit that was confirmed must be in the note at the end; one made on an
older version must be refused, and is begun again. Each writer also enters a new piece now and then,
which must be there. The peer is the same reading by the same clients with nobody writing.
"""

from __future__ import annotations

import argparse
import os
import re
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from html import unescape
from html.parser import HTMLParser
from pathlib import Path

from tests.bench.bench_load import ROOT, Side, Visitor, addresses, served
from tests.bench.goals import Goal, tell

GOALS = {
    "errors": Goal("answers that were errors", at_most=0),
    "lost": Goal("confirmed changes that are not there", at_most=0),
    "late": Goal("p95 of readers beside ten writers", "readers alone", at_most=3),
}
NEW_EVERY = 5
"""Each writer enters a new piece after so many edits."""
READ_BACK = """
from catalogue.models import Holding, Member
for pk, note in Holding.objects.filter(pk__in={pieces}).values_list("pk", "note"):
    print("NOTE", pk, note.replace(chr(10), " "))
made = Holding.objects.filter(title__startswith="bench-")
print("TITLES", " ".join(made.values_list("title", flat=True)))
"""


class FormReader(HTMLParser):
    """The fields of the form that has a note, as a browser would send them unchanged."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.fields: dict[str, str] = {}
        self._forms: list[dict[str, str]] = []
        self._in: tuple[str, str] | None = None
        self.feed(html)
        self.fields = next((form for form in self._forms if "note" in form), {})

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        own = {name: value or "" for name, value in attrs}
        if tag == "form":
            self._forms.append({})
        if not self._forms or (not own.get("name") and tag != "option"):
            return
        if tag == "input" and own.get("type") not in ("checkbox", "radio", "file", "submit"):
            self._forms[-1][own["name"]] = own.get("value", "")
        elif tag == "input" and "checked" in own:
            self._forms[-1][own["name"]] = own.get("value", "on")
        elif tag in ("select", "textarea"):
            self._in = (tag, own["name"])
            self._forms[-1].setdefault(own["name"], "")
        elif tag == "option" and "selected" in own and self._in:
            self._forms[-1][self._in[1]] = own.get("value", "")

    def handle_data(self, data: str) -> None:
        if self._in and self._in[0] == "textarea":
            self._forms[-1][self._in[1]] += data

    def handle_endtag(self, tag: str) -> None:
        if tag in ("select", "textarea"):
            self._in = None


@dataclass
class Told:
    """What the clients of one run saw."""

    waits: list[float] = field(default_factory=list)
    writes: list[float] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)
    confirmed: list[tuple[str, str]] = field(default_factory=list)
    """The piece's number (or "" for a new one) and the token or title."""
    refused: int = 0

    @property
    def late(self) -> float:
        return p95(self.waits)


def p95(waits: list[float]) -> float:
    return statistics.quantiles([*waits, max(waits)], n=20)[-1]


def read_on(told: Told, visitor: Visitor, own: list[str], number: int, until: float) -> None:
    at = number
    while time.perf_counter() < until or at == number:
        start = time.perf_counter()
        path = own[at % len(own)]
        status, _body = visitor.ask(path)
        told.waits.append(time.perf_counter() - start)
        if status != 200:
            told.errors.append(f"{path} answered {status}")
        at += 1


def write_on(
    told: Told, visitor: Visitor, piece: str, name: str, going_on: Callable[[], bool]
) -> None:
    turn = 0
    while turn == 0 or going_on():
        turn += 1
        token = f"{name}.{turn}"
        new = turn % NEW_EVERY == 0
        path = "/holdings/new/" if new else f"/holdings/{piece}/edit/"
        form = FormReader(visitor.text(path)).fields
        if not form:
            told.errors.append(f"{path} has no form")
            return
        form = {k: unescape(v) for k, v in form.items()}
        if new:
            form |= {"title": f"bench-{token}", "quantity": "1"}
        else:
            form["note"] = f"{form['note'].strip()} {token}".strip()
        start = time.perf_counter()
        status, body = visitor.ask(path, form, packed=False)
        told.writes.append(time.perf_counter() - start)
        if status == 302:
            told.confirmed.append(("", f"bench-{token}") if new else (piece, token))
        elif status == 200 and b"row_version" in body:
            told.refused += 1
        else:
            told.errors.append(f"POST {path} answered {status}")


def signed_in(side: Side, port: int) -> tuple[list[Visitor], list[str]]:
    """A browser of each member of the side, and a piece that is theirs."""
    visitors, pieces = [], []
    for name in side.names:
        visitors.append(Visitor(port))
        visitors[-1].sign_in(name)
        mine = re.findall(r'href="/holdings/(\d+)/"', visitors[-1].text("/holdings/?view=list"))
        pieces.append(mine[0])
    return visitors, pieces


def run(side: Side, port: int, readers: int, writers: int, seconds: float) -> Told:
    """Everybody at once for so long; the writers two by two."""
    told = Told()
    visitors, pieces = signed_in(side, port)
    cookies = [visitor.cookies for visitor in visitors]
    own = [addresses(visitor, admin=False) for visitor in visitors]
    until = time.perf_counter() + seconds
    threads = [
        threading.Thread(
            target=read_on,
            args=(told, Visitor(port, cookies[n % len(own)]), own[n % len(own)], n, until),
        )
        for n in range(readers)
    ]
    for n in range(writers):
        pair = (n // 2) % len(own)
        visitor = Visitor(port, cookies[pair])
        threads.append(
            threading.Thread(
                target=write_on,
                args=(
                    told,
                    visitor,
                    pieces[pair],
                    f"w{n}-{port}",
                    lambda: time.perf_counter() < until,
                ),
            )
        )
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return told


def lost(side: Side, confirmed: list[tuple[str, str]]) -> list[str]:
    """Confirmed changes that the database has not."""
    pieces = sorted({int(piece) for piece, _token in confirmed if piece})
    said = side.run("manage.py", "shell", given=READ_BACK.format(pieces=pieces))
    notes = {m[1]: m[2].split() for m in re.finditer(r"NOTE (\d+) (.*)", said)}
    titles = re.search(r"TITLES (.*)", said)
    made = titles[1].split() if titles else []
    return [t for piece, t in confirmed if t not in (notes.get(piece, []) if piece else made)]


class OnDatabase(Side):
    """A side that keeps the database it was told of."""

    @property
    def environment(self) -> dict[str, str]:
        address = os.environ.get("BENCH_DATABASE_URL", "")
        return super().environment | ({"DATABASE_URL": address} if address else {})


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--share", type=float, help="a club of this share of 100,000 holdings")
    parser.add_argument("--readers", type=int, default=50)
    parser.add_argument("--writers", type=int, default=10)
    parser.add_argument("--seconds", type=float, default=120)
    parser.add_argument("--tiny", action="store_true", help="only show that it runs")
    given = parser.parse_args()
    if given.tiny:
        given.share, given.readers, given.writers, given.seconds = 0.002, 1, 2, 0.5
    with tempfile.TemporaryDirectory() as folder:
        side = OnDatabase("this code", ROOT, Path(folder))
        side.prepare(given.share)
        alone = ("--no-worker", "--processes", "1") if given.tiny else ()
        with served(side, *alone) as port:
            before = run(side, port, given.readers, 0, given.seconds / 4)
            told = run(side, port, given.readers, given.writers, given.seconds)
        gone = lost(side, told.confirmed)
    for line in [*told.errors[:5], *gone[:5]]:
        print(line, file=sys.stderr)
    print(
        f"readers alone p95 {before.late * 1000:.0f} ms; beside writers {told.late * 1000:.0f} ms, "
        f"{len(told.waits)} answers; {len(told.confirmed)} changes confirmed, {told.refused} "
        f"refused as made on an older version; writes p95 {p95(told.writes) * 1000:.0f} ms, "
        f"longest {max(told.writes) * 1000:.0f} ms; load of the machine {os.getloadavg()[0]:.1f}"
    )
    figures = {
        "errors": float(len(told.errors)),
        "lost": float(len(gone)),
        "late": told.late / before.late,
    }
    tell(GOALS, figures)


if __name__ == "__main__":
    main()
