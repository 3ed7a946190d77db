"""Identifying among 50,000 types: time and memory, beside a plain filter and RapidFuzz, in one run.

Run ``python -m tests.bench identify_speed``. It invents two catalogues of 50,000
types with about six issues each, one whose legends are shared and one in which all are different,
writes each to a scratch SQLite database, and in a fresh process loads the table from it
(``series.identifying.fetching.load_table``), asks for the answers (ranked types, reasons, next
look) to evidence taken from types at random and misread a little, and says what it took. ``GOALS``
are of an answer once loaded, and of the memory at the most.

The peers, for the same evidence, one after the other with ours, one thread each, in a process of
their own (so that they do not count in the memory): a filter in SQL over one flat
table (diameter and mass within 3 %, colour, outline, value, any date of the type; in order of the
difference in size; it needs no reason, knows no "none of these" and no next look), and
``rapidfuzz.process.extract`` with ``fuzz.partial_ratio`` for the legend over each different legend
once. Told beside the times: how often the right type is among the first five. And the same
posterior in a plain loop over the types, one number at a time (``plain_posterior``).
"""

from __future__ import annotations

import argparse
import os
import random
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from series.identifying.facts import RankedType
from series.identifying.table import TypeTable
from series.identifying.weighing import Weighing
from series.metal.compositions import parse_composition
from series.metal.metals import colour
from series.text.folding import fold
from tests.bench.goals import Goal, tell
from tests.bench.invented_types import fill_database
from tests.bench.legend_maker import shared_catalogue, unique_catalogue
from tests.bench.tables import lay_tables
from tests.series.identifying.plain_posterior import plainly

TYPES, ASKED = 50_000, 120
LIKE = {"C": "G", "O": "D", "E": "F", "I": "T", "R": "P", "N": "M", "A": "R", "S": "B", "U": "N"}
MIXES: dict[str, tuple[str, ...]] = {
    "size": ("diameter", "mass"),
    "size and look": ("diameter", "mass", "colour", "outline", "edge"),
    "legend": ("legend",),
    "legend and size": ("legend", "diameter", "mass"),
    "date and value": ("year", "denomination", "colour"),
    "everything": ("diameter", "mass", "thickness", "colour", "magnet", "outline", "edge", "hole",
                   "legend", "denomination", "year", "motif", "country"),
}  # fmt: skip


def goals(kind: str) -> dict[str, Goal]:
    legends = f"50,000 types, legends {kind}"
    return {
        "p95": Goal(f"a ranking, {legends}, p95 in ms", at_most=50),
        "memory": Goal(f"memory at the most, {legends}, in MB", at_most=300),
    }


@dataclass(frozen=True)
class Question:
    number: int
    texts: dict[str, str]


def asked(
    facts: Sequence[RankedType], kinds: Sequence[str], many: int, seed: int
) -> list[Question]:
    lot = random.Random(seed)
    found = []
    while len(found) < many:
        number = lot.randrange(len(facts))
        each = facts[number]
        if all((each.diameter_mm, each.mass_g, each.thickness_mm, each.composition, each.motifs)):
            found.append(Question(number, {kind: _seen(lot, each, kind) for kind in kinds}))
    return found


def _seen(lot: random.Random, facts: RankedType, kind: str) -> str:
    worn = 1 - lot.random() * 0.02
    if kind in ("diameter", "mass", "thickness"):
        standard = {
            "diameter": facts.diameter_mm,
            "mass": facts.mass_g,
            "thickness": facts.thickness_mm,
        }[kind]
        assert standard
        return f"{standard * (1 if kind == 'diameter' else worn):.1f}"
    if kind == "legend":
        return " ".join(_worn(lot, each.text) for each in facts.legends[-2:])
    if kind == "year":
        shown = lot.choice(facts.issues).shown
        return f"{shown[:2]}?{shown[3]}" if lot.random() < 0.4 else shown
    answers = {
        "colour": lambda: colour(parse_composition(facts.composition)) or "grey",
        "magnet": lambda: "strong" if "steel" in facts.composition else "none",
        "outline": lambda: facts.outline,
        "edge": lambda: "milled" if "reed" in facts.edge else "plain",
        "hole": lambda: "none",
        "denomination": lambda: facts.denomination,
        "motif": lambda: facts.motifs[0],
        "country": lambda: facts.country,
    }
    return answers[kind]()


def _worn(lot: random.Random, text: str) -> str:
    """A stretch of five to ten letters, one in ten unread, one in thirty taken for another."""
    plain = text.replace(" ", "")
    start = lot.randrange(len(plain))
    stretch = (plain + plain)[start : start + lot.randint(5, 10)][: len(plain)]
    return "".join(
        "?" if (luck := lot.random()) < 0.1 else LIKE.get(each, each) if luck < 0.133 else each
        for each in stretch
    )


def timed(
    ask: Callable[[Question], Any], questions: Sequence[Question]
) -> tuple[list[float], list]:
    times, answers = [], []
    for question in questions:
        start = time.perf_counter()
        answers.append(ask(question))
        times.append((time.perf_counter() - start) * 1000)
    return times, answers


