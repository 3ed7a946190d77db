"""Browsing as a user gets it, against Django's own admin list and hand-written SQL, in one run.

Run ``python -m tests.bench browse``; or, to keep the club that ``club.py`` makes, this file itself
with PYTHONPATH=. and EXERGUE_VAR=/some/folder (DATABASE_URL for another database). The same
searches (words, up to four choices, all fifteen facets counted, a page of 60, total) are put in
turn to

* our list page, end to end through ``django.test.Client``, and the same without the template;
* hand-written SQL over the same tables, and over one flat derived table (``plain_sql.py``);
* the admin's list, end to end: kind and as it comes (``admin_list.py``).

It stops if an answer of ours differs from the SQL's, or a total from the kind admin's. The admin
takes long, so it is asked fewer of the searches; each ratio is over the searches that both were
asked. It then measures the memory and the time of making the columns (in a process of its own),
queries a request, the time from a change until the next answer, and other pages once.
"""

from __future__ import annotations

import argparse
import gc
import os
import random
import resource
import statistics
import subprocess
import sys
import time
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

os.environ["DJANGO_SETTINGS_MODULE"] = "admin_settings"
import club  # sets Django up
from django.db import connection
from django.http import QueryDict
from django.test import Client
from django.test.utils import CaptureQueriesContext

from catalogue.holdings.actions import derive
from catalogue.holdings.browse.results import Browse
from catalogue.holdings.facets import FACETS
from catalogue.holdings.search import index
from catalogue.models import Aim, Holding, HoldingProblem, Member
from series.models import CoinType, Issuer
from tests.bench.goals import Goal, tell

GOALS = {
    "kind": Goal("our list page, p50, times the admin's", "admin list, made easy", at_most=0.2),
    "plain": Goal("our list page, p50, times the admin's", "admin list as it comes", at_most=0.05),
    "change": Goal("a page after one holding changed, in s", at_most=0.3),
}
BACKEND = "django.contrib.auth.backends.ModelBackend"


@dataclass(frozen=True)
class Question:
    viewer: Member
    words: list[str]
    choices: dict[str, Any]
    sort: str
    descending: bool

    @property
    def ours(self) -> str:
        asked = {"owner": "any", "status": "any", **self.choices, "q": " ".join(self.words)}
        asked["sort"] = f"-{self.sort}" if self.descending else self.sort
        return urlencode(asked)

    def admins(self, names: dict[str, str]) -> str:
        import admin_list

        asked = {names.get(name, name): value for name, value in self.choices.items()}
        if "spare" in self.choices and names:
            del asked["spare"]
            asked["spare__exact"] = int(self.choices["spare"] == "yes")
        column = admin_list.SORT_COLUMNS[self.sort]
        asked["o"] = f"-{column}" if self.descending else str(column)
        return urlencode(asked | ({"q": " ".join(self.words)} if self.words else {}))


def made_questions(count: int) -> list[Question]:
    """Searches that find something: words and values are those of a piece the viewer sees."""
    chance = random.Random(7)
    viewers = list(Member.objects.filter(pk__in=chance.sample(club_members(), k=8)))
    questions = []
    for number in range(count):
        viewer = chance.choice(viewers)
        mine = number % 4 == 3
        pool = Holding.objects.filter(coin_type__isnull=False, issue__isnull=False)
        pool = pool.filter(owner=viewer) if mine else pool.exclude(visibility="private")
        piece = pool.order_by("pk")[chance.randrange(min(pool.count(), 20_000))]
        (row,) = index.rows_of(Holding.objects.filter(pk=piece.pk))
        assert piece.coin_type is not None
        text = piece.coin_type.search_text.split()
        words = [chance.choice(text)[: chance.randint(3, 9)] for _ in range(number % 3)]
        names = chance.sample(list(FACETS), k=chance.randint(0, 4))
        choices: dict[str, Any] = {}
        for name in names:
            cell = row.facets[name]
            value = (cell[0] if cell else None) if isinstance(cell, tuple) else cell
            if value is not None and (name != "place" or mine):
                choices[name] = value
        if mine:
            choices["owner"] = viewer.pk
        questions.append(
            Question(
                viewer,
                words,
                choices,
                chance.choice(["face", "face", "accession", "country", "grade"]),
                chance.random() < 0.3,
            )
        )
    return questions


def club_members() -> list[int]:
    """Those who hold a dated piece, which in a small club not everyone does."""
    held = Holding.objects.filter(coin_type__isnull=False, issue__isnull=False)
    owners = Member.objects.filter(pk__in=held.order_by().values("owner"))
    return list(owners.order_by("pk").values_list("pk", flat=True))


