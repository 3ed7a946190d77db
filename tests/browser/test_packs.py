"""Packs ticked on their page; and a country that members began, joined to the pack's."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import expect

from catalogue.curation.pack_loading import load_shipped
from catalogue.models import Member
from series.models import Issuer, Pack

pytestmark = pytest.mark.django_db(transaction=True)


def test_packs_are_ticked_and_a_country_is_joined(page_of: Any, curator: Member) -> None:
    Issuer.objects.create(key="my-switzerland", name="Switzerland")
    page = page_of(curator)
    page.goto("/countries/")
    page.get_by_role("link", name="packs").first.click()
    page.get_by_label("Circulation coins of Switzerland").check()
    page.get_by_role("button", name="Load what is ticked").click()
    expect(page.get_by_text("1 pack is being loaded.")).to_be_visible()
    expect(page.get_by_text("being loaded", exact=True)).to_be_visible()
    load_shipped.func("switzerland")
    assert Pack.objects.get().key == "switzerland"
    page.reload()
    page.get_by_role("button", name="Join the two").click()
    expect(page.get_by_text("is one country now")).to_be_visible()
    assert list(Issuer.objects.values_list("key", flat=True)) == ["switzerland"]
