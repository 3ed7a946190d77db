"""The table of types in memory: loaded again when types change, and only then."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from catalogue.holdings.changes import note_everything, note_holdings, note_types
from catalogue.identifying.tables import current_table, eligible, forget
from catalogue.models import Member, Proposal
from series.models import CoinType

pytestmark = pytest.mark.django_db


def test_it_holds_every_type_that_is_not_joined(coinage: Any) -> None:
    joined = CoinType.objects.create(
        key="gone",
        series=coinage.series,
        denomination=coinage.denomination,
        standing="joined",
        joined_to=coinage.type,
    )
    table = current_table()
    assert coinage.type.pk in table.ids
    assert joined.pk not in table.ids


def test_changes_of_holdings_leave_it_as_it_is(coinage: Any, make_holding: Any) -> None:
    table = current_table()
    note_holdings([make_holding().pk])
    assert current_table() is table


@pytest.mark.parametrize("note", [lambda pk: note_types([pk]), lambda _pk: note_everything()])
def test_changes_of_types_load_it_again(coinage: Any, note: Callable[[int], None]) -> None:
    table = current_table()
    CoinType.objects.filter(pk=coinage.type.pk).update(diameter_mm="30")
    note(coinage.type.pk)
    fresh = current_table()
    assert fresh is not table
    assert fresh.standards["diameter"].value_of(0) == 30
    assert current_table() is fresh


def test_a_change_of_types_before_one_of_holdings_is_not_missed(coinage: Any) -> None:
    table = current_table()
    note_types([coinage.type.pk])
    note_holdings([1])
    assert current_table() is not table


def test_while_nothing_changed_it_costs_one_query(
    coinage: Any, django_assert_num_queries: Any
) -> None:
    current_table()
    with django_assert_num_queries(1):
        current_table()


def test_what_was_forgotten_is_loaded_again(coinage: Any) -> None:
    table = current_table()
    forget()
    assert current_table() is not table


def test_where_every_type_is_everyones_nobody_is_asked(
    coinage: Any, member: Member, django_assert_num_queries: Any
) -> None:
    table = current_table()
    with django_assert_num_queries(0):
        assert eligible(table, member) is None


def test_a_proposed_type_is_eligible_for_who_may_see_it(
    coinage: Any, member: Member, other: Member, curator: Member
) -> None:
    proposed = CoinType.objects.create(
        key="maybe",
        series=coinage.series,
        denomination=coinage.denomination,
        standing="proposed",
    )
    Proposal.objects.create(coin_type=proposed, proposed_by=member)
    table = current_table()
    assert eligible(table, member) is None
    assert eligible(table, curator) is None
    mask = eligible(table, other)
    assert mask is not None
    assert table.ids[~mask].tolist() == [proposed.pk]
    assert mask.dtype == np.bool_
