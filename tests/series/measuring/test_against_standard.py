from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from series.measuring.against_standard import (
    NOT_A_GRADE,
    Compared,
    difference_words,
    remedy_words,
    within_remedy,
)

grams = st.decimals("0.5", "50", places=3)
fine = st.decimals("0", "0.5", places=3)


def mass(measured: str, within: str, standard: str) -> Compared:
    return Compared("mass", Decimal(measured), Decimal(within), Decimal(standard))


@pytest.mark.parametrize(
    ("measured", "within", "standard", "words"),
    [
        (
            "5.53",
            "0.05",
            "5.67",
            "2.5 hundredths light (5.53 g, standard 5.67 g; read to ± 0.05 g)",
        ),
        ("5.1", "0.1", "5", "mass agrees (5.1 g, standard 5 g; read to ± 0.1 g)"),
        ("5.20", "0.1", "5.00", "4 hundredths heavy (5.2 g, standard 5 g; read to ± 0.1 g)"),
        (
            "24.985",
            "0.005",
            "25",
            "0.06 hundredths light (24.985 g, standard 25 g; read to ± 0.005 g)",
        ),
    ],
)
def test_mass_in_hundredths(measured: str, within: str, standard: str, words: str) -> None:
    assert difference_words(mass(measured, within, standard)) == words


@pytest.mark.parametrize(
    ("quantity", "measured", "words"),
    [
        ("diameter", "24.0", "0.26 mm too small (24 mm, standard 24.26 mm; read to ± 0.1 mm)"),
        ("diameter", "24.5", "0.24 mm too large (24.5 mm, standard 24.26 mm; read to ± 0.1 mm)"),
        ("diameter", "24.2", "diameter agrees (24.2 mm, standard 24.26 mm; read to ± 0.1 mm)"),
        ("thickness", "24", "0.26 mm too thin (24 mm, standard 24.26 mm; read to ± 0.1 mm)"),
    ],
)
def test_lengths_in_millimetres(quantity: str, measured: str, words: str) -> None:
    compared = Compared(quantity, Decimal(measured), Decimal("0.1"), Decimal("24.26"))  # type: ignore[arg-type]
    assert difference_words(compared) == words


@pytest.mark.parametrize(
    ("measured", "within", "remedy", "found"),
    [
        ("5.1", "0.01", "0.194", "within"),
        ("5.194", "0", "0.194", "within"),
        ("4.7", "0.01", "0.194", "outside"),
        ("5.19", "0.01", "0.194", "cannot tell"),
        ("4.8", "0.1", "0.194", "cannot tell"),
    ],
)
def test_remedy_of_a_new_coin(measured: str, within: str, remedy: str, found: str) -> None:
    """31 U.S.C. § 5113(a): remedy of the 5-cent piece, 5 g, 0.194 g."""
    compared = mass(measured, within, "5")
    assert within_remedy(compared, Decimal(remedy), new=True) == found
    assert "remedy of 0.194 g" in remedy_words(compared, Decimal(remedy), new=True)


@given(grams, fine, grams, fine)
def test_of_a_worn_piece_no_remedy_is_spoken_of(
    measured: Decimal, within: Decimal, standard: Decimal, remedy: Decimal
) -> None:
    compared = Compared("mass", measured, within, standard)
    assert within_remedy(compared, remedy, new=False) == ""
    assert remedy_words(compared, remedy, new=False) == ""
    assert "remedy" not in difference_words(compared)


def test_no_remedy_without_one_on_record_nor_for_a_length() -> None:
    assert within_remedy(mass("5", "0", "5"), None, new=True) == ""
    wide = Compared("diameter", Decimal(20), Decimal(0), Decimal(20))
    assert within_remedy(wide, Decimal(1), new=True) == ""


@given(grams, fine, grams, st.sampled_from([2, 5, 10]))
def test_hundredths_do_not_depend_on_the_unit(
    measured: Decimal, within: Decimal, standard: Decimal, times: int
) -> None:
    one = Compared("mass", measured, within, standard)
    large = Compared("mass", measured * times, within * times, standard * times)
    assert abs(one.hundredths - large.hundredths) < Decimal("1e-20")
    assert one.is_seen == large.is_seen


@given(grams, grams, fine)
def test_light_and_heavy_are_never_mixed_up(
    measured: Decimal, standard: Decimal, within: Decimal
) -> None:
    words = difference_words(Compared("mass", measured, within, standard))
    assert ("light" in words) == (standard - measured > within)
    assert ("heavy" in words) == (measured - standard > within)


@pytest.mark.parametrize(
    "figures", [("0", "0", "5"), ("-5", "0", "5"), ("5", "-1", "5"), ("5", "0", "0")]
)
def test_figures_that_cannot_be_are_refused(figures: tuple[str, str, str]) -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        mass(*figures)


def test_no_words_tie_mass_to_grade() -> None:
    assert "corrosion" in NOT_A_GRADE
    worn = difference_words(mass("4.2", "0.01", "5"))
    assert not any(grade in worn for grade in ("VF", "VG", "EF", "UNC", "worn", "wear"))
