"""How the database looks values up, once it has counted what there is (ANALYZE)."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from django.db import connection

from catalogue.models import Holding
from series.models import CoinType, Issue
from valuation.estimates.queries import with_worth, with_worth_in
from valuation.models import PriceSource, Valuation

DAY = date(2026, 3, 1)
pytestmark = pytest.mark.django_db


@pytest.fixture
def analysed(coinage: Any, make_holding: Callable[..., Holding], make_source: Any) -> None:
    """Values of types and issues, two each, and none of a holding; counted by the database."""
    source: PriceSource = make_source()
    types = CoinType.objects.bulk_create(
        CoinType(key=f"t{n}", series=coinage.series, denomination=coinage.denomination)
        for n in range(1500)
    )
    issues = Issue.objects.bulk_create(
        Issue(coin_type=each, key="1931", shown="1931") for each in types[::2]
    )
    of = [{"coin_type": each} for each in types] + [{"issue": each} for each in issues]
    Valuation.objects.bulk_create(
        Valuation(**one, grade_rank=rank, single="1.00", on=DAY, source=source)
        for one in of
        for rank in (18, 50)
    )
    Holding.objects.bulk_create(
        Holding(owner=make_holding().owner, accession=f"A.{n}", coin_type=each, grade_rank=32)
        for n, each in enumerate(types[:300])
    )
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")


@pytest.mark.parametrize("sorted_by_worth", [False, True])
def test_each_kind_of_value_is_looked_up_in_its_index(
    analysed: None, sorted_by_worth: bool
) -> None:
    """Never by reading all values, or by making an index for the one query."""
    rows = Holding.objects.all()
    if sorted_by_worth:
        rows = with_worth_in(rows, "EUR", DAY).order_by("worth")
    else:
        rows = with_worth(rows, DAY)
    plan = rows.explain()
    for index in ("value_of_holding", "value_of_issue", "value_of_type"):
        assert re.search(rf"(USING INDEX|Scan (Backward )?using|Index Scan on) {index}\b", plan)
    assert "AUTOMATIC" not in plan