def told(what: str, times: Sequence[float], more: str = "") -> float:
    """Prints, and gives back the 95th percentile."""
    half, late = statistics.median(times), statistics.quantiles(times, n=20)[-1]
    print(f"  {what:34s} p50 {half:8.2f} ms   p95 {late:8.2f} ms   worst {max(times):8.2f}{more}")
    return late


def resident_at_most() -> float:
    """In MB, of this process alone: ``getrusage`` would tell of the one that started it too."""
    status = Path("/proc/self/status").read_text()
    return int(status.split("VmHWM:")[1].split()[0]) / 1000


def ours(kind: str, some: int, asks: int) -> None:
    """In a process of its own: load, answer, and say what it took."""
    _set_up()
    from series.identifying.evidence import read_evidence
    from series.identifying.fetching import load_table
    from series.identifying.ranking import identify

    before = resident_at_most()
    start = time.perf_counter()
    table = load_table()
    took = time.perf_counter() - start
    print(
        f"{len(table):,d} types, {len(table.issue_ids):,d} issues loaded in {took:.1f} s; "
        f"most resident {before:.0f} MB before, {resident_at_most():.0f} MB after loading",
        flush=True,
    )
    asked_of = _some_facts(some)
    every: list[float] = []
    for name, kinds in MIXES.items():
        questions = asked(asked_of, kinds, asks, 5)

        def ask(question: Question) -> Any:
            return identify(table, read_evidence(question.texts))

        ask(questions[0])
        times, _ = timed(ask, questions)
        every += times
        told(name, times)
    late = told("all together", every)
    print(f"  most resident after all {resident_at_most():.0f} MB", flush=True)
    tell(goals(kind), {"p95": late, "memory": resident_at_most()})


def _some_facts(many: int) -> list[RankedType]:
    """Facts of types from all over the catalogue; few, so that they do not count in the memory."""
    from series.identifying.fetching import facts_of
    from series.models import CoinType

    keys = list(CoinType.objects.order_by("pk").values_list("pk", flat=True))
    return list(facts_of(CoinType.objects.filter(pk__in=random.Random(1).sample(keys, many))))


class FlatTable:
    """The filter in SQL: what a person would look up, one row a type and one a date."""

    def __init__(self, facts: Sequence[RankedType]) -> None:
        self.db = sqlite3.connect(":memory:")
        self.db.execute(
            "CREATE TABLE flat (id INTEGER PRIMARY KEY, diameter REAL, mass REAL, thickness REAL,"
            " colour TEXT, outline TEXT, value TEXT, country TEXT)"
        )
        colours = {text: _colour(text) for text in {each.composition for each in facts}}
        self.db.executemany(
            "INSERT INTO flat VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
            (
                (n, each.diameter_mm, each.mass_g, each.thickness_mm, colours[each.composition],
                 each.outline, each.denomination, each.country)
                for n, each in enumerate(facts)
            ),
        )  # fmt: skip
        self.db.execute("CREATE TABLE dates (type INTEGER, shown TEXT)")
        self.db.executemany(
            "INSERT INTO dates VALUES (?, ?)",
            ((n, issue.shown) for n, each in enumerate(facts) for issue in each.issues),
        )
        for column in ("diameter", "mass", "value"):
            self.db.execute(f"CREATE INDEX by_{column} ON flat ({column})")
        self.db.execute("CREATE INDEX by_type ON dates (type, shown)")
        self.db.execute("ANALYZE")

    def query(self, question: Question) -> list[int]:
        texts, tests, order, values = question.texts, ["1"], ["0.0"], dict[str, Any]()
        for name in ("diameter", "mass", "thickness"):
            if name in texts:
                values[name] = float(texts[name])
                part = 0.1 if name == "thickness" else 0.03
                tests.append(f"{name} BETWEEN :{name} * {1 - part} AND :{name} * {1 + part}")
                order.append(f"abs({name} - :{name}) / :{name}")
        for name, column in (("colour", "colour"), ("outline", "outline"), ("country", "country"),
                             ("denomination", "value")):  # fmt: skip
            if name in texts:
                values[column] = texts[name]
                tests.append(f"{column} = :{column}")
        if "year" in texts:
            values["year"] = texts["year"].replace("?", "_")
            tests.append("EXISTS (SELECT 1 FROM dates WHERE type = id AND shown LIKE :year)")
        found = self.db.execute(
            f"SELECT id, {' + '.join(order)} AS off FROM flat WHERE {' AND '.join(tests)}"
            " ORDER BY off LIMIT 10",
            values,
        )
        return [number for number, _ in found]


def _colour(composition: str) -> str:
    return (colour(parse_composition(composition)) or "") if composition else ""


