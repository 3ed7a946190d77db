"""Browsing by columns against the same figures by SQL over one flat table, in one run.

Run ``python -m tests.bench columns``. It invents a club of 50,000 types and 100,000
holdings, asks both for the same pages (search, fifteen facets with counts, a sort, 60 ids, total
and pieces), stops if any answer differs, and prints times, their ratio and the memory taken.
The SQL side is given its best plan: what search and choices decide is put into a temporary
table once, and each facet is grouped over that.
"""

from __future__ import annotations

import argparse
import gc
import itertools
import random
import resource
import sqlite3
import statistics
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import TypeVar

from catalogue.holdings.search.columns import ColumnStore, HoldingRow, Result, Search, Value
from tests.bench.goals import Goal, tell
from tests.bench.lot import SYLLABLES

Answer = TypeVar("Answer")

TYPES, HOLDINGS, MEMBERS = 50_000, 100_000, 100
GOALS = {
    "p50": Goal("a search by columns, p50, times SQLite's", "SQLite, a flat table", at_most=0.1),
    "p95": Goal("a search by columns, p95, times SQLite's", "SQLite, a flat table", at_most=0.1),
    "change": Goal("one row replaced, p50 in ms", at_most=50),
}
SINGLE = ["country", "currency", "series", "denomination", "metal", "decade"]
SINGLE += ["grade", "place", "owner", "status", "spare", "photo"]
SEVERAL = ["mint", "problem", "motif"]
SORTS = ["title", "year", "accession", "acquired", "mass", "diameter", "grade", "added"]


def made_club(seed: int, type_count: int, holdings: int) -> tuple[list[HoldingRow], dict[int, str]]:
    chance = random.Random(seed)
    words = sorted(
        {"".join(chance.choices(SYLLABLES, k=chance.randint(1, 5))) for _ in range(30_000)}
    )
    chance.shuffle(words)
    weights = list(itertools.accumulate(1 / (rank + 10) for rank in range(len(words))))

    def some_words(least: int, most: int) -> str:
        return " ".join(chance.choices(words, cum_weights=weights, k=chance.randint(least, most)))

    types, plans = {}, []
    for number in range(1, type_count + 1):
        country = chance.randrange(60)
        plan: dict[str, Value | tuple[Value, ...]] = {
            "country": country,
            "currency": country * 4 + chance.randrange(4),
            "series": country * 12 + chance.randrange(12),
            "denomination": country * 20 + chance.randrange(20),
            "metal": chance.choice(["silver", "copper", "bronze", "Cu75Ni25", "steel", None]),
            "motif": tuple(chance.sample(range(800), k=chance.randint(0, 4))),
        }
        title = some_words(2, 3)
        types[number] = f"{title} {some_words(10, 30)}"
        plans.append((number, plan, title, round(chance.uniform(14, 40), 2)))
    rows = []
    for number in range(1, holdings + 1):
        type_id, plan, title, diameter = plans[int(type_count * chance.random() ** 2)]
        owner = int(MEMBERS * chance.random() ** 2)
        year = chance.randint(1850, 2024)
        grade = chance.choice([None, "VG", "F", "VF", "EF", "UNC"])
        accession = f"h-{number:06d}"
        rows.append(
            HoldingRow(
                id=number,
                owner=owner,
                visibility=chance.choice(["private", "club", "club", "public"]),
                type_id=type_id,
                quantity=chance.choice([1, 1, 1, 1, 2, 12]),
                facets={
                    **plan,
                    "decade": year // 10 * 10,
                    "grade": grade,
                    "place": owner * 20 + chance.randrange(20),
                    "owner": owner,
                    "status": chance.choice(["held", "held", "held", "loan", "sold"]),
                    "spare": chance.random() < 0.2,
                    "photo": chance.random() < 0.6,
                    "mint": tuple(chance.sample(range(200), k=chance.choice([0, 1, 1, 2]))),
                    "problem": tuple(chance.sample(["cleaned", "holed", "corroded"], k=1))
                    if chance.random() < 0.2
                    else (),
                },
                keys={
                    "title": title,
                    "year": year,
                    "accession": accession,
                    "acquired": f"{chance.randint(1980, 2024)}-{chance.randint(1, 12):02d}",
                    "mass": round(chance.uniform(1, 30), 2) if chance.random() < 0.5 else None,
                    "diameter": diameter,
                    "grade": grade,
                    "added": number,
                },
                text=f"{accession} {some_words(3, 9)}" if chance.random() < 0.4 else accession,
            )
        )
    return rows, types


