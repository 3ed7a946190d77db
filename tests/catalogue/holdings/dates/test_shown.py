"""A piece that is drawn from the record bears its own date, and never another's."""

from __future__ import annotations

import re
from typing import Any

import pytest
from django.test import Client

from catalogue.models import Holding


def struck_texts(page: str) -> list[str]:
    """The texts on the coins drawn in a page, each once."""
    return list(dict.fromkeys(re.findall(r'class="coin-text"[^>]*>([^<]+)</text>', page)))


@pytest.fixture
def designed(coinage: Any) -> Any:
    """A type whose reverse has the value."""
    coinage.type.faces.filter(side="reverse").update(value_as="numeral")
    return coinage


def picture_faces(coinage: Any) -> None:
    """Pictures of both faces of the type, of another piece than anyone's."""
    coinage.type.faces.update(picture="0" * 64)


def test_the_page_of_a_piece_shows_its_date(
    as_member: Client, make_holding: Any, designed: Any
) -> None:
    holding = make_holding(issue=designed.issues[2])
    assert struck_texts(as_member.get(f"/holdings/{holding.pk}/").text) == ["25", "1953"]


def test_a_picture_of_the_type_does_not_stand_for_the_dated_face(
    as_member: Client, make_holding: Any, designed: Any
) -> None:
    picture_faces(designed)
    holding = make_holding(issue=designed.issues[0])
    for address in (f"/holdings/{holding.pk}/", f"/holdings/{holding.pk}/card/"):
        page = as_member.get(address).text
        assert struck_texts(page) == ["25", "1931"]
        assert "/obverse/medium.webp" in page
        assert "/reverse/medium.webp" not in page
        assert "as the type is pictured" in page


def test_the_date_stands_on_the_face_that_is_described_so(
    as_member: Client, make_holding: Any, designed: Any
) -> None:
    picture_faces(designed)
    designed.type.faces.filter(side="obverse").update(description="Head, date below.")
    holding = make_holding(issue=designed.issues[0])
    page = as_member.get(f"/holdings/{holding.pk}/").text
    assert "/reverse/medium.webp" in page
    assert "/obverse/medium.webp" not in page
    assert struck_texts(page) == ["1931"]


def test_a_plate_shows_the_date_of_each_piece(
    as_member: Client, make_holding: Any, designed: Any
) -> None:
    for issue in designed.issues[:2]:
        make_holding(issue=issue)
    assert struck_texts(as_member.get("/holdings/").text)[:3] == ["25", "1931", "1947"]


@pytest.mark.parametrize(
    ("fields", "texts"),
    [
        ({"date_reading": "19X8"}, ["25", "19·8"]),
        ({"date_reading": "1947~"}, ["25"]),
        ({"date_reading": "-0044"}, ["25"]),
        ({}, ["25"]),
    ],
)
def test_what_is_not_known_of_a_date_is_not_drawn(
    as_member: Client, make_holding: Any, designed: Any, fields: dict[str, str], texts: list[str]
) -> None:
    holding: Holding = make_holding(**fields)
    assert struck_texts(as_member.get(f"/holdings/{holding.pk}/").text) == texts


def test_a_date_is_drawn_in_its_own_script(
    as_member: Client, make_holding: Any, designed: Any
) -> None:
    issue = designed.issues[0]
    issue.shown, issue.calendar = "١٣٨٩", "AH"
    issue.save()
    holding = make_holding(issue=issue)
    assert struck_texts(as_member.get(f"/holdings/{holding.pk}/").text) == ["25", "١٣٨٩"]
