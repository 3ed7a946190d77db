"""Saved searches: kept by name, counted, renamed, removed, and nobody else's."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.test import Client

from catalogue.holdings.actions import settle_place
from catalogue.holdings.browse.searches.saved import NotASearch, checked, kept_searches
from catalogue.members.member_data import member_data
from catalogue.models import Holding, Member, Place, SavedSearch

PAGE = "/holdings/searches/"
Maker = Callable[..., Holding]


def test_a_search_is_kept_and_found_on_the_front_page_with_its_count(
    as_member: Client, make_holding: Maker, member: Member
) -> None:
    make_holding(spare=True)
    make_holding()
    sent = {"name": " My   spares ", "asked": "spare=yes&view=list&sort=-year"}
    answer = as_member.post(PAGE, sent)
    assert answer["Location"] == "/holdings/?sort=-year&spare=yes&view=list"
    assert SavedSearch.objects.get().name == "My spares"
    (kept,) = as_member.get("/").context["kept"]
    assert (kept.count, kept.gone) == (1, "")
    as_member.post(PAGE, sent)
    assert SavedSearch.objects.count() == 1


def test_the_holdings_page_hands_its_search_along(as_member: Client, make_holding: Maker) -> None:
    make_holding(spare=True)
    page = as_member.get("/holdings/?spare=yes&view=list").text
    assert 'name="asked" value="spare=yes&amp;view=list"' in page


def test_a_taken_name_is_refused_and_nothing_typed_is_lost(
    as_member: Client, member: Member, other: Member
) -> None:
    SavedSearch.objects.create(owner=other, name="Lost", asked="")
    SavedSearch.objects.create(owner=member, name="Spares", asked="")
    page = as_member.post(PAGE, {"name": "spares", "asked": "photo=no"}).text
    assert "You have a search named “spares”" in page
    assert 'value="photo=no"' in page
    assert as_member.post(PAGE, {"name": "Lost", "asked": "photo=no"}).status_code == 302


def test_only_what_holdings_can_be_asked_is_kept(member: Member) -> None:
    asked = "spare=yes&page=7&next=//evil.example&view=sideways&sort=nothing&q=&q=quay"
    assert checked(asked, member) == "q=quay&spare=yes"
    assert checked("owner=any&country=none", member) == "country=none&owner=any"


@pytest.mark.parametrize("asked", ["country=x", "place=999999", "decade=1.5"])
def test_a_choice_that_cannot_be_is_refused(member: Member, asked: str) -> None:
    with pytest.raises(NotASearch):
        checked(asked, member)


def test_anothers_place_cannot_be_kept(member: Member, other: Member) -> None:
    place = Place(owner=other, name="Box")
    settle_place(place)
    assert checked(f"place={place.pk}", other) == f"place={place.pk}"
    with pytest.raises(NotASearch):
        checked(f"place={place.pk}", member)


def test_a_search_whose_place_is_gone_says_so(
    as_member: Client, make_holding: Maker, member: Member
) -> None:
    place = Place(owner=member, name="Box")
    settle_place(place)
    make_holding(place=place)
    SavedSearch.objects.create(owner=member, name="In the box", asked=f"place={place.pk}")
    assert kept_searches(member)[0].gone == ""
    place.bin()
    assert kept_searches(member)[0].gone == "place"
    assert "A choice in it is gone since (place)" in as_member.get(PAGE).text


def test_a_search_is_renamed_and_removed(as_member: Client, member: Member) -> None:
    search = SavedSearch.objects.create(owner=member, name="Spares", asked="spare=yes")
    SavedSearch.objects.create(owner=member, name="Bare", asked="photo=no")
    page = as_member.post(f"{PAGE}{search.pk}/", {"name": "bare"}).text
    assert "You have a search named “bare”" in page
    as_member.post(f"{PAGE}{search.pk}/", {"name": "To part with", "asked": "photo=yes"})
    search.refresh_from_db()
    assert (search.name, search.asked) == ("To part with", "spare=yes")
    as_member.post(f"{PAGE}{search.pk}/remove/")
    assert [each.name for each in SavedSearch.objects.all()] == ["Bare"]


def test_searches_leave_with_their_member(member: Member, other: Member) -> None:
    for owner in (member, other):
        SavedSearch.objects.create(owner=owner, name="Spares", asked="spare=yes")
    tables = {t.name: t for data in member_data() for t in data.tables(member)}
    assert [each.owner for each in tables["saved_searches"].rows] == [member]
    member.delete()
    assert [each.owner for each in SavedSearch.objects.all()] == [other]


def test_no_search_yet_is_said(as_member: Client) -> None:
    assert "You keep no search yet" in as_member.get(PAGE).text
