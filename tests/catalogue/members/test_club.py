"""The club's page, a member's page, and what an administrator may change."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from catalogue.members.roles import LastAdministrator, change_role, keep_an_administrator
from catalogue.models import Holding, Member


@pytest.fixture
def as_administrator(client: Client, administrator: Member) -> Client:
    client.force_login(administrator, backend="django.contrib.auth.backends.ModelBackend")
    return client


def test_the_club_is_shown_with_what_each_shows(
    as_member: Client, other: Member, make_holding: Callable[..., Holding]
) -> None:
    make_holding(owner=other, quantity=3)
    make_holding(owner=other, visibility="private")
    make_holding(owner=other).bin()
    make_holding(owner=other, status="sold")
    page = as_member.get(reverse("club"))
    assert page.status_code == 200
    lines = {line.member: (line.records, line.pieces) for line in page.context["lines"]}
    assert lines[other] == (1, 3)
    assert f"?owner={other.pk}" in page.content.decode()


def test_a_visitor_does_not_see_the_club(client: Client, member: Member) -> None:
    assert client.get(reverse("club")).status_code == 302
    assert client.get(reverse("member", args=[member.pk])).status_code == 302


def test_the_club_costs_the_same_for_many_members(
    as_member: Client,
    make_member: Callable[..., Member],
    make_holding: Callable[..., Holding],
    django_assert_max_num_queries: Any,
) -> None:
    def queries() -> int:
        with django_assert_max_num_queries(20) as seen:
            assert as_member.get(reverse("club")).status_code == 200
        return len(seen)

    make_holding(owner=make_member("m0"))
    few = queries()
    for n in range(1, 15):
        make_holding(owner=make_member(f"m{n}"))
    assert queries() == few


def test_a_members_page_shows_what_the_viewer_may_see(
    as_member: Client, other: Member, make_holding: Callable[..., Holding]
) -> None:
    make_holding(owner=other, visibility="private", accession="SECRET")
    make_holding(owner=other, spare=True)
    page = as_member.get(reverse("member", args=[other.pk]))
    assert (page.context["count"], page.context["spares"]) == (1, 1)
    assert b"SECRET" not in page.content


def test_a_members_address_is_for_administrators(
    client: Client,
    make_member: Callable[..., Member],
    as_member: Client,
    administrator: Member,
) -> None:
    cleo = make_member("cleo", email="cleo@example.org")
    address = reverse("member", args=[cleo.pk])
    assert b"cleo@example.org" not in as_member.get(address).content
    client.force_login(administrator, backend="django.contrib.auth.backends.ModelBackend")
    assert b"cleo@example.org" in client.get(address).content


def test_who_may_not_sign_in_is_shown_to_administrators_alone(
    client: Client, other: Member, as_member: Client, administrator: Member
) -> None:
    Member.objects.filter(pk=other.pk).update(is_active=False)
    address = reverse("member", args=[other.pk])
    assert as_member.get(address).status_code == 404
    assert b">Bo<" not in as_member.get(reverse("club")).content
    client.force_login(administrator, backend="django.contrib.auth.backends.ModelBackend")
    assert client.get(address).status_code == 200


def test_an_administrator_changes_a_role(as_administrator: Client, member: Member) -> None:
    as_administrator.post(reverse("member-role", args=[member.pk]), {"role": "curator"})
    member.refresh_from_db()
    assert member.role == "curator"


def test_a_role_that_does_not_exist_is_refused(as_administrator: Client, member: Member) -> None:
    as_administrator.post(reverse("member-role", args=[member.pk]), {"role": "king"})
    member.refresh_from_db()
    assert member.role == "member"


@pytest.mark.parametrize("role", ["member", "curator"])
def test_nobody_else_changes_roles_or_sign_in(
    client: Client, make_member: Callable[..., Member], role: str
) -> None:
    me = make_member("me", role=role)
    client.force_login(me, backend="django.contrib.auth.backends.ModelBackend")
    for name, data in (("member-role", {"role": "administrator"}), ("member-sign-in", {})):
        assert client.post(reverse(name, args=[me.pk]), data).status_code == 403
    me.refresh_from_db()
    assert (me.role, me.is_active) == (role, True)


def test_an_administrator_stops_and_allows_signing_in(
    as_administrator: Client, member: Member
) -> None:
    address = reverse("member-sign-in", args=[member.pk])
    as_administrator.post(address, {"allowed": "no"})
    assert not Member.objects.get(pk=member.pk).is_active
    as_administrator.post(address, {"allowed": "yes"})
    assert Member.objects.get(pk=member.pk).is_active


def test_the_last_administrator_stays(as_administrator: Client, administrator: Member) -> None:
    as_administrator.post(reverse("member-role", args=[administrator.pk]), {"role": "member"})
    page = as_administrator.post(
        reverse("member-sign-in", args=[administrator.pk]), {"allowed": "no"}, follow=True
    )
    assert b"Make another member administrator first" in page.content
    administrator.refresh_from_db()
    assert (administrator.role, administrator.is_active) == ("administrator", True)


def test_one_of_two_administrators_may_step_down(
    as_administrator: Client, administrator: Member, make_member: Callable[..., Member]
) -> None:
    make_member("second", role="administrator")
    as_administrator.post(reverse("member-role", args=[administrator.pk]), {"role": "member"})
    administrator.refresh_from_db()
    assert administrator.role == "member"


def test_an_administrator_who_may_not_sign_in_does_not_count(
    administrator: Member, make_member: Callable[..., Member]
) -> None:
    make_member("second", role="administrator", is_active=False)
    with pytest.raises(LastAdministrator):
        change_role(administrator, "curator")


def test_a_member_is_never_the_last_administrator(administrator: Member, member: Member) -> None:
    keep_an_administrator(member)
