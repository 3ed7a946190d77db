"""The advice what to look at next, against the best fixed order of looks, in one run.

Run ``python -m tests.bench next_look``, with ``--invented 500 --most 3`` for a
larger catalogue of no real coins. Pieces of the types are drawn with the noise of
``worn_pieces.py``; what each look at a piece shows is drawn once, so that every policy sees the
same, and a look at which nothing can be read counts as a look. Counted is how many looks it takes
until the right type has 95 % of the ranking's posterior, from nothing and from one or two things
given already; every policy has the tools that the ranking supposes to be at hand. ``GOALS``: at
least a third fewer than the best fixed order.

* Advice: the first look of ``series.identifying.looks`` that was not yet tried; where it names
  none, the fixed order goes on.
* The best fixed order is sought on the very pieces on which it is then measured, which favours it:
  by local search (swaps and moves, until none betters it) from the order that is built greedily and
  from several at random. It is the best found; so many looks have too many orders to try them all.
* In hindsight: the fewest looks that would have done, chosen by one who knows what each look shows
  and which type is right (all sets of up to ``--most``). Nobody can do that: it says how little
  room there is.

A piece that never gets there counts as all looks and is also told apart.
"""

from __future__ import annotations

import argparse
import itertools
import random
import time
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import worn_pieces
from numpy.typing import NDArray
from shipped_types import shipped_types

from series.identifying import evidence
from series.identifying import looks as advice
from series.identifying.evidence import read_evidence
from series.identifying.table import TypeTable
from series.identifying.weighing import PRIOR_NONE, Weighing
from series.legends.spellings import StruckText
from tests.bench.goals import Goal, tell
from tests.bench.invented_types import facts_of_made, made_names, made_types
from tests.bench.legend_maker import shared_catalogue

Floats = NDArray[np.float64]
TOOLS = advice.AT_HAND
KINDS = tuple(kind for kind in evidence.KINDS if kind not in ("country", "density"))
"""What can be looked at with these tools; a country is guessed, not looked at."""
SURE = 0.95
STARTS = {"From nothing": 0, "One thing given": 1, "Two things given": 2}
GOALS = {
    name: Goal(f"looks until sure, {name.lower()}, times the peer's", "best fixed order", 2 / 3)
    for name in STARTS
}


@dataclass(frozen=True)
class Case:
    """A piece, of which ``given`` is known at the start; ``logs``: by kind, over types and none."""

    piece: worn_pieces.Piece
    given: tuple[str, ...]
    start: Floats
    logs: Floats

    def texts(self, kinds: Sequence[str]) -> dict[str, str]:
        seen = [self.piece.seen[kind] for kind in kinds]
        return dict(pair for each in seen if each for pair in each)


def made_case(noise: worn_pieces.Noise, table: TypeTable, lot: random.Random, given: int) -> Case:
    piece = noise.draw(lot, list(noise.kinds))
    first = tuple(worn_pieces.some_kinds(lot)[:given])
    weighing = Weighing.of(table, read_evidence(piece.texts))

    def logs(kind: str) -> Floats:
        weighed = weighing.weighed.get(kind)
        if weighed is None:
            return np.zeros(len(table) + 1)
        filled, elsewhere = weighed.filled(table.weights)
        return np.append(filled, elsewhere)

    prior = np.log(np.append(table.weights / table.weights.sum() * (1 - PRIOR_NONE), PRIOR_NONE))
    start = prior + sum((logs(kind) for kind in first), np.zeros(len(table) + 1))
    return Case(piece, first, start, np.array([logs(kind) for kind in KINDS]))


def chances(logs: Floats) -> Floats:
    shares = np.exp(logs - logs.max(axis=-1, keepdims=True))
    found: Floats = shares / shares.sum(axis=-1, keepdims=True)
    return found


