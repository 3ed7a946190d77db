"""Thirty members at once against an older commit of this site, and against Django's admin list.

Run ``python -m tests.bench load`` in a clone that has the commit ``OLDER``. ``--share 0.2`` takes
a club of 20,000 holdings (``club.py``) in place of the demo. Each side serves a folder of its own
with ``manage.py serve``; the sides are asked in turn, round after round, by the same clients: each
is signed in, holds its connection, takes packed answers as a browser does, and asks at once for
the next of its addresses (browsing, a search, one piece, the ladder of a value, the home page,
wants, the type-ahead, a ranking) when it has the answer. Answers are counted from a warm start
until the time is over; one that is not 200 stops the run.
"""

from __future__ import annotations

import argparse
import http.client
import os
import random
import re
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import quote, urlencode

from tests.bench.goals import Goal, tell

ROOT = Path(__file__).resolve().parents[2]
PASSWORD = "a club of thirty"
MEMBERS = 6
OLDER = "e6d09d9"  # one process serves, and no page was yet made cheaper
GOALS = {
    "rate": Goal("answers a second to 30 members", f"commit {OLDER}", at_least=2.7),
    "late": Goal("p95 of their waits", f"commit {OLDER}", at_most=0.4),
    "admin": Goal("answers a second to 30 members", "Django's admin list", at_least=1),
}
EVIDENCE = (
    {"diameter": "24.2", "mass": "6.1", "colour": "white"},
    {"diameter": "19", "outline": "round", "legend": "HAL?ERN"},
    {"denomination": "5", "year": "19?8"},
)
PREPARE = """
from catalogue.models import Member
from django.contrib.auth.hashers import make_password
kept = make_password({password!r})
for n, member in enumerate(Member.objects.order_by("pk")[:{members}]):
    member.password = kept
    member.save()
    print("MEMBER", member.username)
"""


