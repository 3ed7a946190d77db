"""What is said to stay before a member is erased, on their page and by the command."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.test import Client
from django.urls import reverse

from catalogue.members.erase import erase_member, remains_of
from catalogue.members.mentions import mentions_left
from catalogue.models import (
    Holding,
    Member,
    Proposal,
    ProvenanceLine,
    SiteFact,
    StatusChange,
    Want,
)
from catalogue.site import overwriting

from .conftest import NAME, Collection

Make = Callable[..., Holding]


def _page(client: Client, member: Member) -> str:
    client.force_login(member, backend="django.contrib.auth.backends.ModelBackend")
    return client.get(reverse("account-erase")).content.decode()


def _command(*arguments: str, **options: Any) -> str:
    out = io.StringIO()
    call_command("erase_member", *arguments, stdout=out, **options)
    return out.getvalue()


def test_the_page_lists_what_stays_of_each_kind(
    full_collection: Collection, client: Client, other: Member
) -> None:
    Want.objects.create(owner=other, asked_of=full_collection.holding)
    page = _page(client, full_collection.owner)
    for said in (
        "1 type that you proposed stays",
        "1 want of another member that asked for a spare of yours stays",
        "1 value that you entered for a type",
        "Schedules that you made (1) are erased here",
        "may name you",
        "Copies of the site that its keeper made",
    ):
        assert said in page
    assert ("PostgreSQL" in page) == (connection.vendor == "postgresql")


def test_a_newcomer_is_told_only_what_holds_for_all(client: Client, other: Member) -> None:
    assert "that you proposed" not in _page(client, other)
    assert "Schedules that you made" not in _page(client, other)


def test_the_page_does_not_tell_what_others_wrote(
    client: Client, member: Member, other: Member, make_holding: Make
) -> None:
    """A member may call themselves as they like, such as what they would find in others' texts."""
    before = remains_of(other)
    other.name = "Bank box 12"
    other.save()
    hidden = make_holding(owner=member, note="Bank box 12", visibility="private")
    ProvenanceLine.objects.create(holding=hidden, text="Bank box 12")
    assert remains_of(other) == before


def test_the_keeper_is_told_which_texts_of_others_name_them(
    full_collection: Collection, make_holding: Make, other: Member
) -> None:
    name = full_collection.owner.name
    assert mentions_left(full_collection.owner) == []
    theirs = make_holding(owner=other, note="no name here")
    for text in (f"from {name}", "an uncle", f"{name.upper()}, 1999"):
        ProvenanceLine.objects.create(holding=theirs, text=text)
    StatusChange.objects.create(
        holding=theirs, status="on_loan", on="2024-05-01", with_whom=f"{NAME}@example.org"
    )
    found = dict(mentions_left(full_collection.owner))
    assert found["provenance line: who, how"] == 2
    assert found["status change: to or with"] == 1
    assert Holding.everything.filter(owner=full_collection.owner).count() == 2
    said = _command(NAME, list=True)
    assert "- provenance line: who, how: 2" in said
    assert Member.objects.filter(username=NAME).exists()


def test_a_name_with_an_accent_is_found_in_lists_too(make_member: Any, make_holding: Make) -> None:
    zoe = make_member("zoe-quux")
    zoe.name = "Zoë Quux"
    zoe.save()
    Proposal.objects.create(coin_type=make_holding().coin_type, note="ask Zoë Quux")
    holding = make_holding()
    holding.coin_type.citations = [{"source": "letter of Zoë Quux"}]
    holding.coin_type.save()
    assert {"proposal: note for the curator", "coin type: citations"} <= set(
        dict(mentions_left(zoe))
    )


@pytest.mark.django_db(transaction=True)
def test_the_command_asks_for_the_name_again(
    full_collection: Collection, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("builtins.input", lambda prompt: "ana")
    with pytest.raises(CommandError, match="Nothing was erased"):
        _command(NAME)
    monkeypatch.setattr("builtins.input", lambda prompt: NAME)
    assert f"{NAME} is erased" in _command(NAME)
    assert not Member.objects.filter(username=NAME).exists()


def test_the_command_knows_its_members_and_keeps_an_administrator(administrator: Member) -> None:
    with pytest.raises(CommandError, match="nobody"):
        _command("nobody")
    with pytest.raises(CommandError, match="only administrator"):
        _command("adam", yes=True)


@pytest.mark.django_db(transaction=True)
def test_a_database_that_could_not_be_overwritten_is_tried_again(
    full_collection: Collection, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(overwriting, "is_overwritten", lambda: True)
    monkeypatch.setattr(overwriting, "_write_anew", lambda: False)
    client.force_login(full_collection.owner, backend="django.contrib.auth.backends.ModelBackend")
    sent = {"password": "a good long password", "word": "erase"}
    page = client.post(reverse("account-erase"), sent, follow=True)
    assert "overwritten just now; that is done within a day" in page.content.decode()
    monkeypatch.setattr(overwriting, "_write_anew", lambda: True)
    call_command("empty_bin")
    assert not SiteFact.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_letters_about_proposals_go(full_collection: Collection) -> None:
    Proposal.objects.update(note=f"mail me: {NAME}", answer=f"dear {NAME}")
    erase_member(full_collection.owner)
    assert Proposal.objects.values_list("note", "answer").get() == ("", "")
