"""Devices in which a member signed in: told apart, listed, ended."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.contrib.sessions.models import Session
from django.core.management import call_command
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from catalogue.members.door import devices
from catalogue.members.door.device_words import device_words
from catalogue.members.links import make_reset
from catalogue.members.models import hash_token
from catalogue.members.roles import let_sign_in
from catalogue.models import Device, Member, Notice

from .door_steps import PASSWORD, give, is_in

PHONE = (
    "Mozilla/5.0 (Linux; Android 15; K) AppleWebKit/537.36 Chrome/140.0.0.0 Mobile Safari/537.36"
)
DESK = "Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140.0"
CHANGED = {
    "old_password": PASSWORD,
    "new_password1": "two lamps at the quay",
    "new_password2": "two lamps at the quay",
}


@pytest.fixture
def desk(member: Member) -> Client:
    client = Client(headers={"user-agent": DESK})
    give(client)
    return client


@pytest.fixture
def phone(desk: Client) -> Client:
    client = Client(headers={"user-agent": PHONE})
    give(client)
    return client


def _of(client: Client) -> Device:
    token = client.cookies["devices"].value.split(":")[0].split(" ")[0]
    return Device.objects.get(token_hash=hash_token(token))


def test_the_account_lists_devices_in_words_and_marks_this_one(desk: Client, phone: Client) -> None:
    page = desk.get(reverse("account"))
    rows = [(str(row["device"]), row["here"], row["signed_in"]) for row in page.context["devices"]]
    assert rows == [("Chrome on Android", False, True), ("Firefox on Linux", True, True)]
    text = page.content.decode()
    assert text.count("this one") == 1
    assert reverse("device-end", args=[_of(phone).pk]) in text
    assert reverse("device-end", args=[_of(desk).pk]) not in text


@pytest.mark.parametrize(
    ("agent", "words"),
    [
        (
            "Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) "
            "Chrome/140.0.0.0 Safari/537.36 Edg/140.0.0.0",
            "Edge on Windows",
        ),
        (
            "Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) AppleWebKit/605.1.15 "
            "(KHTML, like Gecko) Version/18.5 Safari/605.1.15",
            "Safari on a Mac",
        ),
        (
            "Mozilla/5.0 (Android 15; Mobile; rv:140.0) Gecko/140.0 Firefox/140.0",
            "Firefox on Android",
        ),
        ("something (Linux)", "A browser on Linux"),
        ("Firefox/1", "Firefox"),
        ("<script>alert(1)</script>", "A browser that does not say what it is"),
        ("", "A browser that does not say what it is"),
    ],
)
def test_browsers_are_named_in_words(agent: str, words: str) -> None:
    assert device_words(agent) == words


def test_the_cookie_is_signed_and_out_of_reach_of_scripts(desk: Client) -> None:
    cookie = desk.cookies["devices"]
    assert (cookie["httponly"], cookie["samesite"]) == (True, "Lax")
    assert int(cookie["max-age"]) > 365 * 24 * 60 * 60
    assert cookie.value.count(":") == 2


def test_of_tokens_and_sessions_only_hashes_are_kept(desk: Client) -> None:
    kept = str(list(Device.objects.values()))
    assert desk.cookies["devices"].value.split(":")[0] not in kept
    assert desk.cookies["sessionid"].value not in kept


def test_signing_in_again_keeps_the_device_and_its_first_day(desk: Client, member: Member) -> None:
    Device.objects.update(first_at=timezone.now() - timedelta(days=9))
    desk.post(reverse("sign-out"))
    give(desk)
    device = Device.objects.get()
    assert timezone.now() - device.first_at > timedelta(days=8)
    assert timezone.now() - device.last_at < timedelta(minutes=1)


def test_a_device_that_signed_out_is_listed_so(desk: Client, phone: Client) -> None:
    phone.post(reverse("sign-out"))
    rows = desk.get(reverse("account")).context["devices"]
    assert [row["signed_in"] for row in rows] == [False, True]


def test_a_session_that_ended_by_itself_is_listed_so(desk: Client, phone: Client) -> None:
    Session.objects.filter(pk=phone.cookies["sessionid"].value).update(expire_date=timezone.now())
    rows = desk.get(reverse("account")).context["devices"]
    assert [row["signed_in"] for row in rows] == [False, True]


def test_one_device_is_signed_out_and_forgotten(desk: Client, phone: Client) -> None:
    device = _of(phone)
    desk.post(reverse("device-end", args=[device.pk]))
    assert not is_in(phone)
    assert is_in(desk)
    assert not Device.objects.filter(pk=device.pk).exists()


def test_a_device_of_another_is_not_ended(phone: Client, other: Member) -> None:
    stranger = Client()
    give(stranger, name="bo")
    stranger.post(reverse("device-end", args=[_of(phone).pk]))
    assert b"not among yours" in stranger.get(reverse("account")).content
    assert is_in(phone)


def test_a_device_ended_twice_is_answered_in_words(desk: Client, phone: Client) -> None:
    address = reverse("device-end", args=[_of(phone).pk])
    assert [desk.post(address).status_code for _ in range(2)] == [302, 302]
    assert b"not among yours any more" in desk.get(reverse("account")).content


def test_all_others_are_signed_out_at_once(desk: Client, phone: Client, member: Member) -> None:
    before_there_were_devices = Client()
    give(before_there_were_devices)
    _of(before_there_were_devices).delete()
    desk.post(reverse("devices-end"))
    assert [is_in(each) for each in (desk, phone, before_there_were_devices)] == [
        True,
        False,
        False,
    ]
    assert Device.objects.get().pk == _of(desk).pk


def test_signing_out_elsewhere_leaves_other_members_alone(
    desk: Client, phone: Client, other: Member
) -> None:
    bo = Client()
    give(bo, name="bo")
    desk.post(reverse("devices-end"))
    assert is_in(bo)


def test_changing_the_password_ends_and_forgets_the_others(desk: Client, phone: Client) -> None:
    desk.post(reverse("account-password"), CHANGED)
    assert (is_in(desk), is_in(phone)) == (True, False)
    assert Device.objects.get().pk == _of(desk).pk
    assert Session.objects.count() == 1
    assert [row["here"] for row in desk.get(reverse("account")).context["devices"]] == [True]


def test_a_new_password_by_link_ends_all(desk: Client, phone: Client, member: Member) -> None:
    visitor = Client()
    address = reverse("handed-link", args=[make_reset(member)])
    visitor.post(address, {"new_password1": "two lamps ahead", "new_password2": "two lamps ahead"})
    assert (is_in(desk), is_in(phone), is_in(visitor)) == (False, False, True)
    assert (Device.objects.count(), Session.objects.count()) == (1, 1)


def test_stopping_a_member_ends_their_sessions_for_good(desk: Client, member: Member) -> None:
    let_sign_in(member, False)
    assert not Session.objects.exists()
    let_sign_in(member, True)
    assert not is_in(desk)


def test_a_session_copied_elsewhere_ends_when_the_device_signs_in_again(desk: Client) -> None:
    copied = Client()
    copied.cookies["sessionid"] = desk.cookies["sessionid"].value
    assert is_in(copied)
    del desk.cookies["sessionid"]
    give(desk)
    assert is_in(desk)
    assert not is_in(copied)


def test_a_cookie_planted_by_one_member_does_not_make_their_device_anothers(
    member: Member, other: Member
) -> None:
    planter, victim = Client(), Client()
    give(planter, name="bo")
    victim.cookies["devices"] = planter.cookies["devices"].value
    give(victim)
    assert not member.devices.filter(token_hash=_of(planter).token_hash).exists()
    assert member.devices.count() == other.devices.count() == 1


def test_two_members_of_one_browser_are_both_known_there(
    desk: Client, member: Member, other: Member
) -> None:
    desk.post(reverse("sign-out"))
    give(desk, name="bo")
    desk.post(reverse("sign-out"))
    give(desk)
    assert (member.devices.count(), other.devices.count()) == (1, 1)
    assert not Notice.objects.exists()


def test_a_session_from_before_is_listed_and_gets_a_cookie_without_a_notice(
    desk: Client,
) -> None:
    Device.objects.all().delete()
    del desk.cookies["devices"]
    Session.objects.get().delete()
    give(desk)
    Notice.objects.all().delete()
    Device.objects.all().delete()
    store: Any = desk.session
    del store["device"]
    store.save()
    del desk.cookies["devices"]
    assert [row["here"] for row in desk.get(reverse("account")).context["devices"]] == [True]
    assert desk.cookies["devices"].value
    assert not Notice.objects.exists()


def test_looking_at_pages_asks_the_database_no_more_for_devices(
    desk: Client, django_assert_num_queries: Any
) -> None:
    with django_assert_num_queries(3):  # the session, the member, and what the page asks itself
        desk.get(reverse("account-password"))


def test_a_device_seen_long_ago_is_noted_again(desk: Client) -> None:
    then = timezone.now() - timedelta(days=1)
    Device.objects.update(last_at=then)
    store: Any = desk.session
    store["device"] = [*store["device"][:2], int(then.timestamp())]
    store.save()
    desk.get(reverse("account-erase"))
    assert Device.objects.get().last_at > then


def test_no_member_gathers_devices_without_end(
    member: Member, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(devices, "MOST", 3)
    clients = [Client() for _ in range(5)]
    for client in clients:
        give(client)
    assert Device.objects.count() == 3
    assert [is_in(client) for client in clients] == [False, False, True, True, True]


def test_the_daily_clean_up_forgets_what_no_cookie_names(desk: Client, phone: Client) -> None:
    Device.objects.filter(pk=_of(phone).pk).update(last_at=timezone.now() - timedelta(days=401))
    call_command("empty_bin", stdout=None, verbosity=0)
    assert Device.objects.get().pk == _of(desk).pk


# ---- a new device is told of ----
def test_a_new_device_is_told_of_until_put_away(desk: Client, phone: Client) -> None:
    page = desk.get("/").content.decode()
    assert "A new device signed in as you" in page
    assert "Chrome on Android" in page
    desk.post(reverse("notices-put-away"), {"notice": Notice.objects.get().pk})
    assert "A new device" not in desk.get("/").content.decode()


def test_the_first_sign_in_of_all_is_no_news(desk: Client) -> None:
    assert not Notice.objects.exists()


def test_a_known_device_is_no_news(desk: Client, phone: Client) -> None:
    Notice.objects.all().delete()
    for client in (desk, phone):
        client.post(reverse("sign-out"))
        give(client)
    assert not Notice.objects.exists()


def test_a_new_password_by_link_on_another_device_is_told_of(desk: Client, member: Member) -> None:
    address = reverse("handed-link", args=[make_reset(member)])
    Client().post(address, {"new_password1": "two lamps ahead", "new_password2": "two lamps ahead"})
    assert Notice.objects.get().kind == Notice.Kind.DEVICE


def test_what_another_was_told_is_not_put_away(
    desk: Client, phone: Client, make_member: Callable[..., Member]
) -> None:
    make_member("cleo")
    stranger = Client()
    give(stranger, name="cleo")
    for sent in ([Notice.objects.get().pk], ["x", "9" * 40]):
        assert stranger.post(reverse("notices-put-away"), {"notice": sent}).status_code == 302
    assert Notice.objects.count() == 1
