"""Source: the Unicode Character Database, property Bidi_Class, as Python's unicodedata has it."""

from __future__ import annotations

import sys
import unicodedata

from series.text.direction import without_turns

EXPLICIT = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}


def test_just_the_signs_that_turn_what_follows_are_taken_out() -> None:
    signs = [chr(point) for point in range(sys.maxunicode + 1)]
    gone = {sign for sign in signs if without_turns(sign) == ""}
    assert gone == {sign for sign in signs if unicodedata.bidirectional(sign) in EXPLICIT}
