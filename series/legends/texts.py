"""The legends of all types, laid out so that a piece is found among them quickly.

What is computed: arrays; places and texts are counted from 0. The letters of all texts stand as
codes in one long row. A text is closed, so each place has a run of three letters that begins
there, the last places running on into the beginning of their own text. Places are sorted by
their run, so that all places of a run are one slice.

>>> texts = Texts.of(["salt", "alto"])
>>> ["".join(texts.alphabet[code] for code in run) for run in texts.runs[:3]]
['alt', 'lto', 'lts']
>>> texts.places_of(np.array([0])).tolist()
[1, 4]
>>> texts.text_at[[1, 4]].tolist(), texts.onward(np.array([1, 4]), 3).tolist()
([0, 1], [0, 7])
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.signedinteger]

RUN = 3


def slices(starts: Whole, ends: Whole) -> Whole:
    """The numbers of several ranges, one range after the other."""
    sizes = ends - starts
    before = np.cumsum(sizes) - sizes
    return np.repeat(starts - before, sizes) + np.arange(sizes.sum(), dtype=starts.dtype)


def summed(numbers: Whole | npt.NDArray[np.uint16], values: Floats, size: int) -> Floats:
    """The sum of the values that bear each number from 0 to ``size`` - 1."""
    sums: Floats = np.bincount(numbers, values, size).astype(np.float64, copy=False)
    return sums


@dataclass(frozen=True, slots=True)
class Texts:
    """Texts of at least one letter each, ``len(starts) - 1`` of them."""

    alphabet: tuple[str, ...]
    codes: npt.NDArray[np.uint16]
    """The letter at each place, by its number in the alphabet."""
    starts: npt.NDArray[np.int32]
    """The first place of each text, and the number of places."""
    text_at: npt.NDArray[np.int32]
    run_at: npt.NDArray[np.int32]
    runs: npt.NDArray[np.uint16]
    """The different runs of three letters, a row each."""
    by_run: npt.NDArray[np.int32]
    run_starts: npt.NDArray[np.int32]

    @classmethod
    def of(cls, texts: Sequence[str]) -> Texts:
        """Lay out texts in the form of ``series.legends.letters.letters``; none may be empty."""
        whole = np.array(list("".join(texts)), dtype="U1")
        alphabet, codes = np.unique(whole, return_inverse=True)
        lengths = np.fromiter(map(len, texts), np.int32, len(texts))
        starts = np.concatenate([[0], np.cumsum(lengths)]).astype(np.int32)
        text_at = np.repeat(np.arange(len(texts), dtype=np.int32), lengths)
        first, size = starts[text_at], lengths[text_at]
        offset = np.arange(len(codes), dtype=np.int32) - first
        key = codes.astype(np.int64)
        for step in range(1, RUN):
            key = key * len(alphabet) + codes[first + (offset + step) % size]
        different, run_at = np.unique(key, return_inverse=True)
        runs = np.stack(
            [different // len(alphabet) ** step % len(alphabet) for step in (2, 1, 0)], axis=1
        )
        counts = np.bincount(run_at, minlength=len(different))
        return cls(
            alphabet=tuple(map(str, alphabet)),
            codes=codes.astype(np.uint16),
            starts=starts,
            text_at=text_at,
            run_at=run_at.astype(np.int32),
            runs=runs.astype(np.uint16),
            by_run=np.argsort(run_at, kind="stable").astype(np.int32),
            run_starts=np.concatenate([[0], np.cumsum(counts)]).astype(np.int32),
        )

    def __len__(self) -> int:
        return len(self.starts) - 1

    def places_of(self, runs: Whole) -> Whole:
        """All places at which one of the runs begins."""
        return self.by_run[slices(self.run_starts[runs], self.run_starts[runs + 1])]

    def count_of(self, runs: Whole) -> int:
        """How many places ``places_of`` would give."""
        return int((self.run_starts[runs + 1] - self.run_starts[runs]).sum())

    def onward(self, places: Whole, steps: Whole | int) -> Whole:
        """The places so many letters further on round the circle (back, if negative)."""
        text = self.text_at[places]
        first = self.starts[text]
        return first + (places - first + steps) % (self.starts[text + 1] - first)
