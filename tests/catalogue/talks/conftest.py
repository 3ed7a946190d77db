"""A talk of one member: three dates of a type, an opening page, a type that is not held, a text."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from catalogue.models import Holding, Member, Stop, Talk
from catalogue.talks.changing import put_in
from series.models import CoinType


@pytest.fixture
def pieces(make_holding: Callable[..., Holding], coinage: Any) -> list[Holding]:
    return [make_holding(issue=issue, grade="VF", grade_rank=20) for issue in coinage.issues]


@pytest.fixture
def absent(coinage: Any) -> CoinType:
    """A type of the same series that nobody holds."""
    return CoinType.objects.create(
        key="testland-first-25-zinc",
        series=coinage.series,
        denomination=coinage.denomination,
        name="zinc",
        composition="Zn",
        metal="zinc",
        diameter_mm="23.5",
        first_year=1943,
        last_year=1944,
    )


@pytest.fixture
def talk(member: Member, pieces: list[Holding], absent: CoinType, coinage: Any) -> Talk:
    made = Talk.objects.create(owner=member, title="The quay", minutes=25)
    stops = [
        Stop(kind="currency", currency=coinage.currency),
        *(Stop(kind="piece", holding=piece) for piece in pieces),
        Stop(kind="type", coin_type=absent),
        Stop(kind="text", heading="Thank you"),
    ]
    put_in(made, stops)
    return made
