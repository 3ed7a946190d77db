"""The demo's pieces that nobody is sure of."""

from __future__ import annotations

from pathlib import Path

import pytest
from django.conf import settings

from catalogue.demo.scenario import PACKS, looked_at
from catalogue.identifying.ranked_again import LIKELY, news_for
from catalogue.models import Member, Observation
from series.packs.load import load_pack

pytestmark = pytest.mark.django_db


def test_the_demo_keeps_four_pieces_of_which_one_has_become_likely(member: Member) -> None:
    for name in PACKS:
        load_pack(Path(settings.BASE_DIR) / "fixtures" / "packs" / name)
    looked_at(member)
    seen = list(Observation.objects.order_by("pk").select_related("likely_type", "holding"))
    assert [each.holding.title for each in seen] == [
        "HALV???, 23 mm, grey",
        "13?8, 21.1 mm, white, Arabic",
        "20 mm, black, square hole",
        "ONE C?NT, 19?4, 19 mm, brown",
    ]
    countries = [each.likely_type.series.issuer.key for each in seen if each.likely_type]
    assert countries[:2] == ["halvern", "ouran"]
    assert countries[3] == "united-states"
    assert [each.probability is not None and each.probability >= LIKELY for each in seen] == [
        False,
        True,
        False,
        True,
    ]
    assert [each.holding_id for each in news_for(member)] == [seen[3].holding_id]
