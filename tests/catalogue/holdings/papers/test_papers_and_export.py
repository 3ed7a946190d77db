"""Papers of a holding, and the CSV file of what is found."""

from __future__ import annotations

import csv
import io
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from PIL import Image

from catalogue.holdings.papers import receipts
from catalogue.models import Holding, Member, Place, Receipt
from catalogue.site.csv_cells import cell
from tests.catalogue.holdings.piece.test_edit import signed_in

PDF = b"%PDF-1.7\n%%EOF"


def picture(kind: str = "PNG") -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (8, 8), "#a08050").save(out, kind)
    return out.getvalue()


def add(client: Client, holding: Holding, data: bytes, name: str = "bill.pdf") -> Any:
    file = SimpleUploadedFile(name, data)
    return client.post(f"/holdings/{holding.pk}/papers/", {"file": file})


def test_it_works(
    as_member: Client, make_holding: Any, django_capture_on_commit_callbacks: Any
) -> None:
    holding = make_holding()
    assert as_member.get(f"/holdings/{holding.pk}/papers/").status_code == 200
    assert add(as_member, holding, PDF).status_code == 302
    kept = Receipt.objects.get()
    assert "bill.pdf" in as_member.get(f"/holdings/{holding.pk}/").text
    got = as_member.get(f"/papers/{kept.pk}/")
    assert b"".join(got.streaming_content) == PDF
    assert got["Content-Disposition"] == 'attachment; filename="bill.pdf"'
    assert got["X-Content-Type-Options"] == "nosniff"
    assert got["Content-Type"] == "application/pdf"
    with django_capture_on_commit_callbacks(execute=True):
        as_member.post(f"/papers/{kept.pk}/remove/")
    assert not Receipt.objects.exists()
    assert not default_storage.exists(kept.file)


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "WEBP"])
def test_the_content_decides_not_the_name(as_member: Client, make_holding: Any, kind: str) -> None:
    add(as_member, make_holding(), picture(kind), "../a bill.html")
    kept = Receipt.objects.get()
    assert kept.content_type == f"image/{kind.lower()}"
    assert "/" not in kept.name
    assert kept.name.rsplit(".", 1)[1] in {"png", "jpg", "webp"}


@pytest.mark.parametrize(
    "data", [b"<html><script>1</script>", b"GIF89a....", picture()[:40], b"\x00%PDF-1.7"]
)
def test_what_is_no_paper_is_refused(as_member: Client, make_holding: Any, data: bytes) -> None:
    page = add(as_member, make_holding(), data)
    assert "no paper that can be kept" in page.text
    assert not Receipt.objects.exists()


def test_what_is_too_large_is_refused(
    as_member: Client, make_holding: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(receipts, "LIMIT_BYTES", 10)
    page = add(as_member, make_holding(), PDF)
    assert "larger than" in page.text
    assert not Receipt.objects.exists()


def test_a_file_named_twice_stays_until_both_are_gone(
    as_member: Client, make_holding: Any, django_capture_on_commit_callbacks: Any
) -> None:
    add(as_member, make_holding(), PDF)
    add(as_member, make_holding(), PDF)
    first, second = Receipt.objects.order_by("pk")
    assert first.file == second.file
    with django_capture_on_commit_callbacks(execute=True):
        as_member.post(f"/papers/{first.pk}/remove/")
    assert default_storage.exists(second.file)


def test_papers_are_their_owners_alone(
    as_member: Client, make_holding: Any, administrator: Member, other: Member
) -> None:
    holding = make_holding(visibility="public")
    add(as_member, holding, PDF)
    kept = Receipt.objects.get()
    for member in (administrator, other):
        client = signed_in(member)
        assert client.get(f"/papers/{kept.pk}/").status_code == 404
        assert client.post(f"/papers/{kept.pk}/remove/").status_code == 404
        assert add(client, holding, PDF).status_code == 403
        assert "bill.pdf" not in client.get(f"/holdings/{holding.pk}/").text


# ---- the CSV file ----
def rows(client: Client, address: str = "/holdings/export.csv") -> list[dict[str, str]]:
    answer = client.get(address)
    text = b"".join(answer.streaming_content).decode("utf-8-sig")  # type: ignore[attr-defined]
    return list(csv.DictReader(io.StringIO(text)))


def test_the_file_has_what_the_address_finds(
    as_member: Client, make_holding: Any, member: Member, coinage: Any
) -> None:
    place = Place.objects.create(owner=member, name="Box", path="Box")
    make_holding(issue=coinage.issues[1], place=place, price="5.00", price_currency="EUR")
    make_holding(spare=True)
    found = rows(as_member)
    assert len(found) == 2
    assert (found[0]["country"], found[0]["coin"], found[0]["date"]) == (
        "Testland",
        "25 tinne",
        "1947",
    )
    assert (found[0]["place"], found[0]["price"], found[0]["pieces"]) == ("Box", "5.00", "1")
    assert [row["spare"] for row in rows(as_member, "/holdings/export.csv?spare=yes")] == ["yes"]


def test_place_and_price_of_others_stay_theirs(
    as_member: Client, make_holding: Any, other: Member
) -> None:
    place = Place.objects.create(owner=other, name="Secret", path="Secret")
    make_holding(owner=other, place=place, price="5.00", acquired_from="Ole")
    make_holding(owner=other, visibility="private", accession="P.1")
    (found,) = rows(as_member, "/holdings/export.csv?owner=any")
    assert (found["place"], found["price"], found["acquired_from"]) == ("", "", "")


def test_no_cell_is_a_formula(as_member: Client, make_holding: Any) -> None:
    make_holding(note="=HYPERLINK(1)", title="@x")
    (found,) = rows(as_member)
    assert (found["note"], found["working_title"]) == ("'=HYPERLINK(1)", "'@x")
    assert cell("-3.5") == "-3.5"
    assert cell("-3.5+1") == "'-3.5+1"


def test_many_rows_take_as_many_queries_as_few(
    as_member: Client, make_holding: Any, django_assert_max_num_queries: Any
) -> None:
    for _ in range(30):
        make_holding()
    with django_assert_max_num_queries(20):
        assert len(rows(as_member)) == 30
