"""Identification from worn pieces against the best that anyone could do, in one run.

Run ``python -m tests.bench identify``. Over the types of all shipped packs it
draws pieces from the noise of ``worn_pieces.py``, which is other than the likelihoods in
``series.identifying``, puts what was seen to the ranking, and sets its posterior beside the exact
one under that noise (the yardstick). ``GOALS`` are of the yardstick's hits, and of the
expected calibration error.

* Hits are told twice: as they fell, and expected under the exact posterior, which is free of most
  of the luck of the draw. Equals share a place.
* Scores: log score in nats (higher is better) and Brier score (lower is better), ours as given,
  "none of these" with it, and ours among the types alone.
* Hidden pieces are of a type that the ranking may not choose; their share is the ranking's own
  prior of "none of these". What is not in any record has no noise model, so for them there is no
  yardstick: they are told apart, once with the one type hidden (its brothers of the same design
  are all there) and once with all types of its country.
* Where we lose: the log score that would be won if one kind of evidence were weighed by the true
  noise (grades and persons summed out), the others staying ours.
"""

from __future__ import annotations

import argparse
import math
import random
import time
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import worn_pieces
from numpy.typing import NDArray
from shipped_types import shipped_types

from series.identifying.evidence import Evidence, EvidenceError, read_evidence
from series.identifying.facts import RankedType
from series.identifying.table import TypeTable
from series.identifying.weighing import PRIOR_NONE, Weighing
from tests.bench.goals import Goal, tell

Floats = NDArray[np.float64]
GOALS = {
    "top-1": Goal("right type first, times the best possible", "exact posterior", at_least=0.95),
    "top-5": Goal("among five, times the best possible", "exact posterior", at_least=0.995),
    "calibration": Goal("expected calibration error, first type", at_most=0.03),
}
BINS = 10
LEAST = 1e-300


def put_in(texts: Mapping[str, str], refused: Counter[str]) -> Evidence:
    """The evidence; a field that is refused is left out, as a person would who cannot mend it."""
    try:
        return read_evidence(texts)
    except EvidenceError as error:
        refused.update(error.errors)
        return read_evidence({k: v for k, v in texts.items() if k not in error.errors})


def hits(chances: Floats, places: int) -> Floats:
    """For each type the chance to be among the first ``places``, equals sharing them."""
    value = np.round(chances, 12)
    better = (value[:, None] < value[None, :]).sum(axis=1)
    equal = (value[:, None] == value[None, :]).sum(axis=1)
    found: Floats = np.clip((places - better) / equal, 0, 1)
    return found


@dataclass(frozen=True)
class Tried:
    """Pieces of types that can be chosen, with ours and the exact posterior, row by row."""

    pieces: Sequence[worn_pieces.Piece]
    types: Floats
    none: Floats
    exact: Floats

    def part(self, some: NDArray[np.bool_]) -> Tried:
        pieces = [each for each, keep in zip(self.pieces, some, strict=True) if keep]
        return Tried(pieces, self.types[some], self.none[some], self.exact[some])

    @property
    def true(self) -> NDArray[np.intp]:
        return np.array([each.number for each in self.pieces])


def tried(
    noise: worn_pieces.Noise, table: TypeTable, many: int, seed: int, refused: Counter[str]
) -> Tried:
    lot = random.Random(seed)
    pieces = [noise.draw(lot, worn_pieces.some_kinds(lot)) for _ in range(many)]
    posteriors = [Weighing.of(table, put_in(each.texts, refused)).posterior() for each in pieces]
    exact = np.array([noise.posterior(each.seen) for each in pieces])
    return Tried(
        pieces,
        np.array([each.types for each in posteriors]),
        np.array([each.none for each in posteriors]),
        exact,
    )


def scores(chances: Floats, true: NDArray[np.intp], none: Floats | None = None) -> Floats:
    """Log and Brier score of each piece."""
    at = chances[np.arange(len(true)), true]
    brier = (chances**2).sum(axis=1) - 2 * at + 1
    if none is not None:
        brier = brier + none**2
    return np.array([np.log(np.maximum(at, LEAST)), brier])


def ratio(ours: Floats, exact: Floats) -> str:
    """ours / exact of two columns of the same pieces, with its standard error (delta method)."""
    value = ours.mean() / exact.mean()
    error = (ours - value * exact).std() / math.sqrt(len(ours)) / exact.mean()
    return f"{value:.4f} ± {error:.4f}"