class Ways:
    """The ways of answering a question, each timed by itself."""

    def __init__(self, questions: list[Question]) -> None:
        import admin_list
        import plain_sql

        self.clients: dict[int, Client] = {}
        for question in questions:
            if question.viewer.pk not in self.clients:
                client = self.clients[question.viewer.pk] = Client()
                client.force_login(question.viewer, backend=BACKEND)
        self.admin = admin_list
        admin_list.find_kind_values(Browse(QueryDict("owner=any"), questions[0].viewer).search())
        self.plain, self.flat = plain_sql.PlainSql(), plain_sql.FlatSql()
        start = time.perf_counter()
        self.flat.derive()
        print(f"flat table derived in {time.perf_counter() - start:.1f} s")

    def get(self, question: Question, address: str) -> Any:
        answer = self.clients[question.viewer.pk].get(address)
        assert answer.status_code == 200, (address, answer.status_code)
        return answer

    def page(self, question: Question) -> Any:
        return self.get(question, f"/holdings/?view=list&{question.ours}")

    def plate(self, question: Question) -> Any:
        return self.get(question, f"/holdings/?view=plate&{question.ours}")

    def untemplated(self, question: Question) -> Any:
        browse = Browse(QueryDict(question.ours), question.viewer)
        assert len(browse.holdings) == len(browse.result.ids)
        return browse.result

    def sql(self, question: Question) -> Any:
        return self._sql(self.plain, question)

    def flat_sql(self, question: Question) -> Any:
        return self._sql(self.flat, question)

    def _sql(self, way: Any, q: Question) -> Any:
        return way.query(q.viewer.pk, q.words, q.choices, q.sort, q.descending)

    def kind_admin(self, question: Question) -> Any:
        return self.get(question, f"/kind/catalogue/holding/?{question.admins({})}")

    def plain_admin(self, question: Question) -> Any:
        names = self.admin.PLAIN_PARAMETERS
        return self.get(question, f"/plain/catalogue/holding/?{question.admins(names)}")


def measured(
    ways: dict[str, tuple[Callable[[Question], Any], list[Question]]],
    questions: list[Question],
    rounds: int,
) -> dict[str, dict[int, list[float]]]:
    """Milliseconds by way and question, one a round; every way is asked in turn."""
    times: dict[str, dict[int, list[float]]] = defaultdict(lambda: defaultdict(list))
    for turn in range(rounds):
        for at, question in enumerate(questions):
            answers = {}
            for name, (ask, asked) in ways.items():
                if question in asked:
                    gc.collect()
                    start = time.perf_counter()
                    answers[name] = ask(question)
                    times[name][at].append((time.perf_counter() - start) * 1000)
            if not turn:
                _compare(answers, question)
        print(f"round {turn + 1} of {rounds} done", file=sys.stderr)
    return times


def _compare(answers: dict[str, Any], question: Question) -> None:
    ours = answers["ours without template"]
    for name in ("hand-written SQL", "SQL over a flat table"):
        assert answers[name] == ours, (name, question, answers[name], ours)
    if "admin, kind" in answers:
        changes = answers["admin, kind"].context_data["cl"]
        assert changes.result_count == ours.total, (question, changes.result_count, ours.total)


def told(times: dict[str, dict[int, list[float]]], rounds: int) -> dict[str, float]:
    """Prints p50 and p95 of a way, median of the rounds; ours, then ours divided by the way's.

    Gives back the ratios of the p50.
    """
    found = {}

    def figures(name: str, among: Any) -> tuple[float, float]:
        by_round = [[times[name][at][turn] for at in among] for turn in range(rounds)]
        halves = [statistics.median(each) for each in by_round]
        late = [
            statistics.quantiles([*each, max(each)], n=20, method="inclusive")[-1]
            for each in by_round
        ]
        return statistics.median(halves), statistics.median(late)

    print(f"{'':32s}{'asked':>6s}{'p50 ms':>10s}{'p95 ms':>10s}{'our page / it':>22s}")
    for name, by_question in times.items():
        among = list(by_question)
        half, late = figures(name, among)
        our_half, our_late = figures("our list page", among)
        found[name] = our_half / half
        ratios = f"p50 {our_half / half:.3f}, p95 {our_late / late:.3f}"
        print(f"{name:32s}{len(among):6d}{half:10.1f}{late:10.1f}{ratios:>24s}")
    return found


def queries(ask: Callable[[Question], Any], questions: list[Question]) -> str:
    numbers = []
    for question in questions:
        with CaptureQueriesContext(connection) as caught:
            ask(question)
        numbers.append(len(caught))
    return f"{min(numbers)} to {max(numbers)}"


def resident() -> float:
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * resource.getpagesize() / 1e6


def cold() -> None:
    """Make the columns in this fresh process and say what it took."""
    client = Client()
    client.force_login(Member.objects.earliest("pk"), backend=BACKEND)
    client.get("/account/")
    before = resident()
    start = time.perf_counter()
    index.store()
    took = time.perf_counter() - start
    gc.collect()
    most = int(Path("/proc/self/status").read_text().split("VmHWM:")[1].split()[0]) / 1000
    print(
        f"columns of {len(index.store()):,d} holdings made in {took:.1f} s; "
        f"resident {before:.0f} MB before, {resident():.0f} MB after, {most:.0f} MB at most"
    )


