"""What the maker of a type is told of a date that somebody has, and that it stays."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from catalogue.models import Holding, Member, Proposal, Want
from series.models import CoinType, Issue, Variety
from tests.conftest import Coinage

from .test_types import sent

pytestmark = pytest.mark.django_db
REASON = "Members hold"
Make = Callable[..., Holding]


@pytest.fixture
def as_maker(coinage: Coinage) -> Client:
    """The browser of the member who made the type, on which no curator has decided."""
    maker = Member.objects.create_user("maker")
    CoinType.objects.filter(pk=coinage.type.pk).update(standing=CoinType.Standing.PROVISIONAL)
    Proposal.objects.create(coin_type=coinage.type, proposed_by=maker)
    client = Client()
    client.force_login(maker, backend="django.contrib.auth.backends.ModelBackend")
    return client


def without_1947(client: Client, coinage: Coinage, dates: str = "1931, 1953") -> str:
    """What is said when the date is left out; it stays."""
    address = reverse("type-edit", args=[coinage.type.key])
    response: Any = client.post(address, sent(client, address, dates=dates))
    assert response.status_code == 200
    assert Issue.objects.get(pk=coinage.issues[1].pk).fact == Issue.Fact.STRUCK
    said: str = response.content.decode()
    return said


def test_of_what_others_keep_to_themselves_the_maker_is_told_no_reason(
    as_maker: Client, coinage: Coinage, other: Member, make_holding: Make
) -> None:
    make_holding(issue=coinage.issues[1], owner=other, visibility="private")
    said = without_1947(as_maker, coinage)
    assert "1947 cannot be left out here: write it again, or ask a curator." in said
    assert REASON not in said
    said = without_1947(as_maker, coinage, "1931, not struck 1947, 1953")
    assert "1947 cannot be made “not struck” here: ask a curator." in said
    assert REASON not in said


def test_of_wants_that_are_not_shown_the_maker_is_told_no_reason(
    as_maker: Client, coinage: Coinage, other: Member
) -> None:
    Want.objects.create(owner=other, coin_type=coinage.type, issue=coinage.issues[1])
    assert "Members hold or want 1947" in without_1947(as_maker, coinage)
    Member.objects.filter(pk=other.pk).update(lists_to_club=False)
    assert REASON not in without_1947(as_maker, coinage)


def test_of_what_is_shown_or_their_own_the_maker_is_told_why(
    as_maker: Client, coinage: Coinage, other: Member, make_holding: Make
) -> None:
    shown = make_holding(issue=coinage.issues[1], owner=other, visibility="club")
    assert "Members hold or want 1947" in without_1947(as_maker, coinage)
    Holding.objects.filter(pk=shown.pk).update(
        visibility="private", owner=Member.objects.get(username="maker")
    )
    assert "Members hold or want 1947" in without_1947(as_maker, coinage)


def test_of_several_dates_each_is_told_by_itself(
    as_maker: Client, coinage: Coinage, other: Member, make_holding: Make
) -> None:
    make_holding(issue=coinage.issues[0], owner=other, visibility="club")
    make_holding(issue=coinage.issues[1], owner=other, visibility="private")
    said = without_1947(as_maker, coinage, "1953")
    assert "Members hold or want 1931, so" in said
    assert "1947 cannot be left out here" in said


def test_a_curator_is_told_why(
    as_curator: Client, coinage: Coinage, other: Member, make_holding: Make
) -> None:
    make_holding(issue=coinage.issues[1], owner=other, visibility="private")
    assert "Members hold or want 1947" in without_1947(as_curator, coinage)


def test_on_the_page_of_one_date_no_reason_is_told_either(
    as_maker: Client, coinage: Coinage, other: Member, make_holding: Make
) -> None:
    variety = Variety.objects.create(issue=coinage.issues[1], key="wide", name="wide rim")
    make_holding(issue=coinage.issues[1], variety=variety, owner=other, visibility="private")
    address = reverse("issue-edit", args=[coinage.type.key, "1947"])
    typed = sent(as_maker, address, varieties="", date="not struck 1947")
    said = as_maker.post(address, typed).content.decode()
    assert "wide rim cannot be left out here: write it again, or ask a curator." in said
    assert "It cannot be made “not struck” here: ask a curator." in said
    assert REASON not in said
    assert Variety.objects.filter(pk=variety.pk).exists()
    Holding.objects.update(visibility="club")
    said = as_maker.post(address, typed).content.decode()
    assert "Members hold wide rim" in said
    assert "Members hold or want it" in said
