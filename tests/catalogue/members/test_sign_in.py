"""Signing in and out, and who has to wait after wrong passwords."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from axes.models import AccessAttempt
from django.apps import apps
from django.conf import settings
from django.test import Client, RequestFactory
from django.urls import reverse
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from catalogue.members.door import slowing
from catalogue.members.door.network import client_address
from catalogue.members.door.slowing import NAME, HeldBack, Limit, let_go, take
from catalogue.members.door.waits import wait_after
from catalogue.models import Member, Tally

from .door_steps import PASSWORD, give, guess, is_in, time_passes

DAY = 24 * 60 * 60


def test_signing_in_works(client: Client, member: Member) -> None:
    response = give(client)
    assert (response.status_code, response["Location"]) == (302, "/")
    assert client.get("/").status_code == 200


def test_a_wrong_password_is_refused_and_keeps_the_name(client: Client, member: Member) -> None:
    page = give(client, "wrong")
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


def test_a_site_without_members_says_how_to_make_the_first(client: Client, db: None) -> None:
    assert b"first_administrator" in client.get(reverse("sign-in")).content


def test_a_site_with_members_does_not(client: Client, member: Member) -> None:
    assert b"first_administrator" not in client.get(reverse("sign-in")).content


# ---- a name is slowed down, and nobody is locked out ----
def test_after_five_wrong_passwords_the_name_waits(client: Client, member: Member) -> None:
    assert guess(client, 6) == [200] * 5 + [429]
    page = give(client)
    assert (page.status_code, page["Retry-After"]) == (429, "30")
    assert b"Wait 30 seconds" in page.content
    assert b'value="ana"' in page.content
    assert not is_in(client)


def test_after_the_wait_the_right_password_is_taken(client: Client, member: Member) -> None:
    guess(client, 5)
    time_passes(seconds=31)
    assert give(client).status_code == 302


def test_trying_too_early_does_not_lengthen_the_wait(client: Client, member: Member) -> None:
    guess(client, 8)
    time_passes(seconds=31)
    assert give(client).status_code == 302


def test_many_addresses_do_not_help_a_guesser(db: None, member: Member) -> None:
    """An hour of guessing at one name, each guess from an address and a browser of its own."""
    looked_at = 0
    for minute in range(60):
        for n in range(2):
            answer = give(Client(), "wrong", REMOTE_ADDR=f"198.51.{minute}.{n}")
            looked_at += answer.status_code == 200
        time_passes(minutes=1)
    assert 5 < looked_at <= 12


def test_a_stranger_cannot_lock_a_member_out_of_their_own_device(
    client: Client, member: Member
) -> None:
    give(client)
    client.post(reverse("sign-out"))
    stranger = Client()
    guess(stranger, 40, REMOTE_ADDR="198.51.100.1")
    assert give(Client()).status_code == 429
    assert give(client).status_code == 302
    assert is_in(client)


def test_a_stranger_at_the_same_address_cannot_either(client: Client, member: Member) -> None:
    give(client)
    client.post(reverse("sign-out"))
    for n in range(21):
        give(Client(), "wrong", name=f"nobody{n}")
    assert give(Client()).status_code == 429
    assert give(client).status_code == 302


def test_a_known_device_is_slowed_down_by_itself(client: Client, member: Member) -> None:
    give(client)
    client.post(reverse("sign-out"))
    assert guess(client, 11) == [200] * 10 + [429]
    assert give(Client()).status_code == 302  # the name is not


def test_a_device_is_known_for_its_own_member_alone(
    client: Client, member: Member, other: Member
) -> None:
    give(client, name="bo")
    client.post(reverse("sign-out"))
    assert guess(client, 6) == [200] * 5 + [429]


def test_a_made_up_cookie_is_no_known_device(client: Client, member: Member) -> None:
    give(client)
    token = client.cookies["devices"].value.split(":")[0]
    for forged in (token, f"{token}:1abcde:made-up", "x" * 4000):
        guesser = Client()
        guesser.cookies["devices"] = forged
        assert 429 in guess(guesser, 6)
        Tally.objects.all().delete()
        AccessAttempt.objects.all().delete()


def test_a_name_nobody_has_waits_likewise(client: Client, member: Member) -> None:
    known = [give(client, "wrong") for _ in range(6)]
    unknown = [give(client, "wrong", name="nobody") for _ in range(6)]
    assert [a.status_code for a in known] == [a.status_code for a in unknown]

    def text(page: Any) -> str:
        words: str = page.content.decode().replace("nobody", "ana")
        return words.split("csrfmiddlewaretoken")[0] + words.split('<div class="field')[1]

    assert [text(a) for a in known] == [text(a) for a in unknown]


def test_other_spellings_of_a_name_share_its_wait(client: Client, member: Member) -> None:
    for name in ("ana", "Ana", "ANA", "aNa", "anA"):
        give(client, "wrong", name=name)
    assert give(client).status_code == 429


def test_what_was_typed_as_a_name_is_not_kept_with_the_tries(client: Client, db: None) -> None:
    give(client, "wrong", name="hunter2-my-password")
    assert "hunter2" not in str(list(Tally.objects.values()))


def test_signing_in_ends_the_wait_of_the_name(client: Client, member: Member) -> None:
    guess(client, 4)
    give(client)
    assert guess(Client(), 5) == [200] * 5


# ---- an address is locked ----
def test_after_twenty_wrong_passwords_an_address_waits(client: Client, member: Member) -> None:
    answers = [give(client, "wrong", name=f"n{n}").status_code for n in range(20)]
    assert answers == [200] * 19 + [429]
    page = give(client)
    assert (page.status_code, page["Retry-After"]) == (429, "900")
    assert b"Wait 15 minutes" in page.content
    assert give(Client(), REMOTE_ADDR="192.0.2.7").status_code == 302


def test_trying_while_locked_does_not_lengthen_it(client: Client, member: Member) -> None:
    for n in range(20):
        give(client, "wrong", name=f"n{n}")
    AccessAttempt.objects.update(attempt_time=timezone.now() - timedelta(minutes=10))
    assert give(client, "wrong").status_code == 429
    assert b"Wait 5 minutes" in give(client).content
    AccessAttempt.objects.update(attempt_time=timezone.now() - timedelta(minutes=16))
    assert give(client).status_code == 302


def test_a_guesser_with_a_name_of_their_own_does_not_start_anew(
    client: Client, member: Member, other: Member
) -> None:
    for n in range(19):
        give(client, "wrong", name=f"n{n}")
    give(client, name="bo")
    client.post(reverse("sign-out"))
    assert give(client, "wrong").status_code == 429


@pytest.mark.parametrize(
    ("remote", "counted"),
    [
        ("192.0.2.7", "192.0.2.7"),
        ("::ffff:192.0.2.7", "192.0.2.7"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::"),
        ("fe80::1%eth0", "fe80::"),
        ("", "0.0.0.0"),
        ("unknown", "0.0.0.0"),
    ],
)
def test_addresses_are_counted_by_network(remote: str, counted: str) -> None:
    assert client_address(RequestFactory().get("/", REMOTE_ADDR=remote)) == counted


def test_a_header_of_the_request_does_not_change_the_address() -> None:
    request = RequestFactory().get(
        "/",
        REMOTE_ADDR="192.0.2.7",
        headers={"X-Forwarded-For": "203.0.113.9", "X-Real-IP": "203.0.113.9"},
    )
    assert client_address(request) == "192.0.2.7"


def test_attempts_are_kept_without_the_password(client: Client, member: Member) -> None:
    give(client, "wrong")
    attempt = AccessAttempt.objects.get()
    assert (attempt.username, attempt.failures_since_start) == ("ana", 1)
    assert "wrong" not in attempt.post_data


# ---- the count itself ----
@given(st.integers(1, 10**6), st.integers(0, 20), st.integers(1, 600), st.integers(600, 86400))
def test_waits_never_shrink_and_end_at_the_longest(
    tries: int, free: int, first: int, longest: int
) -> None:
    wait = wait_after(tries, free=free, first=first, longest=longest)
    assert 0 <= wait <= longest
    assert wait <= wait_after(tries + 1, free=free, first=first, longest=longest)
    assert (wait == 0) == (tries < free)


def test_one_name_gets_few_tries_a_day() -> None:
    tries, at = 0, 0
    while at <= DAY:  # by somebody who never waits longer than they must
        tries += 1
        at += wait_after(tries, free=NAME.free, first=NAME.first, longest=NAME.longest)
    assert tries == 104


def test_tries_are_forgotten_after_a_day(db: None) -> None:
    for _ in range(4):
        take(NAME, "ana")
    time_passes(hours=25)
    for _ in range(5):
        take(NAME, "ana")
    with pytest.raises(HeldBack):
        take(NAME, "ana")


def test_a_clock_that_was_wrong_for_a_while_locks_nobody_out(db: None) -> None:
    take(NAME, "ana")
    Tally.objects.update(free_at=timezone.now() + timedelta(days=3000))
    take(NAME, "ana")


def test_letting_go_forgets_one_alone(db: None) -> None:
    limit = Limit("x", free=1, first=60, longest=60)
    take(limit, "a")
    take(limit, "b")
    let_go(limit, "a")
    take(limit, "a")
    with pytest.raises(HeldBack):
        take(limit, "b")


def test_a_try_taken_while_another_is_counted_counts_too(
    db: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    limit = Limit("x", free=3, first=60, longest=60)
    between = iter([True])

    def meanwhile(tries: int, **figures: int) -> int:
        if next(between, False):
            take(limit, "a")
        return wait_after(tries, **figures)

    monkeypatch.setattr(slowing, "wait_after", meanwhile)
    take(limit, "a")
    assert Tally.objects.get().tries == 2
    take(limit, "a")
    with pytest.raises(HeldBack):
        take(limit, "a")


# ---- there is no other door ----
def test_no_other_door_is_served() -> None:
    assert not apps.is_installed("django.contrib.admin")
    assert settings.AUTHENTICATION_BACKENDS == [
        "axes.backends.AxesStandaloneBackend",
        "django.contrib.auth.backends.ModelBackend",
    ]


def test_passwords_are_tried_and_members_let_in_in_one_place_each() -> None:
    def using(name: str) -> list[str]:
        floors = (
            path for app in ("catalogue", "series", "valuation") for path in Path(app).rglob("*.py")
        )
        return [
            path.as_posix()
            for path in floors
            if any(
                line.startswith("from django.contrib.auth import") and name in line.split()[3:]
                for line in path.read_text().replace(",", " ").splitlines()
            )
        ]

    assert using("login") == ["catalogue/members/door/signing_in.py"]
    assert using("authenticate") == ["catalogue/members/door/passwords.py"]


def test_joining_and_new_passwords_pass_the_same_door(
    make_member: Callable[..., Member],
) -> None:
    source = Path("catalogue/members/link_pages.py").read_text()
    assert source.count("return sign_in(request, member") == source.count("save(commit=False)") == 1
