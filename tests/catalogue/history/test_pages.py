"""The pages of what was changed, and taking a bulk change back from where it was made."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from catalogue.history.keeping import doing
from catalogue.members.erase import erase_member, remains_of
from catalogue.models import Aim, Alteration, Deed, Holding, Member, Place, Reservation
from series.models import Currency, Issuer
from tests.markup import markup

MakeHolding = Callable[..., Holding]


def _bulk(client: Client, pieces: list[Holding], **changes: str) -> str:
    """Change these in bulk, as the page does; the address to which the answer leads."""
    sent: dict[str, Any] = {"holding": [piece.pk for piece in pieces], "deed": "change", **changes}
    look = client.post("/holdings/bulk/", sent | {"do": "look"}).content.decode()
    seen = re.search(r'name="seen" value="([^"]+)"', markup(look))
    assert seen is not None
    page = client.post("/holdings/bulk/", sent | {"do": "do", "seen": seen[1]}, follow=True)
    way = re.search(r'href="(/changes/\d+/)">Take this change back', page.content.decode())
    assert way is not None
    return way[1]


def test_a_bulk_change_is_taken_back_from_its_message(
    as_member: Client, make_holding: MakeHolding
) -> None:
    pieces = [make_holding(), make_holding()]
    way = _bulk(as_member, pieces, spare="yes")
    page = markup(as_member.get(way).content.decode())
    assert "2 records; one of them, T.001: offered as a spare" in page
    done = as_member.post(way + "take-back/", follow=True)
    assert "The change is taken back" in done.content.decode()
    assert not Holding.objects.filter(spare=True).exists()
    assert "It was taken back." in as_member.get(way).content.decode()


def test_a_piece_touched_since_is_named_on_the_page(
    as_member: Client, make_holding: MakeHolding
) -> None:
    pieces = [make_holding(), make_holding()]
    way = _bulk(as_member, pieces, spare="yes")
    piece = Holding.objects.get(pk=pieces[1].pk)
    piece.note = "looked at again"
    piece.save()
    done = as_member.post(way + "take-back/", follow=True)
    assert "T.002 was changed since; nothing is taken back." in done.content.decode()
    assert Holding.objects.filter(spare=True).count() == 2


def test_status_and_bin_of_many_are_offered_back_too(
    as_member: Client, make_holding: MakeHolding
) -> None:
    pieces = [make_holding(), make_holding()]
    ids = {"holding": [piece.pk for piece in pieces], "do": "do", "expected": "2"}
    lost = {"deed": "status", "status": "lost", "on": "2024-03-01"}
    for sent in (lost, {"deed": "bin"}):
        page = as_member.post("/holdings/bulk/", ids | sent, follow=True)
        assert "Take this change back</a>" in page.content.decode()
    for deed in Deed.objects.filter(by__isnull=False).order_by("-pk"):
        as_member.post(f"/changes/{deed.pk}/take-back/")
    assert Holding.objects.filter(status="held").count() == 2


def test_recent_changes_are_ones_own_and_the_newest_first(
    as_member: Client, member: Member, other: Member, make_holding: MakeHolding
) -> None:
    with doing(member):
        make_holding(accession="A.1")
    with doing(other):
        make_holding(accession="B.1", owner=other)
    with doing(member, "sorted out"):
        Place.objects.create(owner=member, name="Drawer")
    page = markup(as_member.get("/changes/").content.decode())
    assert page.index("Drawer: entered: sorted out") < page.index("A.1: entered")
    assert "B.1" not in page


def test_the_queries_of_recent_changes_do_not_grow(
    as_member: Client, member: Member, make_holding: MakeHolding
) -> None:
    counts = []
    for number in (2, 20):
        for _time in range(number):
            with doing(member):
                make_holding().problems.create(kind="bent")
        with CaptureQueriesContext(connection) as seen:
            as_member.get("/changes/")
        counts.append(len(seen))
    assert counts[0] == counts[1]


def test_the_history_of_a_piece_stands_with_before_and_after(
    as_member: Client, make_holding: MakeHolding
) -> None:
    piece = make_holding(note="one\ntwo")
    piece.note = "three"
    piece.save()
    page = markup(as_member.get(f"/holdings/{piece.pk}/history/").content.decode())
    assert "one<br>two</td>" in page
    assert "three</td>" in page
    assert "Entered." in page


def test_the_history_of_a_country_names_its_curator_to_members(
    client: Client, other: Member, curator: Member, coinage: Any
) -> None:
    client.force_login(curator)
    sent = {"name": "Testonia", "row_version": "1", "code": ""}
    assert client.post("/countries/testland/edit/", sent).status_code == 302
    client.force_login(other)
    page = markup(client.get("/countries/testland/history/").content.decode())
    assert "by Cura" in page
    assert "Testland</td>" in page
    assert "Testonia</td>" in page


def test_no_list_of_pieces_asks_for_history(as_member: Client, make_holding: MakeHolding) -> None:
    make_holding()
    for view in ("plate", "list", "dates"):
        with CaptureQueriesContext(connection) as seen:
            as_member.get(f"/holdings/?view={view}")
        assert not [q for q in seen.captured_queries if "alteration" in q["sql"]]


def test_an_aim_has_its_history(as_member: Client, member: Member) -> None:
    aim = Aim.objects.create(owner=member, name="All")
    aim.name = "All of it"
    aim.save()
    page = markup(as_member.get(reverse("aim-history", args=[aim.pk])).content.decode())
    assert "All of it</td>" in page


def test_whoever_is_erased_is_nobody_in_what_stays(
    member: Member, curator: Member, coinage: Any, make_holding: MakeHolding
) -> None:
    piece = make_holding(note="a secret")
    with doing(curator, "Cura tidied up"):
        Issuer.objects.update(name="Testonia")
        Holding.objects.update(note="another secret")
    erase_member(curator)
    deed = Deed.objects.get(alterations__row="series.issuer", alterations__before__name="Testland")
    assert (deed.by, deed.why) == (None, "")
    assert Alteration.objects.filter(holding=piece, before__note="a secret").exists()
    erase_member(member)
    assert not Alteration.objects.filter(subject="catalogue.holding").exists()
    assert not Deed.objects.filter(alterations=None).exists()


def test_a_promise_to_whoever_is_erased_leaves_no_number_of_theirs(
    member: Member, other: Member, make_holding: MakeHolding, coinage: Any
) -> None:
    piece = make_holding()
    Reservation.objects.create(holding=piece, wanted_by=other, coin_type=coinage.type).delete()
    assert Alteration.objects.filter(row="catalogue.reservation").count() == 2
    erase_member(other)
    assert not Alteration.objects.filter(row="catalogue.reservation").exists()
    assert Alteration.objects.filter(holding=piece).exists()


def test_what_stays_of_changes_to_the_catalogue_is_said_before(
    curator: Member, coinage: Any
) -> None:
    assert not any("change that you made" in line for line in remains_of(curator))
    with doing(curator):
        Issuer.objects.update(name="Testonia")
        Currency.objects.update(note="a note")
    assert any("1 change that you made to the catalogue" in line for line in remains_of(curator))
