"""Find a piece among all texts: how likely it is to be read from each of them.

What is computed: for each text, the chance of the piece under the model of
``series.legends.wear``, the mean over all starts in the text, both directions. No unit.

How: the piece is cut into runs of three letters. While no letter is left out or put in, the
chance at a start is a product over its runs, and tiny unless at least one of them is well met.
So for each run only the places where enough of it is met are looked at; what is not looked at
comes to less than ``least`` in each text. Where that would take more than ``PLACES`` it is more,
but a place with one letter mistaken is always looked at. Then the whole model, letters left out
and put in too, is worked out at the ``STARTS`` that promise most and those a letter beside them:
where the runs of the piece stand in step, or one letter out of step.

>>> scanner = Scanner.of(Texts.of(["salt", "alto", "libertas"]))
>>> [round(float(mean), 4) for mean in scanner.scan("lt", backwards=0.0, least=0.0)]
[0.2256, 0.2256, 0.0013]
>>> round(0.95**2 / 4, 4)
0.2256
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from series.arrays import Floats, Whole
from series.legends.letters import LONGEST_PIECE, UNREAD
from series.legends.texts import PAD, RUN, Texts, summed
from series.legends.wear import (
    LOOK_ALIKES,
    SHIFT,
    SURE_COUNT,
    chance,
    in_step,
    read_from,
)

PLACES = 50_000
"""Places that are looked at for a piece."""
ONE_MISTAKE = 5e-4
"""A place this well met, 1 at best, is always looked at."""
STARTS = 2_000
"""Starts at which the whole model is worked out for a piece of up to ten letters."""
EFFORT_BACKWARDS = 0.2
"""The share of those that are looked at, and worked out, in the other direction."""
WHOLE, MET = 0.5, 0.005
"""How well a run is met, 1 at best, that is read right, and that has at most one letter taken for
one that looks like it."""
HITS = 10
"""Places of single runs that are looked at for each start that is worked out."""


@dataclass(frozen=True, slots=True, eq=False)
class _Run:
    """Up to three letters of a piece, from ``at`` in it; how well each run of the texts meets
    them, 1 at best."""

    at: int
    known: int
    met: Floats
    best: float


@dataclass(frozen=True, slots=True, eq=False)
class _Hits:
    """Runs of the texts that meet a run of a piece, from ``at`` in it: at how many places they
    stand, what each promises (sixteenths of a natural logarithm), whether they meet it whole."""

    at: int
    runs: Whole
    count: int
    promise: int
    whole: bool


@dataclass(frozen=True, slots=True, eq=False)
class Scanner:
    """Finds pieces among texts."""

    texts: Texts
    number_of: Mapping[str, int]
    """The number of each letter in the alphabet."""
    mistaken: Floats
    """The chance of reading a letter that looks nothing like it, for each of the alphabet."""

    @classmethod
    def of(cls, texts: Texts) -> Scanner:
        """A scanner for these texts."""
        number_of = {char: number for number, char in enumerate(texts.alphabet)}
        return cls(texts, number_of, np.array([chance("", struck) for struck in texts.alphabet]))

    def scan(self, piece: str, backwards: float, least: float) -> Floats:
        """For each text the mean chance of the piece over all starts.

        ``piece`` is in the form of ``series.legends.letters.piece_letters``, not empty;
        ``backwards`` the chance that it was typed backwards.
        """
        if not len(self.texts):
            return np.zeros(0)
        ways = ((piece, 1 - backwards), (piece[::-1], backwards))
        if len(piece) <= RUN:
            return self._short(ways)
        sums = np.zeros(len(self.texts))
        for (way, weight), effort in zip(ways, (1.0, EFFORT_BACKWARDS), strict=True):
            if weight:
                sums += weight * self._sums(way, least / weight / 2, ONE_MISTAKE / weight, effort)
        return sums / self.texts.sizes

    def _short(self, ways: tuple[tuple[str, float], ...]) -> Floats:
        """A piece of one run: every place has its chance at once."""
        of_run = np.zeros(self.texts.runs.shape[1])
        for way, weight in ways:
            run = self._run(way, self._chances(way), 0)
            of_run += weight * run.best * run.met
        at_places = of_run.astype(np.float32).take(self.texts.run_at, mode="clip")
        ends = self.texts.starts + self.texts.sizes
        bounds = np.stack([self.texts.starts, ends], axis=1).ravel()
        return np.add.reduceat(at_places, bounds)[::2] / self.texts.sizes

    def _sums(self, piece: str, least: float, always: float, effort: float) -> Floats:
        """For each text the sum of the chances of all its starts, in one direction, looking at
        such a share of the places, and at all that are met so well."""
        texts = self.texts
        chances = self._chances(piece)
        starts, values = self._in_step(piece, chances, least, always, int(PLACES * effort))
        sums = summed(texts.text_at[starts], values, len(texts))
        if len(piece) > SURE_COUNT:
            starts, values = self._slipped(
                piece, chances, int(STARTS * effort * min(1, 10 / len(piece)))
            )
            sums += summed(texts.text_at[starts], values, len(texts))
        return sums

    def _chances(self, piece: str) -> Floats:
        """A row for each letter of the piece: its chance for each letter of the alphabet."""
        rows = np.tile(self.mistaken, (len(piece), 1))
        for row, char in zip(rows, piece, strict=True):
            if char == UNREAD:
                row[:] = 1
            for struck in {char, *LOOK_ALIKES.get(char, ())} & self.number_of.keys():
                row[self.number_of[struck]] = chance(char, struck)
        return rows

    def _run(self, piece: str, chances: Floats, at: int) -> _Run:
        met = np.ones(self.texts.runs.shape[1])
        here = piece[at : at + RUN]
        for step, char in enumerate(here):
            if char != UNREAD:
                met *= chances[at + step].take(self.texts.runs[step])
        best = float(met.max())
        return _Run(at, sum(char != UNREAD for char in here), met / best, best)

    def _in_step(
        self, piece: str, chances: Floats, least: float, always: float, most: int
    ) -> tuple[Whole, Floats]:
        """Starts and their chances with no letter left out or put in."""
        runs, at, scale = [], 0, in_step(piece)
        while at < len(piece):
            if piece[at] == UNREAD:
                at += 1
                continue
            runs.append(self._run(piece, chances, at))
            scale *= runs[-1].best
            at += RUN
        bound = least / scale if scale else 1.0
        plan = self._plan(runs, bound, always, most)
        found = []
        for number, (run, met) in enumerate(plan):
            earlier = plan[:number]
            done = [run, *(other for other, _ in earlier)]
            later = [(other, 0.0) for other in runs if other not in done]
            found.append(self._starts(run, [*earlier, *later], bound, met))
        starts = np.concatenate([starts for starts, _ in found])
        return starts, np.concatenate([values for _, values in found]) * scale

    def _plan(
        self, runs: list[_Run], bound: float, always: float, most: int
    ) -> list[tuple[_Run, float]]:
        """Which runs to look up, each with how well it must be met at least: either one of them
        alone, or each by its share of the letters; whatever takes the fewest places, at best no
        more than ``most``."""
        near = [run for run in runs if run.at <= PAD]
        known = sum(run.known for run in near)
        while True:
            plans = [[(run, bound)] for run in near]
            plans.append([(run, bound ** (run.known / known)) for run in near])
            costs = [self._places(plan) for plan in plans]
            if min(costs) <= most or bound >= always:
                return plans[costs.index(min(costs))]
            bound = min(8 * bound, always)

    def _places(self, plan: list[tuple[_Run, float]]) -> int:
        return sum(int(self.texts.run_counts[run.met >= met].sum()) for run, met in plan)

    def _starts(
        self, run: _Run, others: list[tuple[_Run, float]], bound: float, least: float
    ) -> tuple[Whole, Floats]:
        """Starts at which the run is met well enough and the whole comes to the bound; not those
        at which an other run is met as well as stands beside it (0: does not matter), since
        they were found by that one."""
        texts = self.texts
        starts, values = self._begun(run, least)
        for other, found_by in others:
            places = starts + other.at if other.at <= PAD else texts.onward(starts, other.at)
            met = other.met.take(texts.run_at.take(places))
            values = values * met
            kept = values >= bound
            if found_by:
                kept &= met < found_by
            starts, values = starts[kept], values[kept]
        return starts, values

    def _begun(self, run: _Run, least: float) -> tuple[Whole, Floats]:
        """Starts of the piece from which the run is met so well, and how well."""
        texts = self.texts
        runs = np.flatnonzero(run.met >= least)
        values = np.repeat(run.met[runs], texts.run_counts[runs])
        places = texts.places_of(runs)
        if run.at > PAD:
            kept = texts.begins.take(places)
            return texts.onward(places[kept], -run.at), values[kept]
        starts = places - run.at
        kept = texts.begins.take(starts, mode="clip") & (starts >= 0)
        return starts[kept], values[kept]

    def _slipped(self, piece: str, chances: Floats, most: int) -> tuple[Whole, Floats]:
        """Starts, and what letters left out or put in add to their chances."""
        texts = self.texts
        starts = self._promising(piece, chances, most)
        windows = texts.codes[texts.onward(starts[:, None], np.arange(len(piece) + SHIFT))]
        # Many legends share words, so the same letters follow many starts.
        _, first, which = np.unique(_mixed(windows), return_index=True, return_inverse=True)
        windows = windows[first]
        steady = np.prod([row[windows[:, at]] for at, row in enumerate(chances)], axis=0)
        added = read_from(windows, piece, chances) - steady * in_step(piece)
        return starts, added[which]

    def _promising(self, piece: str, chances: Floats, most: int) -> Whole:
        """The starts that promise most, all of them if they are few."""
        texts = self.texts
        if int(texts.sizes.sum()) <= most:
            return np.flatnonzero(texts.begins)
        keys, looked_at = [np.empty(0, np.int64)], 0
        for hits in self._telling(piece, chances):
            looked_at += hits.count
            if looked_at > HITS * most:
                break
            begun = texts.places_of(hits.runs).astype(np.int64) - hits.at
            keys.append(begun * 256 + hits.promise)
        starts, promise = _gathered(np.concatenate(keys))
        # What stands a letter beside speaks for a start too, though a little less.
        gaps = np.diff(starts) == 1
        beside = np.zeros_like(promise)
        beside[1:] += gaps * promise[:-1]
        beside[:-1] += gaps * promise[1:]
        starts, _ = _most(starts, 4 * promise + 3 * beside, most)
        starts = np.concatenate([starts - 1, starts, starts + 1])
        starts = starts[(starts >= 0) & (starts < len(texts.begins))]
        return np.unique(texts.onward(starts, 0))

    def _telling(self, piece: str, chances: Floats) -> list[_Hits]:
        """The runs in a piece of which two letters are read, whole ones first, then those with a
        letter taken for one that looks like it; the rarest first."""
        within = [
            self._run(piece, chances, at)
            for at in range(len(piece) - RUN + 1)
            if RUN - piece[at : at + RUN].count(UNREAD) > 1
        ]
        covered = [sum(run.at <= at < run.at + RUN for run in within) for at in range(len(piece))]
        found = []
        for run in within:
            # A letter that stands in several runs is counted once in all.
            own = [
                1 / covered[run.at + step] for step in range(RUN) if piece[run.at + step] != UNREAD
            ]
            for least, below in ((WHOLE, 2.0), (MET, WHOLE)):
                runs = np.flatnonzero((run.met >= least) & (run.met < below))
                if count := int(self.texts.run_counts[runs].sum()):
                    promise = sum(own) / len(own) * 16 * math.log(len(self.texts.begins) / count)
                    found.append(_Hits(run.at, runs, count, min(int(promise), 255), below > 1))
        return sorted(found, key=lambda hits: (not hits.whole, hits.count))


def _gathered(keys: Whole) -> tuple[Whole, Whole]:
    """Places and the sum of their promises, from keys of place times 256 plus promise (sorting
    plain numbers is much quicker than sorting by them)."""
    keys = np.sort(keys)
    places = keys >> 8
    if not len(places):
        return places, places
    firsts = np.flatnonzero(np.diff(places, prepend=places[0] - 1))
    return places[firsts], np.add.reduceat(keys & 255, firsts)


def _most(places: Whole, promise: Whole, count: int) -> tuple[Whole, Whole]:
    """Those of the places that promise most."""
    if len(places) <= count:
        return places, promise
    kept = np.argpartition(-promise, count)[:count]
    return places[kept], promise[kept]


_FACTORS = np.random.default_rng(1).integers(2**62, size=LONGEST_PIECE + SHIFT) * 2 + 1


def _mixed(windows: Whole) -> Whole:
    """A number for each row, the same for the same letters."""
    return windows.astype(np.int64) @ _FACTORS[: windows.shape[1]]
