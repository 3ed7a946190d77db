"""An invented coinage to walk through in the browser, and a member who holds some of it."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.management import call_command

from catalogue.models import Holding, Member
from series.models import CoinType

PASSWORD = "a good long password"


@pytest.fixture
def halvern(transactional_db: None) -> None:
    call_command("load_pack", "fixtures/packs/halvern", verbosity=0)


@pytest.fixture
def holder(halvern: None, make_member: Any) -> Member:
    """A member with two dates of each type of the first two series of Halvern."""
    made: Member = make_member("ana")
    types = CoinType.objects.filter(
        series__issuer__key="halvern", series__first_year__lt=1960
    ).order_by("pk")
    number = 0
    for coin_type in types:
        for issue in coin_type.issues.filter(fact="struck")[:2]:
            number += 1
            Holding.objects.create(
                owner=made,
                accession=f"A.{number:03}",
                coin_type=coin_type,
                issue=issue,
                grade="VF",
                visibility="private",
            )
    return made