def seen_by(viewer: int) -> Callable[[int, str], bool]:
    return lambda owner, visibility: owner == viewer or visibility != "private"


def made_searches(count: int, rows: list[HoldingRow], types: dict[int, str]) -> list[Search]:
    chance = random.Random(7)
    texts = list(types.values())
    searches = []
    for number in range(count):
        parts = [chance.choice(chance.choice(texts).split()) for _ in range(number % 3)]
        text = " ".join(part[: chance.randint(2, 9)] for part in parts)
        choices = {}
        for name in chance.sample(SINGLE + SEVERAL, k=chance.randint(0, 4)):
            cell = chance.choice(rows).facets[name]
            picked = (cell or (None,)) if isinstance(cell, tuple) else (cell,)
            choices[name] = frozenset({*picked})
        viewer = chance.randrange(MEMBERS)
        searches.append(
            Search(
                seen_by(viewer),
                viewer,
                choices,
                text,
                chance.choice(SORTS),
                chance.random() < 0.5,
                frozenset({"place"}),
            )
        )
    return searches


class FlatTable:
    """The same questions put to SQLite: one flat table, and one more a facet of several values."""

    def __init__(self, rows: list[HoldingRow], types: dict[int, str]) -> None:
        self.db = sqlite3.connect(":memory:")
        names = ["viewer", "visibility", "quantity", "text", *SINGLE]
        names += [f"sort_{name}" for name in SORTS]
        self.db.execute(f"CREATE TABLE flat (id INTEGER PRIMARY KEY, {', '.join(names)})")
        self.db.executemany(
            f"INSERT INTO flat VALUES (?, {', '.join('?' * len(names))})",
            (
                (
                    *(row.id, row.owner, row.visibility, row.quantity),
                    f"{types[row.type_id or 0]} {row.text}",
                    *(row.facets[name] for name in SINGLE),
                    *(row.keys[name] for name in SORTS),
                )
                for row in rows
            ),
        )
        for name in SEVERAL:
            self.db.execute(f"CREATE TABLE {name} (row INTEGER, value)")
            self.db.executemany(
                f"INSERT INTO {name} VALUES (?, ?)",
                ((row.id, value) for row in rows for value in row.facets[name] or (None,)),
            )
            self.db.execute(f"CREATE INDEX {name}_row ON {name} (row, value)")
        self.db.execute("ANALYZE")

    def query(self, search: Search) -> Result:
        self._find(search)
        counts: dict[str, dict[Value, int]] = {}
        for name in SINGLE + SEVERAL:
            source, value = "found", name
            if name in SEVERAL:
                source, value = f"found CROSS JOIN {name} ON row = id", "value"
            tests = ["1", *(f"NOT miss_{other}" for other in search.choices if other != name)]
            if name in search.private_facets:
                tests.append(f"viewer = {search.viewer}")
            grouped = (
                f"SELECT {value}, count(*) FROM {source} WHERE {' AND '.join(tests)} GROUP BY 1"
            )
            counts[name] = dict.fromkeys(search.choices.get(name, ()), 0)
            counts[name].update(self.db.execute(grouped))
        tests = ["1", *(f"NOT miss_{name}" for name in search.choices)]
        source = f"FROM found WHERE {' AND '.join(tests)}"
        total, pieces = self.db.execute(f"SELECT count(*), total(quantity) {source}").fetchone()
        way = "DESC" if search.descending else "ASC"
        page = self.db.execute(
            f"SELECT id {source} ORDER BY sort {way} NULLS LAST, id {way} LIMIT 60"
        )
        return Result(total, [number for (number,) in page], counts, int(pieces))

    def _find(self, search: Search) -> None:
        """Put what is seen and worded as asked into a temporary table, with its misses."""
        values: list[object] = []
        columns = ["id", "viewer", "quantity", *SINGLE, f"sort_{search.sort} AS sort"]
        for name, chosen in search.choices.items():
            column = "value" if name in SEVERAL else name
            marks = ", ".join("?" * len(set(chosen) - {None}))
            met = f"ifnull({column} IN ({marks}), 0)"
            met += f" OR {column} IS NULL" if None in chosen else ""
            values += [value for value in chosen if value is not None]
            if name in SEVERAL:
                met = f"EXISTS (SELECT 1 FROM {name} WHERE row = id AND ({met}))"
            if name in search.private_facets:
                met = f"({met}) AND viewer = {search.viewer}"
            columns.append(f"NOT ({met}) AS miss_{name}")
        words = search.text.split()
        self.db.execute("DROP TABLE IF EXISTS temp.found")
        self.db.execute(
            f"CREATE TEMP TABLE found AS SELECT {', '.join(columns)} FROM flat"
            f" WHERE (viewer = {search.viewer} OR visibility <> 'private')"
            + " AND instr(text, ?)"
            * len(words),
            [*values, *words],
        )


