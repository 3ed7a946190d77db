"""Tables with many columns become rows on a phone."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import Any

import pytest
from playwright.sync_api import expect

from catalogue.models import Holding, Member
from series.models import CoinType

pytestmark = pytest.mark.django_db(transaction=True)
PHONE = {"viewport": {"width": 390, "height": 844}}
BEYOND = "one => one.getBoundingClientRect().right - document.documentElement.clientWidth"


def tables_within(page: Any) -> None:
    tables = page.locator("table")
    assert tables.count() > 0
    for table in tables.all():
        assert table.evaluate(BEYOND) <= 0


def test_the_dates_of_a_type_are_read_without_scrolling(
    holder: Member, page_of: Callable[..., Any]
) -> None:
    coin_type = CoinType.objects.filter(issues__fact="struck").order_by("pk").first()
    assert coin_type is not None
    coin_type.issues.update(mintage=123_456_789, note="struck at both mints in two sizes of date")
    page = page_of(holder, **PHONE)
    page.goto(f"/types/{coin_type.key}/")
    tables_within(page)
    expect(page.get_by_role("columnheader", name="Mintage")).to_have_count(1)


def test_the_club_list_tells_owner_and_place_apart(
    holder: Member, make_member: Any, page_of: Callable[..., Any]
) -> None:
    Holding.objects.filter(accession="A.001").update(visibility="club", owner=make_member("bo"))
    page = page_of(holder, **PHONE)
    page.goto("/holdings/?view=list&owner=any")
    for row in page.locator(".holdings-list tbody tr").all()[:3]:
        boxes = [cell.bounding_box() for cell in row.locator(".place, .owner").all()]
        boxes = [box for box in boxes if box]
        for one, other in pairwise(boxes):
            assert one["y"] + one["height"] <= other["y"] + 1
