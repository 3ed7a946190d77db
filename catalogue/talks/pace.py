"""How long a talk takes, and what to leave out so that it fits.

What is computed: seconds from words at a speaker's pace (words a minute) and the seconds of
looking; the pace that a rehearsal measured; and which stops to leave out of a talk that is too
long, with the least loss.

No primary source was found for a usual pace; 100 to 125 words a minute for talks with pictures is
from memory, so that before a rehearsal the time is a guess and said to be one.

What to leave out is exact: among all choices of stops that save the time that is over, the one
whose losses add up to the least, by dynamic programming over the seconds to save (a knapsack that
must be filled). The loss of a stop is the words said at it, times one more for each respect in
which it differs from the coin before, so that a short story goes first and of two that are alike
the second. Every loss is more than nothing, so no stop that is left out is needless.

>>> seconds_of("Again bronze, and smaller.", pace=120, look=8)
10
>>> measured_pace([(60, 30, 0), (30, 25, 10)])
120
>>> [stop.number for stop in leave_out([Weighed(0, 40, 80), Weighed(1, 50, 90)], over=30)]
[0]
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

USUAL_PACE = 110
SLOWEST, FASTEST = 40, 300
RESPECTS = ("country", "denomination", "series", "metal", "faces")
LEAST_LOSS = 10
"""Words: what showing a coin is worth by itself, without a word; chosen by eye."""


def words_in(text: str) -> int:
    return len(text.split())


def seconds_of(notes: str, *, pace: int, look: int, rehearsed: int | None = None) -> int:
    """What a stop takes: as rehearsed, else the words at this pace and the looking."""
    if rehearsed is not None:
        return rehearsed
    return math.ceil(words_in(notes) * 60 / pace) + look


def measured_pace(rehearsed: Iterable[tuple[int, int, int]]) -> int | None:
    """Words a minute, from (words, seconds, seconds of looking) of stops; None without any.

    Within SLOWEST and FASTEST: who only leafed through has shown no pace.
    """
    words = speaking = 0
    for said, seconds, look in rehearsed:
        if said and seconds > look:
            words += said
            speaking += seconds - look
    return min(FASTEST, max(SLOWEST, round(words * 60 / speaking))) if speaking else None


@dataclass(frozen=True)
class Weighed:
    """A stop that may be left out: its number, the seconds that saves, and what is lost by it."""

    number: int
    seconds: int
    loss: int


def loss_of(words: int, differs: int) -> int:
    """What is lost with a stop that differs from the coin before in so many of RESPECTS."""
    return (LEAST_LOSS + words) * (1 + differs)


def leave_out(stops: Sequence[Weighed], over: int) -> list[Weighed] | None:
    """The stops to leave out so that ``over`` seconds are saved at least, in their order.

    None where leaving out all of them does not save as much.
    """
    able = [stop for stop in stops if stop.seconds > 0]
    if over <= 0:
        return []
    if sum(stop.seconds for stop in able) < over:
        return None
    best = np.full(over + 1, np.iinfo(np.int64).max // 2)  # by the seconds still to be saved
    best[0] = 0
    taken = np.zeros((len(able), over + 1), bool)
    seconds = np.arange(over + 1)
    for row, stop in enumerate(able):
        instead = best[np.maximum(seconds - stop.seconds, 0)] + stop.loss
        taken[row] = instead < best
        best = np.where(taken[row], instead, best)
    chosen, left = [], over
    for row in range(len(able) - 1, -1, -1):
        if taken[row, left]:
            chosen.append(able[row])
            left = max(0, left - able[row].seconds)
    return chosen[::-1]
