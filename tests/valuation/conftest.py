"""Values and their sources, for tests of the app."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from catalogue.models import Member
from valuation.models import PriceSource, Valuation


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
