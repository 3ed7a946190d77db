"""How a legend is read off a worn coin: the chance of reading a piece, given the text.

What is computed: probabilities (no unit). This is the model that the index of legends follows:

1. The text runs round the circle: its end joins its beginning. A person begins at any letter of
   any recorded legend of the coin, each as likely as the next, and reads on for as many letters
   as the piece has.
2. Each letter is marked unread with the same chance whatever it is, so ``?`` says nothing and
   only holds a place. A letter that is read is read right with ``RIGHT``. Otherwise it is taken
   for another: ``ALIKE_SHARE`` of the mistakes fall evenly on the letters that look like it when
   worn (``LOOK_ALIKES``; none has no such share), the rest evenly on the ``ALPHABET`` - 1 others.
3. In a piece of more than ``SURE_COUNT`` letters, at each letter after the first, one letter of
   the text may be left out before it, or what was read may have been put in (a scratch, a letter
   counted twice) and is then any of the ``ALPHABET`` alike: ``SLIP`` each. Unread letters are
   hard to count: at a ``?`` it is ``SLIP_UNREAD`` each. All told a piece is never more than
   ``SHIFT`` letters ahead or behind.
4. The piece is typed backwards with ``BACKWARDS`` (retrograde legends, a die cut the wrong way
   round) or, in scripts that run from right to left, ``BACKWARDS_LEFTWARD`` (typed in the order
   in which it is seen).
5. A Latin piece against a legend in another script is its transliteration; against Cyrillic and
   Greek it is, with ``BY_LOOKS``, copied by the look of the letters.
6. With ``UNRECORDED`` the piece was read from a text that the record lacks. It then has the
   chance it has on a coin that is in no record: ``SHARED`` of the time that of the mean record
   (coins share words such as REPUBLIC), else that of letters drawn by their frequency in the
   records of that script, times the script's share.

Pieces are independent of each other, given the type. The shares are common practice, no source;
what they must do is rank, and ``tests/bench/bench_legends.py`` tries them on readings made by
another model.

>>> round(chance("e", "e"), 3), round(chance("f", "e"), 4), round(chance("x", "e"), 5)
(0.95, 0.0306, 0.00061)
>>> alphabet = "abcdefghiklmnopqrstuwxyz0123456789"
>>> len(alphabet) == ALPHABET, round(sum(chance(read, "e") for read in alphabet), 9)
(True, 1.0)
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from series.arrays import Floats
from series.legends.letters import UNREAD

RIGHT = 0.95
ALIKE_SHARE = 0.6
ALPHABET = 34
"""Letters and figures of the Latin script with U = V and I = J, taken for every script."""
SURE_COUNT = 4
SLIP = 0.01
SLIP_UNREAD = 0.1
BACKWARDS = 0.02
BACKWARDS_LEFTWARD = 0.1
BY_LOOKS = 0.2
UNRECORDED = 0.05
SHARED = 0.5

SHIFT = 2

_ALIKE_GROUPS = (
    # Latin capitals and figures
    "odqcg0", "ef", "prb", "itl1", "hnm", "nu", "kxr", "b83", "s5", "sz", "z2", "a4", "uy", "g6",
    "6890", "17", "mw",
    # Cyrillic
    "инпл", "шщ", "осэ", "ьъыбв", "гт", "дл", "кж", "зэ", "хж", "ун", "цш",
    # Greek
    "οθφω", "αλδ", "εξσ", "ην", "ρβ", "τιγ", "υψχ", "μν", "πη",
    # Arabic: the same stroke with other dots
    "بتثني", "جحخ", "دذ", "رز", "سش", "صض", "طظ", "عغ", "فق", "كل", "در", "وف",
    # Hebrew
    "בכ", "דר", "החת", "וזי", "סמ", "טמ", "גנ", "צע",
)  # fmt: skip


def _alike() -> dict[str, frozenset[str]]:
    found: dict[str, set[str]] = {}
    for group in _ALIKE_GROUPS:
        for char in group:
            found.setdefault(char, set()).update(group.replace(char, ""))
    return {char: frozenset(others) for char, others in found.items()}


LOOK_ALIKES: Mapping[str, frozenset[str]] = MappingProxyType(_alike())
"""For each folded letter those that look like it when worn; common practice, no source."""


def chance(read: str, struck: str) -> float:
    """The chance of reading one letter where another (or the same) is struck; 1 for ``?``."""
    if read == UNREAD:
        return 1.0
    if read == struck:
        return RIGHT
    alike = LOOK_ALIKES.get(struck, frozenset())
    evenly = (1 - ALIKE_SHARE if alike else 1.0) * (1 - RIGHT) / (ALPHABET - 1)
    return evenly + (ALIKE_SHARE * (1 - RIGHT) / len(alike) if read in alike else 0.0)


def put_in_chance(read: str) -> float:
    """The chance that what was put in is this letter; 1 for ``?``."""
    return 1.0 if read == UNREAD else 1 / ALPHABET


def slip(read: str) -> float:
    """The chance that a letter is left out before this one; the same, that this one is put in."""
    return SLIP_UNREAD if read == UNREAD else SLIP


def in_step(piece: str) -> float:
    """The chance that no letter of a piece is left out or put in."""
    if len(piece) <= SURE_COUNT:
        return 1.0
    return math.prod(1 - 2 * slip(read) for read in piece[1:])


def read_from(windows: npt.NDArray[np.integer], piece: str, chances: Floats) -> Floats:
    """The chance of reading a piece from each of several starts.

    ``windows``: a row for each start, the codes of the letters that follow, ``SHIFT`` more of
    them than the piece has letters. ``chances``: a row for each letter of the piece, its chance
    for each code.
    """
    if len(piece) <= SURE_COUNT:
        product: Floats = np.prod([row[windows[:, at]] for at, row in enumerate(chances)], axis=0)
        return product
    # One row for each shift, from SHIFT behind to SHIFT ahead, and one of zeros at either end.
    paths = np.zeros((2 * SHIFT + 3, len(windows)))
    paths[SHIFT + 1] = chances[0][windows[:, 0]]
    for at, read in enumerate(piece[1:], 1):
        slipped = slip(read)
        struck = windows[:, np.maximum(np.arange(at - SHIFT, at + SHIFT + 1), 0)].T
        in_time = (1 - 2 * slipped) * paths[1:-1] + slipped * paths[:-2]
        put_in = slipped * put_in_chance(read) * paths[2:]
        paths[1:-1] = chances[at][struck] * in_time + put_in
    total: Floats = paths.sum(axis=0)
    return total
