"""Everything of a member as one zip file."""

from __future__ import annotations

import csv
import io
import json
import zipfile
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.core.files.storage import default_storage
from django.db.models import CASCADE
from django.test import Client
from django.urls import reverse
from playwright.sync_api import expect

from catalogue.exports.pages import PIECES_A_PAGE
from catalogue.members.member_data import member_data
from catalogue.models import Holding, Member
from tests.catalogue.members.conftest import Collection

OURS = {"series", "catalogue", "valuation"}


@pytest.fixture
def archive(full_collection: Collection, client: Client) -> zipfile.ZipFile:
    client.force_login(full_collection.owner, backend="django.contrib.auth.backends.ModelBackend")
    response = client.get(reverse("account-export"))
    assert response.status_code == 200
    assert response["Content-Type"] == "application/zip"
    return zipfile.ZipFile(io.BytesIO(b"".join(response.streaming_content)))  # type: ignore[attr-defined]


def _json(archive: zipfile.ZipFile, name: str) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = json.loads(archive.read(f"json/{name}.json"))
    return rows


def _csv(archive: zipfile.ZipFile, name: str) -> list[dict[str, str]]:
    text = archive.read(f"csv/{name}.csv").decode()
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_the_zip_file_is_sound_and_says_what_is_in_it(archive: zipfile.ZipFile) -> None:
    assert archive.testzip() is None
    readme = archive.read("README.txt").decode()
    tables = {name[4:-4] for name in archive.namelist() if name.startswith("csv/")}
    assert len(tables) > 15
    assert all(f"\n{table}\n" in readme for table in tables)


def test_holdings_are_there_as_entered_with_what_is_in_the_bin(
    archive: zipfile.ZipFile, full_collection: Collection
) -> None:
    first, second = _json(archive, "holdings")
    assert first["accession"] == "Z.001"
    assert first["coin_type"] == "testland-first-25"
    assert first["issue"] == "1947"
    assert first["place"] == "Cabinet, Drawer"
    assert first["price"] == "12.50"
    assert first["note"] == "bought at the fair, “as found”; naïve"
    assert second["deleted_at"] is not None


def test_both_forms_say_the_same(archive: zipfile.ZipFile) -> None:
    for name in ("holdings", "photographs", "want_lists", "values"):
        rows, lines = _json(archive, name), _csv(archive, name)
        assert len(rows) == len(lines) > 0
        for row, line in zip(rows, lines, strict=True):
            for column, value in row.items():
                plain = "" if value is None else value
                text = plain if isinstance(plain, str) else json.dumps(plain, ensure_ascii=False)
                assert line[column] == text


def test_photographs_papers_and_sheets_are_there_as_files(
    archive: zipfile.ZipFile, full_collection: Collection
) -> None:
    for folder, stored in (
        ("photographs/", full_collection.picture),
        ("receipts/", full_collection.receipt),
        ("sheets/", full_collection.sheet),
    ):
        names = [name for name in archive.namelist() if name.startswith(folder)]
        assert len(names) == 1
        with default_storage.open(stored) as file:
            assert archive.read(names[0]) == file.read()
    assert "MISSING.txt" not in archive.namelist()


def test_no_secret_is_in_it(archive: zipfile.ZipFile, full_collection: Collection) -> None:
    everything = b"".join(archive.read(name) for name in archive.namelist())
    assert full_collection.owner.password.encode() not in everything
    assert b"token_hash" not in everything
    assert b"f" * 64 not in everything


def test_every_model_that_goes_with_a_member_is_exported(full_collection: Collection) -> None:
    tables = [t for part in member_data() for t in part.tables(full_collection.owner)]
    exported = {table.rows.model for table in tables}
    owned: set[Any] = {Member}
    while True:
        more = {
            model
            for model in apps.get_models()
            if model._meta.app_label in OURS and model not in owned
            for field in model._meta.concrete_fields
            if field.is_relation
            and field.related_model in owned
            and getattr(field.remote_field, "on_delete", None) is CASCADE
        }
        if not more:
            break
        owned |= more
    assert owned - exported == set()


def test_every_table_has_rows_of_the_full_collection(full_collection: Collection) -> None:
    tables = [t for part in member_data() for t in part.tables(full_collection.owner)]
    assert [table.name for table in tables if not table.rows.exists()] == []
    assert len({table.name for table in tables}) == len(tables)


def test_a_missing_file_is_named_and_the_rest_comes_along(
    full_collection: Collection, client: Client
) -> None:
    default_storage.delete(full_collection.receipt)
    client.force_login(full_collection.owner, backend="django.contrib.auth.backends.ModelBackend")
    response = client.get(reverse("account-export"))
    made = zipfile.ZipFile(io.BytesIO(b"".join(response.streaming_content)))  # type: ignore[attr-defined]
    assert b"bill.pdf" in made.read("MISSING.txt")
    assert any(name.startswith("photographs/") for name in made.namelist())


