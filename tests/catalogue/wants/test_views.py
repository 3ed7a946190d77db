"""The pages of aims, wants and lists; the secret link; promised spares."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from catalogue.models import Aim, Holding, Member, Place, Reservation, Want, WantList
from catalogue.wants.spares import ReservationRefused, reserve

BACKEND = "django.contrib.auth.backends.ModelBackend"


def signed_in(member: Member) -> Client:
    client = Client()
    client.force_login(member, backend=BACKEND)
    return client


@pytest.fixture
def aim(member: Member, coinage: Any) -> Aim:
    return Aim.objects.create(owner=member, name="Every date", unit="date", series=coinage.series)


@pytest.fixture
def shared(as_member: Client, member: Member, aim: Aim) -> tuple[WantList, str]:
    """A list that was shared, and the path of its link as the page showed it."""
    made = WantList.objects.create(owner=member, title="Looking for", greeting="Thank you")
    made.aims.add(aim)
    as_member.post(f"/lists/{made.pk}/share/", {"days": "30"})
    page = as_member.get(f"/lists/{made.pk}/").content.decode()
    found = re.search(r"(/list/[\w-]+/)", page)
    assert found
    made.refresh_from_db()
    return made, found[1]


def test_it_works(as_member: Client, aim: Aim) -> None:
    for address in ("/wants/", f"/aims/{aim.pk}/", f"/aims/{aim.pk}/?show=upgrades"):
        assert as_member.get(address).status_code == 200
    assert "1953" in as_member.get(f"/aims/{aim.pk}/").content.decode()


def test_an_aim_is_set_from_a_series(as_member: Client, member: Member, coinage: Any) -> None:
    page = as_member.get("/aims/new/", {"series": coinage.series.key})
    assert page.context["form"].initial["series"] == coinage.series.pk
    data = {
        "name": "A",
        "unit": "date",
        "series": coinage.series.pk,
        "purposes": ["circulation"],
        "grade_scale": "british",
        "lowest_grade": "vf",
    }
    as_member.post("/aims/new/", data)
    made = Aim.objects.get()
    assert (made.owner, made.lowest_grade, made.lowest_rank) == (member, "VF", 32)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"series": ""}, "Say of what"),
        ({"lowest_grade": "super"}, "is no grade of the british scale"),
        ({"first_year": "1950", "last_year": "1940"}, "lies before the first"),
        ({"first_year": "1700", "last_year": "1701"}, "No dates in the catalogue fit"),
    ],
)
def test_an_aim_that_makes_no_sense_is_refused_with_what_to_do(
    as_member: Client, coinage: Any, fields: dict[str, str], words: str
) -> None:
    data = {
        "name": "A",
        "unit": "date",
        "series": coinage.series.pk,
        "purposes": ["circulation"],
        "grade_scale": "british",
    } | fields
    assert words in as_member.post("/aims/new/", data).content.decode()
    assert not Aim.objects.exists()


def test_a_want_in_words(as_member: Client, member: Member) -> None:
    data = {"text": "Any token of the quay", "grade_scale": "british", "highest_price": "12"}
    answer = as_member.post("/wants/new/", data | {"price_currency": ""})
    assert "Say in which currency" in answer.content.decode()
    as_member.post("/wants/new/", data | {"price_currency": "eur"})
    assert Want.objects.get().price_currency == "EUR"
    assert "Any token of the quay" in as_member.get("/wants/").content.decode()


@pytest.mark.parametrize("address", ["/aims/{aim}/", "/aims/{aim}/edit/", "/lists/{list}/"])
def test_aims_and_lists_of_others_are_not_there(
    shared: tuple[WantList, str], aim: Aim, other: Member, administrator: Member, address: str
) -> None:
    path = address.format(aim=aim.pk, list=shared[0].pk)
    assert [signed_in(m).get(path).status_code for m in (other, administrator)] == [404, 404]


def test_a_stranger_with_the_link_sees_the_wants(shared: tuple[WantList, str]) -> None:
    page = Client().get(shared[1])
    assert page.status_code == 200
    assert page["X-Robots-Tag"].startswith("noindex")
    assert page["Referrer-Policy"] == "strict-origin"
    assert "1931" in page.content.decode()


def test_the_shared_list_shows_nothing_else(
    shared: tuple[WantList, str],
    member: Member,
    coinage: Any,
    make_holding: Callable[..., Holding],
) -> None:
    place = Place.objects.create(owner=member, name="Under the stairs", path="Under the stairs")
    make_holding(issue=coinage.issues[0], place=place, note="dear", accession="SECRET.1")
    for path in (shared[1], shared[1] + "wants.csv"):
        text = Client().get(path).content.decode()
        assert "1931" not in text
        for secret in ("SECRET", "stairs", "dear", member.username, member.name):
            assert secret not in text


def test_the_link_is_shown_once_and_stored_hashed(
    as_member: Client, shared: tuple[WantList, str]
) -> None:
    token = shared[1].split("/")[2]
    assert token not in as_member.get(f"/lists/{shared[0].pk}/").content.decode()
    assert token not in shared[0].token_hash


def test_an_ended_link_leads_nowhere(as_member: Client, shared: tuple[WantList, str]) -> None:
    as_member.post(f"/lists/{shared[0].pk}/unshare/")
    assert Client().get(shared[1]).status_code == 404


def test_an_expired_link_leads_nowhere(shared: tuple[WantList, str]) -> None:
    WantList.objects.update(expires_at=timezone.now())
    assert Client().get(shared[1]).status_code == 404


def test_a_link_without_a_token_leads_nowhere(member: Member) -> None:
    WantList.objects.create(owner=member, title="Never shared")
    assert Client().get("/list/x/").status_code == 404


def test_the_csv_says_the_same(shared: tuple[WantList, str]) -> None:
    text = Client().get(shared[1] + "wants.csv").content.decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert [row["date"] for row in rows] == ["1931", "1947", "1953"]
    assert {row["country"] for row in rows} == {"Testland"}


def test_a_spreadsheet_takes_no_cell_for_a_formula(
    as_member: Client, member: Member, shared: tuple[WantList, str]
) -> None:
    Want.objects.create(owner=member, text='=HYPERLINK("x")')
    text = Client().get(shared[1] + "wants.csv").content.decode()
    assert "'=HYPERLINK" in text


def test_members_see_which_of_their_spares_would_fill_a_want(
    aim: Aim, other: Member, member: Member, coinage: Any, make_holding: Callable[..., Holding]
) -> None:
    spare = make_holding(owner=other, issue=coinage.issues[0], spare=True)
    make_holding(owner=other, issue=coinage.issues[1])
    found = signed_in(other).get("/wants/").context["offers_by_me"]
    assert [offer.holding for offer in found[member]] == [spare]
    back = signed_in(member).get("/wants/").context["offers_to_me"]
    assert [offer.holding for offer in back] == [spare]


def test_wants_kept_from_the_club_are_not_matched(
    aim: Aim, other: Member, member: Member, coinage: Any, make_holding: Callable[..., Holding]
) -> None:
    make_holding(owner=other, issue=coinage.issues[0], spare=True)
    member.lists_to_club = False
    member.save()
    client = signed_in(other)
    assert client.get("/wants/").context["offers_by_me"] == {}
    assert client.get(f"/club/{member.pk}/wants/").status_code == 404


def test_a_private_spare_is_offered_to_nobody(
    aim: Aim, other: Member, member: Member, coinage: Any, make_holding: Callable[..., Holding]
) -> None:
    make_holding(owner=other, issue=coinage.issues[0], spare=True, visibility="private")
    assert signed_in(member).get("/wants/").context["offers_to_me"] == []


def test_a_spare_is_promised_once(
    aim: Aim, other: Member, member: Member, curator: Member, coinage: Any, make_holding: Any
) -> None:
    spare = make_holding(owner=other, issue=coinage.issues[0], spare=True)
    signed_in(other).post(f"/holdings/{spare.pk}/promise/", {"member": member.pk})
    assert Reservation.objects.get().wanted_by == member
    with pytest.raises(ReservationRefused, match="already promised"):
        reserve(spare, curator)
    assert signed_in(other).get("/wants/").context["offers_by_me"] == {}


def test_both_sides_may_take_a_promise_back_and_nobody_else(
    other: Member, member: Member, curator: Member, make_holding: Any
) -> None:
    for taker in (other, member):
        promise = reserve(make_holding(owner=other, spare=True), member)
        path = f"/promises/{promise.pk}/end/"
        assert signed_in(curator).post(path).status_code == 404
        assert signed_in(taker).post(path).status_code == 302
        assert not Reservation.objects.exists()


def test_one_cannot_promise_what_is_anothers(
    other: Member, member: Member, make_holding: Any
) -> None:
    spare = make_holding(owner=member, spare=True)
    answer = signed_in(other).post(f"/holdings/{spare.pk}/promise/", {"member": member.pk})
    assert answer.status_code == 404
    assert not Reservation.objects.exists()


@pytest.mark.parametrize("sent", ["", "x", "²", "9" * 30])
def test_a_promise_to_nobody_is_refused(other: Member, make_holding: Any, sent: str) -> None:
    spare = make_holding(owner=other, spare=True)
    answer = signed_in(other).post(f"/holdings/{spare.pk}/promise/", {"member": sent})
    assert answer.status_code == 404


def test_a_stale_edit_of_an_aim_is_refused_and_shows_both(
    as_member: Client, aim: Aim, coinage: Any
) -> None:
    data = {
        "name": "Mine",
        "unit": "date",
        "series": coinage.series.pk,
        "purposes": ["circulation"],
        "grade_scale": "british",
        "row_version": aim.row_version,
    }
    Aim.objects.get(pk=aim.pk).save()
    Aim.objects.filter(pk=aim.pk).update(name="Theirs")
    page = as_member.post(f"/aims/{aim.pk}/edit/", data)
    text = page.content.decode()
    assert "Theirs" in text
    assert "Mine" in text
    aim.refresh_from_db()
    assert aim.name == "Theirs"
    again = {**data, "row_version": page.context["form"].data["row_version"]}
    as_member.post(f"/aims/{aim.pk}/edit/", again)
    aim.refresh_from_db()
    assert aim.name == "Mine"