def tell_hits(name: str, some: Tried) -> dict[str, float]:
    """Prints, and gives back our expected hits as a share of the exact ones."""
    print(f"\n{name}: {len(some.pieces):,d} pieces")
    rows = np.arange(len(some.pieces))
    found = {}
    for places in (1, 5):
        ours = np.array([hits(each, places) for each in some.types])
        exact = np.array([hits(each, places) for each in some.exact])
        fell = ours[rows, some.true], exact[rows, some.true]
        expected = (ours * some.exact).sum(axis=1), (exact * some.exact).sum(axis=1)
        found[f"top-{places}"] = float(expected[0].mean() / expected[1].mean())
        for how, pair in (("as they fell", fell), ("expected", expected)):
            print(
                f"  top-{places} {how:13s} ours {pair[0].mean():.4f}   exact {pair[1].mean():.4f}"
                f"   ours / exact {ratio(*pair)}"
            )
    among = some.types / some.types.sum(axis=1, keepdims=True)
    for what, values in (
        ("ours, with none of these", scores(some.types, some.true, some.none)),
        ("ours, among the types", scores(among, some.true)),
        ("exact", scores(some.exact, some.true)),
    ):
        print(f"  {what:26s} log score {values[0].mean():8.4f}   Brier {values[1].mean():.4f}")
    return found


def tell_calibration(name: str, said: Floats, right: Floats, weights: Floats) -> float:
    """A table of ten bins; gives back the expected calibration error."""
    print(
        f"\n{name}\n  {'said':>12s}{'share':>10s}{'mean said':>12s}{'came true':>12s}{'± s.e.':>9s}"
    )
    weights = weights / weights.sum()
    bins = np.minimum((said * BINS).astype(int), BINS - 1)
    error = 0.0
    for number in range(BINS):
        some = bins == number
        share = float(weights[some].sum())
        if not share:
            continue
        means = [float(weights[some] @ each[some]) / share for each in (said, right)]
        count = share**2 / float((weights[some] ** 2).sum())
        spread = math.sqrt(max(means[1] * (1 - means[1]), 0) / count)
        error += share * abs(means[0] - means[1])
        print(
            f"  {number / BINS:5.1f} – {(number + 1) / BINS:3.1f}{share:10.4f}{means[0]:12.4f}"
            f"{means[1]:12.4f}{spread:9.4f}"
        )
    print(f"  expected calibration error {error:.4f}")
    return error


@dataclass(frozen=True)
class Hidden:
    """Pieces of types that could not be chosen."""

    types: Floats
    none: Floats


def hidden(
    noise: worn_pieces.Noise,
    table: TypeTable,
    many: int,
    seed: int,
    whole_country: bool,
    refused: Counter[str],
) -> Hidden:
    lot = random.Random(seed)
    countries = np.array([each.country for each in noise.facts])
    types, none = [], []
    for _ in range(many):
        piece = noise.draw(lot, worn_pieces.some_kinds(lot))
        eligible = np.arange(len(table)) != piece.number
        if whole_country:
            eligible = countries != countries[piece.number]
        weighing = Weighing.of(table, put_in(piece.texts, refused))
        posterior = weighing.posterior(eligible)
        types.append(posterior.types)
        none.append(posterior.none)
    return Hidden(np.array(types), np.array(none))


def tell_hidden(name: str, some: Tried, away: Hidden) -> None:
    """How "none of these" does where the stated share of pieces is of hidden types."""
    weights = np.concatenate(
        [
            np.full(len(some.pieces), (1 - PRIOR_NONE) / len(some.pieces)),
            np.full(len(away.none), PRIOR_NONE / len(away.none)),
        ]
    )
    is_none = np.concatenate([np.zeros(len(some.pieces)), np.ones(len(away.none))])
    said = np.concatenate([some.none, away.none])
    print(f"\n{name}: {len(away.none):,d} hidden pieces, weighed as {PRIOR_NONE:.0%} of all")
    print(
        f"  mean p(none of these): {some.none.mean():.4f} where the type is there, "
        f"{away.none.mean():.4f} where it is hidden; in all {weights @ said:.4f}"
    )
    order = np.argsort(said, kind="stable")
    ranks = np.empty(len(said))
    ranks[order] = np.arange(len(said))
    above = (ranks[len(some.pieces) :].sum() - len(away.none) * (len(away.none) - 1) / 2) / (
        len(away.none) * len(some.pieces)
    )
    brier = weights @ (said - is_none) ** 2
    print(
        f"  a hidden piece has the higher p(none) of a pair in {above:.3f} of the pairs; "
        f"Brier {brier:.4f}, of always saying {PRIOR_NONE}: {PRIOR_NONE * (1 - PRIOR_NONE):.4f}"
    )
    first = away.none >= away.types.max(axis=1)
    wrong = some.none >= some.types.max(axis=1)
    sure = (away.types.max(axis=1) >= 0.95).mean()
    print(
        f"  none of these comes first for {first.mean():.3f} of the hidden pieces and "
        f"{wrong.mean():.4f} of the others; a wrong type has 95 % for {sure:.3f} of the hidden"
    )
    tell_calibration("  none of these, as said and as it was", said, is_none, weights)
    top = np.concatenate([some.types.max(axis=1), away.types.max(axis=1)])
    credit = [hits(row, 1)[number] for row, number in zip(some.types, some.true, strict=True)]
    right = np.concatenate([np.array(credit), np.zeros(len(away.none))])
    tell_calibration("  the first type, hidden pieces among all", top, right, weights)


