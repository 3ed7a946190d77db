"""The pages of bringing a list in: whose they are, hostile files, what is remembered."""

from __future__ import annotations

import io
import zipfile
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from catalogue.importing import tasks
from catalogue.members.erase import erase_member
from catalogue.models import (
    Holding,
    ImportedList,
    ImportedPiece,
    ImportedRow,
    ListMapping,
    Member,
)
from tests.conftest import Coinage

from .brought import HEADINGS, bring_in, listed, outcomes, row, taken_in, zipped

pytestmark = pytest.mark.django_db


def _send(client: Client, data: bytes, name: str = "my list.csv", **more: Any) -> Any:
    file = SimpleUploadedFile(name, data)
    return client.post(reverse("imports"), {"file": file, **more}, follow=True)


def _columns(*fields: str, **more: str) -> dict[str, str]:
    chosen = {f"column-{n}": field for n, field in enumerate(fields)}
    return {
        "headed": "on",
        "skip": "0",
        "currency": "EUR",
        "visibility": "private",
        **chosen,
        **more,
    }


FIELDS = ("country", "denomination", "date", "grade", "quantity", "accession", "place", "")


def test_from_the_file_to_the_pieces_and_back(as_member: Client, coinage: Coinage) -> None:
    page = _send(as_member, listed(row(), row("1800", ticket="blue")))
    brought = ImportedList.objects.get()
    assert page.redirect_chain[-1][0] == reverse("import-columns", args=[brought.pk])
    assert "Cells are parted by semicolons." in page.content.decode()
    as_member.post(reverse("import-columns", args=[brought.pk]), _columns(*FIELDS))
    assert outcomes(brought) == ["make", "doubtful"]
    settle = reverse("import-settle", args=[brought.pk])
    assert "Testland 25 tinne 1800" in as_member.get(settle).content.decode()
    as_member.post(settle, {"line-3": "unidentified"})
    as_member.post(reverse("import-take", args=[brought.pk]))
    assert Holding.objects.filter(visibility="private").count() == 2
    done = as_member.get(reverse("import", args=[brought.pk])).content.decode()
    odd = Holding.objects.get(coin_type=None)
    assert odd.get_absolute_url() in done
    piece = as_member.get(odd.get_absolute_url()).content.decode()
    assert "As in the list" in piece
    assert "Ticket: blue" in piece
    as_member.post(reverse("import-back", args=[brought.pk]))
    assert not Holding.everything.exists()


def test_columns_are_remembered_by_name_and_taken_for_the_next(
    as_member: Client, member: Member, coinage: Coinage
) -> None:
    data = listed(row(ticket="blue"))
    _send(as_member, data)
    first = ImportedList.objects.get()
    fields = (*FIELDS[:-1], "note")
    sent = _columns(*fields, save_as="Ledger")
    as_member.post(reverse("import-columns", args=[first.pk]), sent)
    assert ListMapping.objects.get(owner=member).name == "Ledger"
    second = bring_in(member, listed(row("1953", ticket="red")))
    assert second.mapping["fields"] == list(fields)
    tasks.take_in(second)
    assert Holding.objects.get().note == "red"
    other_way = bring_in(member, listed(("x", "y"), headings=("A", "B")))
    assert other_way.mapping["fields"] != list(fields)
    as_member.post(reverse("import-columns", args=[other_way.pk]), {"known": "Ledger"})
    other_way.refresh_from_db()
    assert other_way.mapping["fields"] == list(fields)


def test_a_column_is_one_thing_only(as_member: Client, member: Member, coinage: Coinage) -> None:
    brought = bring_in(member, listed(row()))
    fields = ("country", "denomination", "date", "grade", "quantity", "place", "place", "")
    page = as_member.post(reverse("import-columns", args=[brought.pk]), _columns(*fields))
    assert "Another column is this already" in page.content.decode()


def test_an_answer_reads_the_rows_anew(as_member: Client, member: Member, coinage: Coinage) -> None:
    brought = bring_in(member, listed(row(grade="VF/EF")))
    asked = brought.mapping["asked"][0]
    sides = next(n for n, label in enumerate(asked["labels"], 1) if "obverse" in label.lower())
    as_member.post(reverse("import-answer", args=[brought.pk]), {"answer-0": str(sides)})
    brought.refresh_from_db()
    tasks.take_in(brought)
    piece = Holding.objects.get()
    assert (piece.grade_obverse, piece.grade_reverse) == ("VF", "EF")


