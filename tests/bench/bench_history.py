"""What it costs to keep the history of what is changed.

Run ``python -m tests.bench history``. The same work is done in turns with and without being
announced, each in its own transaction: entering a piece as quick entry does, changing 2,000 pieces
in bulk, and making pieces by ``bulk_create`` as an import does. The medians are compared. It prints
besides how long 2,000 pieces take to be taken back, and what the history takes of the disk.
"""

from __future__ import annotations

import argparse
import statistics
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, nullcontext

import club  # sets Django up
from django.db import connection, transaction

from catalogue.history.keeping import doing
from catalogue.history.taking_back import take_back
from catalogue.holdings.bulk.change import change_all
from catalogue.holdings.bulk.plan import Changes, plan_of
from catalogue.holdings.entry.saving import enter
from catalogue.models import Alteration, Deed, Holding, Member, Place
from series.models import CoinType
from series.tracked import unannounced
from tests.bench.goals import Goal, tell

GOALS = {
    "entry": Goal("entering a piece, with its history kept", "not kept", at_most=1.5),
    "bulk": Goal("a bulk change of 2,000 pieces, with history", "not kept", at_most=2.0),
    "made": Goal("bulk_create of pieces, with history", "not kept", at_most=1.5),
    "bytes": Goal("bytes of history for each piece made", at_most=200),
}
ENTRIES, BULK, MADE = 200, 2_000, 20_000
ROUNDS = 5
Way = Callable[[], AbstractContextManager[None]]
WAYS: tuple[Way, ...] = (nullcontext, unannounced)


def timed(work: Callable[[], object]) -> float:
    began = time.perf_counter()
    work()
    return time.perf_counter() - began


def ratio(name: str, work: Callable[[], object], rounds: int) -> float:
    """The median time of the work kept, as times that of the work not kept; they take turns."""
    took: list[list[float]] = [[], []]
    for turn in range(rounds + 1):
        for times, way in zip(took, WAYS, strict=True):
            with way():
                seconds = timed(work)
            if turn:  # the first warms up
                times.append(seconds)
    kept, plain = map(statistics.median, took)
    print(f"{name}: {1000 * kept:,.1f} ms kept, {1000 * plain:,.1f} ms not: {kept / plain:.2f}")
    return kept / plain


def entering(owner: Member) -> Callable[[], object]:
    coin_type = CoinType.objects.order_by("pk")[0]
    return lambda: enter(owner, coin_type=coin_type, grade="VF")


def changing(owner: Member, count: int) -> Callable[[], object]:
    ids = list(Holding.objects.order_by("pk").values_list("pk", flat=True)[:count])
    places = [Place.objects.create(owner=owner, name=name, path=name) for name in ("One", "Two")]

    def turns() -> Iterator[Place]:
        while True:
            yield from places

    turn = turns()

    def change() -> None:
        pieces = Holding.objects.filter(pk__in=ids)
        changes = Changes(values={"place": next(turn)})
        with doing(owner):
            change_all(pieces, changes, plan_of(pieces, changes).versions)

    return change


def making(owner: Member, count: int) -> Callable[[], object]:
    runs = iter(range(10**6))

    def make() -> None:
        run = next(runs)
        made = (Holding(owner=owner, accession=f"made {run}.{n}") for n in range(count))
        with transaction.atomic(), doing(owner, "import of list.csv"):
            Holding.objects.bulk_create(list(made), batch_size=2_000)

    return make


def taken(deed: Deed, owner: Member, count: int) -> None:
    Holding.objects.filter(pk__in=deed.alterations.values("holding")).update(owner=owner)
    Alteration.objects.filter(deed__id__gt=deed.pk).delete()
    print(f"taking back {count:,} pieces: {1000 * timed(lambda: take_back(deed, owner)):,.0f} ms")


def size_of(table: str) -> int:
    """The bytes of a table with its indexes."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute("SELECT pg_total_relation_size(%s)", [table])
        else:
            names = "SELECT name FROM sqlite_master WHERE tbl_name = %s"
            cursor.execute(f"SELECT sum(pgsize) FROM dbstat WHERE name IN ({names})", [table])
        return int(cursor.fetchone()[0] or 0)


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--tiny", action="store_true", help="only show that it runs")
    given = parser.parse_args()
    entries, bulk, made, rounds = (3, 5, 20, 1) if given.tiny else (ENTRIES, BULK, MADE, ROUNDS)
    club.ready(0.002 if given.tiny else 0.05)
    owner = Member.objects.order_by("pk")[0]
    entry = ratio("entering a piece", entering(owner), entries)
    change = changing(owner, bulk)
    changed = ratio(f"changing {bulk:,} pieces", change, rounds)
    change()
    taken(Deed.objects.all()[0], owner, bulk)
    before, rows = size_of("catalogue_alteration"), Alteration.objects.count()
    makes = ratio(f"making {made:,} pieces", making(owner, made), rounds)
    grown = size_of("catalogue_alteration") - before
    each = grown / (Alteration.objects.count() - rows)
    tell(GOALS, {"entry": entry, "bulk": changed, "made": makes, "bytes": each})


if __name__ == "__main__":
    main()
