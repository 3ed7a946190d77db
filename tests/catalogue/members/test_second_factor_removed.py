"""The second factor removed by others, and what becomes of it when the site's key changes."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from catalogue.members.door.second_factor import (
    accept_code,
)
from catalogue.models import Member, Notice, SecondFactor

from .door_steps import BACKEND, PASSWORD, code_of, give, is_in, send_code, with_factor

PAGE = "account-second-factor"


@pytest.fixture
def factor(member: Member) -> SecondFactor:
    return with_factor(member)[0]


# ---- removed by an administrator ----
@pytest.fixture
def as_administrator(administrator: Member) -> Client:
    client = Client()
    client.force_login(administrator, backend=BACKEND)
    return client


def test_an_administrator_removes_it_and_is_named(
    as_administrator: Client, client: Client, factor: SecondFactor, member: Member
) -> None:
    page = as_administrator.get(reverse("member", args=[member.pk])).content.decode()
    assert "Remove the second factor" in page
    as_administrator.post(reverse("remove-second-factor", args=[member.pk]))
    give(client)
    text = " ".join(client.get("/").content.decode().split())
    assert "Adam, an administrator, removed your second factor on" in text


def test_nobody_else_removes_it(client: Client, factor: SecondFactor, curator: Member) -> None:
    client.force_login(curator, backend=BACKEND)
    address = reverse("remove-second-factor", args=[factor.owner_id])
    assert client.post(address).status_code == 403
    assert SecondFactor.objects.exists()


def test_administrators_do_not_remove_their_own_so(
    as_administrator: Client, administrator: Member
) -> None:
    with_factor(administrator)
    as_administrator.post(reverse("remove-second-factor", args=[administrator.pk]))
    assert SecondFactor.objects.exists()


def test_removing_what_is_not_there_tells_nobody(as_administrator: Client, member: Member) -> None:
    as_administrator.post(reverse("remove-second-factor", args=[member.pk]))
    assert not Notice.objects.exists()


def test_whether_a_member_has_one_is_for_administrators(
    client: Client, factor: SecondFactor, other: Member
) -> None:
    client.force_login(other, backend=BACKEND)
    page = client.get(reverse("member", args=[factor.owner_id])).content
    assert b"second factor" not in page


def test_it_is_removed_on_the_machine(factor: SecondFactor, capsys: Any) -> None:
    call_command("remove_second_factor", "ana")
    assert not SecondFactor.objects.exists()
    assert Notice.objects.get().on_machine
    for name in ("ana", "nobody"):
        with pytest.raises(CommandError):
            call_command("remove_second_factor", name)


# ---- the site's key ----
def test_a_key_sealed_under_a_former_key_of_the_site_is_taken_and_sealed_anew(
    factor: SecondFactor, settings: Any
) -> None:
    code, later, former = code_of(factor), code_of(factor, 1), settings.SECRET_KEY
    settings.SECRET_KEY, settings.SECRET_KEY_FALLBACKS = "n" * 50, [former]
    assert accept_code(factor, code)
    settings.SECRET_KEY_FALLBACKS = []
    factor.refresh_from_db()
    assert accept_code(factor, later)


def test_when_the_key_is_lost_a_recovery_code_still_lets_in(member: Member, settings: Any) -> None:
    factor, codes = with_factor(member)
    code = code_of(factor)
    settings.SECRET_KEY = "n" * 50
    client = Client()
    give(client)
    page = send_code(client, code)
    assert "secret key is not the one" in page.content.decode()
    send_code(client, codes[0])
    assert is_in(client)
    assert "secret key is not the one" in client.get(reverse(PAGE)).content.decode()
    client.post(reverse(PAGE), {"password": PASSWORD, "code": codes[1], "do": "off"})
    assert not SecondFactor.objects.exists()


def test_a_key_sealed_for_one_member_does_not_open_for_another(
    factor: SecondFactor, other: Member, make_member: Callable[..., Member]
) -> None:
    code = code_of(factor)
    moved = SecondFactor.objects.create(
        owner=other, sealed_key=factor.sealed_key, confirmed_at=timezone.now()
    )
    client = Client()
    give(client, name="bo")
    send_code(client, code)
    assert moved.pk
    assert not is_in(client)
