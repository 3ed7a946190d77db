from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.legends.wear import (
    ALPHABET,
    LOOK_ALIKES,
    RIGHT,
    SHIFT,
    chance,
    in_step,
    put_in_chance,
    read_from,
)
from tests.series.legends.plain_model import read_from_start

LATIN = "abcdefghiklmnopqrstuwxyz0123456789"


@pytest.mark.parametrize("struck", LATIN)
def test_what_may_be_read_for_a_letter_sums_to_one(struck: str) -> None:
    assert len(LATIN) == ALPHABET
    assert sum(chance(read, struck) for read in LATIN) == pytest.approx(1)


def test_what_may_be_put_in_sums_to_one() -> None:
    assert sum(map(put_in_chance, LATIN)) == pytest.approx(1)


def test_letters_that_look_alike_do_so_both_ways() -> None:
    assert {(a, b) for a in LOOK_ALIKES for b in LOOK_ALIKES[a]} == {
        (b, a) for a in LOOK_ALIKES for b in LOOK_ALIKES[a]
    }


def test_no_letter_looks_like_one_of_another_script() -> None:
    assert all(a.isascii() == b.isascii() for a in LOOK_ALIKES for b in LOOK_ALIKES[a])


def test_a_look_alike_is_likelier_than_another_letter() -> None:
    assert RIGHT > chance("g", "c") > 3 * chance("m", "c")


def test_unread_letters_are_easier_miscounted() -> None:
    assert in_step("ab?de") < in_step("abcde") < in_step("abcd") == in_step("a??d") == 1


@given(
    st.text("abcoqt?", min_size=1, max_size=9).filter(lambda piece: piece[0] != "?"),
    st.text("abcoqt", min_size=1, max_size=8),
)
def test_the_chance_of_a_piece_is_that_of_the_plain_model(piece: str, text: str) -> None:
    alphabet = sorted(set(text))
    chances = np.array([[chance(char, struck) for struck in alphabet] for char in piece])
    windows = np.array(
        [
            [alphabet.index(text[(start + step) % len(text)]) for step in range(len(piece) + SHIFT)]
            for start in range(len(text))
        ]
    )
    plain = [read_from_start(piece, text, start) for start in range(len(text))]
    assert read_from(windows, piece, chances) == pytest.approx(plain)
