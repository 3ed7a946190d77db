"""The index of legends against RapidFuzz over the same legends, in one run.

Run ``python -m tests.bench legends``. It invents two catalogues of 50,000 types, one in
which types share legends and one in which all are different, and reads two pieces off types drawn
at random. The readings are worn by a model that is not that of ``series.legends.wear``: see
``worn_pieces``. Both sides rank all types by the pieces. The peer is ``rapidfuzz.process.cdist``
with ``fuzz.partial_ratio`` over the same folded legends, each different one once and doubled so
that it runs round, unread letters left out of the piece, or kept where that serves it better;
a type's score is the sum over the pieces of the best of its legends, one thread on both sides.

Printed: the time for a reading and the ratio; how often the right type is first, among the first
five, and its mean reciprocal rank (types that tie share their places); time and memory to build;
and how far the index falls short of the whole model for the right type.
"""

from __future__ import annotations

import argparse
import gc
import math
import random
import resource
import statistics
import time
import tracemalloc
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from rapidfuzz import fuzz, process

from series.legends.index import LegendIndex
from series.legends.letters import letters, piece_letters
from series.legends.spellings import StruckText
from series.legends.wear import UNRECORDED
from tests.bench.goals import Goal, tell
from tests.bench.legend_maker import shared_catalogue, unique_catalogue
from tests.series.legends.plain_model import read_from_type

TYPES, READINGS = 50_000, 200
GOALS = {
    "shared": Goal("two pieces, shared legends, times the peer's", "RapidFuzz cdist", at_most=1),
    "unique": Goal("two pieces, own legends, times the peer's", "RapidFuzz cdist", at_most=1),
    "first": Goal("right type first, less the peer's share", "RapidFuzz cdist", at_least=0),
}
ROUND, STRAIGHT, SLANTED = "CDGOQS03689", "BEFHILPRTU14", "AKMNXYZVW27"


def worn_letter(chance: random.Random, char: str) -> str:
    """Mostly another letter of the same build, as strokes go; U and V, I and J are one."""
    group = next((each for each in (ROUND, STRAIGHT, SLANTED) if char in each), ROUND)
    return chance.choice(group if chance.random() < 0.7 else ROUND + STRAIGHT + SLANTED)


def worn_pieces(chance: random.Random, legends: Sequence[StruckText]) -> list[str]:
    """Two pieces, each of five to twelve letters, from two legends or twice from the same.

    Wear is deepest at one side of the coin and fades with the cosine of the angle from it: there
    letters are unread, and beside them mistaken, up to three in ten. Of several unread letters in
    a row one is miscounted in three cases of ten. One reading in fifty is backwards.
    """
    pieces = []
    deepest, depth = chance.random(), chance.uniform(0.2, 0.9)
    for legend in (legends[-1], chance.choice(legends)):
        text = legend.text.replace(" ", "")
        length, start = chance.randint(5, 12), chance.randrange(len(text))
        read = ""
        for step in range(min(length, len(text))):
            place = (start + step) % len(text)
            wear = depth * (1 + math.cos(2 * math.pi * (place / len(text) - deepest))) / 2
            if chance.random() < wear**2:
                read += "?"
            elif chance.random() < 0.3 * wear:
                read += worn_letter(chance, text[place])
            else:
                read += text[place]
        if "??" in read and chance.random() < 0.3:
            read = read.replace("??", chance.choice(["?", "???"]), 1)
        pieces.append(read)
    return [piece[::-1] for piece in pieces] if chance.random() < 0.02 else pieces


class Peer:
    """All types ranked by RapidFuzz."""

    def __init__(self, types: Sequence[Sequence[StruckText]], keep_unread: bool) -> None:
        numbers: dict[str, int] = {}
        self.of_types = np.array(
            [
                numbers.setdefault(letters(legend.text), len(numbers))
                for legends in types
                for legend in legends
            ]
        )
        sizes = [len(legends) for legends in types]
        self.starts = np.cumsum([0, *sizes[:-1]])
        self.texts = [text * 2 for text in numbers]
        self.keep_unread = keep_unread

    def scores(self, pieces: Sequence[str]) -> np.ndarray:
        asked = [piece_letters(piece) for piece in pieces]
        if not self.keep_unread:
            asked = [piece.replace("?", "") for piece in asked]
        table = process.cdist(asked, self.texts, scorer=fuzz.partial_ratio, dtype=np.float32)
        best = np.maximum.reduceat(table[:, self.of_types], self.starts, axis=1)
        return best.sum(axis=0)


