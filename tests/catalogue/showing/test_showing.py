"""Pages for others: what strangers see of a collection, and above all what they do not."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from typing import Any

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.test import Client
from django.utils import timezone
from PIL import Image

from catalogue.models import (
    Holding,
    HoldingProblem,
    HoldingReference,
    Member,
    Photo,
    Place,
    ProvenanceLine,
    Receipt,
    Showing,
    ShownPiece,
    StatusChange,
)
from catalogue.showing.choosing import choice_of, shown_pieces
from series.models import CoinType, Face
from series.picture.pictures import keep_image
from valuation.models import PriceSource, Valuation

SECRETS = (
    "secretaccession",
    "secretplace",
    "secretvendor",
    "secretnote",
    "secretprovenance",
    "secretwork",
    "secretgrader",
    "secretproblem",
    "secretpaper",
    "secretborrower",
    "secretsource",
    "secrettitle",
    "secretname",
    "7654.32",
    "8765.43",
    "987.54",
    "6.5432",
)


@pytest.fixture
def showing(member: Member, coinage: Any) -> Showing:
    return Showing.objects.create(
        owner=member,
        title="Coins of the quay",
        intro="Look closely.",
        follows=True,
        query=f"series={coinage.series.pk}",
    )


@pytest.fixture
def link(showing: Showing) -> str:
    return f"/shown/{showing.new_link(timezone.now() + datetime.timedelta(days=30))}/"


def picked(showing: Showing, holding: Holding, **fields: Any) -> ShownPiece:
    return ShownPiece.objects.create(showing=showing, holding=holding, picked=True, **fields)


def photograph(holding: Holding, **fields: Any) -> Photo:
    kept = keep_image(Image.new("RGB", (24, 24), "#a08050"))
    return Photo.objects.create(
        holding=holding, digest=kept.digest, **({"width": 24, "height": 24} | fields)
    )


def text(address: str) -> str:
    answer = Client().get(address)
    assert answer.status_code == 200
    return answer.content.decode()


@pytest.fixture
def full_of_secrets(member: Member, coinage: Any, make_holding: Callable[..., Holding]) -> Holding:
    """A piece with something of its own in every field that is private to its owner."""
    Member.objects.filter(pk=member.pk).update(username="secretname", name="Secretname")
    place = Place.objects.create(owner=member, name="secretplace", path="secretplace")
    today = timezone.localdate()
    piece = make_holding(
        issue=coinage.issues[1],
        accession="secretaccession",
        title="secrettitle",
        place=place,
        price="7654.32",
        price_currency="EUR",
        acquired_from="secretvendor",
        acquired_on=today,
        graded_by="secretgrader",
        note="secretnote",
        mass_g="6.5432",
    )
    ProvenanceLine.objects.create(holding=piece, text="secretprovenance")
    HoldingReference.objects.create(holding=piece, work="secretwork")
    HoldingProblem.objects.create(holding=piece, kind="bent", note="secretproblem")
    paper = default_storage.save("receipts/secretpaper.pdf", ContentFile(b"%PDF"))
    Receipt.objects.create(
        holding=piece, name="secretpaper", file=paper, content_type="application/pdf"
    )
    StatusChange.objects.create(
        holding=piece, status="held", on=today, with_whom="secretborrower", amount="8765.43"
    )
    source = PriceSource.objects.create(owner=member, name="secretsource")
    Valuation.objects.create(
        holding=piece, single="987.54", on=today, source=source, entered_by=member
    )
    return piece


@pytest.mark.parametrize("known", [True, False], ids=["identified", "unidentified"])
def test_nothing_private_is_on_a_page_nor_on_a_piece(
    showing: Showing, link: str, full_of_secrets: Holding, known: bool
) -> None:
    if not known:
        Holding.objects.update(coin_type=None, issue=None)
        picked(showing, full_of_secrets)
    Showing.objects.update(open_to_all=True)
    pages = [link, f"/open/{showing.pk}/", "/open/"]
    pages += [f"{door}{full_of_secrets.pk}/" for door in pages[:2]]
    for address in pages:
        page = text(address).lower()
        assert [secret for secret in SECRETS if secret in page] == []
        assert f"/holdings/{full_of_secrets.pk}" not in page


def test_the_sentinels_are_what_the_owner_sees(full_of_secrets: Holding) -> None:
    """The search above can fail: the owner's own page has these very words."""
    client = Client()
    client.force_login(full_of_secrets.owner, backend="django.contrib.auth.backends.ModelBackend")
    page = client.get(f"/holdings/{full_of_secrets.pk}/").content.decode().lower()
    assert [secret for secret in SECRETS if secret not in page] == ["secrettitle"]  # identified


def test_a_page_says_what_it_is_for(
    showing: Showing, link: str, coinage: Any, make_holding: Any
) -> None:
    piece = make_holding(issue=coinage.issues[1], grade="VF")
    ShownPiece.objects.create(showing=showing, holding=piece, caption="The best strike")
    page = text(link)
    for words in ("Coins of the quay", "Look closely.", "25 tinne", "1947", "VF", "best strike"):
        assert words in page
    alone = text(f"{link}{piece.pk}/")
    for words in ("25 tinne, 1947", "First", "Testland", "VF, very fine", "The best strike"):
        assert words in alone


def test_the_name_is_shown_where_it_was_given(showing: Showing, link: str) -> None:
    Showing.objects.update(shown_by="Ana of the quay")
    assert "Shown by Ana of the quay" in text(link)


