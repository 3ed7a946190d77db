"""Grades: what is written, what it ranks. Equivalence of scales: common practice, no source."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.holdings.grades import BANDS, SCALES, Grade, GradeError, band, grade, rank

every_grade = st.sampled_from([(s, g) for s, grades in SCALES.items() for g in grades])


@given(every_grade)
def test_a_grade_is_read_as_it_is_written(item: tuple[str, Grade]) -> None:
    scale, written = item
    assert grade(scale, written.code) == written
    assert grade(scale, written.label.upper()) == written


@pytest.mark.parametrize("scale", SCALES)
def test_ranks_rise_along_a_scale(scale: str) -> None:
    ranks = [g.rank for g in SCALES[scale] if not g.code.startswith("PR")]
    assert ranks == sorted(set(ranks))


def test_british_very_fine_is_stricter_than_american() -> None:
    assert rank("british", "VF") > rank("american", "VF")


def test_near_and_good_stay_between_their_neighbours() -> None:
    order = ["F", "GF", "NVF", "VF", "GVF", "NEF", "EF"]
    ranks = [rank("british", g) for g in order]
    assert ranks == sorted(ranks)
    assert len(set(ranks)) == len(ranks)


def test_about_is_written_near() -> None:
    assert grade("british", "about ef").code == "NEF"


@given(st.integers(1, 70))
def test_every_rank_is_in_one_band(value: int) -> None:
    assert sum(b.low <= value <= b.high for b in BANDS) == 1
    assert band(value) is not None


def test_no_rank_has_no_band() -> None:
    assert band(None) is None


def test_an_unknown_grade_says_what_to_write() -> None:
    with pytest.raises(GradeError, match="write one of P, FR, G, VG"):
        grade("british", "super")
