"""Texts as numbers, few of them or more than two bytes tell apart."""

from __future__ import annotations

import numpy as np
import pytest

from series.legends import texts
from series.legends.texts import MOST_COUNTED


@pytest.mark.parametrize("step", [1, MOST_COUNTED // 1000])
@pytest.mark.parametrize("count", [0, 1, 2**16 - 1, 2**16, 2**16 + 1])
def test_numbers_are_told_apart_however_many_they_are(count: int, step: int) -> None:
    numbers = np.arange(count, dtype=np.int64)[::-1] * step
    different, places = texts._distinct(numbers)
    assert np.array_equal(different, np.sort(numbers))
    assert np.array_equal(different[places], numbers)


@pytest.mark.parametrize("letters", [20, 1_300, 1_700])
def test_runs_of_three_are_those_of_the_text_however_many_letters_there_are(letters: int) -> None:
    """With more than 1,290 letters a run of three is a number beyond 31 bits, with more than
    1,625 one beyond 32."""
    text = "".join(map(chr, range(0x4E00, 0x4E00 + letters)))
    found = texts.Texts.of([text])
    codes = np.arange(letters)
    runs = found.runs[:, found.run_at[:letters]]
    assert np.array_equal(runs, [codes, np.roll(codes, -1), np.roll(codes, -2)])
