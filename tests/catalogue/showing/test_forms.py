"""The forms in which an owner makes and changes a page for others."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from catalogue.models import Holding, Member, Showing, ShownPiece
from catalogue.showing.choosing import choice_of
from tests.catalogue.showing.pages import SECRETS, shown


def test_the_preview_is_what_a_stranger_sees(
    as_member: Client, showing: Showing, link: str, full_of_secrets: Holding
) -> None:
    for path in ("", f"{full_of_secrets.pk}/"):
        page = as_member.get(f"/showings/{showing.pk}/preview/{path}").content.decode()
        assert "This is what a stranger sees." in page
        assert "Sign out" not in page
        assert [secret for secret in SECRETS if secret in page.lower()] == []


def test_a_page_is_made_of_what_was_found(
    as_member: Client, coinage: Any, make_holding: Any
) -> None:
    piece = make_holding()
    address = f"/showings/new/?series={coinage.series.pk}&view=list"
    as_member.post(address, {"title": "All", "which": "follow"})
    made = Showing.objects.get()
    assert (made.follows, made.query) == (True, f"series={coinage.series.pk}")
    assert shown(made) == [piece]
    as_member.post(address, {"title": "These", "which": "these"})
    made = Showing.objects.get(title="These")
    make_holding()
    assert (made.follows, made.query, shown(made)) == (False, "", [piece])


@pytest.mark.parametrize(
    ("asked", "query", "followable"),
    [
        ("", "", True),
        ("country=1&view=plate&sort=-year", "country=1", True),
        ("series=2&series=1", "series=1&series=2", True),
        ("holding=4&holding=5", "", False),
        ("place=3&grade=vf", "grade=vf", False),
        ("q=purse", "", False),
        ("status=sold", "", False),
        ("series=nonsense", "", False),
    ],
)
def test_a_page_follows_only_what_is_no_secret(
    member: Member, asked: str, query: str, followable: bool
) -> None:
    choice = choice_of(asked, member)
    assert (choice.query, choice.followable) == (query, followable)


def test_ticked_pieces_are_picked_and_the_private_among_them_wait(
    as_member: Client, make_holding: Any
) -> None:
    open_one, private = make_holding(), make_holding(visibility="private")
    make_holding()
    address = f"/showings/new/?holding={open_one.pk}&holding={private.pk}"
    assert "1 of them you keep to yourself" in as_member.get(address).content.decode()
    as_member.post(address, {"title": "Two"})
    made = Showing.objects.get()
    assert shown(made) == [open_one]
    assert (
        "1 piece you picked is not shown" in as_member.get(made.get_absolute_url()).content.decode()
    )
    as_member.post(
        f"/showings/{made.pk}/pieces/",
        {
            f"piece-{private.pk}-caption": "",
            f"piece-{private.pk}-stays": "on",
            f"piece-{private.pk}-though_private": "on",
        },
    )
    assert set(shown(made)) == {open_one, private}


def test_captions_are_written_and_pieces_added_and_taken_off(
    as_member: Client, showing: Showing, coinage: Any, make_holding: Any
) -> None:
    Showing.objects.update(follows=False)
    first, second = make_holding(accession="Q.1"), make_holding(accession="Q.2")
    address = f"/showings/{showing.pk}/pieces/"
    as_member.post(address, {"numbers": "Q.1, Q.2"})
    assert shown(showing) == [first, second]
    as_member.post(address, {f"piece-{first.pk}-caption": "Mine", f"piece-{first.pk}-stays": "on"})
    as_member.post(address, {f"piece-{second.pk}-caption": ""})
    assert shown(showing) == [first]
    assert ShownPiece.objects.get().caption == "Mine"


def test_a_wrong_number_loses_no_caption_that_was_typed(
    as_member: Client, showing: Showing, make_holding: Any
) -> None:
    piece = make_holding()
    sent = {"numbers": "no such", f"piece-{piece.pk}-caption": "Typed just now"}
    page = as_member.post(f"/showings/{showing.pk}/pieces/", sent).content.decode()
    assert "Typed just now" in page
    assert "no such" in page
    assert not ShownPiece.objects.exists()


def test_a_page_without_a_title_is_refused_and_keeps_what_was_typed(as_member: Client) -> None:
    page = as_member.post("/showings/new/", {"title": "", "intro": "Long words", "which": "these"})
    assert "Long words" in page.content.decode()
    assert not Showing.objects.exists()


def test_a_stale_edit_is_refused(as_member: Client, showing: Showing) -> None:
    sent = {"title": "Mine", "row_version": showing.row_version}
    Showing.objects.get(pk=showing.pk).save()
    Showing.objects.filter(pk=showing.pk).update(title="Theirs")
    page = as_member.post(f"/showings/{showing.pk}/edit/", sent).content.decode()
    assert "Theirs" in page
    assert "Mine" in page
    assert Showing.objects.get().title == "Theirs"
