"""The table of types in memory: loaded again when types change, and only then."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from catalogue.holdings import up_to_date
from catalogue.holdings.changes import note_everything, note_holdings, note_types
from catalogue.holdings.finding import type_index
from catalogue.holdings.search import index
from catalogue.identifying import tables
from catalogue.identifying.tables import current_table, eligible, forget
from catalogue.models import Member, Proposal
from catalogue.site.warming import warm
from series.models import CoinType, Currency, Denomination, Issuer, Series

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


@pytest.fixture
def loaded(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Says each time that all types are read."""
    said: list[str] = []
    true = tables.load_table
    monkeypatch.setattr(tables, "load_table", lambda: said.append("loaded") or true())
    return said


def another(coinage: Any, **fields: Any) -> CoinType:
    return CoinType.objects.create(
        key="another", series=coinage.series, denomination=coinage.denomination, **fields
    )


def test_after_a_change_of_types_only_those_are_read(coinage: Any, loaded: list[str]) -> None:
    current_table()
    made = another(coinage, diameter_mm="19")
    note_types([made.pk])
    table = current_table()
    assert table.ids.tolist() == [coinage.type.pk, made.pk]
    assert table.standards["diameter"].value_of(1) == 19
    made.standing, made.joined_to = "joined", coinage.type
    made.save()
    note_types([made.pk])
    assert current_table().ids.tolist() == [coinage.type.pk]
    assert loaded == ["loaded"]


def test_where_a_countrys_name_changed_all_types_are_read(coinage: Any, loaded: list[str]) -> None:
    """Types that were not named as changed have another country too."""
    made = another(coinage)
    current_table()
    coinage.issuer.name = "Otherland"
    coinage.issuer.save()
    note_types([made.pk])
    assert current_table().country.things[0][0] == "Otherland"
    assert loaded == ["loaded", "loaded"]


def test_a_new_country_does_not_read_all_types_again(coinage: Any, loaded: list[str]) -> None:
    current_table()
    country = Issuer.objects.create(key="new", name="Newland")
    money = Currency.objects.create(key="new-marl", name="marl")
    money.issuers.add(country)
    series = Series.objects.create(key="new-one", name="One", issuer=country, currency=money)
    value = Denomination.objects.create(
        key="new-1", currency=money, name="1 marl", value_numerator=1, value_denominator=1
    )
    made = CoinType.objects.create(key="new-type", series=series, denomination=value)
    note_types([made.pk])
    assert [name for name, *_ in current_table().country.things] == ["Testland", "Newland"]
    assert loaded == ["loaded"]


def test_a_currency_that_gains_a_country_reads_all_types_again(
    coinage: Any, loaded: list[str]
) -> None:
    """A coin of a union may be called by each of its members."""
    current_table()
    coinage.currency.issuers.add(Issuer.objects.create(key="new", name="Newland"))
    note_types([coinage.type.pk])
    assert current_table().country.things[0][2] == ("Newland",)


def test_the_table_comes_back_from_disk(
    coinage: Any, loaded: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(up_to_date, "KEPT_FROM", 1)
    note_types([coinage.type.pk])
    current_table()
    forget()
    made = another(coinage)
    note_types([made.pk])
    assert current_table().ids.tolist() == [coinage.type.pk, made.pk]
    assert loaded == ["loaded"]


def test_a_server_makes_all_ready_at_its_start(
    coinage: Any, loaded: list[str], django_assert_num_queries: Any
) -> None:
    warm()
    with django_assert_num_queries(3):
        index.store()
        type_index.type_texts()
        current_table()
    assert loaded == ["loaded"]


def test_what_cannot_be_made_ready_does_not_stop_a_server(
    coinage: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tables, "load_table", lambda: 1 / 0)
    warm()
    assert len(type_index.type_texts()) == 1
