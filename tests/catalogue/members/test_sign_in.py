"""Signing in and out, and being held back after too many attempts."""

from __future__ import annotations

from datetime import timedelta

import pytest
from axes.models import AccessAttempt
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from catalogue.models import Member

PASSWORD = "a good long password"


def _try(client: Client, password: str = PASSWORD, to: str = "", **headers: str) -> int:
    address = reverse("sign-in")
    data = {"username": "ana", "password": password, "next": to}
    return client.post(address, data, **headers).status_code  # type: ignore[arg-type]


def test_signing_in_works(client: Client, member: Member) -> None:
    response = client.post(reverse("sign-in"), {"username": "ana", "password": PASSWORD})
    assert (response.status_code, response["Location"]) == (302, "/")
    assert client.get("/").status_code == 200


def test_a_wrong_password_is_refused_and_keeps_the_name(client: Client, member: Member) -> None:
    page = client.post(reverse("sign-in"), {"username": "ana", "password": "wrong"})
    assert page.status_code == 200
    assert b'value="ana"' in page.content
    assert client.get("/").status_code == 302


def test_after_signing_in_the_page_asked_for_is_shown(client: Client, member: Member) -> None:
    data = {"username": "ana", "password": PASSWORD, "next": "/account/"}
    assert client.post(reverse("sign-in"), data)["Location"] == "/account/"


@pytest.mark.parametrize(
    "elsewhere",
    ["https://evil.example/", "//evil.example/", "javascript:alert(1)", "/\\evil.example"],
)
def test_signing_in_never_leads_to_another_site(
    client: Client, member: Member, elsewhere: str
) -> None:
    data = {"username": "ana", "password": PASSWORD, "next": elsewhere}
    assert client.post(reverse("sign-in"), data)["Location"] == "/"


def test_signing_out_asks_for_a_post(as_member: Client) -> None:
    assert as_member.get(reverse("sign-out")).status_code == 405
    assert as_member.post(reverse("sign-out"))["Location"] == reverse("sign-in")
    assert as_member.get("/").status_code == 302


def test_who_may_not_sign_in_is_signed_out_at_once(as_member: Client, member: Member) -> None:
    Member.objects.filter(pk=member.pk).update(is_active=False)
    assert as_member.get("/").status_code == 302


def test_after_six_wrong_passwords_the_right_one_must_wait(client: Client, member: Member) -> None:
    assert [_try(client, "wrong") for _ in range(6)] == [200] * 5 + [429]
    page = client.post(reverse("sign-in"), {"username": "ana", "password": PASSWORD})
    assert page.status_code == 429
    assert b"Wait 15 minutes" in page.content
    assert page["Retry-After"] == "900"
    assert client.get("/").status_code == 302


def test_trying_while_held_back_does_not_lengthen_the_wait(client: Client, member: Member) -> None:
    for _ in range(6):
        _try(client, "wrong")
    AccessAttempt.objects.update(attempt_time=timezone.now() - timedelta(minutes=10))
    assert _try(client, "wrong") == 429
    page = client.post(reverse("sign-in"), {"username": "ana", "password": PASSWORD})
    assert b"Wait 5 minutes" in page.content


def test_after_the_wait_signing_in_works_again(client: Client, member: Member) -> None:
    for _ in range(6):
        _try(client, "wrong")
    AccessAttempt.objects.update(attempt_time=timezone.now() - timedelta(minutes=16))
    assert _try(client) == 302


def test_another_address_is_not_held_back(client: Client, member: Member) -> None:
    for _ in range(6):
        _try(client, "wrong")
    assert _try(client, REMOTE_ADDR="192.0.2.7") == 302


def test_attempts_are_counted_in_the_database(client: Client, member: Member) -> None:
    _try(client, "wrong")
    attempt = AccessAttempt.objects.get()
    assert (attempt.username, attempt.failures_since_start) == ("ana", 1)
    assert "wrong" not in attempt.post_data


def test_a_site_without_members_says_how_to_make_the_first(client: Client, db: None) -> None:
    assert b"first_administrator" in client.get(reverse("sign-in")).content


def test_a_site_with_members_does_not(client: Client, member: Member) -> None:
    assert b"first_administrator" not in client.get(reverse("sign-in")).content
