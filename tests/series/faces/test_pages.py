"""Motifs, people, and the pictures of faces."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from PIL import Image

from catalogue.models import Holding, Proposal
from series.faces.queries import with_narrower
from series.models import Face, FaceMotif, Issuer, Mark, Series
from series.picture.pictures import keep_image
from tests.conftest import Coinage
from tests.series.coinage_maker import add_type, motif, person

PICTURE = "/types/testland-first-25/obverse/small.webp"


def page(client: Client, name: str, key: str, **query: Any) -> str:
    response = client.get(reverse(name, args=[key]), query)
    assert response.status_code == 200
    return response.content.decode()


# ---- motifs ----
def test_a_motif_shows_every_coin_with_it_or_a_narrower_one(
    as_member: Client, coinage: Coinage
) -> None:
    add_type(coinage, 5)
    add_type(coinage, 10)
    FaceMotif.objects.create(face=coinage.type.faces.all()[0], motif=motif("net"))
    motif("gull").broader.add(motif("bird"))
    html = page(as_member, "motif", "bird")
    assert "2 coins show it" in html
    assert "5 tinne" in html
    assert "in flight" in html
    assert "25 tinne" not in html
    assert 'href="/motifs/gull/"' in html


def test_a_motif_goes_through_all_countries(as_member: Client, coinage: Coinage) -> None:
    add_type(coinage, 5)
    issuer = Issuer.objects.create(key="another", name="Another")
    series = Series.objects.create(
        key="theirs", issuer=issuer, currency=coinage.currency, name="Theirs"
    )
    add_type(coinage, 10, series=series)
    html = page(as_member, "motif", "gull")
    assert html.index("Another</a></h2>") < html.index("Testland</a></h2>")


def test_narrower_motifs_are_found_through_loops(coinage: Coinage) -> None:
    motif("gull").broader.add(motif("bird"))
    motif("bird").broader.add(motif("gull"))
    assert with_narrower(motif("bird")) == {motif("bird").pk, motif("gull").pk}


def test_a_motif_no_coin_shows_says_so(as_member: Client, coinage: Coinage) -> None:
    motif("gull")
    assert "No coin shows it yet" in page(as_member, "motif", "gull")


def test_proposed_types_are_left_out(as_member: Client, coinage: Coinage) -> None:
    add_type(coinage, 5, standing="proposed")
    assert "0 coins" in page(as_member, "motif", "gull")
    assert "No coin names this person yet" in page(as_member, "person", "ada-moy")


# ---- people ----
def test_a_person_is_shown_with_what_they_did(as_member: Client, coinage: Coinage) -> None:
    coin_type = add_type(coinage, 5)
    someone = person("Ada Moy")
    someone.born, someone.died, someone.signature = "1889", "1957?", "A.M."
    someone.save()
    Mark.objects.create(
        coin_type=coin_type, kind="signature", text="A.M.", side="obverse", person=someone
    )
    html = page(as_member, "person", "ada-moy")
    for text in (
        "born 1889", "died perhaps 1957", "signs as A.M.", "5 tinne", "engraver, obverse",
        "engraver&#x27;s signature A.M.",
    ):  # fmt: skip
        assert text in html, text


@pytest.mark.parametrize("name", ["motif", "person"])
def test_an_unknown_key_is_not_found(as_member: Client, name: str) -> None:
    assert as_member.get(reverse(name, args=["nothing"])).status_code == 404


@pytest.mark.parametrize(("name", "key"), [("motif", "gull"), ("person", "ada-moy")])
def test_thirty_coins_take_no_more_queries_than_three(
    as_member: Client, coinage: Coinage, make_holding: Callable[..., Holding], name: str, key: str
) -> None:
    def counted() -> int:
        page(as_member, name, key)
        with CaptureQueriesContext(connection) as queries:
            page(as_member, name, key)
        return len(queries)

    for n in (1, 2, 3):
        make_holding(coin_type=add_type(coinage, n))
    few = counted()
    for n in range(31, 61):
        make_holding(coin_type=add_type(coinage, n))
    assert counted() == few


@pytest.mark.parametrize(("name", "key"), [("motif", "gull"), ("person", "ada-moy")])
def test_more_than_sixty_coins_stand_on_pages(
    as_member: Client, coinage: Coinage, name: str, key: str
) -> None:
    for n in range(1, 63):
        add_type(coinage, n)
    first, second = page(as_member, name, key), page(as_member, name, key, page=2)
    assert "Page 1 of 2" in first
    assert second.count('class="coin-svg"') == 2


# ---- pictures ----
@pytest.fixture
def pictured(coinage: Coinage) -> Face:
    digest = keep_image(Image.new("RGB", (40, 40), "#a06030")).digest
    Face.objects.filter(coin_type=coinage.type, side="obverse").update(picture=digest)
    return Face.objects.get(coin_type=coinage.type, side="obverse")


def test_the_picture_of_a_face_is_served(as_member: Client, pictured: Face) -> None:
    response = as_member.get(PICTURE)
    assert response.status_code == 200
    assert response["Content-Type"] == "image/webp"
    assert response.content[8:12] == b"WEBP"
    assert "private" in response["Cache-Control"]


def test_a_visitor_gets_no_picture(client: Client, pictured: Face) -> None:
    assert client.get(PICTURE).status_code == 302


@pytest.mark.parametrize(
    "address",
    [
        "/types/testland-first-25/obverse/huge.webp",
        "/types/testland-first-25/reverse/small.webp",
        "/types/testland-first-25/edge/small.webp",
        "/types/nothing/obverse/small.webp",
    ],
)
def test_what_there_is_no_picture_of_is_not_found(
    as_member: Client, pictured: Face, address: str
) -> None:
    assert as_member.get(address).status_code == 404


def test_a_picture_the_store_lost_is_not_found(as_member: Client, coinage: Coinage) -> None:
    Face.objects.filter(coin_type=coinage.type).update(picture="ab" * 32)
    assert as_member.get(PICTURE).status_code == 404


def test_the_picture_of_a_type_not_shown_to_the_viewer_is_not_found(
    as_member: Client, pictured: Face, other: Any
) -> None:
    coin_type = pictured.coin_type
    coin_type.standing = "proposed"
    coin_type.save()
    Proposal.objects.create(coin_type=coin_type, proposed_by=other)
    assert as_member.get(PICTURE).status_code == 404
