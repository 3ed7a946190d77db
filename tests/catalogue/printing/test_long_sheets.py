"""Sheets that a task draws: asked for, watched, opened, taken away."""

from __future__ import annotations

import errno
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.core.files.storage import default_storage
from django.core.management import call_command
from django.db import OperationalError
from django.test import Client
from django.utils import timezone
from django_tasks_db.models import DBTaskResult

from catalogue.models import Holding, Member, Sheet
from catalogue.printing.pdf import PrintingUnavailable
from catalogue.printing.responses import sheet_pages
from catalogue.printing.sheets import drawer
from catalogue.printing.tasks import ask_for, draw_sheet, remove_old_sheets
from catalogue.working.beats import beat
from tests.catalogue.printing.test_label_sheets import ASK

Make = Callable[..., Holding]


@pytest.fixture
def asked(
    as_member: Client, make_holding: Make, monkeypatch: pytest.MonkeyPatch, member: Member
) -> Sheet:
    """Labels that count as many, asked for and not drawn yet."""
    monkeypatch.setattr("catalogue.printing.label_sheets.LABELS_AT_ONCE", 1)
    make_holding(accession="T.1")
    make_holding(accession="T.2")
    as_member.post("/sheets/labels/", ASK)
    return Sheet.objects.get(owner=member)


def test_it_works(as_member: Client, asked: Sheet, read: Any) -> None:
    assert asked.state == "waiting"
    assert b"waits for its turn" in as_member.get(f"/sheets/{asked.pk}/").content
    assert as_member.get(f"/sheets/{asked.pk}/sheet.pdf").status_code == 404
    draw_sheet.call(asked.pk)
    page = as_member.get(f"/sheets/{asked.pk}/").content
    assert b"It is ready" in page
    assert b"hx-get" not in page
    drawn = as_member.get(f"/sheets/{asked.pk}/sheet.pdf")
    assert drawn["Content-Type"] == "application/pdf"
    found = read(b"".join(drawn.streaming_content))  # type: ignore[attr-defined]
    assert found.places("T.1")
    asked.refresh_from_db()
    assert (asked.done, asked.total) == (2, 2)


def test_a_sheet_and_its_task_are_kept_together_or_not_at_all(
    member: Member, monkeypatch: pytest.MonkeyPatch
) -> None:
    ask_for(member, "labels", "Labels", {"query": "q=a"}, 100)
    assert DBTaskResult.objects.get().args_kwargs["args"] == [Sheet.objects.get().pk]

    def no_task(self: Any, pk: int) -> None:
        raise OperationalError("database or disk is full")

    monkeypatch.setattr(type(draw_sheet), "enqueue", no_task)
    with pytest.raises(OperationalError):
        ask_for(member, "labels", "Labels", {"query": "q=b"}, 100)
    assert Sheet.objects.count() == 1


def test_asking_twice_for_the_same_draws_once(as_member: Client, asked: Sheet) -> None:
    as_member.post("/sheets/labels/", ASK)
    assert Sheet.objects.count() == 1
    assert DBTaskResult.objects.count() == 1


# ---- a worker that is gone ----
def test_asking_again_begins_anew_where_no_task_is_left(as_member: Client, asked: Sheet) -> None:
    DBTaskResult.objects.all().delete()
    Sheet.objects.update(state="drawing", done=1)
    as_member.post("/sheets/labels/", ASK)
    sheet = Sheet.objects.get()
    assert (sheet.state, sheet.done) == ("waiting", 0)
    assert DBTaskResult.objects.get().args_kwargs["args"] == [sheet.pk]


def test_a_failed_sheet_is_begun_anew_from_its_page(as_member: Client, asked: Sheet) -> None:
    DBTaskResult.objects.all().delete()
    Sheet.objects.update(state="failed", message="It broke off.")
    assert b"Begin anew" in as_member.get(f"/sheets/{asked.pk}/").content
    as_member.post(f"/sheets/{asked.pk}/again/")
    as_member.post(f"/sheets/{asked.pk}/again/")
    assert DBTaskResult.objects.count() == 1
    page = as_member.get(f"/sheets/{asked.pk}/").content
    assert b"It waits for its turn" in page
    assert b"It broke off" not in page


