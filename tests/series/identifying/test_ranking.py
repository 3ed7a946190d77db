"""What of the posterior is listed."""

from __future__ import annotations

from series.identifying.evidence import read_evidence
from series.identifying.facts import RankedIssue, RankedType
from series.identifying.ranking import LEAST, identify
from series.identifying.table import TypeTable


def issue(year: int) -> RankedIssue:
    return RankedIssue(year, str(year), str(year), "civil", year, year)


def test_issues_that_do_not_fit_the_date_are_not_listed() -> None:
    coin = RankedType(1, "a", "1 cent", "X", issues=tuple(map(issue, (1931, 1938, 1948))))
    answer = identify(TypeTable.of([coin]), read_evidence({"year": "19?8"}))
    assert [each.label for each in answer.candidates[0].issues] == ["1938", "1948"]


def test_types_that_can_hardly_be_it_are_not_listed_but_counted() -> None:
    coins = [
        RankedType(n, f"t{n}", f"{n} cent", "X", diameter_mm=width, mass_g=width / 4)
        for n, width in enumerate((18.0, 40.0, 50.0), 1)
    ]
    answer = identify(TypeTable.of(coins), read_evidence({"diameter": "18.0", "mass": "4.5"}))
    assert [each.label for each in answer.candidates] == ["1 cent"]
    assert 0 <= answer.others < 2 * LEAST


def test_the_first_is_listed_however_unlikely() -> None:
    coin = RankedType(1, "a", "1 cent", "X", diameter_mm=18.0, mass_g=2.0, thickness_mm=1.0)
    far = {"diameter": "40.0", "mass": "30.0", "thickness": "3.0"}
    answer = identify(TypeTable.of([coin]), read_evidence(far))
    assert [each.label for each in answer.candidates] == ["1 cent"]
    assert answer.candidates[0].probability < LEAST < 0.99 < answer.none_of_these


def test_a_date_kept_for_very_long_is_no_date_of_everything() -> None:
    coin = RankedType(
        1, "a", "1 thaler", "X", issues=(RankedIssue(1, "1780", "1780", "civil", 1780, 2000),)
    )
    table = TypeTable.of([coin])
    near, far = (
        identify(table, read_evidence({"year": year})).none_of_these for year in ("1830", "1950")
    )
    assert near < far / 5
