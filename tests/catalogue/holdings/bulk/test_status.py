"""Lending, taking back and parting with many holdings at once."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from catalogue.holdings.actions import change_status
from catalogue.holdings.bulk import status as bulk_status
from catalogue.models import Holding, Member, Place, Reservation, StatusChange
from tests.markup import markup

BACK = "/holdings/?view=list"
DAY = "2026-03-01"


def send(client: Client, holdings: list[Holding], do: str, **fields: Any) -> Any:
    data = {
        "holding": [holding.pk for holding in holdings],
        "back": BACK,
        "do": do,
        "deed": "status",
        "expected": len(holdings),
        "on": DAY,
    }
    return client.post("/holdings/bulk/", data | fields, follow=do == "do")


@pytest.fixture
def three(make_holding: Any, coinage: Any) -> list[Holding]:
    return [make_holding(issue=coinage.issues[0], quantity=n) for n in (1, 2, 3)]


def test_it_works(as_member: Client, three: list[Holding]) -> None:
    ids = [holding.pk for holding in three]
    sent = {"holding": ids, "back": BACK, "do": "look", "deed": "status"}
    page = as_member.post("/holdings/bulk/", sent)
    assert "What happens to 3 holdings" in page.text
    assert "lend them" in page.text
    assert not page.context["form"].errors


def test_the_bulk_page_leads_there(as_member: Client, three: list[Holding]) -> None:
    page = as_member.post("/holdings/bulk/", {"holding": three[0].pk, "back": BACK})
    assert 'name="deed" value="status"' in page.text


def test_a_last_look_changes_nothing(as_member: Client, three: list[Holding]) -> None:
    page = send(as_member, three, "look", status="on_loan", with_whom="Town museum")
    assert "Note this of 3 holdings?" in page.text
    assert "to or with Town museum" in page.text
    assert set(Holding.objects.values_list("status", flat=True)) == {"held"}


def test_they_are_lent_with_date_and_whom_and_taken_back(
    as_member: Client, three: list[Holding]
) -> None:
    page = send(as_member, three, "do", status="on_loan", with_whom="Town museum", note="till May")
    assert "3 holdings: on loan." in page.text
    said = set(StatusChange.objects.values_list("status", "on", "with_whom", "note", "amount"))
    assert said == {("on_loan", date(2026, 3, 1), "Town museum", "till May", None)}
    send(as_member, three, "do", status="held", on="2026-05-01")
    assert set(Holding.objects.values_list("status", flat=True)) == {"held"}
    assert StatusChange.objects.count() == 6


def test_what_is_sold_leaves_its_place_and_is_spare_no_more(
    as_member: Client, member: Member, three: list[Holding]
) -> None:
    place = Place.objects.create(owner=member, name="Box", path="Box")
    Holding.objects.update(place=place, spare=True)
    send(as_member, three, "do", status="sold", amount="12.50", currency="eur")
    assert set(Holding.objects.values_list("status", "place", "spare")) == {("sold", None, False)}
    assert set(StatusChange.objects.values_list("amount", "currency")) == {
        (Decimal("12.50"), "EUR")
    }


def test_what_does_not_fit_is_left_and_it_is_said_why(
    as_member: Client, member: Member, other: Member, make_holding: Any, coinage: Any
) -> None:
    fits = make_holding(status="on_loan")
    sold = make_holding(status="sold")
    lost = make_holding(status="lost")
    later = make_holding(acquired_on=date(2026, 4, 1))
    changed = make_holding()
    change_status(changed, "on_loan", date(2026, 3, 2))
    promised = make_holding(spare=True)
    Reservation.objects.create(holding=promised, wanted_by=other, coin_type=coinage.type)
    chosen = [fits, sold, lost, later, changed, promised]
    why = {
        sold: "it is sold already",
        lost: "it is no longer in hand (lost)",
        later: "it was acquired later, on 1 April 2026",
        changed: "its status was last changed later, on 2 March 2026",
        promised: f"it is promised to {other}; take the promise back first",
    }
    page = send(as_member, chosen, "look", status="sold")
    assert "5 are left as they are" in page.text
    for holding, reason in why.items():
        line = f'{holding.accession} <span class="muted">{reason}</span>'
        assert line in markup(page.text)
    page = send(as_member, chosen, "do", status="sold")
    assert "1 holding: sold." in page.text
    assert "5 holdings were left as they were" in page.text
    for holding, reason in why.items():
        assert f"{holding.accession} ({reason})" in page.text
        before = (holding.status, holding.row_version)
        holding.refresh_from_db()
        assert (holding.status, holding.row_version) == before
    fits.refresh_from_db()
    assert fits.status == "sold"
    assert Reservation.objects.filter(holding=promised).exists()


def test_what_is_promised_can_be_lent(
    as_member: Client, other: Member, make_holding: Any, coinage: Any
) -> None:
    promised = make_holding(spare=True)
    Reservation.objects.create(holding=promised, wanted_by=other, coin_type=coinage.type)
    send(as_member, [promised], "do", status="on_loan")
    promised.refresh_from_db()
    assert promised.status == "on_loan"


def test_when_none_fits_there_is_nothing_to_confirm(
    as_member: Client, three: list[Holding]
) -> None:
    page = send(as_member, three, "look", status="held")
    assert "It can happen to none of them" in page.text
    assert "<button>Note it" not in markup(page.text)


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({}, "This field is required"),
        ({"status": "melted"}, "Select a valid choice"),
        ({"status": "sold", "on": "soon"}, "Enter a valid date"),
        ({"status": "sold", "amount": "4"}, "Say in which currency"),
    ],
)
def test_bad_input_is_said_and_keeps_the_choice(
    as_member: Client, three: list[Holding], fields: dict[str, str], words: str
) -> None:
    page = send(as_member, three, "do", **fields)
    assert words in page.text
    assert page.text.count('name="holding"') == 3
    assert not StatusChange.objects.exists()


def test_a_day_to_come_is_refused(as_member: Client, three: list[Holding]) -> None:
    tomorrow = timezone.localdate() + timedelta(days=1)
    page = send(as_member, three, "do", status="sold", on=tomorrow.isoformat())
    assert "This day has not come yet" in page.text


def test_nothing_happens_when_the_number_has_changed(
    as_member: Client, three: list[Holding]
) -> None:
    page = send(as_member, three, "do", status="sold", expected=2)
    assert "has changed since you looked" in page.text
    assert not StatusChange.objects.exists()


def test_the_pieces_of_others_are_left_out(
    as_member: Client, other: Member, make_holding: Any, three: list[Holding]
) -> None:
    theirs = make_holding(owner=other)
    send(as_member, [*three, theirs], "do", status="sold", expected=3)
    theirs.refresh_from_db()
    assert theirs.status == "held"
    assert Holding.objects.filter(status="sold").count() == 3


def test_all_that_the_list_found_are_changed_though_they_leave_it(
    as_member: Client, three: list[Holding]
) -> None:
    sent = {"all": "1", "back": "/holdings/?view=list&status=held", "do": "do", "deed": "status"}
    sent |= {"status": "given", "on": DAY, "expected": "3"}
    as_member.post("/holdings/bulk/", sent)
    assert set(Holding.objects.values_list("status", flat=True)) == {"given"}


def test_too_many_at_once_are_refused(
    as_member: Client, three: list[Holding], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bulk_status, "STATUS_MOST", 2)
    page = send(as_member, three, "do", status="sold")
    assert "at most 2 holdings at a time" in page.text
    assert not StatusChange.objects.exists()


def test_many_that_were_left_are_not_all_named_in_the_message(
    as_member: Client, make_holding: Any
) -> None:
    many = [make_holding(status="lost") for _ in range(23)]
    page = send(as_member, many, "do", status="sold")
    assert "23 holdings were left as they were" in page.text
    assert "and 3 more" in page.text


def test_which_of_them_fit_is_asked_in_two_queries(
    make_holding: Any, django_assert_num_queries: Any
) -> None:
    for _ in range(12):
        change_status(make_holding(), "on_loan", date(2026, 2, 1))
    with django_assert_num_queries(2):
        found = bulk_status.sort_by_fit(Holding.objects.all(), "sold", date(2026, 3, 1))
    assert (len(found.fit), found.left) == (12, [])
