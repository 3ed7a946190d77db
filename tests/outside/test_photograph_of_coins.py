"""The public photograph of 24 coins that the package scikit-image carries, in uneven light."""

from __future__ import annotations

import math

import cv2
import pytest
import skimage.data

from catalogue.photos.finding.scans import coins_on

# Middles read off the photograph by eye, to about 5 px, row by row.
MIDDLES = [
    (45, 54), (101, 56), (156, 51), (215, 51), (276, 53), (335, 44),
    (45, 124), (103, 126), (154, 127), (206, 124), (271, 119), (336, 125),
    (44, 197), (102, 196), (154, 198), (212, 193), (273, 195), (348, 187),
    (46, 260), (114, 266), (172, 262), (244, 264), (301, 263), (358, 268),
]  # fmt: skip


def test_all_24_are_found_and_nothing_else() -> None:
    found = coins_on(cv2.cvtColor(skimage.data.coins(), cv2.COLOR_GRAY2BGR))
    assert len(found) == len(MIDDLES)
    for coin, (x, y) in zip(found, MIDDLES, strict=True):
        assert math.hypot(coin.x - x, coin.y - y) < 8, (x, y)
        assert 34 < coin.width < 68


def test_the_widest_is_the_last_of_the_third_row() -> None:
    found = coins_on(cv2.cvtColor(skimage.data.coins(), cv2.COLOR_GRAY2BGR))
    widest = max(found, key=lambda coin: coin.width)
    assert (widest.x, widest.y) == pytest.approx((348, 187), abs=5)
