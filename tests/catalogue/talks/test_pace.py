"""How long a talk takes and what to leave out, against a plain search over every choice.

No primary source was found for a usual pace: USUAL_PACE is from memory (100 to 125 words a minute
for talks with pictures), and only that it lies between is held here.
"""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from catalogue.talks.pace import (
    FASTEST,
    SLOWEST,
    USUAL_PACE,
    Weighed,
    leave_out,
    loss_of,
    measured_pace,
    seconds_of,
)

STOPS = st.lists(st.tuples(st.integers(0, 90), st.integers(1, 60)), min_size=1, max_size=9).map(
    lambda rows: [Weighed(n, seconds, loss) for n, (seconds, loss) in enumerate(rows)]
)


def test_the_usual_pace_is_one_for_talks_with_pictures() -> None:
    assert 100 <= USUAL_PACE <= 125


def test_a_stop_takes_its_words_and_the_looking() -> None:
    assert seconds_of("one two three four", pace=120, look=8) == 10
    assert seconds_of("", pace=120, look=8) == 8
    assert seconds_of("one two three four", pace=120, look=8, rehearsed=31) == 31


@given(st.integers(SLOWEST, FASTEST), st.integers(1, 500), st.integers(0, 60))
def test_who_speaks_at_a_pace_is_measured_to_have_it(pace: int, words: int, look: int) -> None:
    seconds = round(words * 60 / pace) + look
    found = measured_pace([(words, seconds, look)])
    if seconds > look:
        assert found is not None
        assert abs(words * 60 / found - (seconds - look)) <= max(1, words * 60 / found * 0.02)


def test_who_only_leafed_through_has_shown_no_pace() -> None:
    assert measured_pace([(100, 3, 8)]) is None
    assert measured_pace([(100, 1, 0)]) == FASTEST


def test_more_words_and_more_differences_are_a_greater_loss() -> None:
    assert loss_of(10, 2) < loss_of(11, 2)
    assert loss_of(10, 2) < loss_of(10, 3)
    assert loss_of(0, 0) > 0


@given(STOPS, st.integers(-20, 400))
def test_what_is_left_out_suffices_and_none_of_it_is_needless(
    stops: list[Weighed], over: int
) -> None:
    found = leave_out(stops, over)
    if found is None:
        assert sum(stop.seconds for stop in stops) < over
        return
    saved = sum(stop.seconds for stop in found)
    assert saved >= over
    assert all(saved - stop.seconds < over for stop in found)
    assert found == sorted(found, key=lambda stop: stop.number)


@given(STOPS, st.integers(1, 300))
def test_no_other_choice_that_suffices_loses_less(stops: list[Weighed], over: int) -> None:
    found = leave_out(stops, over)
    enough = [
        sum(stop.loss for stop in some)
        for size in range(len(stops) + 1)
        for some in combinations(stops, size)
        if sum(stop.seconds for stop in some) >= over
    ]
    if found is None:
        assert enough == []
    else:
        assert sum(stop.loss for stop in found) == min(enough)