class FixedOrders:
    """All cases at once: how many looks each takes in a given order."""

    def __init__(self, cases: Sequence[Case]) -> None:
        self.start = np.array([case.start for case in cases])
        self.logs = np.array([case.logs for case in cases])
        self.true = np.array([case.piece.number for case in cases])
        self.known = np.array([[kind in case.given for kind in KINDS] for case in cases])
        self.logs[self.known] = 0  # counted at the start

    def counts(self, order: Sequence[int]) -> tuple[NDArray[np.int_], NDArray[np.bool_]]:
        """Looks, all of them where it never gets there; and whether it gets there."""
        rows = np.arange(len(self.true))
        logs = self.start.copy()
        looked = np.zeros(len(rows), int)
        done = chances(logs)[rows, self.true] >= SURE
        for kind in order:
            ahead = np.flatnonzero(~done & ~self.known[:, kind])
            logs[ahead] += self.logs[ahead, kind]
            looked[ahead] += 1
            done[ahead] = chances(logs[ahead])[np.arange(len(ahead)), self.true[ahead]] >= SURE
        return looked, done

    def in_hindsight(self, most: int) -> NDArray[np.int_]:
        """The fewest looks that get there; what takes more than ``most`` counts as one more."""
        rows = np.arange(len(self.true))
        fewest = np.full(len(rows), most + 1)
        for size in range(most, -1, -1):
            for some in itertools.combinations(range(len(KINDS)), size):
                right = chances(self.start + self.logs[:, list(some)].sum(axis=1))[rows, self.true]
                fewest[right >= SURE] = size
        return fewest

    def cost(self, order: Sequence[int]) -> float:
        return float(self.counts(order)[0].mean())

    def best(self, restarts: int, seed: int) -> tuple[list[int], float]:
        lot = random.Random(seed)
        starts = [self._greedy()]
        starts += [lot.sample(range(len(KINDS)), len(KINDS)) for _ in range(restarts)]
        found = [self._bettered(order) for order in starts]
        return min(found, key=lambda pair: pair[1])

    def _greedy(self) -> list[int]:
        order: list[int] = []
        while len(order) < len(KINDS):
            left = [kind for kind in range(len(KINDS)) if kind not in order]
            order.append(min(left, key=lambda kind: self._open([*order, kind])))
        return order

    def _open(self, order: Sequence[int]) -> float:
        """Mean log of what the right type lacks: what the next look should lessen."""
        logs = self.start + self.logs[:, list(order)].sum(axis=1)
        right = chances(logs)[np.arange(len(self.true)), self.true]
        return float(-np.log(np.maximum(right, 1e-9)).mean())

    def _bettered(self, order: list[int]) -> tuple[list[int], float]:
        cost = self.cost(order)
        while True:
            best = order, cost
            for new in _neighbours(order):
                if (other := self.cost(new)) < best[1]:
                    best = new, other
            if best[1] >= cost:
                return order, cost
            order, cost = best


def _neighbours(order: list[int]) -> list[list[int]]:
    found = []
    for at in range(len(order)):
        for to in range(len(order)):
            if at < to:
                swapped = order.copy()
                swapped[at], swapped[to] = swapped[to], swapped[at]
                found.append(swapped)
            if at != to:
                moved = order[:at] + order[at + 1 :]
                moved.insert(to, order[at])
                found.append(moved)
    return found


Choose = Callable[[Weighing, Sequence[str]], str | None]


def one_step(weighing: Weighing, tried: Sequence[str]) -> str | None:
    ahead = advice.looks(weighing, weighing.posterior(), TOOLS)
    return next((look.kind for look in ahead if look.kind not in tried), None)


def followed(
    case: Case, table: TypeTable, choose: Choose, order: Sequence[int]
) -> tuple[int, bool, bool]:
    """Looks, whether it gets there, and whether the advice ended first."""
    tried = list(case.given)
    looked, ended = 0, False
    while True:
        weighing = Weighing.of(table, read_evidence(case.texts(tried)))
        if weighing.posterior().types[case.piece.number] >= SURE:
            return looked, True, ended
        kind = choose(weighing, tried)
        if kind is None:
            ended = True
            kind = next((KINDS[each] for each in order if KINDS[each] not in tried), None)
        if kind is None:
            return looked, False, ended
        tried.append(kind)
        looked += 1


def told(
    name: str, looked: NDArray[np.int_], done: NDArray[np.bool_], ends: Sequence[bool]
) -> None:
    print(
        f"  {name:34s} mean {looked.mean():6.3f}   of those that get there "
        f"{looked[done].mean():6.3f}"
        f"   half within {np.median(looked):3.0f}   never {1 - done.mean():.4f}"
        + (f"   advice ended first {np.mean(ends):.3f}" if len(ends) else "")
    )


