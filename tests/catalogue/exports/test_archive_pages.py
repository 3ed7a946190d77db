"""An archive brought back on its page: looked through, brought back, and what is no archive."""

from __future__ import annotations

import io
import json
import struct
import zipfile
from collections.abc import Callable
from contextlib import suppress
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import call_command
from django.db import connection
from django.test import Client
from django.urls import reverse
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from catalogue.exports import archives, decoded, opening
from catalogue.exports.archive import export_of
from catalogue.exports.bringing_back import bring_back
from catalogue.exports.forms import ArchiveForm
from catalogue.exports.opening import ArchiveRefused, open_archive
from catalogue.models import BroughtArchive, Deed, Holding, Member, Photo, Place
from tests.catalogue.members.conftest import Collection

BACKEND = "django.contrib.auth.backends.ModelBackend"
State = BroughtArchive.State


def archive_of(member: Member) -> bytes:
    return b"".join(export_of(member))


@pytest.fixture
def heir(make_member: Callable[..., Member]) -> Member:
    return make_member("heir")


@pytest.fixture
def page(client: Client, heir: Member) -> Client:
    client.force_login(heir, backend=BACKEND)
    return client


def send(page: Client, data: bytes) -> Any:
    file = SimpleUploadedFile("all.zip", data)
    return page.post(reverse("archives"), {"file": file}, follow=True)


def zipped(**tables: Any) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for name, rows in {"holdings": [], **tables}.items():
            lines = rows if isinstance(rows, str) else "\n".join(json.dumps(row) for row in rows)
            made.writestr(f"json/{name}.json", lines)
    return out.getvalue()


# ---- the way through ----
def test_an_archive_is_looked_through_then_brought_back_then_known(
    page: Client, heir: Member, full_collection: Collection
) -> None:
    data = archive_of(full_collection.owner)
    shown = send(page, data).content.decode()
    assert "Rehearsal: nothing is made yet" in shown
    assert "<b>2</b> <span>pieces and lots</span>" in shown
    assert "<b>1</b> <span>photographs</span>" in shown
    assert not Holding.everything.filter(owner=heir).exists()
    brought = BroughtArchive.objects.get(owner=heir)
    stored = brought.file
    done = page.post(reverse("archive-bring", args=[brought.pk]), follow=True).content.decode()
    assert "The archive is brought back" in done
    assert Holding.everything.filter(owner=heir).count() == 2
    assert not default_storage.exists(stored)
    again = send(page, data).content.decode()
    assert "There is nothing to bring back" in again
    assert "<b>2</b> <span>pieces here already</span>" in again


def test_it_is_one_deed_of_the_member(page: Client, heir: Member) -> None:
    send(page, zipped(places=[{"id": 1, "name": "Chest", "owner_id": 5}]))
    page.post(reverse("archive-bring", args=[BroughtArchive.objects.get(owner=heir).pk]))
    assert Place.objects.get(owner=heir).path == "Chest"
    assert [deed.why for deed in Deed.objects.filter(by=heir)] == ["An archive brought back"]


