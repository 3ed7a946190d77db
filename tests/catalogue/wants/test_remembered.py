"""What is kept of aims in memory never outlives the record that it was worked out from."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from catalogue.models import Aim, Holding, Member
from catalogue.wants import remembered as kept
from catalogue.wants.gaps import completion
from catalogue.wants.remembered import kept_completion, kept_fillings
from series.models import CoinType, Issue
from series.signals import types_changed

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(autouse=True)
def nothing_kept() -> None:
    kept.forget()


@pytest.fixture
def aim(member: Member, coinage: Any) -> Aim:
    return Aim.objects.create(owner=member, name="Dates", unit="date", series=coinage.series)


def queries(ask: Callable[[], Any]) -> int:
    with CaptureQueriesContext(connection) as caught:
        ask()
    return len(caught)


def test_asked_again_it_costs_one_query(aim: Aim) -> None:
    kept_completion(aim), kept_fillings([aim, aim])
    assert queries(lambda: kept_completion(aim)) == 1
    assert queries(lambda: kept_fillings([aim, aim])) == 1


@pytest.mark.parametrize(
    "change", ["a piece comes", "a piece goes", "the aim asks for less", "a date more"]
)
def test_every_change_is_known_at_once(
    change: str, aim: Aim, coinage: Any, make_holding: Callable[..., Holding]
) -> None:
    piece = make_holding(issue=coinage.issues[0])
    before = kept_completion(aim)
    if change == "a piece comes":
        make_holding(issue=coinage.issues[1])
    elif change == "a piece goes":
        piece.bin()
    elif change == "the aim asks for less":
        aim.first_year = 1947
        aim.save()
    else:
        Issue.objects.create(
            coin_type=coinage.type, key="1959", shown="1959", struck_from=1959, struck_to=1959
        )
        types_changed.send(sender=CoinType, type_ids=[coinage.type.pk])
    after = kept_completion(Aim.objects.get(pk=aim.pk))
    assert after != before
    assert after == completion(aim)


def test_a_spare_given_up_is_offered_no_more(
    aim: Aim, other: Member, coinage: Any, make_holding: Callable[..., Holding]
) -> None:
    spare = make_holding(owner=other, issue=coinage.issues[0], spare=True)
    assert kept_fillings([aim])[0].fills == {spare.pk}
    spare.spare = False
    spare.save()
    assert kept_fillings([aim])[0].fills == frozenset()


def test_what_was_undone_is_not_kept(
    aim: Aim, coinage: Any, make_holding: Callable[..., Holding]
) -> None:
    with transaction.atomic():
        make_holding(issue=coinage.issues[0])
        assert kept_completion(aim).held == 1
        transaction.set_rollback(True)
    make_holding(issue=None)  # takes the number of the change that was undone
    assert kept_completion(aim).held == 0