def tell_losses(noise: worn_pieces.Noise, table: TypeTable, some: Tried) -> None:
    """Log score to be won, kind by kind; then by weighing kinds together as the noise does."""
    rows: dict[str, list[tuple[float, float, float]]] = {}
    apart, whole = [], []
    prior = np.log(noise.prior)
    refused: Counter[str] = Counter()
    for piece, exact, ours in zip(some.pieces, some.exact, some.types, strict=True):
        weighing = Weighing.of(table, put_in(piece.texts, refused))
        logs = {kind: each.filled(table.weights)[0] for kind, each in weighing.weighed.items()}
        zero = np.zeros(len(table))
        given = {kind: logs.get(kind, zero) for kind in piece.seen}
        total = prior + sum(given.values(), zero)
        base = _score(total, piece.number)
        all_true = prior.copy()
        for kind, mine in given.items():
            true = np.maximum(noise.log_likelihood({kind: piece.seen[kind]}), -700)
            all_true = all_true + true
            swapped = total - mine + true
            credit = float(hits(_chances(swapped), 1) @ exact) - float(hits(ours, 1) @ exact)
            rows.setdefault(kind, []).append(
                (
                    _score(swapped, piece.number) - base,
                    _score(prior + true, piece.number) - _score(prior + mine, piece.number),
                    credit,
                )
            )
        apart.append((_score(all_true, piece.number) - base, hits(_chances(all_true), 1) @ exact))
        whole.append((np.log(max(exact[piece.number], LEAST)) - base, hits(exact, 1) @ exact))
    count = len(some.pieces)
    print(
        "\nWhere we lose, by kind of evidence (nats of log score; the first two columns a piece "
        "that has it, the others over all pieces)"
    )
    print(
        f"  {'kind':14s}{'given':>7s}{'alone':>9s}{'with others':>13s}{'in all':>9s}{'top-1':>9s}"
    )
    won = {kind: np.array(each) for kind, each in rows.items()}
    for kind, each in sorted(won.items(), key=lambda pair: -pair[1][:, 0].sum()):
        print(
            f"  {kind:14s}{len(each):7d}{each[:, 1].mean():9.4f}{each[:, 0].mean():13.4f}"
            f"{each[:, 0].sum() / count:9.4f}{each[:, 2].sum() / count:9.4f}"
        )
    ours = np.mean(
        [hits(row, 1) @ exact for row, exact in zip(some.types, some.exact, strict=True)]
    )
    for what, each in (("all kinds truly weighed, apart", apart), ("the exact posterior", whole)):
        gained = np.array(each).mean(axis=0)
        print(f"  {what:43s}{gained[0]:9.4f}{gained[1] - ours:9.4f}")


def _chances(logs: Floats) -> Floats:
    chances = np.exp(logs - logs.max())
    found: Floats = chances / chances.sum()
    return found


def _score(logs: Floats, number: int) -> float:
    return float(logs[number] - np.logaddexp.reduce(logs))


def tell_equals(facts: Sequence[RankedType], noise: worn_pieces.Noise) -> None:
    counts = Counter(each.country for each in facts)
    print(f"{len(facts)} types: " + ", ".join(f"{many} of {name}" for name, many in counts.items()))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--pieces", type=int, default=4000)
    parser.add_argument("--hidden", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=2024)
    parser.add_argument("--tiny", action="store_true")
    given = parser.parse_args()
    if given.tiny:
        given.pieces, given.hidden = 12, 4
    start = time.perf_counter()
    facts, table = shipped_types()
    noise = worn_pieces.Noise(facts, table.weights)
    tell_equals(facts, noise)
    refused: Counter[str] = Counter()
    some = tried(noise, table, given.pieces, given.seed, refused)
    observers = np.array([each.observer for each in some.pieces])
    figures = tell_hits("Both people", some)
    for number, name in enumerate(worn_pieces.OBSERVERS):
        tell_hits(f"The {name} one", some.part(observers == number))
    rows = np.arange(len(some.pieces))
    among = some.types / some.types.sum(axis=1, keepdims=True)
    flat = np.ones(len(some.pieces))
    for what, chances in (("ours", some.types), ("the exact posterior", some.exact)):
        right = np.array([hits(each, 1) for each in chances])[rows, some.true]
        error = tell_calibration(f"The first type, {what}", chances.max(axis=1), right, flat)
        figures.setdefault("calibration", error)
    is_true = np.zeros(among.shape)
    is_true[rows, some.true] = 1
    tell_calibration("All types, ours", some.types.ravel(), is_true.ravel(), np.ones(is_true.size))
    for whole_country, name in ((False, "One type hidden"), (True, "Its whole country hidden")):
        away = hidden(noise, table, given.hidden, given.seed + 1, whole_country, refused)
        tell_hidden(name, some, away)
    tell_losses(noise, table, some)
    print(f"\nrefused as it was written: {dict(refused) or 'nothing'}")
    print(f"{time.perf_counter() - start:.0f} s")
    tell(GOALS, figures)


if __name__ == "__main__":
    main()