def tell_promises(cases: Sequence[Case], table: TypeTable) -> None:
    """What each look promises at the start, and what it brought the right type, in bits."""
    promised: dict[str, list[float]] = {kind: [] for kind in KINDS}
    brought: dict[str, list[float]] = {kind: [] for kind in KINDS}
    first: Counter[str] = Counter()
    for case in cases:
        weighing = Weighing.of(table, read_evidence(case.texts(case.given)))
        ahead = advice.looks(weighing, weighing.posterior(), TOOLS)
        first.update(look.kind for look in ahead[:1])
        bits = {look.kind: look.bits for look in ahead}
        before = chances(case.start)[case.piece.number]
        for at, kind in enumerate(KINDS):
            if kind not in case.given:
                after = chances(case.start + case.logs[at])[case.piece.number]
                promised[kind].append(bits.get(kind, 0.0))
                brought[kind].append(float(np.log2(after / before)))
    print("  bits promised and brought on average: " + ", ".join(
        f"{kind} {np.mean(promised[kind]):.2f} {np.mean(brought[kind]):.2f}"
        for kind in sorted(KINDS, key=lambda kind: -np.mean(brought[kind]))
    ))  # fmt: skip
    print("  advised first: " + ", ".join(f"{kind} {n}" for kind, n in first.most_common()))


def compared(name: str, cases: Sequence[Case], table: TypeTable, restarts: int, most: int) -> float:
    """Prints, and gives back the looks by advice as a share of those in the best fixed order."""
    print(f"\n{name}: {len(cases)} pieces")
    tell_promises(cases, table)
    fixed = FixedOrders(cases)
    order, _ = fixed.best(restarts, 3)
    print("  best fixed order found: " + ", ".join(KINDS[each] for each in order))
    looked, done = fixed.counts(order)
    told("best fixed order", looked, done, ())
    lot = random.Random(9)
    chance = [fixed.counts(lot.sample(range(len(KINDS)), len(KINDS))) for _ in range(10)]
    told(
        "orders at random (ten)",
        np.concatenate([each for each, _ in chance]),
        np.concatenate([each for _, each in chance]),
        (),
    )
    start = time.perf_counter()
    results = [followed(case, table, one_step, order) for case in cases]
    took = (time.perf_counter() - start) / sum(each[0] + 1 for each in results)
    advised = np.array([each[0] for each in results])
    there = np.array([each[1] for each in results])
    told("advice, one step", advised, there, [each[2] for each in results])
    both = done & there
    again = random.Random(4)
    lots = [again.choices(range(len(cases)), k=len(cases)) for _ in range(1000)]
    spread = np.std([advised[lot].mean() / looked[lot].mean() for lot in lots])
    print(
        f"  advice / best fixed order: {advised.mean() / looked.mean():.3f} ± {spread:.3f}; where"
        f" both get there ({both.mean():.3f}) {advised[both].mean() / looked[both].mean():.3f};"
        f" {took * 1000:.1f} ms a look"
    )
    fewest = fixed.in_hindsight(most)
    print(
        f"  in hindsight {np.where(done, fewest, len(KINDS)).mean():.3f} at the fewest; of those "
        f"that get there {fewest[done].mean():.3f} ({fewest[done].mean() / looked[done].mean():.3f}"
        " of the best fixed order)"
    )
    return float(advised.mean() / looked.mean())


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--pieces", type=int, default=400)
    parser.add_argument("--restarts", type=int, default=4)
    parser.add_argument("--seed", type=int, default=77)
    parser.add_argument("--most", type=int, default=4, help="looks tried in hindsight")
    parser.add_argument("--invented", type=int, default=0, help="so many invented types instead")
    parser.add_argument("--tiny", action="store_true")
    given = parser.parse_args()
    if given.tiny:
        given.pieces, given.restarts, given.most = 4, 1, 1
    start = time.perf_counter()
    if given.invented:
        legends = [  # short ones, for the exact chances of all their stretches
            [StruckText(text.text[:16].strip(), text.script) for text in texts]
            for texts in shared_catalogue(4, given.invented)
        ]
        made = made_types(3, legends, countries=15)
        facts = list(facts_of_made(made, made_names()))
        table = TypeTable.of(facts)
    else:
        facts, table = shipped_types()
    print(f"{len(facts)} types", flush=True)
    noise = worn_pieces.Noise(facts, table.weights)
    figures = {}
    for name, known in STARTS.items():
        lot = random.Random(given.seed + known)
        cases = [made_case(noise, table, lot, known) for _ in range(given.pieces)]
        for case in cases[:20]:  # the sums of logs are the ranking's own posterior
            weighing = Weighing.of(table, read_evidence(case.texts([*KINDS, *case.given])))
            left = [at for at, kind in enumerate(KINDS) if kind not in case.given]
            mine = chances(case.start + case.logs[left].sum(axis=0))[:-1]
            assert np.allclose(mine, weighing.posterior().types, rtol=1e-9, atol=1e-12)
        figures[name] = compared(name, cases, table, given.restarts, given.most)
    print(f"{time.perf_counter() - start:.0f} s")
    tell(GOALS, figures)


if __name__ == "__main__":
    main()