def test_a_note_that_looks_like_a_formula_is_no_formula_in_the_csv(
    as_member: Client, make_holding: Any
) -> None:
    make_holding(note="=1+1")
    response = as_member.get(reverse("account-export"))
    made = zipfile.ZipFile(io.BytesIO(b"".join(response.streaming_content)))  # type: ignore[attr-defined]
    assert _csv(made, "holdings")[0]["note"] == "'=1+1"
    assert _json(made, "holdings")[0]["note"] == "=1+1"


def test_nothing_of_others_comes_along(as_member: Client, full_collection: Collection) -> None:
    response = as_member.get(reverse("account-export"))
    made = zipfile.ZipFile(io.BytesIO(b"".join(response.streaming_content)))  # type: ignore[attr-defined]
    everything = b"".join(made.read(name) for name in made.namelist())
    assert b"Z.001" not in everything
    assert b"zerlina" not in everything


def test_a_large_collection_is_sent_in_pieces_with_few_queries(
    as_member: Client, make_holding: Any, django_assert_max_num_queries: Any
) -> None:
    def queries() -> int:
        with django_assert_max_num_queries(120) as seen:
            pieces = list(as_member.get(reverse("account-export")).streaming_content)  # type: ignore[attr-defined]
        assert len(pieces) > 1
        return len(seen)

    make_holding()
    few = queries()
    for _ in range(20):
        make_holding()
    assert queries() == few


def test_a_visitor_gets_no_export(client: Client, db: None) -> None:
    assert client.get(reverse("account-export")).status_code == 302


def test_holdings_without_a_type_are_exported(as_member: Client, make_holding: Any) -> None:
    make_holding(coin_type=None, title="unreadable bronze")
    response = as_member.get(reverse("account-export"))
    made = zipfile.ZipFile(io.BytesIO(b"".join(response.streaming_content)))  # type: ignore[attr-defined]
    assert _json(made, "holdings")[0]["coin_type"] is None
    assert _csv(made, "holdings")[0]["coin_type"] == ""
    assert Holding.objects.count() == 1


# ---- the pages ----
def _page_of(archive: zipfile.ZipFile, page: Any, folder: Path, name: str) -> list[str]:
    """Open a page from a folder in Chromium; what it asked for and did not get."""
    archive.extractall(folder)
    missing: list[str] = []
    page.on("requestfailed", lambda request: missing.append(request.url))
    page.goto((folder / name).as_uri())
    return missing


def test_the_pages_open_from_a_folder_without_a_site(
    archive: zipfile.ZipFile, chromium: Any, tmp_path: Path
) -> None:
    context = chromium.new_context(offline=True, viewport={"width": 390, "height": 844})
    page = context.new_page()
    missing = _page_of(archive, page, tmp_path, "index.html")
    page.get_by_role("link", name="First").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Testland, First")
    expect(page.get_by_text("bought at the fair, “as found”; naïve")).to_be_visible()
    expect(page.get_by_text("Cabinet, Drawer", exact=True)).to_be_visible()
    photo = page.get_by_role("img", name="obverse")
    assert photo.evaluate("picture => picture.decode().then(() => picture.naturalWidth)") == 40
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert missing == []
    page.get_by_role("link", name="The collection of").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("The collection of")
    context.close()


def test_what_is_in_the_bin_and_of_others_is_on_no_page(archive: zipfile.ZipFile) -> None:
    pages = [archive.read(n).decode() for n in archive.namelist() if n.startswith("pages/0")]
    assert len(pages) == 1
    assert "Z.001" in pages[0]
    assert "Z.002" not in pages[0]


def test_a_name_that_is_markup_is_text_on_the_pages(as_member: Client, make_holding: Any) -> None:
    make_holding(coin_type=None, title="<script>alert(1)</script>")
    response = as_member.get(reverse("account-export"))
    made = zipfile.ZipFile(io.BytesIO(b"".join(response.streaming_content)))  # type: ignore[attr-defined]
    assert "&lt;script&gt;" in made.read("pages/0001.html").decode()
    assert "<script" not in made.read("pages/0001.html").decode()


def test_pieces_of_a_series_are_parted_into_pages_in_order(
    as_member: Client, make_holding: Any
) -> None:
    for _ in range(PIECES_A_PAGE + 1):
        make_holding()
    response = as_member.get(reverse("account-export"))
    made = zipfile.ZipFile(io.BytesIO(b"".join(response.streaming_content)))  # type: ignore[attr-defined]
    shown = [made.read(f"pages/000{n}.html").decode().count('<li id="') for n in (1, 2)]
    assert shown == [PIECES_A_PAGE, 1]
