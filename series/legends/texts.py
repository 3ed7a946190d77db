"""The legends of all types, laid out so that a piece is found among them quickly.

What is computed: arrays; places and texts are counted from 0. The letters of all texts stand as
codes in one long row. A text is closed, its end joins its beginning; so that one can read on over
the end without reckoning, the first letters of each text follow it once more (``PAD`` of them,
round and round if the text is shorter). Each place has a run of three letters that begins there,
and places are sorted by their run, so that all places of a run are one slice.

>>> texts = Texts.of(["salt", "alto"])
>>> "".join(texts.alphabet[code] for code in texts.codes[: 4 + PAD])
'saltsaltsaltsalt'
>>> ["".join(texts.alphabet[code] for code in run) for run in texts.runs.T[:3]]
['alt', 'lto', 'lts']
>>> texts.places_of(np.array([0])).tolist(), texts.text_at[[1, 5, 16]].tolist()
([1, 5, 9, 13, 16, 20, 24, 28], [0, 0, 1])
>>> np.flatnonzero(texts.begins).tolist(), texts.onward(np.array([1, 19]), 3).tolist()
([0, 1, 2, 3, 16, 17, 18, 19], [0, 18])
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.integer]

RUN = 3
PAD = 12


def slices(starts: Whole, ends: Whole) -> Whole:
    """The numbers of several ranges, one range after the other."""
    sizes = ends - starts
    before = np.cumsum(sizes, dtype=sizes.dtype) - sizes
    return np.repeat(starts - before, sizes) + np.arange(sizes.sum(), dtype=starts.dtype)


def summed(numbers: Whole, values: Floats, size: int) -> Floats:
    """The sum of the values that bear each number from 0 to ``size`` - 1."""
    sums: Floats = np.bincount(numbers, values, size).astype(np.float64, copy=False)
    return sums


@dataclass(frozen=True, slots=True, eq=False)
class Texts:
    """Texts of at least one letter each."""

    alphabet: tuple[str, ...]
    codes: npt.NDArray[np.uint16]
    """The letter at each place, by its number in the alphabet."""
    starts: npt.NDArray[np.int32]
    """The first place of each text."""
    sizes: npt.NDArray[np.int32]
    """How many letters each text has."""
    text_at: npt.NDArray[np.int32]
    begins: npt.NDArray[np.bool_]
    """Whether a place is one of the text itself, not of what follows it once more."""
    run_at: Whole
    runs: npt.NDArray[np.intp]
    """The different runs of three letters: their first letters, their second, their third."""
    by_run: npt.NDArray[np.int32]
    run_starts: npt.NDArray[np.int32]
    run_counts: npt.NDArray[np.int32]

    @classmethod
    def of(cls, texts: Sequence[str]) -> Texts:
        """Lay out texts in the form of ``series.legends.letters.letters``; none may be empty."""
        whole = np.frombuffer("".join(texts).encode("utf-32-le"), np.uint32)
        alphabet, numbers = np.unique(whole, return_inverse=True)
        plain = numbers.astype(np.uint16)
        sizes = np.fromiter(map(len, texts), np.int32, len(texts))
        firsts = np.cumsum(sizes, dtype=np.int32) - sizes
        different, run_of = _runs_of(plain, sizes, firsts, len(alphabet))
        starts = firsts + np.arange(len(texts), dtype=np.int32) * PAD
        text_at = np.repeat(np.arange(len(texts), dtype=np.int32), sizes + PAD)
        offset = np.arange(len(text_at), dtype=np.int32) - starts[text_at]
        begins = offset < sizes[text_at]
        source = firsts[text_at] + offset % sizes[text_at]
        run_at = run_of[source]
        base = max(len(alphabet), 1)
        runs = np.stack([different // base**step % base for step in reversed(range(RUN))])
        counts = np.bincount(run_at, minlength=len(different)).astype(np.int32)
        return cls(
            alphabet=tuple(map(chr, alphabet)),
            codes=plain[source],
            starts=starts,
            sizes=sizes,
            text_at=text_at,
            begins=begins,
            run_at=run_at,
            runs=runs.astype(np.intp),
            by_run=np.argsort(run_at, kind="stable").astype(np.int32),
            run_starts=np.cumsum(counts, dtype=np.int32) - counts,
            run_counts=counts,
        )

    def __len__(self) -> int:
        return len(self.starts)

    def places_of(self, runs: Whole) -> Whole:
        """All places at which one of the runs begins, run by run."""
        starts = self.run_starts[runs]
        return self.by_run[slices(starts, starts + self.run_counts[runs])]

    def onward(self, places: Whole, steps: Whole | int) -> Whole:
        """The places of the text itself so many letters further on (back, if negative)."""
        text = self.text_at[places]
        first = self.starts[text]
        return first + (places - first + steps) % self.sizes[text]


def _runs_of(
    codes: npt.NDArray[np.uint16], sizes: Whole, firsts: Whole, base: int
) -> tuple[Whole, Whole]:
    """The different runs of closed texts, as numbers to the base given; which one begins at each
    letter."""
    first, size = np.repeat(firsts, sizes), np.repeat(sizes, sizes)
    offset = np.arange(len(codes), dtype=np.int32) - first
    keys: Whole = codes.astype(np.int32 if base**RUN < 2**31 else np.int64)
    for step in range(1, RUN):
        keys = keys * base + codes[first + (offset + step) % size]
    different, run_of = np.unique(keys, return_inverse=True)
    return different, run_of.astype(np.uint16 if len(different) < 2**16 else np.int32)
