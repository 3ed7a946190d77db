"""A piece of which something was seen, and nothing is known yet."""

from __future__ import annotations

import pytest

from catalogue.identifying.keeping import keep_open
from catalogue.models import Holding, Member
from series.identifying.evidence import read_evidence

SEEN = {"legend": "LIB?RTY", "diameter": "23.4", "mass": "5.35", "mass_within": "0.02",
        "colour": "white", "year": "194?"}  # fmt: skip


@pytest.fixture
def unknown(member: Member) -> Holding:
    return keep_open(member, read_evidence(SEEN))