@pytest.mark.django_db(transaction=True)
def test_a_large_one_is_done_by_a_task_and_done_twice_it_adds_nothing(
    page: Client, heir: Member, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(archives, "AT_ONCE", -1)
    waits = send(page, zipped(places=[{"id": 1, "name": "Chest", "owner_id": 5}]))
    assert "The archive is being looked through" in waits.content.decode()
    call_command("work", batch=True)
    brought = BroughtArchive.objects.get(owner=heir)
    assert (brought.state, brought.report["made"]) == (State.REHEARSAL, {"places": 1})
    for _ in range(2):  # clicked twice
        page.post(reverse("archive-bring", args=[brought.pk]))
    assert not Place.objects.filter(owner=heir).exists()
    archives.do_archive.func(brought.pk)
    call_command("work", batch=True)
    brought.refresh_from_db()
    assert (brought.state, brought.file) == (State.DONE, "")
    assert Place.objects.filter(owner=heir).count() == 1


@pytest.mark.django_db(transaction=True)
def test_no_picture_is_opened_while_a_transaction_is_open(
    heir: Member, full_collection: Collection, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[bool] = []
    really = decoded.prepare_kept

    def watched(data: bytes) -> Any:
        seen.append(connection.in_atomic_block)
        return really(data)

    monkeypatch.setattr(decoded, "prepare_kept", watched)
    told: list[tuple[int, int]] = []
    tell = lambda done, total: told.append((done, total))  # noqa: E731
    bring_back(io.BytesIO(archive_of(full_collection.owner)), heir, tell=tell)
    assert seen == [False]
    assert told == [(1, 2), (2, 2)]
    assert Photo.objects.filter(holding__owner=heir).count() == 1


def test_only_one_waits_for_each_member(page: Client, heir: Member) -> None:
    for _ in range(3):
        send(page, zipped(places=[{"id": 1, "name": "Chest", "owner_id": 5}]))
    (brought,) = BroughtArchive.objects.filter(owner=heir)
    assert default_storage.listdir("archives")[1] == [brought.file.removeprefix("archives/")]


def test_a_full_disk_is_said_and_it_can_be_tried_again(
    page: Client, heir: Member, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*args: Any, **more: Any) -> Any:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        broken.setattr(archives, "bring_back", full)
        shown = send(page, zipped(places=[{"id": 1, "name": "Chest", "owner_id": 5}]))
    assert "The disk of this site is full" in shown.content.decode()
    brought = BroughtArchive.objects.get(owner=heir)
    monkeypatch.setattr(archives, "AT_ONCE", 1_000)
    page.post(reverse("archive-again", args=[brought.pk]))
    brought.refresh_from_db()
    assert brought.state in (State.LOOKING, State.REHEARSAL)


def test_one_that_was_given_up_says_so(heir: Member) -> None:
    brought = BroughtArchive.objects.create(owner=heir, name="all.zip", file="archives/none.zip")
    archives.say_given_up(archives.do_archive, [brought.pk])
    brought.refresh_from_db()
    assert brought.state == State.FAILED
    assert "begun 3 times" in brought.message


def test_one_whose_file_is_gone_says_so(heir: Member) -> None:
    brought = BroughtArchive.objects.create(owner=heir, name="all.zip", file="archives/none.zip")
    archives.do_archive.func(brought.pk)
    brought.refresh_from_db()
    assert brought.message == "Its file is no longer there. Bring the archive again."


# ---- bad files ----
def locked() -> bytes:
    """A zip whose first entry says that it is encrypted (APPNOTE 4.4.4, bit 0)."""
    data = bytearray(zipped())
    at = data.index(b"PK\x01\x02")
    data[at + 8] |= 1
    return bytes(data)


def damaged() -> bytes:
    """One whose first entry has another sum than its directory says (APPNOTE 4.4.7)."""
    data = bytearray(zipped(holdings="[" + " " * 500 + "\n]\n"))
    at = data.index(b"PK\x01\x02")
    data[at + 16 : at + 20] = b"\0\0\0\0"
    return bytes(data)


def vast() -> bytes:
    """One that says its directory has a gigabyte (APPNOTE 4.3.16)."""
    data = bytearray(zipped())
    at = data.rindex(b"PK\x05\x06")
    data[at + 12 : at + 16] = struct.pack("<I", 1 << 30)
    return bytes(data)


def vast_by_the_long_record() -> bytes:
    """The same said in the long record alone, with its locator (APPNOTE 4.3.14 and 4.3.15)."""
    data = zipped()
    at = data.rindex(b"PK\x05\x06")
    record = struct.pack("<4sQHHIIQQQQ", b"PK\x06\x06", 44, 45, 45, 0, 0, 1, 1, 1 << 30, 0)
    locator = struct.pack("<4sIQI", b"PK\x06\x07", 0, at, 1)
    return data[:at] + record + locator + data[at:]


def bomb() -> bytes:
    """One whose table says that it unpacks to two gigabytes (APPNOTE 4.4.9)."""
    data = bytearray(zipped())
    at = data.index(b"PK\x01\x02")
    data[at + 24 : at + 28] = struct.pack("<I", (1 << 31) - 1)
    return bytes(data)


BAD = {
    "not a zip": (b"Coin;Year\nA token;1901\n", "This is no archive"),
    "empty": (b"", "The submitted file is empty"),
    "cut short": (zipped()[:-30], "This is no archive"),
    "another zip": (zipped().replace(b"holdings", b"somewhat"), "no json/holdings.json"),
    "locked": (locked(), "locked by a password"),
    "vast": (vast(), "There is more in this archive"),
    "vast, long": (vast_by_the_long_record(), "There is more in this archive"),
    "bomb": (bomb(), "There is more in this archive"),
    "damaged": (damaged(), "json/holdings.json is damaged in this archive"),
    "no rows": (zipped(places="[\nnot a row\n]"), "Line 2 of json/places.json cannot be read"),
    "NUL": (zipped(places=[{"id": 1, "name": "a\0b"}]), "Line 1 of json/places.json"),
    "half a pair": (zipped(places='{"id": 1, "name": "\\ud800"}'), "Line 1 of json/places"),
    "no number": (zipped(places='{"id": NaN}'), "Line 1 of json/places"),
}


@pytest.mark.parametrize("kind", BAD)
def test_a_bad_file_is_refused_in_a_sentence_and_changes_nothing(
    page: Client, heir: Member, kind: str
) -> None:
    data, words = BAD[kind]
    shown = send(page, data)
    assert (shown.status_code, words in shown.content.decode()) == (200, True)
    assert not Place.everything.filter(owner=heir).exists()
    assert not BroughtArchive.objects.exclude(file="").exists()


def test_one_that_is_too_large_is_refused_before_it_is_opened(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("catalogue.exports.forms.LIMIT_BYTES", 10)
    form = ArchiveForm({}, {"file": SimpleUploadedFile("all.zip", b"x" * 11)})
    assert "manage.py bring_back" in str(form.errors["file"])


def test_a_table_is_read_row_by_row(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(opening, "MOST_ROWS", 3)
    rows = open_archive(io.BytesIO(zipped(places=[{"id": n} for n in range(9)]))).rows("places")
    assert [next(rows)["id"] for _ in range(3)] == [0, 1, 2]
    with pytest.raises(ArchiveRefused, match="more than 3 lines"):
        next(rows)


# ---- whatever stands in it ----
ANY = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner),
    max_leaves=6,
)


def whole_rows(member: Member) -> dict[str, list[dict[str, Any]]]:
    opened = open_archive(io.BytesIO(archive_of(member)))
    names = [name[5:-5] for name in opened.names if name.startswith("json/")]
    return {name: list(opened.rows(name)) for name in names}


@pytest.mark.django_db
@settings(
    max_examples=50,
    deadline=None,
    phases=(Phase.explicit, Phase.reuse, Phase.generate),  # made smaller it takes minutes
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(data=st.data())
def test_any_value_in_any_column_ends_in_a_report_or_a_sentence(
    full_collection: Collection, heir: Member, data: st.DataObject
) -> None:
    tables = {name: rows for name, rows in whole_rows(full_collection.owner).items() if rows}
    for _ in range(data.draw(st.integers(1, 5))):
        rows = tables[data.draw(st.sampled_from(sorted(tables)))]
        row = rows[data.draw(st.integers(0, len(rows) - 1))]
        row[data.draw(st.sampled_from(sorted(row)))] = data.draw(ANY)
    before = Holding.everything.filter(owner=full_collection.owner).count()
    with suppress(ArchiveRefused):  # whose message is a sentence by its test above
        report = bring_back(io.BytesIO(zipped(**tables)), heir, rehearse=True)
        assert sum(report.made.values()) + len(report.left_out) > 0
    assert Holding.everything.filter(owner=full_collection.owner).count() == before
    assert not Holding.everything.filter(owner=heir).exists()


@given(st.binary(max_size=300), st.integers(0, 400), st.integers(0, 255))
@settings(deadline=None)
def test_any_bytes_are_opened_or_refused_in_a_sentence(data: bytes, at: int, byte: int) -> None:
    """Random ones, and an archive of which one byte is another."""
    good = bytearray(zipped(places=[{"id": 1, "name": "Chest"}]))
    good[at % len(good)] = byte
    for each in (data, bytes(good)):
        with suppress(ArchiveRefused):
            list(open_archive(io.BytesIO(each)).rows("places"))
