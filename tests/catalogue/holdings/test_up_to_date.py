"""What is kept on disk: used only where it stands for the records as they are."""

from __future__ import annotations

import errno
import os
import random
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from django.conf import settings as django_settings
from django.core.management import call_command
from django.db import transaction

from catalogue.holdings import up_to_date
from catalogue.holdings.changes import note_everything, note_holdings
from catalogue.holdings.facets import ORDERS
from catalogue.holdings.finding import type_index
from catalogue.holdings.search import index
from catalogue.holdings.search.columns import ColumnStore, Search
from catalogue.holdings.up_to_date import UpToDate
from catalogue.models import Change, ChangeCounter, Holding, HoldingProblem, Member
from catalogue.site import kept_files
from catalogue.site.kept_files import forget_kept
from series.types.editing import settle
from tests.catalogue.holdings.differing import differing_rows, ids_in, rows_in, words_in

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def keeps_little(monkeypatch: pytest.MonkeyPatch) -> None:
    """Even a few pieces are kept, after each change."""
    monkeypatch.setattr(up_to_date, "KEPT_FROM", 1)
    monkeypatch.setattr(up_to_date, "KEEP_AFTER", 1)


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Says each time that all columns are made anew."""
    said: list[str] = []
    true = index._columns.make
    monkeypatch.setattr(index._columns, "make", lambda: said.append("made") or true())
    return said


def restarted() -> ColumnStore:
    """The columns as a process that just started has them."""
    index.forget()
    return index.store()


def everything(columns: ColumnStore) -> list[int]:
    return ids_in(columns, Search(lambda owner, visibility: True))


def kept_file() -> Path:
    return Path(django_settings.KEPT_DIR) / "holdings.arrays"


def left_in_folder() -> list[str]:
    names = [path.name for path in kept_file().parent.iterdir()]
    return [name for name in names if not name.endswith((".lock", "forgotten"))]


def test_a_restart_maps_what_was_kept(make_holding: Any, made: list[str]) -> None:
    piece = make_holding()
    index.store()
    assert everything(restarted()) == [piece.pk]
    assert made == ["made"]


def test_what_changed_since_is_worked_in(
    make_holding: Any, made: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    first = make_holding()
    index.store()
    monkeypatch.setattr(up_to_date, "KEEP_AFTER", 100)
    second = make_holding()
    first.delete()
    assert everything(restarted()) == [second.pk]
    assert made == ["made"]


def test_where_all_was_changed_the_file_is_not_used(make_holding: Any, made: list[str]) -> None:
    piece = make_holding()
    index.store()
    Holding.objects.filter(pk=piece.pk).update(quantity=7)
    note_everything()
    assert [row.quantity for row in rows_in(restarted())] == [7]
    assert made == ["made", "made"]


@pytest.mark.django_db(transaction=True)
def test_what_was_undone_is_not_kept(make_holding: Any) -> None:
    make_holding(quantity=1)
    assert [row.quantity for row in rows_in(index.store())] == [1]
    with transaction.atomic():
        make_holding(quantity=2)
        assert [row.quantity for row in rows_in(index.store())] == [1, 2]
        transaction.set_rollback(True)
    make_holding(quantity=3)  # takes the number of the change that was undone
    assert [row.quantity for row in rows_in(index.store())] == [1, 3]


def test_a_database_put_back_that_went_another_way_is_not_mistaken(
    make_holding: Any, made: list[str]
) -> None:
    """The same number as in the file, reached by another change: a copy was put back."""
    piece = make_holding()
    index.store()
    number = ChangeCounter.objects.get().n
    Change.objects.filter(n=number).delete()
    ChangeCounter.objects.update(n=number - 1)
    Holding.objects.filter(pk=piece.pk).update(quantity=9)
    note_holdings([piece.pk])
    assert ChangeCounter.objects.get().n == number
    assert [row.quantity for row in rows_in(restarted())] == [9]
    assert made == ["made", "made"]


@pytest.mark.parametrize(
    "harm",
    [
        lambda path: path.write_bytes(path.read_bytes()[:-100]),
        lambda path: path.write_bytes(b""),
        lambda path: path.write_bytes(path.read_bytes().replace(b"copper", b"coPPer")),
        lambda path: path.write_bytes(b"\x93NUMPY" + bytes(range(256)) * 9),
        lambda path: (path.unlink(), path.mkdir()),
    ],
)
def test_a_damaged_file_is_passed_over(
    make_holding: Any, made: list[str], harm: Callable[[Path], Any]
) -> None:
    piece = make_holding()
    index.store()
    harm(kept_file())
    assert everything(restarted()) == [piece.pk]
    assert made == ["made", "made"]


def test_what_other_code_made_is_not_used(
    make_holding: Any, made: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    make_holding()
    index.store()
    monkeypatch.setattr(kept_files, "_made_by", lambda: "another release")
    restarted()
    assert made == ["made", "made"]


def test_the_file_is_the_sites_own(make_holding: Any) -> None:
    make_holding()
    index.store()
    assert kept_file().stat().st_mode & 0o777 == 0o600
    assert kept_file().parent.stat().st_mode & 0o777 == 0o700


@pytest.mark.parametrize("fault", [errno.ENOSPC, errno.EROFS, errno.EACCES])
def test_a_disk_that_takes_nothing_costs_only_time(
    make_holding: Any, made: list[str], monkeypatch: pytest.MonkeyPatch, fault: int
) -> None:
    def refuse(*_: Any) -> None:
        raise OSError(fault, "no")

    monkeypatch.setattr("catalogue.site.whole_files.os.fsync", refuse)
    piece = make_holding()
    assert everything(index.store()) == [piece.pk]
    assert everything(restarted()) == [piece.pk]
    assert left_in_folder() == []
    assert made == ["made", "made"]


def test_a_piece_that_is_gone_leaves_no_word_in_the_file(make_holding: Any) -> None:
    make_holding(search_text="heron")
    piece = make_holding(search_text="cormorant")
    settle([piece.coin_type_id])
    index.store()
    assert b"cormorant" in kept_file().read_bytes()
    Holding.everything.filter(pk=piece.pk).delete()
    index.store()
    assert b"cormorant" not in kept_file().read_bytes()
    assert b"heron" in kept_file().read_bytes()


def test_forgetting_removes_every_file(make_holding: Any) -> None:
    piece = make_holding()
    index.store()
    type_index.type_texts()
    unfinished = kept_file().with_name("0a.unfinished")
    unfinished.write_bytes(b"half")
    forget_kept()
    assert left_in_folder() == []
    forget_kept()
    assert everything(restarted()) == [piece.pk]


def test_what_a_killed_process_left_is_removed_after_an_hour(make_holding: Any) -> None:
    make_holding()
    index.store()
    left, just_now = (kept_file().with_name(f"{name}.unfinished") for name in ("left", "now"))
    for path in (left, just_now):
        path.write_bytes(b"half")
    os.utime(left, (0, 0))
    make_holding()
    index.store()
    assert not left.exists()
    assert just_now.exists()


@pytest.mark.parametrize("vendor", ["sqlite", "postgresql"])
def test_a_file_that_is_replaced_or_removed_still_serves_who_has_it(
    make_holding: Any, monkeypatch: pytest.MonkeyPatch, vendor: str
) -> None:
    """Mapped on one machine, read where other machines may write it."""
    piece = make_holding()
    index.store()
    monkeypatch.setattr(kept_files, "connection", SimpleNamespace(vendor=vendor))
    columns = restarted()
    forget_kept()
    assert everything(columns) == [piece.pk]
    piece.spare = True
    piece.save()
    assert [row.facets["spare"] for row in rows_in(index.store())] == [("yes",)]


@pytest.mark.parametrize("moment", ["current_number", "changes_since", "mark_of", "keep"])
def test_what_is_forgotten_while_it_is_worked_out_does_not_come_back(
    make_holding: Any, monkeypatch: pytest.MonkeyPatch, moment: str
) -> None:
    """Whenever another process forgets a person: this one has their words in memory still."""
    piece = make_holding(search_text="cormorant")
    index.store()
    make_holding()
    true = getattr(up_to_date, moment)
    once = iter(["now"])

    def meanwhile(*args: Any) -> Any:
        done = true(*args)
        if next(once, None):
            Holding.everything.filter(pk=piece.pk).delete()
            forget_kept()
        return done

    monkeypatch.setattr(up_to_date, moment, meanwhile)
    index.store()
    assert not kept_file().exists() or b"cormorant" not in kept_file().read_bytes()
    assert everything(restarted()) == everything(index._columns.make())


def test_a_change_while_it_is_written_leaves_the_file(
    make_holding: Any, made: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    piece = make_holding()
    true = up_to_date.keep
    once = iter(["now"])

    def meanwhile(*args: Any) -> bool:
        done = true(*args)
        if next(once, None):
            note_holdings([piece.pk])
        return done

    monkeypatch.setattr(up_to_date, "keep", meanwhile)
    index.store()
    assert everything(restarted()) == [piece.pk]
    assert made == ["made"]


def test_of_several_processes_one_makes_and_the_others_map(
    make_holding: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Both start at once; each has its own ``UpToDate``, as each process has. No database."""
    monkeypatch.setattr(up_to_date, "current_number", lambda: 5)
    monkeypatch.setattr(up_to_date, "mark_of", lambda number: 77)
    making, goes_on = threading.Event(), threading.Event()
    arrived = threading.Semaphore(0)
    makers: list[str] = []

    def at_the_lock(name: str) -> Any:
        arrived.release()
        return kept_files.only_one(name)

    monkeypatch.setattr(up_to_date, "only_one", at_the_lock)

    def make() -> list[int]:
        makers.append(threading.current_thread().name)
        making.set()
        goes_on.wait(10)
        return [1, 2, 3]

    def pack(thing: list[int]) -> tuple[Any, Any]:
        return {"of": np.array(thing)}, {}

    def process() -> None:
        own = UpToDate("several", make, lambda thing, _: thing, pack, lambda of, _: [*of["of"]])
        found.append([int(each) for each in own.current()])

    found: list[list[int]] = []
    started = [threading.Thread(target=process) for _ in range(3)]
    started[0].start()
    assert making.wait(10)
    for other in started[1:]:
        other.start()
    for _each in started:
        assert arrived.acquire(timeout=10)
    goes_on.set()
    for each in started:
        each.join(10)
    assert found == [[1, 2, 3]] * 3
    assert len(makers) == 1


