"""Requests of an odd shape: too long, too many, of odd letters; answered in words."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from catalogue.models import Holding, Member
from series.forms import LONGEST_TEXT
from tests.served import Served

MANY = 1000


def _sent(piece: Holding, **more: Any) -> dict[str, Any]:
    return {
        "coin_type": piece.coin_type_id,
        "type_text": f"{piece.coin_type} — First, Testland",
        "shown_type": piece.coin_type_id,
        "accession": piece.accession,
        "quantity": "1",
        "grade_scale": "british",
        "visibility": "club",
        **more,
    }


@pytest.mark.parametrize("length", [LONGEST_TEXT + 1, 4_000_000])
def test_a_note_that_is_a_book_is_refused_in_words_and_kept_in_the_form(
    as_member: Client, make_holding: Callable[..., Holding], length: int
) -> None:
    piece = make_holding()
    note = "n" * length
    page = as_member.post(reverse("holding-edit", args=[piece.pk]), _sent(piece, note=note))
    assert page.context["form"].errors.keys() == {"note"}
    assert f"{LONGEST_TEXT} characters" in str(page.context["form"].errors)
    assert note in page.content.decode()
    assert Holding.objects.get(pk=piece.pk).note == ""


def test_a_note_of_many_pages_is_kept(
    as_member: Client, make_holding: Callable[..., Holding]
) -> None:
    piece = make_holding()
    sent = _sent(piece, note="n" * LONGEST_TEXT)
    assert as_member.post(reverse("holding-edit", args=[piece.pk]), sent).status_code == 302


def test_ten_megabytes_of_text_are_refused_in_words(
    as_member: Client, make_holding: Callable[..., Holding]
) -> None:
    piece = make_holding()
    sent = _sent(piece, note="n" * 10_000_000)
    page = as_member.post(reverse("holding-edit", args=[piece.pk]), sent)
    assert page.status_code == 400
    assert b"larger than the site takes" in page.content
    assert Holding.objects.get(pk=piece.pk).note == ""


@pytest.mark.parametrize("name", ["place", "owner", "series", "motif", "mint", "grade", "decade"])
def test_a_thousand_choices_are_answered(
    as_member: Client, make_holding: Callable[..., Holding], name: str
) -> None:
    make_holding()
    asked = {name: [str(n) for n in range(10**6, 10**6 + MANY)], "owner": ["any"]}
    assert as_member.get("/holdings/", asked).status_code == 200
    assert as_member.get(reverse("holdings-export", args=["csv"]), asked).status_code == 200


def test_more_parameters_than_a_page_takes_are_refused_in_words(
    as_member: Client, settings: Any
) -> None:
    settings.DATA_UPLOAD_MAX_NUMBER_FIELDS = MANY
    page = as_member.get("/holdings/", {f"p{n}": "x" for n in range(MANY + 1)})
    assert page.status_code == 400
    assert b"Go back and try with less at once" in page.content


@pytest.mark.parametrize("words", ["(" * 3000, "[{(" * 900, "a " * 3000, "?*+" * 900, "\\" * 900])
def test_brackets_and_signs_in_a_search_are_words(
    as_member: Client, make_holding: Callable[..., Holding], words: str
) -> None:
    make_holding()
    for address in ("/holdings/", "/holdings/quick/types/", "/identify/"):
        for name in ("q", "legend", "motif"):
            assert as_member.get(address, {name: words}).status_code == 200


BOMBS = ["1e999999999", "-1e999999999", "1e-999999999", "9" * 400, "0x10", "inf", "1/3"]


@pytest.mark.parametrize("figure", BOMBS)
def test_a_figure_no_memory_holds_is_refused_at_its_field(
    as_member: Client, make_holding: Callable[..., Holding], figure: str
) -> None:
    piece = make_holding()
    fields = ("mass_g", "diameter_mm", "price", "alignment", "quantity")
    sent = _sent(piece, **dict.fromkeys(fields, figure), acquired_on=figure, date_reading=figure)
    page = as_member.post(reverse("holding-edit", args=[piece.pk]), sent)
    wrong = set(page.context["form"].errors)
    assert {"alignment", "quantity", "acquired_on"} <= wrong
    assert Holding.objects.get(pk=piece.pk).mass_g is None


@pytest.mark.parametrize("figure", ["1e999999999", "1e-999999999", "1/1e99999999"])
def test_a_rate_no_memory_holds_is_refused_at_its_field(
    client: Client, curator: Member, coinage: Any, figure: str
) -> None:
    client.force_login(curator, backend="django.contrib.auth.backends.ModelBackend")
    sent = {"issuers": [coinage.issuer.pk], "name": "crown", "rate": figure}
    page = client.post(reverse("currency-new"), sent)
    assert "rate" in page.context["form"].errors


# ---- signs that turn what follows ----
TURNED = "gull\u202efdp.exe\u2066"


def test_a_name_turns_nothing_around_that_stands_beside_it(
    as_member: Client, member: Member, make_holding: Callable[..., Holding]
) -> None:
    piece = make_holding()
    sent = _sent(piece, title=TURNED, acquired_from=TURNED, note=TURNED)
    as_member.post(reverse("holding-edit", args=[piece.pk]), sent)
    as_member.post(reverse("place-new"), {"name": TURNED, "kind": "box"})
    account = {"name": TURNED, "currency": "EUR", "paper": "A4", "accession_pattern": "{n}"}
    as_member.post(reverse("account"), account)
    piece.refresh_from_db()
    member.refresh_from_db()
    names = {piece.title, piece.acquired_from, piece.note, member.places.get().name, member.name}
    assert names == {"gullfdp.exe"}


# ---- over the network ----
@pytest.fixture(scope="module")
def served(tmp_path_factory: Any, with_tables: Callable[[Path], Path]) -> Iterator[Served]:
    server = Served(with_tables(tmp_path_factory.mktemp("odd")), "--no-worker")
    server.wait_for("served at")
    yield server
    server.end()


@pytest.mark.parametrize(
    "path",
    [
        "/../../etc/passwd",
        "/static/../secret-key",
        "/static/..%2f..%2fsecret-key",
        "/static/%2e%2e/%2e%2e/exergue.sqlite3",
        "/static/....//secret-key",
        "/media/../secret-key",
        "//etc/passwd",
        "/%ff%fe",
        "/photos/../../secret-key/small.webp",
    ],
)
def test_an_address_that_climbs_leads_to_no_file(served: Served, path: str) -> None:
    status, _headers, body = served.get(path)
    assert status in {301, 302, 400, 404}
    key = (served.log.parent / "secret-key").read_bytes().strip()
    assert key not in body
    assert b"root:" not in body
    assert b"SQLite format" not in body


def test_a_header_without_end_is_refused_and_the_server_goes_on(served: Served) -> None:
    for length in (60_000, 1_000_000):
        try:
            status = served.get("/sign-in/", Cookie="a" * length)[0]
        except OSError:  # the server hung up on what it would not read
            status = 431
        assert status in {200, 400, 413, 431}
    assert served.get("/health/")[0] == 200
    assert "Traceback" not in served.log.read_text()
