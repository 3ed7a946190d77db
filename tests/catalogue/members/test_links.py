"""Invitations and new passwords by one-time links, with and without mail."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.core import mail
from django.core.management import call_command
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from catalogue.members import links
from catalogue.members.door.notices import tell
from catalogue.members.erase import erase_member
from catalogue.models import HandedLink, Member, Notice

from .door_steps import time_passes

PASSWORD = "an even longer password"
JOINING = {
    "username": "cleo",
    "name": "Cleo",
    "email": "cleo@example.org",
    "password1": PASSWORD,
    "password2": PASSWORD,
}
RESETTING = {"new_password1": PASSWORD, "new_password2": PASSWORD}


@pytest.fixture
def as_administrator(client: Client, administrator: Member) -> Client:
    client.force_login(administrator, backend="django.contrib.auth.backends.ModelBackend")
    return client


@pytest.fixture
def with_mail(settings: Any) -> None:
    settings.MAIL_GIVEN = True
    settings.TASKS = {"default": {"BACKEND": "django_tasks.backends.immediate.ImmediateBackend"}}


def _address(content: bytes) -> str:
    found = re.search(r"http://127\.0\.0\.1:8000(/link/[\w-]+/)", content.decode())
    assert found
    return found[1]


# ---- inviting ----
def test_an_administrator_invites_and_the_person_joins(as_administrator: Client) -> None:
    page = as_administrator.post(reverse("invite"), {"role": "curator", "email": ""})
    visitor = Client()
    address = _address(page.content)
    assert visitor.get(address).status_code == 200
    joined = visitor.post(address, JOINING)
    assert (joined.status_code, joined["Location"]) == (302, "/")
    assert visitor.get("/").status_code == 200
    cleo = Member.objects.get(username="cleo")
    assert (cleo.role, cleo.name, cleo.check_password(PASSWORD)) == ("curator", "Cleo", True)


def test_a_member_cannot_invite(as_member: Client) -> None:
    assert as_member.get(reverse("invite")).status_code == 403
    assert as_member.post(reverse("invite"), {"role": "administrator"}).status_code == 403
    assert not HandedLink.objects.exists()


def test_a_curator_cannot_invite(client: Client, curator: Member) -> None:
    client.force_login(curator, backend="django.contrib.auth.backends.ModelBackend")
    assert client.post(reverse("invite"), {"role": "administrator"}).status_code == 403


def test_only_the_hash_of_a_link_is_stored(administrator: Member) -> None:
    token = links.make_invitation(administrator, "member")
    stored = HandedLink.objects.values().get()
    assert token not in str(stored)
    assert stored["token_hash"] == links.hash_token(token)


def test_an_invitation_works_once(administrator: Member, client: Client) -> None:
    address = reverse("handed-link", args=[links.make_invitation(administrator, "member")])
    client.post(address, JOINING)
    again = Client().post(address, {**JOINING, "username": "dora"})
    assert again.status_code == 404
    assert not Member.objects.filter(username="dora").exists()


def test_a_link_used_meanwhile_joins_nobody(administrator: Member, client: Client) -> None:
    token = links.make_invitation(administrator, "member")
    link = links.find_link(token)
    assert link is not None
    HandedLink.objects.update(used_at=timezone.now())
    with pytest.raises(links.LinkUsedUp):
        links.join(link, Member(username="late"))
    assert not Member.objects.filter(username="late").exists()


def test_an_invitation_ends_after_seven_days(administrator: Member, client: Client) -> None:
    token = links.make_invitation(administrator, "member")
    address = reverse("handed-link", args=[token])
    assert HandedLink.objects.get().expires_at <= timezone.now() + timedelta(days=7)
    HandedLink.objects.update(expires_at=timezone.now())
    assert client.get(address).status_code == 404
    assert client.post(address, JOINING).status_code == 404


def test_a_link_made_up_does_not_work(client: Client, db: None) -> None:
    page = client.get(reverse("handed-link", args=["made-up"]))
    assert page.status_code == 404
    assert b"Ask the administrator for a new one" in page.content


def test_a_withdrawn_invitation_does_not_work(as_administrator: Client) -> None:
    page = as_administrator.post(reverse("invite"), {"role": "member"})
    link = HandedLink.objects.get()
    as_administrator.post(reverse("withdraw-invitation", args=[link.pk]))
    assert Client().get(_address(page.content)).status_code == 404


def test_the_link_is_shown_once(as_administrator: Client) -> None:
    shown = _address(as_administrator.post(reverse("invite"), {"role": "member"}).content)
    token = shown.split("/")[2]
    for page in ("club", "invite"):
        assert token not in as_administrator.get(reverse(page)).content.decode()


def test_pages_with_a_token_are_kept_nowhere(as_administrator: Client) -> None:
    made = as_administrator.post(reverse("invite"), {"role": "member"})
    for page in (made, Client().get(_address(made.content)), Client().get("/link/made-up/")):
        assert page["Referrer-Policy"] == "strict-origin"
        assert "noindex" in page["X-Robots-Tag"]
        assert "no-store" in page["Cache-Control"]


@pytest.mark.parametrize(
    ("change", "complaint"),
    [
        ({"username": "ADAM"}, "taken"),
        ({"password2": "something else"}, "match"),
        ({"password1": "short", "password2": "short"}, "too short"),
        ({"username": ""}, "required"),
    ],
)
def test_joining_says_what_is_wrong_and_keeps_the_link(
    administrator: Member, client: Client, change: dict[str, str], complaint: str
) -> None:
    address = reverse("handed-link", args=[links.make_invitation(administrator, "member")])
    page = client.post(address, {**JOINING, **change})
    assert page.status_code == 200
    assert complaint in page.content.decode()
    assert 'value="Cleo"' in page.content.decode()
    assert client.post(address, JOINING).status_code == 302


def test_an_invitation_is_mailed_when_mail_is_set_up(
    as_administrator: Client, with_mail: None
) -> None:
    data = {"role": "member", "email": "cleo@example.org"}
    page = as_administrator.post(reverse("invite"), data)
    assert mail.outbox[0].to == ["cleo@example.org"]
    assert _address(page.content) in mail.outbox[0].body


def test_without_mail_nothing_is_sent(as_administrator: Client) -> None:
    as_administrator.post(reverse("invite"), {"role": "member", "email": "cleo@example.org"})
    assert mail.outbox == []


def test_a_mail_that_fails_still_shows_the_link(
    as_administrator: Client, with_mail: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*args: Any) -> None:
        raise OSError("no route to the mail server")

    monkeypatch.setattr("catalogue.members.door.notices.send_mail", refuse)
    page = as_administrator.post(reverse("invite"), {"role": "member", "email": "c@example.org"})
    assert "could not be sent" in page.content.decode()
    assert _address(page.content)


# ---- new passwords ----
def test_a_new_password_by_a_handed_link(as_administrator: Client, member: Member) -> None:
    page = as_administrator.post(reverse("reset-member", args=[member.pk]))
    visitor = Client()
    address = _address(page.content)
    assert visitor.post(address, RESETTING)["Location"] == "/"
    assert visitor.get("/").status_code == 200
    member.refresh_from_db()
    assert member.check_password(PASSWORD)
    assert Client().get(address).status_code == 404


def test_a_new_password_signs_out_elsewhere(as_member: Client, member: Member) -> None:
    address = reverse("handed-link", args=[links.make_reset(member)])
    Client().post(address, RESETTING)
    assert as_member.get("/").status_code == 302


def test_a_new_password_ends_being_held_back(client: Client, member: Member) -> None:
    for _ in range(6):
        client.post(reverse("sign-in"), {"username": "ana", "password": "wrong"})
    Client().post(reverse("handed-link", args=[links.make_reset(member)]), RESETTING)
    data = {"username": "ana", "password": PASSWORD}
    assert client.post(reverse("sign-in"), data).status_code == 302


def test_a_later_link_ends_the_earlier_one(administrator: Member, member: Member) -> None:
    earlier = links.make_reset(member, administrator)
    later = links.make_reset(member, administrator)
    assert links.find_link(earlier) is None
    assert links.find_link(later) is not None


def test_asking_by_mail_leaves_a_handed_link_alone(administrator: Member, member: Member) -> None:
    handed = links.make_reset(member, administrator)
    links.make_reset(member)
    assert links.find_link(handed) is not None


def test_using_one_link_ends_the_others(administrator: Member, member: Member) -> None:
    handed = links.make_reset(member, administrator)
    asked = links.make_reset(member)
    Client().post(reverse("handed-link", args=[asked]), RESETTING)
    assert links.find_link(handed) is None


def test_who_may_not_sign_in_cannot_set_a_password(member: Member, client: Client) -> None:
    token = links.make_reset(member)
    Member.objects.filter(pk=member.pk).update(is_active=False)
    assert client.post(reverse("handed-link", args=[token]), RESETTING).status_code == 404


def test_a_member_cannot_make_a_reset(as_member: Client, other: Member) -> None:
    assert as_member.post(reverse("reset-member", args=[other.pk])).status_code == 403
    assert not HandedLink.objects.exists()


# ---- asking by mail ----
def test_asking_by_mail_sends_a_link(
    client: Client, make_member: Callable[..., Member], with_mail: None
) -> None:
    make_member("ana", email="Ana@example.org")
    client.post(reverse("forgot"), {"email": "ana@example.org"})
    assert mail.outbox[0].to == ["Ana@example.org"]
    address = _address(mail.outbox[0].body.encode())
    assert client.post(address, RESETTING).status_code == 302


def test_the_answer_is_the_same_for_an_unknown_address(
    client: Client, make_member: Callable[..., Member], with_mail: None
) -> None:
    make_member("ana", email="ana@example.org")
    known = client.post(reverse("forgot"), {"email": "ana@example.org"})
    unknown = client.post(reverse("forgot"), {"email": "nobody@example.org"})
    assert known.content == unknown.content
    assert len(mail.outbox) == 1


def test_asking_again_at_once_sends_no_second_mail(
    client: Client, make_member: Callable[..., Member], with_mail: None
) -> None:
    make_member("ana", email="ana@example.org")
    for _ in range(3):
        client.post(reverse("forgot"), {"email": "ana@example.org"})
    assert len(mail.outbox) == 1
    time_passes(minutes=11)
    client.post(reverse("forgot"), {"email": "ana@example.org"})
    assert len(mail.outbox) == 2


def test_mails_to_one_member_come_ever_more_seldom(
    make_member: Callable[..., Member], with_mail: None
) -> None:
    """Whoever asks, from however many addresses, every ten minutes for a day."""
    make_member("ana", email="ana@example.org")
    for n in range(24 * 6):
        Client().post(reverse("forgot"), {"email": "ana@example.org"}, REMOTE_ADDR=f"192.0.2.{n}")
        time_passes(minutes=10)
    assert 3 < len(mail.outbox) < 10


def test_a_link_mailed_last_works_while_no_further_one_is_sent(
    client: Client, make_member: Callable[..., Member], with_mail: None
) -> None:
    make_member("ana", email="ana@example.org")
    for _ in range(3):
        client.post(reverse("forgot"), {"email": "ana@example.org"})
    assert client.post(_address(mail.outbox[-1].body.encode()), RESETTING).status_code == 302


@pytest.mark.parametrize("email", ["ana@example.org", "nobody@example.org"])
def test_asking_for_an_address_is_limited_known_or_not(
    client: Client, make_member: Callable[..., Member], with_mail: None, email: str
) -> None:
    make_member("ana", email="ana@example.org")
    pages = [client.post(reverse("forgot"), {"email": email}) for _ in range(4)]
    assert [page.status_code for page in pages] == [200, 200, 200, 429]
    assert b"Wait 10 minutes" in pages[-1].content
    assert pages[-1]["Retry-After"] == "600"
    assert f'value="{email}"'.encode() in pages[-1].content
    assert Client().post(reverse("forgot"), {"email": "c@example.org"}).status_code == 200


def test_asking_from_one_address_is_limited(client: Client, db: None, with_mail: None) -> None:
    def ask(n: int, **more: Any) -> int:
        data = {"email": f"n{n}@example.org"}
        return client.post(reverse("forgot"), data, **more).status_code

    assert [ask(n) for n in range(6)] == [200] * 5 + [429]
    assert ask(6, REMOTE_ADDR="192.0.2.7") == 200


# ---- a member is told of a link that was made for them ----
def test_a_link_made_by_an_administrator_is_told_of_by_name(
    as_administrator: Client,
    member: Member,
    with_mail: None,
    django_capture_on_commit_callbacks: Any,
) -> None:
    Member.objects.filter(pk=member.pk).update(email="ana@example.org")
    with django_capture_on_commit_callbacks(execute=True):
        as_administrator.post(reverse("reset-member", args=[member.pk]))
    theirs = Client()
    theirs.force_login(member, backend="django.contrib.auth.backends.ModelBackend")
    told = "Adam, an administrator, made a link to a new password for you on"
    assert told in " ".join(theirs.get("/").content.decode().split())
    assert [told in " ".join(sent.body.split()) for sent in mail.outbox] == [False, True]
    assert "/link/" not in mail.outbox[1].body


def test_a_link_for_oneself_is_no_news(as_administrator: Client, administrator: Member) -> None:
    as_administrator.post(reverse("reset-member", args=[administrator.pk]))
    assert not Notice.objects.exists()


def test_a_link_made_on_the_machine_is_told_of(member: Member, capsys: Any) -> None:
    call_command("hand_link", "ana")
    assert (Notice.objects.get().kind, Notice.objects.get().on_machine) == ("link", True)


def test_who_made_it_is_not_named_once_they_are_erased(
    as_administrator: Client, administrator: Member, member: Member, client: Client
) -> None:
    as_administrator.post(reverse("reset-member", args=[member.pk]))
    Member.objects.filter(pk=member.pk).update(role="administrator")
    erase_member(administrator)
    client.force_login(member, backend="django.contrib.auth.backends.ModelBackend")
    page = " ".join(client.get("/").content.decode().split())
    assert "An administrator who has left made a link" in page


def test_mails_of_the_own_sign_in_end_before_they_flood(
    member: Member, administrator: Member, with_mail: None, django_capture_on_commit_callbacks: Any
) -> None:
    Member.objects.filter(pk=member.pk).update(email="ana@example.org")
    member.refresh_from_db()
    with django_capture_on_commit_callbacks(execute=True):
        for _ in range(12):
            tell(member, Notice.Kind.LINK, by=administrator)
    assert len(mail.outbox) == 5
    assert Notice.objects.count() == 12


def test_who_may_not_sign_in_gets_no_mail(
    client: Client, make_member: Callable[..., Member], with_mail: None
) -> None:
    make_member("ana", email="ana@example.org", is_active=False)
    client.post(reverse("forgot"), {"email": "ana@example.org"})
    assert mail.outbox == []


def test_without_mail_the_page_says_whom_to_ask(client: Client, db: None) -> None:
    assert b"Ask an administrator" in client.get(reverse("forgot")).content
    assert client.post(reverse("forgot"), {"email": "a@example.org"}).status_code == 200


def test_asking_for_a_link_stores_no_token(
    client: Client, make_member: Callable[..., Member], settings: Any
) -> None:
    settings.MAIL_GIVEN = True
    make_member("ana", email="ana@example.org")
    client.post(reverse("forgot"), {"email": "ana@example.org"})
    from django_tasks_db.models import DBTaskResult

    assert DBTaskResult.objects.get().args_kwargs == {"args": ["ana@example.org"], "kwargs": {}}
    assert not HandedLink.objects.exists()