class Fuzzy:
    """RapidFuzz over each different legend once; a type by the best of its legends."""

    def __init__(self, facts: Sequence[RankedType]) -> None:
        numbers: dict[str, list[int]] = {}
        for n, each in enumerate(facts):
            for text in each.legends:
                numbers.setdefault(fold(text.text).replace(" ", ""), []).append(n)
        self.texts, self.types = list(numbers), list(numbers.values())
        self.doubled = [text + text for text in self.texts]

    def query(self, question: Question) -> list[int]:
        from rapidfuzz import fuzz, process

        scores: dict[int, float] = {}
        for piece in question.texts["legend"].split():
            plain = fold(piece.replace("?", ""))
            if not plain:
                continue
            for _, score, at in process.extract(
                plain, self.doubled, scorer=fuzz.partial_ratio, limit=200
            ):
                for number in self.types[at][:50]:
                    scores[number] = scores.get(number, 0.0) + score
        return sorted(scores, key=lambda number: -scores[number])[:10]


def beside_peers(asks: int) -> None:
    """Ours and the peers in turn over the same questions."""
    _set_up()
    from series.identifying.evidence import read_evidence
    from series.identifying.fetching import facts_of
    from series.identifying.ranking import identify
    from series.models import CoinType

    facts = list(facts_of(CoinType.objects.all()))
    table, flat, fuzzy = TypeTable.of(facts), FlatTable(facts), Fuzzy(facts)
    numbers = {each.id: n for n, each in enumerate(facts)}

    def ask(question: Question) -> list[int]:
        answer = identify(table, read_evidence(question.texts))
        return [numbers[each.type_id] for each in answer.candidates]

    peers: tuple[tuple[str, Callable[[Question], list[int]], tuple[str, ...]], ...] = (
        ("SQL filter over a flat table", flat.query,
         ("size", "size and look", "date and value", "everything")),
        ("RapidFuzz over the legends", fuzzy.query, ("legend", "legend and size", "everything")),
    )  # fmt: skip
    for name, peer, mixes in peers:
        for mix in mixes:
            questions = asked(facts, MIXES[mix], asks, 6)
            mine: list[float] = []
            theirs: list[float] = []
            found = [0, 0]
            for question in questions:
                for times, way, at in ((mine, ask, 0), (theirs, peer, 1)):
                    took, (answer,) = timed(way, [question])
                    times += took
                    found[at] += question.number in answer[:5]
            print(
                f"  {mix:18s} ours {statistics.median(mine):7.2f} ms, among the first five "
                f"{found[0] / len(questions):.2f};  {name} {statistics.median(theirs):7.2f} ms, "
                f"{found[1] / len(questions):.2f};  ours / it "
                f"{statistics.median(mine) / statistics.median(theirs):.3f}",
                flush=True,
            )

    mine, theirs = [], []
    for question in asked(facts, MIXES["size and look"], 3, 7):
        evidence = read_evidence(question.texts)
        took, (found,) = timed(lambda _, e=evidence: Weighing.of(table, e).posterior(), [question])
        mine += took
        took, ((types, none),) = timed(lambda _, e=evidence: plainly(facts, e), [question])
        theirs += took
        assert np.allclose(found.types, types, rtol=1e-9, atol=0)
        assert np.isclose(found.none, none, rtol=1e-9)
    print(
        f"  size and look      the posterior alone {statistics.median(mine):.2f} ms, in a plain "
        f"loop {statistics.median(theirs):.0f} ms, the same to 1e-9; ours / it "
        f"{statistics.median(mine) / statistics.median(theirs):.5f}"
    )


def _set_up() -> None:
    os.environ["DJANGO_SETTINGS_MODULE"] = "catalogue.settings"
    import django

    django.setup()


def make(kind: str, types: int) -> None:
    _set_up()
    from django.core.management import call_command
    from django.db import transaction

    lay_tables(os.environ["EXERGUE_VAR"])
    call_command("migrate", verbosity=0)
    catalogue = shared_catalogue if kind == "shared" else unique_catalogue
    with transaction.atomic():
        fill_database(3, catalogue(4, types))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--types", type=int, default=TYPES)
    parser.add_argument("--step", choices=("make", "ours", "peers"))
    parser.add_argument("--legends", choices=("shared", "unique"), default="shared")
    parser.add_argument("--tiny", action="store_true")
    given = parser.parse_args()
    if given.tiny:
        given.types = 40
    if given.step == "make":
        return make(given.legends, given.types)
    if given.step == "ours":
        return ours(given.legends, *((20, 3) if given.tiny else (2_000, ASKED)))
    if given.step == "peers":
        return beside_peers(3 if given.tiny else 40)
    for kind in ("shared", "unique"):
        with tempfile.TemporaryDirectory() as folder:
            env = {**os.environ, "EXERGUE_VAR": folder, "OMP_NUM_THREADS": "1"}
            env.pop("DATABASE_URL", None)
            env["PYTHONPATH"] = str(Path(__file__).parents[2])
            print(f"\nLegends {'shared' if kind == 'shared' else 'all different'}", flush=True)
            command = [sys.executable, __file__, "--types", str(given.types), "--legends", kind]
            command += ["--tiny"] if given.tiny else []
            for step in ("make", "ours", "peers"):
                subprocess.run([*command, "--step", step], check=True, env=env)


if __name__ == "__main__":
    main()