def timed(
    ask: Callable[[Search], Answer], searches: list[Search]
) -> tuple[list[float], list[Answer]]:
    times, results = [], []
    for search in searches:
        start = time.perf_counter()
        results.append(ask(search))
        times.append((time.perf_counter() - start) * 1000)
    return times, results


def told(what: str, times: list[float]) -> tuple[float, float]:
    half, late = statistics.median(times), statistics.quantiles(times, n=20)[-1]
    print(f"{what:44s} p50 {half:8.2f} ms   p95 {late:8.2f} ms   worst {max(times):8.2f} ms")
    return half, late


def resident() -> float:
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * resource.getpagesize() / 1e6


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--tiny", action="store_true")
    tiny = parser.parse_args().tiny
    rows, types = made_club(1, *((50, 300) if tiny else (TYPES, HOLDINGS)))
    searches = made_searches(20 if tiny else 300, rows, types)
    gc.collect()
    before = resident()
    start = time.perf_counter()
    store = ColumnStore(SINGLE + SEVERAL, SORTS, rows, types)
    print(f"built in {time.perf_counter() - start:.2f} s; ", end="")
    gc.collect()
    print(f"resident {before:.0f} MB with the rows it is made of, {resident():.0f} MB with it too")
    columns, answers = timed(store.query, searches)
    told("columns: search, 15 facets, page of 60", columns)
    told("  of these, nothing chosen, no text", timed(store.query, [Search(seen_by(3), 3)] * 50)[0])
    told("  a single letter searched", timed(store.query, made_letters())[0])
    everything = Search(seen_by(3), 3, sort="title")
    all_ids = partial(store.query, facets=(), limit=None)
    told("  all ids of the widest search", timed(all_ids, [everything] * 50)[0])

    flat = FlatTable(rows, types)
    ours, theirs = [], []  # asked in turn, so that whatever else the machine does burdens both
    for search, answer in zip(searches[:100], answers, strict=False):
        ours += timed(store.query, [search])[0]
        times, (other,) = timed(flat.query, [search])
        theirs += times
        assert answer == other, search
    fast = told("columns, asked in turn with SQLite", ours)
    slow = told("SQLite, flat table: the same, same answers", theirs)
    print(f"columns / SQLite: p50 {fast[0] / slow[0]:.4f}, p95 {fast[1] / slow[1]:.4f}")

    chance = random.Random(3)
    figures = {"p50": fast[0] / slow[0], "p95": fast[1] / slow[1]}
    for size in (1, 100) if tiny else (1, 100, 1_500, 20_000):
        times = []
        for _ in range(40 if size < 5_000 else 5):
            changed = chance.sample(rows, size)
            start = time.perf_counter()
            store.replace(changed)
            times.append((time.perf_counter() - start) * 1000)
        half, _ = told(f"columns: replace {size} rows", times)
        figures.setdefault("change", half)
    told("columns: a query after many updates", timed(store.query, searches)[0])
    assert [store.query(search) for search in searches[:50]] == answers[:50]
    rows.clear()
    types.clear()
    searches.clear()
    tell(GOALS, figures)


def made_letters() -> list[Search]:
    return [Search(seen_by(3), 3, text=letter) for letter in "aeiounrst"]


if __name__ == "__main__":
    main()
