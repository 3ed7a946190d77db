"""Find a piece among all texts: how likely it is to be read from each of them.

What is computed: for each text, the chance of the piece under the model of
``series.legends.wear``, the mean over all starts in the text, in one direction. No unit.

How: the piece is cut into runs of three letters. While no letter is left out or put in, the
chance at a start is a product over its runs, and tiny unless at least one of them is well met.
So for each run only the places where enough of it is met are looked at; what is not looked at
comes to less than ``least`` in each text. Then the whole model, letters left out and put in too,
is worked out for the texts that hold most runs of the piece, ``STARTS_WORKED_OUT`` starts in all;
the others have the chance without.

>>> scanner = Scanner.of(Texts.of(["salt", "alto", "libertas"]))
>>> [round(float(mean), 4) for mean in scanner.scan("lt", least=0.0)]
[0.2256, 0.2256, 0.0013]
>>> round(0.95**2 / 4, 4)
0.2256
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from series.legends.letters import UNREAD
from series.legends.texts import RUN, Texts, Whole, slices, summed
from series.legends.wear import (
    LOOK_ALIKES,
    SHIFT,
    SURE_COUNT,
    Floats,
    chance,
    in_step,
    read_from,
)

STARTS_WORKED_OUT = 4_000
"""Starts at which the whole model is worked out for a piece of ten letters; fewer for longer."""
MET = 0.005
"""A run this well met, against the best, counts towards the promise of a text: at most one of
its letters taken for one that looks like it."""


@dataclass(frozen=True, slots=True, eq=False)
class _Run:
    """Up to three letters of a piece, from ``at`` in it; how well each run of the texts meets
    them, 1 at best."""

    at: int
    known: int
    met: Floats
    best: float


@dataclass(frozen=True, slots=True)
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

    def chances(self, piece: str) -> Floats:
        """A row for each letter of the piece: its chance for each letter of the alphabet."""
        rows = np.tile(self.mistaken, (len(piece), 1))
        for row, char in zip(rows, piece, strict=True):
            if char == UNREAD:
                row[:] = 1
            for struck in {char, *LOOK_ALIKES.get(char, ())} & self.number_of.keys():
                row[self.number_of[struck]] = chance(char, struck)
        return rows

    def scan(self, piece: str, least: float) -> Floats:
        """For each text the mean chance of the piece over all starts, less at most ``least``.

        ``piece`` is in the form of ``series.legends.letters.piece_letters``, not empty.
        """
        if not len(self.texts):
            return np.zeros(0)
        chances = self.chances(piece)
        if len(piece) <= RUN:
            (run,) = self._runs(piece, chances, [0])
            sums = np.add.reduceat((run.met * run.best)[self.texts.run_at], self.texts.starts[:-1])
            return sums / np.diff(self.texts.starts)
        places, values = self._in_step(piece, chances, least)
        sums = summed(self.texts.text_at[places], values, len(self.texts))
        means = sums / np.diff(self.texts.starts)
        if len(piece) > SURE_COUNT:
            promising = self._promising(piece, chances)
            if len(promising):
                means[promising] = self._worked_out(piece, chances, promising)
        return means

    def _runs(self, piece: str, chances: Floats, offsets: list[int]) -> list[_Run]:
        found = []
        for at in offsets:
            met = np.ones(len(self.texts.runs))
            here = piece[at : at + RUN]
            for step, char in enumerate(here):
                if char != UNREAD:
                    met *= chances[at + step][self.texts.runs[:, step]]
            best = float(met.max())
            found.append(_Run(at, sum(char != UNREAD for char in here), met / best, best))
        return found

    def _in_step(self, piece: str, chances: Floats, least: float) -> tuple[Whole, Floats]:
        """Starts and their chances with no letter left out or put in."""
        offsets, at = [], 0
        while at < len(piece):
            if piece[at] == UNREAD:
                at += 1
                continue
            offsets.append(at)
            at += RUN
        runs = self._runs(piece, chances, offsets)
        scale = in_step(piece)
        for run in runs:
            scale *= run.best
        bound = least / scale if scale else 1.0
        plan = self._cheapest(runs, bound)
        found = []
        for number, (run, met) in enumerate(plan):
            earlier = plan[:number]
            done = [run, *(other for other, _ in earlier)]
            later = [(other, 0.0) for other in runs if other not in done]
            found.append(self._starts(run, [*earlier, *later], bound, met))
        places = np.concatenate([places for places, _ in found])
        return places, np.concatenate([values for _, values in found]) * scale

    def _cheapest(self, runs: list[_Run], bound: float) -> list[tuple[_Run, float]]:
        """Which runs to look up, each with how well it must be met at least: either one of them
        alone, or each by its share of the letters."""
        known = sum(run.known for run in runs)
        plans = [[(run, bound)] for run in runs]
        plans.append([(run, bound ** (run.known / known)) for run in runs])
        return min(plans, key=self._cost)

    def _cost(self, plan: list[tuple[_Run, float]]) -> int:
        return sum(self.texts.count_of(np.flatnonzero(run.met >= least)) for run, least in plan)

    def _starts(
        self, run: _Run, others: list[tuple[_Run, float]], bound: float, least: float
    ) -> tuple[Whole, Floats]:
        """Starts at which the run is met well enough and the whole comes to the bound; not those
        at which an other run is met as well as stands beside it (0: does not matter), since
        they were found by that one."""
        texts = self.texts
        places = texts.places_of(np.flatnonzero(run.met >= least))
        values = run.met[texts.run_at[places]]
        places = texts.onward(places, -run.at)
        for other, found_by in others:
            met = other.met[texts.run_at[texts.onward(places, other.at)]]
            values = values * met
            kept = values >= bound
            if found_by:
                kept &= met < found_by
            places, values = places[kept], values[kept]
        return places, values

    def _promising(self, piece: str, chances: Floats) -> Whole:
        """Texts that hold most runs of the piece, wherever, as many as are worked out."""
        texts = self.texts
        offsets = [
            at for at in range(len(piece) - RUN + 1) if RUN - piece[at : at + RUN].count(UNREAD) > 1
        ]
        gain = np.zeros(len(texts))
        for run in self._runs(piece, chances, offsets):
            met = np.flatnonzero(run.met >= MET)
            places = texts.places_of(met)
            gains = np.log(run.met[texts.run_at[places]] / MET)
            gain += summed(texts.text_at[places], gains, len(texts))
        budget = STARTS_WORKED_OUT * 10 // len(piece)
        most = min(budget, int(np.count_nonzero(gain)))
        best = np.argpartition(-gain, most - 1)[:most] if most else np.empty(0, np.intp)
        best = best[np.argsort(-gain[best], kind="stable")]
        lengths = np.cumsum(texts.starts[best + 1] - texts.starts[best])
        return best[: max(1, int(np.searchsorted(lengths, budget, "right")))]

    def _worked_out(self, piece: str, chances: Floats, which: Whole) -> Floats:
        """The mean chance over all starts under the whole model, for some texts."""
        texts = self.texts
        begins, ends = texts.starts[which], texts.starts[which + 1]
        values = self.read_at(piece, chances, slices(begins, ends))
        firsts = np.cumsum(ends - begins) - (ends - begins)
        return np.add.reduceat(values, firsts) / (ends - begins)

    def read_at(self, piece: str, chances: Floats, places: Whole) -> Floats:
        """The chance of the piece from each of several starts, under the whole model."""
        steps = np.arange(len(piece) + SHIFT)
        windows = self.texts.codes[self.texts.onward(places[:, None], steps)]
        return read_from(windows, piece, chances)
