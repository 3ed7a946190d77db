"""What changed in the marks, in words."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from typing import Any

import pytest

from series.differences.facts import MarkFacts
from tests.series.differences.two_types import NOT_DESCRIBED, OLD, said, with_marks


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        (("mint", "S", "reverse", D(6)), ("mint", "S", "reverse", D(3)),
         "mint mark from 6 to 3 o'clock"),
        (("mint", "S", "reverse", D(6)), ("mint", "S", "obverse", D(3)),
         "mint mark from 6 o'clock on the reverse to 3 o'clock on the obverse"),
        (("mint", "S", "reverse"), ("mint", "S", "obverse"), "mint mark from reverse to obverse"),
        (("mint", "S", "reverse"), ("mint", "K", "reverse"), "mint mark K in place of S"),
        (("privy", "fish", "reverse", None, "the date"), ("privy", "fish", "reverse", None, "rim"),
         "privy mark near rim where it was near the date"),
    ],
)  # fmt: skip
def test_a_mark_that_changed(before: Any, after: Any, words: str) -> None:
    assert said(with_marks(MarkFacts(*before)), with_marks(MarkFacts(*after))) == words


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        ([("mint", "S", "reverse", D(6))], [("mint", "S", "reverse", D("6.5"))],
         "mint mark from 6 o'clock to half past 6"),
        ([("mint", "S", "reverse", D(6), "the date")], [("mint", "S", "reverse", D(6), "the rim")],
         "mint mark near the rim where it was near the date"),
        ([("mint", "S", "reverse", D(6))], [("mint", "S", "reverse", None, "the rim")], ""),
        ([("mint", "S", "reverse", D(6))], [("mint", "S", "obverse")],
         "mint mark from reverse to obverse"),
        ([("mint", "S", "reverse", D(6)), ("mint", "K", "reverse", D(3))],
         [("mint", "S", "reverse", D(9)), ("mint", "K", "reverse", D(3))],
         "mint mark S from 6 to 9 o'clock"),
        ([("mint", "S", "reverse", D(6)), ("mint", "S", "obverse", D(3))],
         [("mint", "S", "reverse", D(9))], ""),
        ([("mint", "S", "reverse"), ("mint", "K", "reverse")], [("mint", "W", "reverse")],
         "mint mark W in place of S and K"),
        ([("mint", "W", "reverse")], [("mint", "S", "reverse"), ("mint", "K", "reverse")],
         "mint marks S and K in place of W"),
        ([("mint", "S", "reverse"), ("mint", "K", "reverse")], [("mint", "S", "reverse")],
         "mint mark K gone"),
        ([], [("privy", "fish", "reverse", None, "the date")],
         "privy mark fish placed near the date on the reverse"),
        ([], [("assayer", "A", "reverse")], "assayer's mark A placed on the reverse"),
        ([], [("mint", "S", "reverse"), ("mint", "K", "obverse")], "mint marks S and K placed"),
        ([("signature", "H", "obverse"), ("mint_master", "fish", "obverse")], [],
         "no mint master's mark where there was fish; no engraver's signature where there was H"),
    ],
)  # fmt: skip
def test_marks_that_changed(
    before: list[tuple[Any, ...]], after: list[tuple[Any, ...]], words: str
) -> None:
    one, other = (with_marks(*(MarkFacts(*mark) for mark in marks)) for marks in (before, after))
    assert said(one, other) == words


def test_marks_of_what_is_not_described_are_not_gone() -> None:
    mark = MarkFacts("mint", "S", "reverse", D(6))
    bare = replace(OLD, faces=NOT_DESCRIBED)
    assert said(with_marks(mark), bare) == ""
    assert said(bare, with_marks(mark)) == ""
    placed = "mint mark S placed at 6 o'clock on the reverse"
    assert said(OLD, replace(bare, marks=(mark,))) == placed


def test_a_mark_that_came_and_one_that_went() -> None:
    mark = MarkFacts("mint", "S", "reverse", D(6))
    assert said(OLD, with_marks(mark)) == "mint mark S placed at 6 o'clock on the reverse"
    assert said(with_marks(mark), OLD) == "no mint mark where there was S"


def test_marks_of_a_kind_that_share_a_place_move_as_one() -> None:
    before = with_marks(*(MarkFacts("mint", t, "reverse", D(6)) for t in "SK"))
    after = with_marks(*(MarkFacts("mint", t, "reverse", D(9)) for t in "SKW"))
    assert said(before, after) == "mint mark from 6 to 9 o'clock; mint mark W new"