def test_a_row_settled_by_hand_is_asked_again(
    as_member: Client, member: Member, coinage: Coinage
) -> None:
    brought = bring_in(member, listed(row("1800")))
    as_member.post(reverse("import-settle", args=[brought.pk]), {"every": "leave"})
    assert outcomes(brought) == ["left"]
    as_member.post(reverse("import-reopen", args=[brought.pk]), {"line": "2"})
    assert outcomes(brought) == ["doubtful"]


def test_what_was_settled_stays_when_the_columns_change(
    as_member: Client, member: Member, coinage: Coinage
) -> None:
    brought = bring_in(member, listed(row("1800"), row("1801")))
    as_member.post(reverse("import-settle", args=[brought.pk]), {"line-3": "leave"})
    as_member.post(reverse("import-columns", args=[brought.pk]), _columns(*FIELDS[:-1], "note"))
    assert outcomes(brought) == ["doubtful", "left"]


# ---- whose it is ----
def test_another_member_reaches_nothing(
    client: Client, member: Member, other: Member, coinage: Coinage
) -> None:
    brought = taken_in(member, listed(row(), row("1800", ticket="secret")))
    known = ListMapping.objects.create(owner=member, name="Ledger", mapping={}, headings=[])
    client.force_login(other, backend="django.contrib.auth.backends.ModelBackend")
    for name in ("import", "import-columns", "import-settle"):
        assert client.get(reverse(name, args=[brought.pk])).status_code == 404
    for name in ("settle", "reopen", "answer", "take", "back", "again", "remove", "columns"):
        address = reverse(f"import-{name}", args=[brought.pk])
        assert client.post(address, {"every": "leave", "line": "3"}).status_code == 404
    assert client.post(reverse("mapping-forget", args=[known.pk])).status_code == 404
    mine = bring_in(other, listed(row("1953")))
    client.post(reverse("import-columns", args=[mine.pk]), {"known": "Ledger"})
    mine.refresh_from_db()
    assert mine.mapping["fields"]
    assert outcomes(brought) == ["made", "doubtful"]
    assert "Ledger" not in client.get(reverse("imports")).content.decode()


def test_what_the_list_said_is_the_owners_alone(
    client: Client, as_member: Client, member: Member, other: Member, coinage: Coinage
) -> None:
    taken_in(member, listed(row(ticket="unmistakable")))
    Holding.objects.update(visibility="club")
    piece = Holding.objects.get()
    found = "/holdings/?owner=any&q=unmistakable"
    assert piece.get_absolute_url() in as_member.get(found).content.decode()
    assert "unmistakable" in as_member.get("/holdings/export.csv").getvalue().decode()
    stranger = Client()
    stranger.force_login(other, backend="django.contrib.auth.backends.ModelBackend")
    assert piece.accession in stranger.get(piece.get_absolute_url()).content.decode()
    assert "unmistakable" not in stranger.get(piece.get_absolute_url()).content.decode()
    assert piece.get_absolute_url() not in stranger.get(found).content.decode()
    exported = stranger.get("/holdings/export.csv?owner=any").getvalue().decode()
    assert piece.accession in exported
    assert "unmistakable" not in exported


def test_erasing_a_member_erases_lists_rows_and_files(
    member: Member, coinage: Coinage, django_capture_on_commit_callbacks: Any
) -> None:
    brought = taken_in(member, listed(row()), pictures=zipped(other__png=b"x"))
    ListMapping.objects.create(owner=member, name="Ledger")
    files = (brought.file, brought.pictures)
    assert all(map(default_storage.exists, files))
    with django_capture_on_commit_callbacks(execute=True):
        erase_member(member)
    for model in (ImportedList, ImportedRow, ImportedPiece, ListMapping, Holding):
        assert not model._base_manager.exists()
    assert not any(map(default_storage.exists, files))


# ---- removing ----
def test_a_list_that_is_in_is_not_removed(
    as_member: Client, member: Member, coinage: Coinage
) -> None:
    brought = taken_in(member, listed(row()))
    as_member.post(reverse("import-remove", args=[brought.pk]))
    assert ImportedList.objects.exists()