def test_type_texts_come_back_from_disk(
    make_holding: Any, coinage: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    make_holding()
    settle([coinage.type.pk])
    before = type_index.type_texts()
    monkeypatch.setattr(type_index._texts, "make", lambda: pytest.fail("made anew"))
    type_index.forget()
    after = type_index.type_texts()
    assert after.ids.tolist() == before.ids.tolist()
    assert after.meanings == before.meanings
    assert words_in(after.stack) == words_in(before.stack)


@pytest.fixture
def lot() -> random.Random:
    return random.Random(1871)


def changes(
    lot: random.Random, coinage: Any, members: list[Member], make_holding: Any
) -> Iterator[str]:
    """Without end: something done to a piece or a type, as its name."""
    while True:
        pieces = list(Holding.objects.order_by("pk"))
        piece = lot.choice(pieces) if pieces else make_holding()
        kind = lot.choice(["new", "new", "edit", "problem", "bin", "type", "many", "gone"])
        if kind == "new":
            make_holding(owner=lot.choice(members), search_text=lot.choice(["heron", "gull", ""]))
        elif kind == "edit":
            piece.spare, piece.visibility = not piece.spare, lot.choice(["private", "public"])
            piece.accession = f"{lot.randrange(100)}"
            piece.save()
        elif kind == "problem":
            HoldingProblem.objects.get_or_create(holding=piece, kind=lot.choice(["holed", "bent"]))
        elif kind == "bin":
            piece.delete()
        elif kind == "gone":
            Holding.everything.filter(pk=piece.pk).delete()
        elif kind == "type":
            coinage.type.name = lot.choice(["lighthouse", "net", ""])
            coinage.type.save()
            settle([coinage.type.pk])
        else:
            some = Holding.objects.filter(pk__in=[each.pk for each in pieces[:5]])
            some.update(quantity=lot.randrange(1, 9))
            note_holdings(each.pk for each in pieces[:5])
        yield kind


@pytest.mark.parametrize("keep_after", [1, 3, 10_000])
def test_after_any_changes_and_restarts_the_columns_are_as_if_made_anew(
    make_holding: Any,
    coinage: Any,
    member: Member,
    other: Member,
    lot: random.Random,
    monkeypatch: pytest.MonkeyPatch,
    keep_after: int,
) -> None:
    monkeypatch.setattr(up_to_date, "KEEP_AFTER", keep_after)
    for _turn, _kind in zip(
        range(60), changes(lot, coinage, [member, other], make_holding), strict=False
    ):
        if lot.random() < 0.3:
            index.forget()
        if lot.random() < 0.7:
            columns = index.store()
            assert differing_rows() == []
            ids = Holding.objects.order_by("pk").values_list("pk", flat=True)
            assert everything(columns) == list(ids)
    fresh = index._columns.make()
    for sort in list(ORDERS):
        search = Search(lambda owner, visibility: True, sort=sort, text="testland")
        assert index.store().query(search) == fresh.query(search)


def test_the_site_answers_where_nothing_may_be_kept(make_holding: Any, as_member: Any) -> None:
    Path(django_settings.KEPT_DIR).write_text("a file where the folder should be")
    make_holding()
    assert as_member.get("/holdings/").status_code == 200
    call_command("check")