def rank(scores: np.ndarray, number: int) -> float:
    """The place of a type, 1 the first; types that tie share the mean of their places."""
    own = scores[number]
    above, same = np.count_nonzero(scores > own + 1e-9), np.count_nonzero(abs(scores - own) <= 1e-9)
    return above + (same + 1) / 2


def told(what: str, times: list[float], ranks: list[float]) -> tuple[float, float]:
    """Prints, and gives back the median time and how often the right type is first."""
    half, late = statistics.median(times), statistics.quantiles(times, n=20)[-1]
    first = sum(place < 1.5 for place in ranks) / len(ranks)
    five = sum(place <= 5 for place in ranks) / len(ranks)
    reciprocal = statistics.mean(1 / place for place in ranks)
    print(
        f"  {what:34s} p50 {half:7.1f} ms  p95 {late:7.1f} ms   first {first:5.1%}"
        f"  among five {five:5.1%}  reciprocal rank {reciprocal:.3f}"
    )
    return half, first


def resident() -> float:
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * resource.getpagesize() / 1e6


def short_of_the_model(
    index: LegendIndex, types: Sequence[Sequence[StruckText]], readings: list[tuple[int, list[str]]]
) -> list[float]:
    """For each piece, how far the right type's logarithm is below that of the whole model."""
    short = []
    for number, pieces in readings:
        for piece in filter(None, map(piece_letters, pieces)):
            weighed = index.weigh([piece])
            read = read_from_type(piece, types[number]) or 0.0
            whole = (1 - UNRECORDED) * read + UNRECORDED * math.exp(weighed.elsewhere)
            short.append(math.log(whole) - float(weighed.types[number]))
    return short


def compare(name: str, types: Sequence[Sequence[StruckText]], count: int) -> tuple[float, float]:
    """The time as a share of the peer's, and by how much oftener the right type is first."""
    gc.collect()
    before, start = resident(), time.perf_counter()
    index = LegendIndex.of(types)
    took = time.perf_counter() - start
    gc.collect()
    grown = resident() - before
    tracemalloc.start()
    again = LegendIndex.of(types)
    kept = tracemalloc.get_traced_memory()[0] / 1e6
    tracemalloc.stop()
    del again
    print(f"{name}: {len(index.scanner.texts):,} different texts, built in {took:.1f} s;", end=" ")
    print(f"{kept:.0f} MB kept, {grown:.0f} MB more resident")

    chance = random.Random(11)
    readings = []
    for _ in range(count):
        number = chance.randrange(len(types))
        readings.append((number, worn_pieces(chance, types[number])))
    peers = {"without unread": Peer(types, False), "with unread": Peer(types, True)}
    ours = {"index": lambda pieces: index.weigh(pieces).types}
    sides = {**ours, **{n: peer.scores for n, peer in peers.items()}}
    times: dict[str, list[float]] = {name: [] for name in sides}
    ranks: dict[str, list[float]] = {name: [] for name in sides}
    for number, pieces in readings:  # in turn, so that what else the machine does burdens all
        for side, ask in sides.items():
            start = time.perf_counter()
            scores = ask(pieces)
            times[side].append((time.perf_counter() - start) * 1000)
            ranks[side].append(rank(scores, number))
    ours, hit = told("index, two pieces", times["index"], ranks["index"])
    both = [told(f"RapidFuzz, {each} letters", times[each], ranks[each]) for each in peers]
    peer = min(half for half, _ in both)
    print(f"  index / RapidFuzz: p50 {ours / peer:.3f}")
    short = short_of_the_model(index, types, readings)
    few = [sum(each > bound for each in short) / len(short) for bound in (0.1, 1.0)]
    print(f"  right type short of the whole model by over 0.1: {few[0]:.1%}, over 1: {few[1]:.1%}")
    return ours / peer, hit - max(first for _, first in both)


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--tiny", action="store_true")
    types, count = (60, 5) if parser.parse_args().tiny else (TYPES, READINGS)
    shared = compare("types that share legends", shared_catalogue(1, types), count)
    unique = compare("no two legends alike", unique_catalogue(1, types), count)
    first = min(shared[1], unique[1])
    tell(GOALS, {"shared": shared[0], "unique": unique[0], "first": first})


if __name__ == "__main__":
    main()
