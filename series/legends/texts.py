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

from series.arrays import Floats, Whole

RUN = 3
PAD = 12
PART = 1 << 18
"""Places that are laid out at a time."""
MOST_COUNTED = 1 << 22
"""Numbers below this are told apart by a table of all that may come."""


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
        alphabet, plain = _distinct(whole)
        del whole
        base = max(len(alphabet), 1)
        sizes = np.fromiter(map(len, texts), np.int32, len(texts))
        firsts = np.cumsum(sizes, dtype=np.int32) - sizes
        starts = firsts + np.arange(len(texts), dtype=np.int32) * PAD
        text_at = np.repeat(np.arange(len(texts), dtype=np.int32), sizes + PAD)
        codes = np.empty(len(text_at), np.uint16)
        begins = np.empty(len(text_at), np.bool_)
        keys: Whole = np.empty(len(text_at), np.int32 if base**RUN < 2**31 else np.int64)
        for low in range(0, len(text_at), PART):  # part by part, in little memory
            part = slice(low, low + PART)
            text = text_at[part]
            size, first = sizes[text], firsts[text]
            offset = np.arange(low, low + len(text), dtype=np.int32) - starts[text]
            begins[part] = offset < size
            codes[part] = plain[first + offset % size]
            keys[part] = 0
            for step in range(RUN):
                keys[part] = keys[part] * base + plain[first + (offset + step) % size]
        del plain
        different, run_at = _distinct(keys)
        del keys
        runs = np.stack([different // base**step % base for step in reversed(range(RUN))])
        counts = np.bincount(run_at, minlength=len(different)).astype(np.int32)
        return cls(
            alphabet=tuple(map(chr, alphabet)),
            codes=codes,
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


def _distinct(numbers: Whole) -> tuple[Whole, Whole]:
    """The different numbers, ascending, and which one stands at each place."""
    most = int(numbers.max(initial=0)) + 1
    if most > MOST_COUNTED:
        different, places = np.unique(numbers, return_inverse=True)
        return different, places.astype(np.uint16 if len(different) < 2**16 else np.int32)
    seen = np.zeros(most, np.bool_)  # without sorting, which takes eight times the memory
    seen[numbers] = True
    different = np.flatnonzero(seen)
    number_of: Whole = np.cumsum(seen, dtype=np.int32) - 1
    if len(different) < 2**16:
        number_of = number_of.astype(np.uint16)
    return different, number_of[numbers]