def test_a_list_of_which_nothing_is_in_is_removed_with_its_file(
    as_member: Client, member: Member, coinage: Coinage, django_capture_on_commit_callbacks: Any
) -> None:
    brought = bring_in(member, listed(row()))
    with django_capture_on_commit_callbacks(execute=True):
        as_member.post(reverse("import-remove", args=[brought.pk]))
    assert not ImportedList.objects.exists()
    assert not default_storage.exists(brought.file)


# ---- hostile files ----
def _bomb() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("[Content_Types].xml", bytes(300_000_000))
        archive.writestr("xl/workbook.xml", bytes(1000))
    return out.getvalue()


HOSTILE = {
    "nothing": (b"", "x.csv"),
    "a picture": (b"\x89PNG\r\n\x1a\n" + bytes(40), "x.csv"),
    "NUL": (b"Country;Value\nTest\0land;25 tinne\n", "x.csv"),
    "many columns": (b";" * 1_000_000 + b"\n", "x.csv"),
    "a huge cell": (b'Country\n"' + b"x" * 3_000_000 + b'"\n', "x.csv"),
    "a bomb": (_bomb(), "x.xlsx"),
    "names": (zipped(**{"../xl/workbook__xml": b"x"}), "x.xlsx"),
    "cut off": (zipped(a__txt=b"x")[:40], "x.ods"),
}


@pytest.mark.parametrize("kind", HOSTILE)
def test_a_hostile_file_ends_in_a_sentence(as_member: Client, kind: str) -> None:
    data, name = HOSTILE[kind]
    page = _send(as_member, data, name)
    assert page.status_code == 200
    assert 'class="errorlist"' in page.content.decode()
    assert not ImportedList.objects.exists()


def test_a_hostile_archive_ends_in_a_sentence(as_member: Client, coinage: Coinage) -> None:
    archive = SimpleUploadedFile("pictures.zip", zipped(**{"../K-1__png": b"x"}))
    page = _send(as_member, listed(row()), pictures=archive)
    assert "lead out" in page.content.decode()
    assert not ImportedList.objects.exists()


@pytest.mark.parametrize("name", ["../../x.csv", "a" * 300 + ".csv", "…\u202e.csv", ".csv"])
def test_an_odd_name_is_kept_as_a_name(
    as_member: Client, coinage: Coinage, name: str, settings: Any
) -> None:
    _send(as_member, listed(row()), name)
    brought = ImportedList.objects.get()
    assert "/" not in brought.name
    assert brought.file.startswith("lists/")
    assert default_storage.exists(brought.file)


def test_a_formula_stays_a_text(as_member: Client, member: Member, coinage: Coinage) -> None:
    taken_in(member, listed(row(ticket="=HYPERLINK(1)")))
    assert "Ticket: =HYPERLINK(1)" in Holding.objects.get().imported


def test_headings_are_as_many_as_the_columns() -> None:
    assert len(HEADINGS) == len(FIELDS)


# ---- long lists ----
def test_a_long_list_is_read_and_taken_in_by_a_task(
    as_member: Client, member: Member, coinage: Coinage, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tasks, "AT_ONCE", 1)
    brought = bring_in(member, listed(row(), row("1947")))
    address = reverse("import", args=[brought.pk])
    assert brought.state == ImportedList.State.READING
    assert "being read" in as_member.get(address).content.decode()
    tasks.do_list.func(brought.pk)
    assert outcomes(brought) == ["make", "make"]
    as_member.post(reverse("import-take", args=[brought.pk]))
    assert not Holding.objects.exists()
    tasks.do_list.func(brought.pk)
    assert Holding.objects.count() == 2
    tasks.do_list.func(brought.pk)
    assert Holding.objects.count() == 2
    asked = as_member.get(address, headers={"HX-Request": "true"})
    assert asked.headers["HX-Refresh"] == "true"


def test_a_list_whose_worker_ended_too_often_says_so(
    member: Member, coinage: Coinage, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tasks, "AT_ONCE", 1)
    brought = bring_in(member, listed(row(), row("1947")))
    tasks.say_given_up(tasks.do_list, [brought.pk])
    brought.refresh_from_db()
    assert brought.state == ImportedList.State.FAILED
    assert "begun 3 times" in brought.message
