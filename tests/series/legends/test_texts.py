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
