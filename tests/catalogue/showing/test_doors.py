"""The doors of pages for others: which are open, to whom, and for how long."""

from __future__ import annotations

import datetime
from typing import Any

from django.test import Client
from django.utils import timezone

from catalogue.models import Member, Showing
from tests.catalogue.showing.pages import text


def test_an_ended_or_expired_link_leads_nowhere(
    as_member: Client, showing: Showing, link: str, make_holding: Any
) -> None:
    inside = f"{link}{make_holding().pk}/"
    Showing.objects.update(expires_at=timezone.now())
    assert [Client().get(a).status_code for a in (link, inside)] == [404, 404]
    Showing.objects.update(expires_at=timezone.now() + datetime.timedelta(days=1))
    assert Client().get(inside).status_code == 200
    as_member.post(f"/showings/{showing.pk}/unshare/")
    assert [Client().get(a).status_code for a in (link, inside)] == [404, 404]


def test_a_new_link_ends_the_one_before_and_is_shown_once(
    as_member: Client, showing: Showing, link: str
) -> None:
    as_member.post(f"/showings/{showing.pk}/share/", {"days": "30"})
    address = as_member.get(f"/showings/{showing.pk}/").context["address"]
    path = address[address.index("/shown/") :]
    assert Client().get(path).status_code == 200
    assert Client().get(link).status_code == 404
    token = path.split("/")[2]
    assert token not in as_member.get(f"/showings/{showing.pk}/").content.decode()
    assert token not in Showing.objects.get().token_hash


def test_an_open_page_is_listed_to_strangers_and_a_secret_one_is_not(
    showing: Showing, link: str
) -> None:
    assert Client().get(f"/open/{showing.pk}/").status_code == 404
    assert "Coins of the quay" not in text("/open/")
    assert "/open/" not in text("/sign-in/")
    Showing.objects.update(open_to_all=True)
    assert "Coins of the quay" in text("/open/")
    assert "/open/" in text("/sign-in/")
    assert Client().get(f"/open/{showing.pk}/").status_code == 200


def test_search_engines_list_an_open_page_only_where_its_owner_said_so(showing: Showing) -> None:
    Showing.objects.update(open_to_all=True)
    assert Client().get(f"/open/{showing.pk}/")["X-Robots-Tag"] == "noindex, nofollow"
    assert "noindex" in text(f"/open/{showing.pk}/")
    Showing.objects.update(indexed=True)
    assert "X-Robots-Tag" not in Client().get(f"/open/{showing.pk}/")
    assert "noindex" not in text(f"/open/{showing.pk}/")


def test_a_page_in_the_bin_or_of_one_who_left_is_closed(
    as_member: Client, showing: Showing, link: str, member: Member
) -> None:
    Showing.objects.update(open_to_all=True)
    doors = (link, f"/open/{showing.pk}/")
    member.is_active = False
    member.save()
    assert [Client().get(door).status_code for door in doors] == [404, 404]
    member.is_active = True
    member.save()
    assert [Client().get(door).status_code for door in doors] == [200, 200]
    as_member.force_login(member, backend="django.contrib.auth.backends.ModelBackend")
    as_member.post(f"/showings/{showing.pk}/remove/")
    assert [Client().get(door).status_code for door in doors] == [404, 404]
    Showing.everything.get().take_back()
    assert [Client().get(door).status_code for door in doors] == [404, 404]
