"""The index of legends against the stated model of ``series.legends.wear``, letter by letter."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pytest

from series.legends import wear
from series.legends.index import TOLERANCE, LegendIndex, StruckText


def letter(read: str, struck: str) -> float:
    if read == "?":
        return 1.0
    if read == struck:
        return wear.RIGHT
    like = wear.LOOK_ALIKES.get(struck, frozenset())
    wrong = 1 - wear.RIGHT
    chance = wrong * (1 - wear.ALIKE_SHARE if like else 1.0) / (wear.ALPHABET - 1)
    return chance + (wrong * wear.ALIKE_SHARE / len(like) if read in like else 0.0)


def from_start(piece: str, text: str, start: int) -> float:
    """Reading on from one letter, round the circle, with letters left out or put in."""

    def onward(at: int, place: int) -> float:
        """The chance of the letters from ``at`` on, ``place`` letters of the text being used."""
        if at == len(piece):
            return 1.0
        slip = wear.SLIP_UNREAD if piece[at] == "?" else wear.SLIP
        if len(piece) <= wear.SURE_COUNT:
            slip = 0.0
        here, beyond = (text[(start + place + k) % len(text)] for k in (0, 1))
        total = (1 - 2 * slip) * letter(piece[at], here) * onward(at + 1, place + 1)
        if slip and place - at < wear.SHIFT:  # one letter of the text is left out before it
            total += slip * letter(piece[at], beyond) * onward(at + 1, place + 2)
        if slip and at - place < wear.SHIFT:  # what was read was put in
            any_letter = 1.0 if piece[at] == "?" else 1 / wear.ALPHABET
            total += slip * any_letter * onward(at + 1, place)
        return total

    return letter(piece[0], text[start]) * onward(1, 1)


def of_legends(piece: str, legends: Sequence[str]) -> float:
    """Begun at any letter of any legend, in either direction."""
    letters = sum(map(len, legends))
    back = wear.BACKWARDS
    total = 0.0
    for text in legends:
        for start in range(len(text)):
            total += (1 - back) * from_start(piece, text, start)
            total += back * from_start(piece[::-1], text, start)
    return total / letters


LEGENDS = [
    ("saltmouth", "5tinne"),
    ("haluern", "5tinne"),
    ("saltmarsh",),
    ("oneernor", "iks"),
]


def without_record(piece: str) -> float:
    """A mean coin of the records half of the time, else letters as frequent as in them."""
    texts = {text for legends in LEGENDS for text in legends}
    every = "".join(texts)
    kinds = len(set(every)) + 1
    drawn = (len(every) + 1) / (len(every) + 1)
    for read in piece.replace("?", ""):
        drawn *= (every.count(read) + 1) / (len(every) + kinds)
    mean = sum(of_legends(piece, legends) for legends in LEGENDS) / len(LEGENDS)
    return wear.SHARED * mean + (1 - wear.SHARED) * drawn


@pytest.mark.parametrize("piece", ["sal", "?th", "mou", "l?m", "nor", "e", "5ti"])
def test_a_short_piece_of_a_legend_has_the_chance_that_is_stated(piece: str) -> None:
    index = LegendIndex.of([[StruckText(each.upper(), "Latn") for each in one] for one in LEGENDS])
    without = without_record(piece)
    expected = [
        (1 - wear.UNRECORDED) * of_legends(piece, legends) + wear.UNRECORDED * without
        for legends in LEGENDS
    ]
    assert np.exp(index.log_likelihoods([piece])) == pytest.approx(expected, rel=1e-6)
    assert index.elsewhere([piece]) == pytest.approx(math.log(without), rel=1e-6)


@pytest.mark.parametrize(
    "piece", ["mout", "l?mo", "saltm", "salt??uth", "tlas", "5tinne", "haluorn", "smouth"]
)
def test_a_longer_piece_has_it_within_the_stated_tolerance(piece: str) -> None:
    index = LegendIndex.of([[StruckText(each.upper(), "Latn") for each in one] for one in LEGENDS])
    without = without_record(piece)
    for found, legends in zip(index.log_likelihoods([piece]), LEGENDS, strict=True):
        chance = (1 - wear.UNRECORDED) * of_legends(piece, legends) + wear.UNRECORDED * without
        assert -TOLERANCE <= found - math.log(chance) <= 1e-6
