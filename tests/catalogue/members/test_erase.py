"""Leaving: nothing of a member is left, and nothing of others is touched."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.apps import apps
from django.contrib.sessions.models import Session
from django.core.files.storage import default_storage
from django.core.serializers.json import DjangoJSONEncoder
from django.test import Client
from django.urls import reverse

from catalogue.members.erase import erase_member
from catalogue.members.roles import LastAdministrator
from catalogue.models import Holding, Member, Photo, Proposal, Reservation
from series.models import CoinType
from series.picture.pictures import FULL, PRINTED, SIZES, picture_name, printed_picture

from .conftest import NAME, Collection

PASSWORD = "a good long password"
SENT = {"password": PASSWORD, "word": "erase"}


def _rows_that_name(pk: int) -> list[str]:
    """Every column of every model that refers to the member or holds their name."""
    found = []
    for model in apps.get_models(include_auto_created=True):
        for row in model._base_manager.all():
            for field in model._meta.concrete_fields:
                value = getattr(row, field.attname)
                refers = field.is_relation and field.related_model is Member and value == pk
                text = json.dumps(value, cls=DjangoJSONEncoder, default=str).casefold()
                if refers or NAME in text:
                    found.append(f"{model._meta.label}.{field.name}")
    return found


def _sign_in(client: Client, member: Member) -> None:
    client.force_login(member, backend="django.contrib.auth.backends.ModelBackend")


def test_before_erasing_the_search_finds_the_member(full_collection: Collection) -> None:
    found = _rows_that_name(full_collection.owner.pk)
    assert {
        "catalogue.Member.username",
        "catalogue.Holding.owner",
        "axes.AccessAttempt.username",
    } <= set(found)


@pytest.mark.django_db(transaction=True)
def test_after_erasing_no_row_names_the_member_and_files_are_gone(
    full_collection: Collection, client: Client
) -> None:
    pk = full_collection.owner.pk
    files = [full_collection.picture, full_collection.receipt, full_collection.sheet]
    assert all(default_storage.exists(name) for name in files)
    printed_picture(full_collection.picture.split("/")[-1].removesuffix("-full.webp"))
    _sign_in(client, full_collection.owner)
    elsewhere = Client()
    _sign_in(elsewhere, full_collection.owner)
    response = client.post(reverse("account-erase"), SENT)
    assert (response.status_code, response["Location"]) == (302, reverse("sign-in"))
    assert _rows_that_name(pk) == []
    assert not any(default_storage.exists(name) for name in files)
    digest = full_collection.picture.split("/")[-1].removesuffix("-full.webp")
    sizes = (*SIZES, FULL, PRINTED)
    assert not any(default_storage.exists(picture_name(digest, size)) for size in sizes)
    assert elsewhere.get("/").status_code == 302
    assert all("_auth_user_id" not in s.get_decoded() for s in Session.objects.all())


@pytest.mark.django_db(transaction=True)
def test_what_others_have_stays(full_collection: Collection, other: Member) -> None:
    erase_member(full_collection.owner)
    assert list(Holding.everything.values_list("owner", flat=True)) == [other.pk]
    assert not Reservation.objects.exists()


def test_what_was_entered_in_the_catalogue_stays_without_a_name(
    full_collection: Collection,
) -> None:
    erase_member(full_collection.owner)
    assert CoinType.objects.count() == 1
    assert Proposal.objects.get().proposed_by is None
    full_collection.shared_value.refresh_from_db()
    assert full_collection.shared_value.entered_by is None


@pytest.mark.django_db(transaction=True)
def test_a_picture_that_another_record_names_stays(
    full_collection: Collection, make_holding: Any, other: Member
) -> None:
    digest = full_collection.picture.split("/")[-1].removesuffix("-full.webp")
    theirs = make_holding(owner=other)
    Photo.objects.create(holding=theirs, digest=digest, width=40, height=40).bin()
    erase_member(full_collection.owner)
    assert default_storage.exists(full_collection.picture)
    assert not default_storage.exists(full_collection.receipt)


@pytest.mark.django_db(transaction=True)
def test_files_stay_when_erasing_fails(
    full_collection: Collection, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(self: Member) -> None:
        raise RuntimeError("the machine stopped")

    monkeypatch.setattr(Member, "delete", fail)
    with pytest.raises(RuntimeError):
        erase_member(full_collection.owner)
    assert default_storage.exists(full_collection.receipt)
    assert Holding.everything.filter(owner=full_collection.owner).count() == 2


@pytest.mark.parametrize(
    "sent",
    [
        {"password": "wrong", "word": "erase"},
        {"password": PASSWORD, "word": "yes"},
        {"password": PASSWORD},
        {"word": "erase"},
    ],
)
def test_erasing_asks_for_the_password_and_the_word(
    as_member: Client, member: Member, sent: dict[str, str]
) -> None:
    page = as_member.post(reverse("account-erase"), sent)
    assert page.status_code == 200
    assert Member.objects.filter(pk=member.pk).exists()


def test_a_visit_alone_erases_nothing(as_member: Client, member: Member) -> None:
    assert as_member.get(reverse("account-erase")).status_code == 200
    assert Member.objects.filter(pk=member.pk).exists()


def test_the_last_administrator_cannot_leave(client: Client, administrator: Member) -> None:
    _sign_in(client, administrator)
    page = client.post(reverse("account-erase"), SENT)
    assert b"You are the only administrator" in page.content
    assert Member.objects.filter(pk=administrator.pk).exists()
    with pytest.raises(LastAdministrator):
        erase_member(administrator)
