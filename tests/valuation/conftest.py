"""Values, their sources and schedules of them, for tests of the app."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from catalogue.models import Holding, Member
from valuation.models import PriceSource, Schedule, Valuation
from valuation.schedules.making import Terms, make_schedule


@pytest.fixture
def make_source(db: None) -> Callable[..., PriceSource]:
    def make(name: str = "Testland price list", **fields: Any) -> PriceSource:
        return PriceSource.objects.create(name=name, **fields)

    return make


@pytest.fixture
def make_value(make_source: Callable[..., PriceSource], member: Member) -> Callable[..., Valuation]:
    """A value in euro on 1 March 2025 unless said otherwise; ``single`` may be a text."""

    def make(single: str | None = "10.00", **fields: Any) -> Valuation:
        if "source" not in fields:
            fields["source"] = PriceSource.objects.first() or make_source()
        fields.setdefault("on", date(2025, 3, 1))
        fields.setdefault("entered_by", member)
        amount = None if single is None else Decimal(single)
        return Valuation.objects.create(single=amount, **fields)

    return make


@pytest.fixture
def schedule_of(member: Member) -> Callable[..., Schedule]:
    """Make a schedule of all their holdings unless said otherwise, as of 1 March 2026."""

    def made(holdings: Any = None, **terms: Any) -> Schedule:
        wanted = {
            "insured": "Ana Vestergaard",
            "insurer": "Northern Mutual",
            "policy": "NM-7",
            "as_of": date(2026, 3, 1),
            "currency": "EUR",
            "threshold": Decimal("50"),
            "bulk_rate": Decimal("0.10"),
            **terms,
        }
        mine = Holding.objects.filter(owner=member) if holdings is None else holdings
        return make_schedule(member, Terms(**wanted), mine)

    return made


@pytest.fixture
def box(
    make_holding: Callable[..., Holding], make_value: Callable[..., Valuation]
) -> list[Holding]:
    """Two dear pieces in one lot, ten small ones with a value, four without."""
    dear, small, unknown = make_holding(quantity=2), make_holding(quantity=10), make_holding()
    unknown.quantity = 4
    unknown.save()
    make_value("80.00", holding=dear)
    make_value("0.15", holding=small)
    return [dear, small, unknown]