@dataclass
class Side:
    """A checkout and the folder it serves."""

    name: str
    code: Path
    var: Path
    settings: str = "catalogue.settings"
    rates: list[float] = field(default_factory=list)
    halves: list[float] = field(default_factory=list)
    lates: list[float] = field(default_factory=list)
    names: list[str] = field(default_factory=list)

    @property
    def rate(self) -> float:
        """Answers a second, median of the rounds."""
        return statistics.median(self.rates)

    @property
    def late(self) -> float:
        """p95 of the waits in seconds, median of the rounds."""
        return statistics.median(self.lates)

    @property
    def environment(self) -> dict[str, str]:
        own = {k: v for k, v in os.environ.items() if not k.startswith("EXERGUE")}
        here = f"{self.code}{os.pathsep}{self.code / 'tests' / 'bench'}"
        return own | {
            "EXERGUE_VAR": str(self.var),
            "DJANGO_SETTINGS_MODULE": self.settings,
            "PYTHONPATH": here,
        }

    def run(self, *command: str, given: str | None = None) -> str:
        done = subprocess.run(
            [sys.executable, *command],
            cwd=self.code,
            env=self.environment,
            input=given,
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, (command, done.stdout[-2000:], done.stderr[-2000:])
        return done.stdout

    def prepare(self, share: float | None) -> None:
        """Make the demo or a club, and give the first members a password that is known."""
        if not (self.var / "exergue.sqlite3").exists():
            if share is None:
                self.run("manage.py", "demo", "--no-serve")
            else:
                self.run("tests/bench/club.py", "--share", str(share))
        said = self.run(
            "manage.py", "shell", given=PREPARE.format(password=PASSWORD, members=MEMBERS)
        )
        self.names = re.findall(r"MEMBER (\S+)", said)


@contextmanager
def served(side: Side, *arguments: str) -> Iterator[int]:
    """The port at which the side answers while this lasts."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    process = subprocess.Popen(
        [sys.executable, "manage.py", "serve", "--port", str(port), *arguments],
        cwd=side.code,
        env=side.environment,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        for _ in range(600):
            assert process.poll() is None, f"{side.name} does not serve"
            try:
                socket.create_connection(("127.0.0.1", port), 1).close()
                break
            except OSError:
                time.sleep(0.1)
        yield port
    finally:
        process.terminate()
        process.wait(60)


class Visitor:
    """A signed-in browser with one connection of its own."""

    def __init__(self, port: int, cookies: dict[str, str] | None = None) -> None:
        self.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=120)
        self.cookies = dict(cookies or {})

    def ask(
        self, path: str, form: dict[str, str] | None = None, packed: bool = True
    ) -> tuple[int, bytes]:
        """The status and body of an answer: to a form sent, or packed as a browser takes it."""
        headers = {"Cookie": "; ".join(f"{k}={v}" for k, v in self.cookies.items())}
        headers["Accept-Encoding"] = "gzip" if packed else "identity"
        if form is not None:
            headers["Content-Type"] = "application/x-www-form-urlencoded"
        sent = urlencode(form) if form is not None else None
        self.connection.request("GET" if form is None else "POST", path, sent, headers)
        answer = self.connection.getresponse()
        for cookie in answer.headers.get_all("Set-Cookie") or ():
            name, _, value = cookie.split(";")[0].partition("=")
            self.cookies[name] = value
        return answer.status, answer.read()

    def text(self, path: str) -> str:
        return self.ask(path, packed=False)[1].decode()

    def sign_in(self, name: str) -> None:
        token = re.search(r'csrfmiddlewaretoken" value="([^"]+)', self.text("/sign-in/"))
        assert token
        given = {"username": name, "password": PASSWORD, "csrfmiddlewaretoken": token[1]}
        status, _ = self.ask("/sign-in/", given)
        assert status == 302, (name, status)


def addresses(visitor: Visitor, admin: bool) -> list[str]:
    """What a member asks for in turn, from the links the site itself gives."""
    chance = random.Random(3)
    page = visitor.text("/holdings/?owner=any&status=any&view=list")
    pieces = sorted(set(re.findall(r'href="(/holdings/\d+/)"', page)))
    assert pieces, page[:500]
    piece = visitor.text(chance.choice(pieces))
    types = sorted(set(re.findall(r'href="(/types/[^"/]+/)"', page + piece)))
    coin_type = visitor.text(types[0])
    ladders = set(re.findall(r'href="(/denominations/[^"/]+/)"', coin_type))
    countries = re.findall(r'href="/countries/[^"/]+/"[^>]*>\s*([^<]+?)\s*<', coin_type)
    word = countries[0].split()[0].lower()
    if admin:
        return [f"/plain/catalogue/holding/?q={quote(w)}" for w in ("", word, word[:4])]
    return [
        "/holdings/",
        f"/holdings/?owner=any&status=any&q={quote(word)}",
        *chance.sample(pieces, k=min(2, len(pieces))),
        min(ladders),
        "/",
        "/wants/",
        f"/holdings/quick/types/?q={quote(word[:4])}",
        f"/identify/?{urlencode(chance.choice(EVIDENCE))}",
    ]


def asked_by_many(side: Side, port: int, clients: int, seconds: float, warm: float) -> None:
    """One round: every client asks without a pause; keeps the rate and the waits in seconds."""
    visitors = []
    for name in side.names[:clients]:
        first = Visitor(port)
        first.sign_in(name)
        visitors.append((first.cookies, addresses(first, "admin" in side.name)))
    waits: list[tuple[float, float]] = []
    faults: list[str] = []
    begun = time.perf_counter() + warm

    def visit(number: int) -> None:
        cookies, own = visitors[number % len(visitors)]
        visitor, at = Visitor(port, cookies), number
        while not faults and (time.perf_counter() < begun + seconds or at == number):
            start = time.perf_counter()
            path = own[at % len(own)]
            status, _ = visitor.ask(path)
            if status != 200:
                faults.append(f"{side.name}: {path} answered {status}")
            waits.append((start, time.perf_counter()))
            at += 1

    threads = [threading.Thread(target=visit, args=(n,)) for n in range(clients)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not faults, faults[0]
    counted = [end - start for start, end in waits if end >= begun]
    side.rates.append(len(counted) / (max(end for _, end in waits) - begun))
    side.halves.append(statistics.median(counted))
    side.lates.append(statistics.quantiles([*counted, max(counted)], n=20)[-1])


def told(sides: list[Side]) -> None:
    print(f"{'':24s}{'answers/s':>10s}{'p50 ms':>8s}{'p95 ms':>8s}")
    for side in sides:
        half = statistics.median(side.halves)
        print(f"{side.name:24s}{side.rate:10.1f}{half * 1000:8.0f}{side.late * 1000:8.0f}")


@contextmanager
def checked_out(commit: str, folder: Path) -> Iterator[Path]:
    """A checkout of the commit beside this one, while this lasts."""
    add = ["git", "worktree", "add", "--quiet", "--detach", str(folder), commit]
    subprocess.run(add, cwd=ROOT, check=True)
    try:
        yield folder
    finally:
        remove = ["git", "worktree", "remove", "--force", str(folder)]
        subprocess.run(remove, cwd=ROOT, check=True)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--against", default=OLDER, help="an older commit of this site")
    parser.add_argument("--share", type=float, help="a club of this share of 100,000 holdings")
    parser.add_argument("--folder", type=Path, help="where the databases are kept between runs")
    parser.add_argument("--clients", type=int, default=30)
    parser.add_argument("--seconds", type=float, default=15)
    parser.add_argument("--warm", type=float, default=4)
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--tiny", action="store_true", help="only show that it runs")
    given = parser.parse_args()
    if given.tiny:  # this code stands in for the older one, of which a clone may know nothing
        given.share, given.rounds = 0.002, 1
        given.clients, given.seconds, given.warm = 1, 0.5, 0.0
    with tempfile.TemporaryDirectory() as temporary:
        folder = given.folder or Path(temporary)
        sides = [Side("this code", ROOT, folder / "ours")]
        alone = ("--no-worker", "--processes", "1") if given.tiny else ()
        there = Path(temporary) / "older"
        with nullcontext(ROOT) if given.tiny else checked_out(given.against, there) as older:
            kept = "ours" if given.tiny else "older"
            sides.append(Side(given.against, older, folder / kept))
            for side in sides:
                side.var.mkdir(parents=True, exist_ok=True)
                side.prepare(given.share)
            admin = Side("Django's admin list", ROOT, folder / "ours", "admin_settings")
            admin.names = sides[0].names
            sides.append(admin)
            for turn in range(given.rounds):
                for side in sides:
                    with served(side, *alone) as port:
                        asked_by_many(side, port, given.clients, given.seconds, given.warm)
                print(f"round {turn + 1} of {given.rounds} done", file=sys.stderr)
    told(sides)
    ours, old, list_of_admin = sides
    figures = {
        "rate": ours.rate / old.rate,
        "late": ours.late / old.late,
        "admin": ours.rate / list_of_admin.rate,
    }
    tell(GOALS, figures)


if __name__ == "__main__":
    main()
