"""Pages for others: what strangers see of a collection, and above all what they do not."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client
from PIL import Image

from catalogue.models import Holding, Member, Showing, ShownPiece
from series.models import CoinType, Face
from series.picture.pictures import keep_image
from tests.catalogue.showing.pages import SECRETS, photograph, picked, shown, text


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
    assert "brass where it was copper-nickel" in text(f"{link}{piece.pk}/").lower()


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


def test_many_pieces_take_a_constant_number_of_queries(
    showing: Showing, link: str, coinage: Any, make_holding: Any, django_assert_max_num_queries: Any
) -> None:
    for number in range(40):
        make_holding(issue=coinage.issues[number % 3])
    with django_assert_max_num_queries(12):
        assert "40 coins" in text(link)