def changed(ways: Ways, questions: list[Question], count: int) -> float:
    """Seconds from saving one holding until the next answer, which knows of it."""
    chance = random.Random(5)
    question = questions[0]
    pieces = list(Holding.objects.filter(owner=question.viewer).order_by("pk")[:count])
    saves, answers = [], []
    for number, piece in enumerate(pieces):
        mark = f"zz{number}zz{chance.randrange(10**6)}"
        before, piece.note = piece.note, mark
        derive(piece)
        start = time.perf_counter()
        piece.save()
        saved = time.perf_counter()
        answer = ways.get(question, f"/holdings/?view=list&owner=any&status=any&q={mark}")
        answers.append((time.perf_counter() - saved) * 1000)
        saves.append((saved - start) * 1000)
        assert f">{piece.accession}</td>" in answer.content.decode(), piece.accession
        piece.note = before
        derive(piece)
        piece.save()
        ways.page(question)
    print(
        f"one holding changed: saved in {statistics.median(saves):.0f} ms, the next page, which "
        f"knows of it, {statistics.median(answers):.0f} ms later (worst {max(answers):.0f})"
    )
    return statistics.median(answers) / 1000


def other_pages() -> None:
    """Other pages of the site against the club, once each after a first look."""
    aim = Aim.objects.get(name="Every date")
    client = Client()
    client.force_login(aim.owner, backend=BACKEND)
    country = Issuer.objects.get(pk=aim.issuer_id)
    kind = CoinType.objects.order_by("pk")[0]
    series = kind.series_id
    piece = Holding.objects.filter(owner=aim.owner, coin_type__isnull=False).earliest("pk")
    addresses = [
        "/",
        "/countries/",
        f"/countries/{country.key}/",
        f"/series/{kind.series.key}/",
        f"/denominations/{kind.denomination.key}/",
        f"/types/{kind.key}/",
        f"/types/{kind.key}/dates/",
        "/motifs/m0/",
        "/wants/",
        f"/aims/{aim.pk}/",
        "/holdings/",
        "/holdings/?view=list",
        "/holdings/?view=dates",
        "/holdings/?owner=any&status=any",
        "/holdings/?owner=any&status=any&view=dates",
        f"/holdings/?series={series}&gaps=1",
        f"/holdings/?country={country.pk}&gaps=1",
        "/holdings/?view=list&sort=-worth",
        f"/holdings/{piece.pk}/",
        "/holdings/quick/",
        f"/holdings/quick/types/?q={kind.search_text.split()[0][:4]}",
        "/places/",
        "/worth/",
        "/club/",
        "/bin/",
    ]
    for address in addresses:
        client.get(address)
        with CaptureQueriesContext(connection) as caught:
            start = time.perf_counter()
            answer = client.get(address)
            took = (time.perf_counter() - start) * 1000
        size = len(b"".join(answer)) / 1000
        print(
            f"{address:52s}{answer.status_code:5d}{took:9.0f} ms{len(caught):5d} queries"
            f"{size:9.0f} kB",
            flush=True,
        )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--questions", type=int, default=60)
    parser.add_argument("--kind", type=int, default=20, help="of these, put to the kind admin")
    parser.add_argument("--plain", type=int, default=4, help="and to the admin as it comes")
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--cold", action="store_true", help="only make the columns")
    parser.add_argument("--pages", action="store_true", help="only look at other pages")
    parser.add_argument("--tiny", action="store_true")
    given = parser.parse_args()
    if given.tiny:
        given.questions, given.kind, given.plain, given.rounds = 4, 2, 1, 1
    club.ready(0.002 if given.tiny else 1.0)
    if given.cold:
        return cold()
    if given.pages:
        return other_pages()
    print(f"{connection.vendor}, {Holding.objects.count():,d} holdings")
    tiny = ["--tiny"] if given.tiny else []
    subprocess.run([sys.executable, __file__, "--cold", *tiny], check=True)
    questions = made_questions(given.questions)
    ways = Ways(questions)
    every = questions
    asked: dict[str, tuple[Callable[[Question], Any], list[Question]]] = {
        "our list page": (ways.page, every),
        "ours without template": (ways.untemplated, every),
        "our plate page": (ways.plate, every),
        "hand-written SQL": (ways.sql, every),
        "SQL over a flat table": (ways.flat_sql, every),
        "admin, kind": (ways.kind_admin, every[:: max(1, len(every) // (given.kind or 1))]),
        "admin, as it comes": (ways.plain_admin, every[: given.plain]),
    }
    # A choice of which a piece may have several makes the admin's list distinct.
    problem = HoldingProblem.Kind.values[0]
    ways.plain_admin(replace(questions[0], choices={"problem": problem}, words=[]))
    for question in questions[:3]:
        ways.page(question)
    ratios = told(measured(asked, questions, given.rounds), given.rounds)
    for name in ("our list page", "our plate page", "hand-written SQL", "admin, kind"):
        ask, some = asked[name]
        print(f"queries a request, {name}: {queries(ask, some)}")
    after = changed(ways, questions, 2 if given.tiny else 15)
    ways.flat.forget()
    print(f"resident at the end {resident():.0f} MB")
    other_pages()
    kind, plain = ratios["admin, kind"], ratios["admin, as it comes"]
    tell(GOALS, {"kind": kind, "plain": plain, "change": after})


if __name__ == "__main__":
    main()
