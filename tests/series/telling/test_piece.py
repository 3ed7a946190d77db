"""Where to look, the date, the wear, and what is told beside."""

from __future__ import annotations

from decimal import Decimal as D
from typing import Any

import pytest

from series.telling.context import Context
from series.telling.piece import ending
from series.telling.sentences import Spot
from series.telling.story import DateTold, MarkTold, PieceTold, Story

S = MarkTold("mint", "S", "reverse", D(6), "below the net", "Saltmouth")
C = MarkTold("mint", "C", "reverse", D(6), "below the net", "Carrow")
SIGNED = MarkTold("signature", "T.F.", "obverse", None, "on the rock", "Tobias Fenn", True)


def coin(**fields: Any) -> Story:
    return Story("a", "25 tinne", **fields)


def said(now: Story, before: Story | None = None, says_worth: bool = False) -> list[str]:
    return [each.text for each in ending(Context(now, before), says_worth)]


# ---- marks ----
def test_a_mark_is_pointed_at_by_the_clock() -> None:
    (look,) = ending(Context(coin(marks=(S,))), says_worth=False)
    assert look.spot == Spot("reverse", D(6))
    assert look.text == (
        "Look at six o'clock on the reverse, below the net: an S, the mint mark of Saltmouth."
    )


def test_marks_that_share_a_place_are_told_together() -> None:
    assert said(coin(marks=(S, C))) == [
        "Look at six o'clock on the reverse, below the net: the mint mark, S for Saltmouth or C "
        "for Carrow."
    ]


def test_a_mark_without_a_clock_has_no_spot() -> None:
    (look,) = ending(Context(coin(marks=(SIGNED,))), says_worth=False)
    assert look.spot is None
    assert look.text == "Look on the obverse, on the rock: T.F., the signature of Tobias Fenn."


def test_a_mark_that_was_just_there_is_passed_over() -> None:
    assert said(coin(marks=(C, SIGNED)), coin(marks=(S, SIGNED))) == said(coin(marks=(C,)))


# ---- dates ----
RUN = ("1931", "1933", "1934")


@pytest.mark.parametrize(
    ("date", "text"),
    [
        (DateTold("1933", struck_from=1933, struck_to=1933, run=RUN),
         "It is dated 1933, the second of three years."),
        (DateTold("1934", struck_from=1934, struck_to=1934, run=RUN),
         "It is dated 1934, the last of three years."),
        (DateTold("1952", struck_from=1953, struck_to=1953), "It is dated 1952, struck in 1953."),
        (DateTold("1952", struck_from=1953, struck_to=1957),
         "It is dated 1952, struck from 1953 to 1957."),
        (DateTold("١٣٥٠", "AH", 1931, 1932, run=("١٣٤٦", "١٣٥٠")),
         "It is dated ١٣٥٠, that is 1350 of the Hijri calendar, struck in 1931 or 1932, the last "
         "of two years."),
        (DateTold("2510", "buddhist"), "It is dated 2510 of the Buddhist era."),
        (DateTold("13", "taisho"), "It is dated 13 of the Taisho era."),
        (DateTold("1958", purpose="proof"), "It is dated 1958, a proof."),
        (DateTold("1776–1976", run=("1776–1976",)),
         "It is dated 1776–1976, the only date of its type."),
    ],
)  # fmt: skip
def test_the_date_in_its_calendar_and_run(date: DateTold, text: str) -> None:
    assert said(coin(date=date)) == [text]


def test_an_only_year_that_was_said_with_the_name_is_not_said_again() -> None:
    date = DateTold("1919", struck_from=1919, struck_to=1919, run=("1919",))
    assert said(coin(date=date, first_year=1919, last_year=1919)) == []


def test_the_same_date_as_before_is_said_to_be_so() -> None:
    date = DateTold("1933", run=RUN)
    assert said(coin(date=date), coin(date=date)) == [
        "It too is dated 1933, the second of three years."
    ]


# ---- wear ----
@pytest.mark.parametrize(
    ("rank", "hides"),
    [(70, "as it left"), (50, "hardly worn"), (32, "can still be told"), (18, "are gone"),
     (10, "much worn"), (3, "has to be told")],
)  # fmt: skip
def test_a_grade_says_what_its_wear_hides(rank: int, hides: str) -> None:
    (text,) = said(coin(piece=PieceTold("quite so", rank)))
    assert text.startswith("Its grade is quite so: ")
    assert hides in text


def test_a_grade_without_a_rank_says_no_more() -> None:
    assert said(coin(piece=PieceTold("sehr schön"))) == ["Its grade is sehr schön."]


def test_problems_are_told_apart_from_wear() -> None:
    piece = PieceTold(problems=("cleaned", "holed", "edge knock"))
    assert said(coin(piece=piece)) == [
        "Apart from wear it has been cleaned and holed and has an edge knock."
    ]


def test_a_variety_is_told_with_its_description() -> None:
    piece = PieceTold(variety="wide date", variety_note="The 4 and 7 stand apart.")
    assert said(coin(piece=piece)) == ["It is the variety “wide date”: the 4 and 7 stand apart."]


# ---- why, and worth ----
def test_notes_are_told_unless_the_coin_before_had_them() -> None:
    date = DateTold("", note="Most were melted for cable.")
    assert said(coin(note="Paid out on the quay.", date=date)) == [
        "Paid out on the quay.", "Most were melted for cable."
    ]  # fmt: skip
    assert said(coin(note="Paid out on the quay."), coin(note="Paid out on the quay.")) == []


def test_scarcity_is_told_with_the_worth() -> None:
    rare = coin(date=DateTold("", mintage=12_000), piece=PieceTold(worth="about 40 euro"))
    assert said(rare) == []
    assert said(rare, says_worth=True) == [
        "It is worth about 40 euro.", "Of this date twelve thousand were struck."
    ]  # fmt: skip