def test_what_changed_since_the_one_before_is_said(
    showing: Showing, link: str, coinage: Any, make_holding: Any
) -> None:
    later = CoinType.objects.create(
        key="later",
        series=coinage.series,
        denomination=coinage.denomination,
        composition="CuZn30",
        metal="brass",
        diameter_mm="22",
        first_year=1960,
    )
    piece = make_holding(coin_type=later)
    assert "brass in place of copper-nickel" in text(f"{link}{piece.pk}/").lower()


# ---- which pieces ----
def shown(showing: Showing) -> list[Holding]:
    return list(shown_pieces(Showing.objects.get(pk=showing.pk)))


def test_a_page_follows_its_choice(
    showing: Showing, coinage: Any, make_holding: Any, other: Member
) -> None:
    first = make_holding()
    make_holding(coin_type=None)
    make_holding(owner=other)
    make_holding(status="sold")
    later = make_holding(visibility="public")
    assert shown(showing) == [first, later]


def test_a_page_of_picked_pieces_follows_nothing(showing: Showing, make_holding: Any) -> None:
    Showing.objects.update(follows=False)
    make_holding()
    piece = make_holding()
    picked(showing, piece)
    assert shown(showing) == [piece]


def test_a_private_piece_is_never_found_by_the_choice(showing: Showing, make_holding: Any) -> None:
    private = make_holding(visibility="private")
    assert shown(showing) == []
    ShownPiece.objects.create(showing=showing, holding=private, though_private=True)
    assert shown(showing) == []


def test_a_private_piece_is_shown_only_where_that_was_said(
    showing: Showing, make_holding: Any
) -> None:
    private = make_holding(visibility="private")
    row = picked(showing, private)
    assert shown(showing) == []
    row.though_private = True
    row.save()
    assert shown(showing) == [private]


@pytest.mark.parametrize("change", [{"visibility": "private"}, {"status": "sold"}, {"bin": True}])
def test_what_is_private_sold_or_deleted_is_gone_at_once(
    showing: Showing, link: str, make_holding: Any, change: dict[str, Any]
) -> None:
    piece = make_holding()
    picked(showing, piece)
    photo = photograph(piece)
    addresses = [f"{link}{piece.pk}/", f"{link}photos/{photo.pk}/small.webp"]
    assert [Client().get(address).status_code for address in addresses] == [200, 200]
    if change.get("bin"):
        piece.bin()
    else:
        Holding.objects.filter(pk=piece.pk).update(**change)
    assert [Client().get(address).status_code for address in addresses] == [404, 404]
    assert "Nothing is shown here" in text(link)


def test_a_piece_of_another_cannot_be_picked(
    as_member: Client, showing: Showing, other: Member, make_holding: Any
) -> None:
    theirs = make_holding(owner=other, accession="X.1", visibility="public")
    answer = as_member.post(f"/showings/{showing.pk}/pieces/", {"numbers": "X.1"})
    assert "You have no piece with the number X.1." in answer.content.decode()
    picked(showing, theirs)  # as if a form had let it through
    assert shown(showing) == []


# ---- pictures ----
def test_only_sides_of_shown_pieces_are_given_out(
    showing: Showing, link: str, make_holding: Any, other: Member
) -> None:
    piece, elsewhere = make_holding(), make_holding(owner=other, visibility="public")
    given = [photograph(piece, side=side).pk for side in ("obverse", "reverse", "other", "edge")]
    given.append(photograph(elsewhere).pk)
    answers = [Client().get(f"{link}photos/{pk}/small.webp").status_code for pk in given]
    assert answers == [200, 200, 404, 404, 404]
    assert Client().get(f"{link}photos/{given[0]}/full.webp").status_code == 404
    assert Client().get(f"/photos/{given[0]}/small.webp").status_code == 404


def test_the_plate_takes_its_pictures_from_behind_its_own_door(
    showing: Showing, link: str, coinage: Any, make_holding: Any
) -> None:
    kept = keep_image(Image.new("RGB", (24, 24), "#908070"))
    Face.objects.filter(coin_type=coinage.type).update(picture=kept.digest)
    photograph(make_holding(), trimmed=True)
    make_holding()
    Showing.objects.update(open_to_all=True)
    for door in (link, f"/open/{showing.pk}/"):
        sources = re.findall(r'<image href="([^"]+)"', text(door))
        assert len(sources) == 2
        assert all(source.startswith(door) for source in sources)
        assert [Client().get(source).status_code for source in sources] == [200, 200]


def test_a_picture_behind_a_secret_link_is_kept_nowhere(
    showing: Showing, link: str, make_holding: Any
) -> None:
    photo = photograph(make_holding())
    for address in (link, f"{link}photos/{photo.pk}/small.webp"):
        answer = Client().get(address)
        assert "no-store" in answer["Cache-Control"]
        assert answer["X-Robots-Tag"] == "noindex, nofollow"


# ---- doors ----
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


# ---- its owner's forms ----
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


def test_many_pieces_take_a_constant_number_of_queries(
    showing: Showing, link: str, coinage: Any, make_holding: Any, django_assert_max_num_queries: Any
) -> None:
    for number in range(40):
        make_holding(issue=coinage.issues[number % 3])
    with django_assert_max_num_queries(12):
        assert "40 coins" in text(link)
