"""Aims: what is held, missing or to be bettered, worked out by hand for a small coinage."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from catalogue.holdings.actions import derive
from catalogue.models import Aim, Holding, Member
from catalogue.wants.gaps import GAP, UPGRADE, completion, filling, lacking
from series.models import CoinType, Issue


@pytest.fixture
def hold(make_holding: Callable[..., Holding], coinage: Any) -> Callable[..., Holding]:
    def make(issue: Issue, grade: str = "", **fields: Any) -> Holding:
        piece = make_holding(issue=issue, coin_type=issue.coin_type, grade=grade, **fields)
        derive(piece)
        piece.save()
        return piece

    return make


@pytest.fixture
def minted(coinage: Any) -> Issue:
    """A second issue of 1947, of another mint."""
    return Issue.objects.create(
        coin_type=coinage.type,
        key="1947-s",
        shown="1947",
        mark_text="S",
        struck_from=1947,
        struck_to=1947,
        position=9,
    )


def aim_of(member: Member, coinage: Any, unit: str, **fields: Any) -> Aim:
    return Aim.objects.create(owner=member, name="a", unit=unit, series=coinage.series, **fields)


def counts(aim: Aim) -> tuple[int, int, int]:
    done = completion(aim)
    return done.total, done.held, done.upgrades


@pytest.mark.parametrize(
    ("unit", "total", "held"),
    [("denomination", 1, 1), ("type", 1, 1), ("date", 3, 1), ("date_mint", 4, 1)],
)
def test_each_unit_counts_its_own_items(
    member: Member, coinage: Any, minted: Issue, hold: Any, unit: str, total: int, held: int
) -> None:
    hold(minted)
    assert counts(aim_of(member, coinage, unit)) == (total, held, 0)


def test_a_date_of_any_mint_fills_a_date(
    member: Member, coinage: Any, minted: Issue, hold: Any
) -> None:
    hold(minted)
    missing = lacking(aim_of(member, coinage, "date"), GAP)
    assert [issue.shown for issue in missing] == ["1931", "1953"]


def test_a_piece_below_the_wanted_grade_is_to_be_bettered(
    member: Member, coinage: Any, hold: Any
) -> None:
    hold(coinage.issues[0], "F")
    hold(coinage.issues[1], "EF")
    aim = aim_of(member, coinage, "date", lowest_grade="VF", lowest_rank=32)
    assert counts(aim) == (3, 1, 1)
    assert [issue.shown for issue in lacking(aim, UPGRADE)] == ["1931"]


def test_a_piece_without_a_grade_is_to_be_bettered_when_one_is_asked_for(
    member: Member, coinage: Any, hold: Any
) -> None:
    hold(coinage.issues[0])
    assert counts(aim_of(member, coinage, "date", lowest_rank=32)) == (3, 0, 1)


def test_the_best_of_several_pieces_counts(member: Member, coinage: Any, hold: Any) -> None:
    hold(coinage.issues[0], "F")
    hold(coinage.issues[0], "UNC")
    assert counts(aim_of(member, coinage, "date", lowest_rank=32)) == (3, 1, 0)


@pytest.mark.parametrize("status", ["sold", "swapped", "given", "lost"])
def test_what_is_gone_fills_nothing(member: Member, coinage: Any, hold: Any, status: str) -> None:
    hold(coinage.issues[0], status=status)
    assert counts(aim_of(member, coinage, "date")) == (3, 0, 0)


def test_what_is_on_loan_is_held(member: Member, coinage: Any, hold: Any) -> None:
    hold(coinage.issues[0], status="on_loan")
    assert counts(aim_of(member, coinage, "date")) == (3, 1, 0)


def test_what_is_in_the_bin_fills_nothing(member: Member, coinage: Any, hold: Any) -> None:
    hold(coinage.issues[0]).bin()
    assert counts(aim_of(member, coinage, "date")) == (3, 0, 0)


def test_pieces_of_others_fill_nothing(
    member: Member, other: Member, coinage: Any, hold: Any
) -> None:
    hold(coinage.issues[0], owner=other)
    assert counts(aim_of(member, coinage, "date")) == (3, 0, 0)


@pytest.mark.parametrize(
    "fields", [{"fact": "not_struck"}, {"fact": "not_recorded"}, {"purpose": "proof"}]
)
def test_what_was_not_struck_for_circulation_is_not_asked_for(
    member: Member, coinage: Any, fields: dict[str, str]
) -> None:
    Issue.objects.filter(pk=coinage.issues[0].pk).update(**fields)
    assert counts(aim_of(member, coinage, "date")) == (2, 0, 0)


def test_a_proof_is_asked_for_when_it_counts(member: Member, coinage: Any) -> None:
    Issue.objects.filter(pk=coinage.issues[0].pk).update(purpose="proof")
    aim = aim_of(member, coinage, "date", purposes=["circulation", "proof"])
    assert counts(aim) == (3, 0, 0)


@pytest.mark.parametrize("purpose", ["pattern", "commemorative"])
def test_patterns_and_unwanted_commemoratives_are_left_out(
    member: Member, coinage: Any, purpose: str
) -> None:
    CoinType.objects.update(purpose=purpose)
    assert counts(aim_of(member, coinage, "date", commemoratives=False)) == (0, 0, 0)


def test_proposed_types_are_not_asked_for(member: Member, coinage: Any) -> None:
    CoinType.objects.update(standing="proposed")
    assert counts(aim_of(member, coinage, "date")) == (0, 0, 0)


def test_years_bound_an_aim(member: Member, coinage: Any) -> None:
    aim = aim_of(member, coinage, "date", first_year=1940, last_year=1950)
    assert [issue.shown for issue in lacking(aim, GAP)] == ["1947"]


def test_completion_is_one_query(
    member: Member, coinage: Any, hold: Any, django_assert_num_queries: Any
) -> None:
    for issue in coinage.issues:
        hold(issue)
    aim = Aim.objects.get(pk=aim_of(member, coinage, "date_mint").pk)
    with django_assert_num_queries(1):
        assert completion(aim).percent == 100


@pytest.mark.parametrize("unit", ["denomination", "type", "date", "date_mint"])
def test_a_spare_fills_a_gap(
    member: Member, other: Member, coinage: Any, hold: Any, unit: str
) -> None:
    spare = hold(coinage.issues[0], owner=other, spare=True)
    assert list(filling(aim_of(member, coinage, unit), GAP, Holding.objects.all())) == [spare]


def test_a_spare_below_the_wanted_grade_fills_nothing(
    member: Member, other: Member, coinage: Any, hold: Any
) -> None:
    hold(coinage.issues[0], "F", owner=other, spare=True)
    aim = aim_of(member, coinage, "date", lowest_rank=32)
    assert not filling(aim, GAP, Holding.objects.all()).exists()


def test_a_spare_of_another_mint_fills_a_date_but_not_a_date_and_mint(
    member: Member, other: Member, coinage: Any, minted: Issue, hold: Any
) -> None:
    spare = hold(minted, owner=other, spare=True)
    by_date = aim_of(member, coinage, "date", first_year=1947, last_year=1947)
    assert list(filling(by_date, GAP, Holding.objects.all())) == [spare]
    hold(minted)
    by_mint = aim_of(member, coinage, "date_mint", first_year=1947, last_year=1947)
    assert not filling(by_mint, GAP, Holding.objects.filter(owner=other)).exists()
