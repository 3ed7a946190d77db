"""The second factor: set up, asked for at every door, recovered, switched off."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from catalogue.members.door.second_factor import (
    accept_code,
    accept_recovery,
    begin,
    confirm,
    factor_of,
    key_address,
    key_letters,
)
from catalogue.members.door.slowing import NAME, let_go
from catalogue.members.links import make_reset
from catalogue.models import Member, Notice, RecoveryCode, SecondFactor
from catalogue.printing.codes import qr_markup

from .door_steps import PASSWORD, code_of, give, is_in, send_code, time_passes, with_factor

NEW = {"new_password1": "two lamps ahead", "new_password2": "two lamps ahead"}
PAGE = "account-second-factor"


@pytest.fixture
def factor(member: Member) -> SecondFactor:
    return with_factor(member)[0]


# ---- setting it up ----
def test_it_is_set_up_by_password_key_and_first_code(as_member: Client, member: Member) -> None:
    assert as_member.post(reverse(PAGE), {"password": PASSWORD}).status_code == 302
    begun = SecondFactor.objects.get()
    page = as_member.get(reverse(PAGE))
    shown = page.content.decode()
    assert all(f"<span>{four}</span>" in shown for four in re.findall("....", key_letters(begun)))
    assert qr_markup(key_address(begun), 100) in shown
    assert factor_of(member) is None
    codes = as_member.post(reverse(PAGE), {"code": code_of(begun)}).content.decode()
    listed = re.findall(r"<li>([2-9a-z]{4}(?:-[2-9a-z]{4}){3})</li>", codes)
    assert len(set(listed)) == 10
    assert factor_of(member) is not None
    assert listed[0] not in as_member.get(reverse(PAGE)).content.decode()


def test_it_is_not_begun_without_the_password(as_member: Client) -> None:
    page = as_member.post(reverse(PAGE), {"password": "wrong"})
    assert b"not your password" in page.content
    assert not SecondFactor.objects.exists()


def test_a_wrong_first_code_switches_nothing_on(as_member: Client, member: Member) -> None:
    begin(member)
    page = as_member.post(reverse(PAGE), {"code": "000000"})
    assert b"not the code it shows" in page.content
    assert factor_of(member) is None


def test_a_key_that_was_not_confirmed_is_not_asked_for(member: Member) -> None:
    begin(member)
    client = Client()
    assert give(client)["Location"] == "/"
    assert is_in(client)


def test_a_key_that_waited_long_is_begun_anew(as_member: Client, member: Member) -> None:
    begin(member)
    SecondFactor.objects.update(begun_at=timezone.now() - timedelta(hours=1))
    assert b"Your password" in as_member.get(reverse(PAGE)).content


def test_a_first_code_sent_twice_is_no_mistake(as_member: Client, member: Member) -> None:
    begun = begin(member)
    sent = {"code": code_of(begun)}
    as_member.post(reverse(PAGE), sent)
    page: Any = as_member.post(reverse(PAGE), sent)
    assert b"a code is asked for when you sign in" in page.content
    assert not page.context["form"].errors


def test_beginning_twice_shows_the_key_and_no_mistake(as_member: Client, member: Member) -> None:
    as_member.post(reverse(PAGE), {"password": PASSWORD})
    page: Any = as_member.post(reverse(PAGE), {"password": PASSWORD})
    assert not page.context["form"].errors
    assert SecondFactor.objects.count() == 1


def test_one_in_use_is_not_begun_anew(factor: SecondFactor, member: Member) -> None:
    assert begin(member).sealed_key == factor.sealed_key


def test_it_can_be_left_before_it_is_on(as_member: Client, member: Member) -> None:
    begin(member)
    as_member.post(reverse(PAGE), {"do": "leave"})
    assert not SecondFactor.objects.exists()


def test_the_address_for_the_app_names_the_site_and_the_member(member: Member) -> None:
    begun = begin(member)
    assert key_address(begun) == (
        f"otpauth://totp/Exergue%20127.0.0.1:ana?secret={key_letters(begun)}"
        "&issuer=Exergue%20127.0.0.1"
    )


def test_pages_with_the_key_or_the_codes_are_kept_nowhere(
    as_member: Client, member: Member
) -> None:
    begun = begin(member)
    pages = [as_member.get(reverse(PAGE)), as_member.post(reverse(PAGE), {"code": code_of(begun)})]
    assert all("no-store" in page["Cache-Control"] for page in pages)


def test_neither_the_key_nor_the_codes_stand_in_the_database(member: Member) -> None:
    begun, codes = with_factor(member)
    stored = str([*SecondFactor.objects.values(), *RecoveryCode.objects.values()])
    assert key_letters(begun) not in stored
    assert not any(code in stored or code.replace("-", "") in stored for code in codes)


# ---- asked for at the door ----
def test_who_has_one_is_in_only_after_the_code(client: Client, factor: SecondFactor) -> None:
    assert give(client)["Location"] == reverse("sign-in-code")
    assert not is_in(client)
    assert send_code(client, code_of(factor))["Location"] == "/"
    assert is_in(client)


def test_the_page_asked_for_is_shown_after_the_code(client: Client, factor: SecondFactor) -> None:
    data = {"username": "ana", "password": PASSWORD, "next": "/wants/"}
    client.post(reverse("sign-in"), data)
    assert send_code(client, code_of(factor))["Location"] == "/wants/"


def test_a_code_alone_lets_nobody_in(client: Client, factor: SecondFactor) -> None:
    assert send_code(client, code_of(factor))["Location"] == reverse("sign-in")
    assert not is_in(client)


def test_a_wrong_code_is_refused_in_words(client: Client, factor: SecondFactor) -> None:
    give(client)
    page = send_code(client, code_of(factor, 40))
    assert b"This code is not right" in page.content
    assert not is_in(client)


def test_a_code_is_taken_once(client: Client, factor: SecondFactor) -> None:
    code = code_of(factor)
    give(client)
    send_code(client, code)
    replayer = Client()
    give(replayer)
    assert send_code(replayer, code).status_code == 200
    assert not is_in(replayer)


def test_no_code_from_before_the_last_one_is_taken(factor: SecondFactor) -> None:
    assert accept_code(factor, code_of(factor, 1))
    assert not accept_code(factor, code_of(factor, 0))
    assert not accept_code(factor, code_of(factor, 1))


@pytest.mark.parametrize(("steps", "taken"), [(-2, False), (-1, True), (1, True), (2, False)])
def test_clocks_may_differ_by_half_a_minute(factor: SecondFactor, steps: int, taken: bool) -> None:
    assert accept_code(factor, code_of(factor, steps)) == taken


def test_spaces_in_a_code_do_not_matter(factor: SecondFactor) -> None:
    code = code_of(factor)
    assert accept_code(factor, f" {code[:3]} {code[3:]} ")


@pytest.mark.parametrize(
    "odd", ["", "12345", "1234567", "abcdef", "９９９９９９", "-12345", "1e5000"]
)
def test_odd_codes_are_refused(factor: SecondFactor, odd: str) -> None:
    assert not accept_code(factor, odd)
    assert not accept_recovery(factor, odd)


def test_codes_cannot_be_guessed_quickly(client: Client, factor: SecondFactor) -> None:
    give(client)
    wrong = code_of(factor, 40)
    assert [send_code(client, wrong).status_code for _ in range(6)] == [200] * 5 + [429]
    page = send_code(client, code_of(factor))
    assert page.status_code == 429
    assert b"Wait 30 seconds" in page.content
    time_passes(seconds=31)
    assert send_code(client, code_of(factor)).status_code == 302


def test_guesses_in_other_browsers_count_together(factor: SecondFactor) -> None:
    answers = []
    for _ in range(6):
        guesser = Client()
        let_go(NAME, "ana")
        give(guesser)
        answers.append(send_code(guesser, code_of(factor, 40)).status_code)
    assert answers == [200] * 5 + [429]


def test_a_member_is_told_of_a_guesser_who_knows_the_password(
    client: Client, factor: SecondFactor
) -> None:
    guesser = Client()
    give(guesser)
    for _ in range(4):
        send_code(guesser, code_of(factor, 40))
    assert not Notice.objects.exists()
    for _ in range(4):
        send_code(guesser, code_of(factor, 40))
    assert [notice.kind for notice in Notice.objects.all()] == ["codes"]
    time_passes(minutes=20)
    give(client)
    send_code(client, code_of(factor))
    assert "the codes were wrong" in client.get("/").content.decode()


def test_a_guesser_who_knows_the_password_does_not_hold_up_the_known_device(
    client: Client, factor: SecondFactor
) -> None:
    give(client)
    send_code(client, code_of(factor))
    client.post(reverse("sign-out"))
    guesser = Client()
    give(guesser)
    for _ in range(9):
        send_code(guesser, code_of(factor, 40))
    give(client)
    assert send_code(client, code_of(factor, 1)).status_code == 302


def test_being_half_way_in_ends_after_ten_minutes(client: Client, factor: SecondFactor) -> None:
    give(client)
    store: Any = client.session
    pk, auth, at, to = store["half-way"]
    store["half-way"] = [pk, auth, at - 601, to]
    store.save()
    assert send_code(client, code_of(factor))["Location"] == reverse("sign-in")


def test_a_password_changed_meanwhile_ends_being_half_way(
    client: Client, factor: SecondFactor, member: Member
) -> None:
    give(client)
    member.set_password("quite another password")
    member.save()
    send_code(client, code_of(factor))
    assert not is_in(client)


def test_who_is_stopped_meanwhile_does_not_come_in(
    client: Client, factor: SecondFactor, member: Member
) -> None:
    give(client)
    Member.objects.filter(pk=member.pk).update(is_active=False)
    send_code(client, code_of(factor))
    assert not is_in(client)


def test_a_new_password_by_link_does_not_go_round_it(
    client: Client, factor: SecondFactor, member: Member
) -> None:
    answer = client.post(reverse("handed-link", args=[make_reset(member)]), NEW)
    assert answer["Location"] == reverse("sign-in-code")
    assert not is_in(client)
    member.refresh_from_db()
    assert member.check_password(NEW["new_password1"])
    send_code(client, code_of(factor))
    assert is_in(client)


# ---- recovery codes ----
def test_a_recovery_code_lets_in_once_and_says_how_many_are_left(member: Member) -> None:
    _factor, codes = with_factor(member)
    first, second = Client(), Client()
    give(first)
    send_code(first, codes[0].upper().replace("-", " "))
    assert "9 are left" in first.get("/").content.decode()
    give(second)
    assert send_code(second, codes[0]).status_code == 200
    send_code(second, codes[1])
    assert is_in(second)


def test_a_recovery_code_of_another_does_not_help(member: Member, other: Member) -> None:
    with_factor(member)
    _theirs, codes = with_factor_of(other)
    client = Client()
    give(client)
    send_code(client, codes[0])
    assert not is_in(client)


def with_factor_of(member: Member) -> tuple[SecondFactor, list[str]]:
    begun = begin(member)
    return begun, confirm(begun, code_of(begun))


def test_new_recovery_codes_end_the_earlier_ones(as_member: Client, member: Member) -> None:
    factor, codes = with_factor(member)
    sent = {"password": PASSWORD, "code": code_of(factor), "do": "codes"}
    page = as_member.post(reverse(PAGE), sent).content.decode()
    assert not accept_recovery(factor, codes[0])
    fresh = re.findall(r"<li>([2-9a-z-]{19})</li>", page)
    assert accept_recovery(factor, fresh[0])


# ---- switching it off ----
def test_it_is_switched_off_by_password_and_code(as_member: Client, factor: SecondFactor) -> None:
    as_member.post(reverse(PAGE), {"password": PASSWORD, "code": code_of(factor), "do": "off"})
    assert not SecondFactor.objects.exists()
    client = Client()
    give(client)
    assert is_in(client)


@pytest.mark.parametrize("lacking", ["password", "code"])
def test_it_is_not_switched_off_by_one_of_the_two(
    as_member: Client, factor: SecondFactor, lacking: str
) -> None:
    sent = {"password": PASSWORD, "code": code_of(factor), "do": "off"}
    assert as_member.post(reverse(PAGE), {**sent, lacking: "000000"}).status_code == 200
    assert SecondFactor.objects.exists()


def test_codes_cannot_be_guessed_there_either(as_member: Client, factor: SecondFactor) -> None:
    for _ in range(5):
        as_member.post(reverse(PAGE), {"password": PASSWORD, "code": "000000", "do": "off"})
    sent = {"password": PASSWORD, "code": code_of(factor), "do": "off"}
    assert b"Wait 30 seconds" in as_member.post(reverse(PAGE), sent).content
    assert SecondFactor.objects.exists()


def test_the_own_password_cannot_be_guessed_from_inside(as_member: Client, member: Member) -> None:
    for _ in range(10):
        as_member.post(reverse("account-password"), {"old_password": "wrong", **NEW})
    page = as_member.post(reverse("account-password"), {"old_password": PASSWORD, **NEW})
    assert b"Wait 1 minute" in page.content
    member.refresh_from_db()
    assert member.check_password(PASSWORD)
