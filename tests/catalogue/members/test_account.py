"""A member's own account: what can be set, and the password."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from catalogue.members.accession import PatternRefused, accession_number
from catalogue.members.currency_codes import currency_codes
from catalogue.models import Member

FILLED = {
    "name": "Ana of the island",
    "email": "ana@example.org",
    "currency": "SEK",
    "paper": "Letter",
    "accession_pattern": "A{year}-{n:04}",
    "lists_to_club": "",
}


def test_the_account_is_saved(as_member: Client, member: Member) -> None:
    response = as_member.post(reverse("account"), FILLED)
    assert (response.status_code, response["Location"]) == (302, reverse("account"))
    member.refresh_from_db()
    stored = {name: getattr(member, name) for name in FILLED}
    assert stored == {**FILLED, "lists_to_club": False}


def test_a_visitor_has_no_account(client: Client, db: None) -> None:
    for name in ("account", "account-password", "account-erase"):
        assert client.get(reverse(name)).status_code == 302


def test_role_and_sign_in_name_cannot_be_set_here(as_member: Client, member: Member) -> None:
    as_member.post(
        reverse("account"), {**FILLED, "role": "administrator", "username": "root", "is_active": ""}
    )
    member.refresh_from_db()
    assert (member.role, member.username, member.is_active) == ("member", "ana", True)


@pytest.mark.parametrize(
    ("change", "complaint"),
    [
        ({"currency": "XXX"}, "Select a valid choice"),
        ({"email": "no address"}, "valid email"),
        ({"accession_pattern": "{year}"}, "Add {n}"),
        ({"accession_pattern": "{n"}, "A brace is missing"),
        ({"accession_pattern": "{n.__class__}"}, "Only {year} and {n}"),
        ({"accession_pattern": "{n:999999999}"}, "how many digits"),
    ],
)
def test_a_mistake_is_said_and_what_was_typed_is_kept(
    as_member: Client, member: Member, change: dict[str, str], complaint: str
) -> None:
    page = as_member.post(reverse("account"), {**FILLED, **change})
    assert page.status_code == 200
    assert complaint in page.content.decode()
    assert 'value="Ana of the island"' in page.content.decode()
    member.refresh_from_db()
    assert member.currency == "EUR"


def test_the_pattern_is_shown_with_an_example(as_member: Client, member: Member) -> None:
    Member.objects.filter(pk=member.pk).update(accession_pattern="Q-{n:05}")
    assert b"Q-00007" in as_member.get(reverse("account")).content


def test_the_example_cannot_bring_markup_into_the_page(as_member: Client, member: Member) -> None:
    Member.objects.filter(pk=member.pk).update(accession_pattern="<b>{n}")
    page = as_member.get(reverse("account")).content
    assert b"<b>7" not in page
    assert b"&lt;b&gt;7" in page


def test_the_password_is_changed_and_this_browser_stays(as_member: Client, member: Member) -> None:
    elsewhere = Client()
    elsewhere.force_login(member, backend="django.contrib.auth.backends.ModelBackend")
    new = "another very long password"
    data = {
        "old_password": "a good long password",
        "new_password1": new,
        "new_password2": new,
    }
    assert as_member.post(reverse("account-password"), data).status_code == 302
    assert as_member.get(reverse("account")).status_code == 200
    assert elsewhere.get(reverse("account")).status_code == 302
    member.refresh_from_db()
    assert member.check_password(new)


def test_the_old_password_is_asked_for(as_member: Client, member: Member) -> None:
    new = "another very long password"
    data = {"old_password": "wrong", "new_password1": new, "new_password2": new}
    assert as_member.post(reverse("account-password"), data).status_code == 200
    member.refresh_from_db()
    assert not member.check_password(new)


@pytest.mark.parametrize(
    ("pattern", "number"),
    [
        ("{year}.{n:03}", "2024.007"),
        ("{n}", "7"),
        ("{{x}}{n:2}", "{x} 7"),
        ("{n:d}/{year}", "7/2024"),
    ],
)
def test_accession_numbers_by_pattern(pattern: str, number: str) -> None:
    assert accession_number(pattern, 2024, 7) == number


@pytest.mark.parametrize(
    ("pattern", "why"),
    [
        ("{year}", "no-count"),
        ("", "no-count"),
        ("{", "braces"),
        ("}", "braces"),
        ("{}{n}", "field"),
        ("{0}{n}", "field"),
        ("{n!r}", "field"),
        ("{n[0]}", "field"),
        ("{day}{n}", "field"),
        ("{n:x}", "width"),
        ("{n:{year}}", "width"),
        ("x" * 60 + "{n}", "long"),
    ],
)
def test_patterns_that_make_no_numbers_are_refused(pattern: str, why: str) -> None:
    with pytest.raises(PatternRefused, match=f"^{why}$"):
        accession_number(pattern, 2024, 7)


def test_codes_are_those_of_the_converter_itself() -> None:
    from currency_converter import CurrencyConverter

    assert set(currency_codes()) == set(CurrencyConverter().currencies)


def test_the_account_offers_every_code(as_member: Client) -> None:
    form: Any = as_member.get(reverse("account")).context["form"]
    assert [value for value, _ in form.fields["currency"].choices] == list(currency_codes())