def test_a_drawn_sheet_is_not_begun_anew(as_member: Client, asked: Sheet) -> None:
    draw_sheet.call(asked.pk)
    as_member.post(f"/sheets/{asked.pk}/again/")
    assert Sheet.objects.get().state == "ready"


def test_the_page_says_so_while_nobody_draws(as_member: Client, asked: Sheet) -> None:
    assert b"is not running just now" in as_member.get(f"/sheets/{asked.pk}/").content
    beat("one")
    assert b"is not running just now" not in as_member.get(f"/sheets/{asked.pk}/").content


def test_a_sheet_that_two_workers_drew_keeps_one_file(
    asked: Sheet, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first was thought lost while it drew on."""
    draw = drawer("labels")

    def twice(owner: Member, parameters: Any, tell: Any) -> bytes:
        monkeypatch.setattr("catalogue.printing.tasks.drawer", lambda kind: draw)
        draw_sheet.call(asked.pk)
        return draw(owner, parameters, tell)

    monkeypatch.setattr("catalogue.printing.tasks.drawer", lambda kind: twice)
    draw_sheet.call(asked.pk)
    asked.refresh_from_db()
    assert default_storage.listdir("sheets")[1] == [asked.file.removeprefix("sheets/")]


def test_a_full_disk_is_named_on_the_page_and_leaves_no_half_file(
    as_member: Client, asked: Sheet, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(fd: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr("catalogue.site.whole_files.os.fsync", full)
        with pytest.raises(OSError, match="No space"):
            draw_sheet.call(asked.pk)
    assert b"The disk of this site is full" in as_member.get(f"/sheets/{asked.pk}/").content
    assert default_storage.listdir("sheets")[1] == []
    as_member.post(f"/sheets/{asked.pk}/again/")
    draw_sheet.call(asked.pk)
    assert Sheet.objects.get().state == "ready"


def test_while_it_waits_only_its_state_is_fetched_again(as_member: Client, asked: Sheet) -> None:
    part = as_member.get(f"/sheets/{asked.pk}/", headers={"HX-Request": "true"}).content
    assert b'hx-trigger="every 2s"' in part
    assert b"<html" not in part


def test_what_cannot_be_laid_out_is_said_on_its_page(as_member: Client, asked: Sheet) -> None:
    Holding.objects.all().delete()
    draw_sheet.call(asked.pk)
    page = as_member.get(f"/sheets/{asked.pk}/").content
    assert b"None of your pieces is chosen" in page


def test_without_pango_its_page_says_what_to_install(
    as_member: Client, asked: Sheet, monkeypatch: pytest.MonkeyPatch
) -> None:
    def missing() -> Any:
        raise PrintingUnavailable

    monkeypatch.setattr("catalogue.printing.pdf._weasyprint", missing)
    draw_sheet.call(asked.pk)
    assert b"apt-get install" in as_member.get(f"/sheets/{asked.pk}/").content


def test_an_unforeseen_failure_is_said_plainly_and_logged_by_the_worker(
    as_member: Client, asked: Sheet, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(html: str, **how: Any) -> bytes:
        raise RuntimeError("inner secret")

    monkeypatch.setattr("catalogue.printing.sheets.render_pdf", broken)
    with pytest.raises(RuntimeError):
        draw_sheet.call(asked.pk)
    page = as_member.get(f"/sheets/{asked.pk}/").content
    assert b"could not be drawn" in page
    assert b"inner secret" not in page


def test_a_sheet_that_takes_half_an_hour_says_so_and_stops_asking(
    as_member: Client, asked: Sheet
) -> None:
    Sheet.objects.update(made_at=timezone.now() - timedelta(minutes=31))
    page = as_member.get(f"/sheets/{asked.pk}/").content
    assert b"unusually long" in page
    assert b"hx-get" not in page


def test_a_sheet_taken_away_goes_with_its_file(as_member: Client, asked: Sheet) -> None:
    draw_sheet.call(asked.pk)
    asked.refresh_from_db()
    assert default_storage.exists(asked.file)
    as_member.post(f"/sheets/{asked.pk}/remove/")
    assert not Sheet.objects.exists()
    assert not default_storage.exists(asked.file)


def test_a_sheet_taken_away_while_it_waits_is_not_drawn(asked: Sheet) -> None:
    asked.delete()
    draw_sheet.call(asked.pk or 1)
    assert not default_storage.exists("sheets") or default_storage.listdir("sheets")[1] == []


def test_sheets_older_than_a_month_go_with_their_files(as_member: Client, asked: Sheet) -> None:
    draw_sheet.call(asked.pk)
    asked.refresh_from_db()
    assert remove_old_sheets() == 0
    Sheet.objects.update(made_at=timezone.now() - timedelta(days=31))
    call_command("empty_bin")
    assert not Sheet.objects.exists()
    assert not default_storage.exists(asked.file)


def test_another_member_sees_neither_sheet_nor_file(
    client: Client, asked: Sheet, other: Member
) -> None:
    draw_sheet.call(asked.pk)
    client.force_login(other, backend="django.contrib.auth.backends.ModelBackend")
    for part in ("", "sheet.pdf"):
        assert client.get(f"/sheets/{asked.pk}/{part}").status_code == 404


def test_the_page_of_sheets_without_anything_says_what_to_do(as_member: Client) -> None:
    page = as_member.get("/sheets/").content
    assert b"Nothing to label yet" in page
    assert b"You have no want list yet" in page


def test_the_page_of_sheets_lists_what_was_made(
    as_member: Client, asked: Sheet, django_assert_max_num_queries: Any
) -> None:
    with django_assert_max_num_queries(12):
        page = as_member.get("/sheets/").content
    assert b"Labels for 2 pieces" in page
    assert b"waiting" in page


def test_every_kind_of_sheet_has_what_draws_it() -> None:
    kinds = {page.kind for page in sheet_pages()}
    of_talks = {"talk-file", "handout", "case-cards", "case-plan"}
    assert kinds == {"labels", "album", "ladder", "wants", "schedule"} | of_talks
    assert all(callable(drawer(kind)) for kind in kinds)


def test_a_long_album_is_drawn_by_a_task_with_the_choices_of_its_form(
    as_member: Client, coinage: Any, make_holding: Make, monkeypatch: pytest.MonkeyPatch, read: Any
) -> None:
    monkeypatch.setattr("catalogue.printing.album_sheets.PAGES_AT_ONCE", 0)
    make_holding(issue=coinage.issues[0])
    sent = {"coins": "empty", "gaps": "on", "clearance": "2.5", "paper": "Letter"}
    as_member.post(f"/sheets/album/?series={coinage.series.key}", sent)
    sheet = Sheet.objects.get()
    assert sheet.title == "Album pages: Testland, First"
    draw_sheet.call(sheet.pk)
    sheet.refresh_from_db()
    assert sheet.state == "ready", sheet.message
    with default_storage.open(sheet.file) as file:
        assert read(file.read()).places("1953")


def test_a_long_ladder_is_looked_at_first_and_asked_for_by_a_button(
    as_member: Client, coinage: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("catalogue.printing.ladder_sheets.TYPES_AT_ONCE", 0)
    address = "/sheets/ladder/testland/"
    assert b"This sheet is long" in as_member.get(address).content
    assert not Sheet.objects.exists()
    as_member.post(address)
    draw_sheet.call(Sheet.objects.get().pk)
    assert Sheet.objects.get().state == "ready"
