"""How coins and cards lie in the trays of a case."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.printing.geometry import PAPERS, SheetProblem
from catalogue.talks.handing_out.case_plan import (
    BETWEEN,
    TAG,
    WALL,
    Filled,
    Inner,
    Placed,
    Unit,
    fill,
    lay_case,
    said_of,
)

Sides = tuple[float, float, float, float]


def unit(number: int, *coins: float, card: tuple[float, float] = TAG) -> Unit:
    return Unit(number, f"{number} tinne", coins, card)


def boxes(placed: Placed) -> list[Sides]:
    """Left, top, right and bottom of the coins and the card of a unit, mm of the case."""
    one, found = placed.unit, []
    if one.coins:
        x = placed.x + (one.width - one.coins_width) / 2
        high = max(one.coins)
        found.append((x, placed.middle - high / 2, x + one.coins_width, placed.middle + high / 2))
    x = placed.x + (one.width - one.card[0]) / 2
    return [*found, (x, placed.card_top, x + one.card[0], placed.card_top + one.card[1])]


units = st.lists(
    st.builds(
        lambda coins, card: (tuple(coins), card),
        st.lists(st.floats(8, 60), max_size=2),
        st.tuples(st.floats(10, 220), st.floats(6, 90)),
    ),
    max_size=40,
).map(lambda found: [Unit(n, "", coins, card) for n, (coins, card) in enumerate(found, 1)])


@given(units, st.floats(80, 900), st.floats(80, 600))
def test_every_unit_lies_once_in_order_inside_and_over_nothing(
    found: list[Unit], width: float, depth: float
) -> None:
    filled = fill(found, Inner(width, depth))
    lying = [placed.unit for tray in filled.trays for placed in tray]
    assert sorted([*lying, *filled.left_out], key=lambda u: u.number) == found
    assert [u.number for u in lying] == sorted(u.number for u in lying)
    for tray in filled.trays:
        sides = [box for placed in tray for box in boxes(placed)]
        for left, top, right, bottom in sides:
            assert left >= WALL - 1e-6
            assert right <= width - WALL + 1e-6
            assert top >= WALL - 1e-6
            assert bottom <= depth - WALL + 1e-6
        for n, one in enumerate(sides):
            for other in sides[n + 1 :]:
                apart = one[2] <= other[0] + 1e-6 or other[2] <= one[0] + 1e-6
                below = one[3] <= other[1] + 1e-6 or other[3] <= one[1] + 1e-6
                assert apart or below


@given(units, st.floats(80, 900), st.floats(80, 600))
def test_only_what_fits_no_empty_tray_is_left_out(
    found: list[Unit], width: float, depth: float
) -> None:
    for one in fill(found, Inner(width, depth)).left_out:
        assert fill([one], Inner(width, depth)) == Filled((), (one,))


def test_a_row_is_full_before_the_next_begins() -> None:
    """Three of 40 mm and two gaps need 140 mm; 2 × 8 mm are kept free at the walls."""
    three = 3 * 40 + 2 * BETWEEN + 2 * WALL
    found = [unit(n, card=(40, 20)) for n in range(1, 5)]
    (tray,) = fill(found, Inner(three, 200)).trays
    assert [placed.card_top for placed in tray] == [WALL, WALL, WALL, WALL + 20 + BETWEEN]
    (tray,) = fill(found, Inner(three - 1, 200)).trays
    assert [placed.card_top for placed in tray] == [WALL, WALL, *2 * (WALL + 20 + BETWEEN,)]


def test_what_does_not_fit_goes_to_the_next_tray() -> None:
    found = [unit(n, 24.0, 24.0, card=(60, 30)) for n in range(1, 10)]
    filled = fill(found, Inner(300, 100))
    assert [[placed.unit.number for placed in tray] for tray in filled.trays] == [
        [1, 2, 3, 4],
        [5, 6, 7, 8],
        [9],
    ]
    assert said_of(filled, 0) == []
    assert said_of(filled, 3) == []
    assert said_of(filled, 2) == [
        "3 trays are needed and there are 2: what lies from stop 9 on has no place."
    ]


def test_a_card_too_wide_for_any_tray_is_named_with_its_size() -> None:
    filled = fill([unit(1, 24.0), unit(2, 24.0, card=(300, 40))], Inner(200, 150))
    assert said_of(filled, 0) == ["Stop 2, 2 tinne, needs 316 × 85 mm and fits no tray."]


def test_each_tray_has_a_page_that_says_what_lies_in_it() -> None:
    found = [unit(n, 24.0, 24.0, card=(60, 30)) for n in range(1, 10)]
    pages = lay_case("First Marl", found, Inner(300, 100), trays=2)
    said = [" ".join(line for text in page.texts for line in text.lines) for page in pages]
    assert "tray 1 of 3: stops 1 to 4" in said[0]
    assert "300 × 100 mm inside · drawn at 1:2" in said[0]
    assert "tray 3 of 3: stop 9" in said[2]
    assert "more than the 2 trays there are" in said[2]
    assert "more than" not in said[1]


def test_what_is_left_out_is_said_on_the_plan_too() -> None:
    found = [unit(1, 24.0), unit(2, 24.0, card=(300, 40))]
    (page,) = lay_case("First Marl", found, Inner(200, 150))
    said = " ".join(line for text in page.texts for line in text.lines)
    assert "without stop 2, which fits no tray" in said


def test_a_case_larger_than_any_scale_draws_is_refused_in_words() -> None:
    with pytest.raises(SheetProblem, match="inner size in millimetres"):
        lay_case("First Marl", [unit(1, 24.0)], Inner(50_000, 400))


def test_a_case_in_which_nothing_lies_is_refused_in_words() -> None:
    with pytest.raises(SheetProblem, match="give a larger tray"):
        lay_case("First Marl", [unit(1, 24.0, card=(300, 40))], Inner(100, 100))


def test_a_tray_is_drawn_the_way_that_shows_it_larger() -> None:
    wide = lay_case("First Marl", [unit(1, 24.0)], Inner(380, 300))
    high = lay_case("First Marl", [unit(1, 24.0)], Inner(300, 400))
    assert wide[0].paper == PAPERS["A4"].turned()
    assert high[0].paper == PAPERS["A4"]
