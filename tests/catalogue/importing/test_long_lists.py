"""A list is laid ready before anything is locked, and goes in as it then is, or not at all."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from catalogue.holdings.actions import next_accessions, set_problems
from catalogue.holdings.changes import current_number
from catalogue.holdings.own_words import refresh
from catalogue.importing import publishing, tasks
from catalogue.importing.coming import Coming
from catalogue.importing.keeping import bring
from catalogue.importing.publishing import publish
from catalogue.importing.settling import doubtful, may_have_a_type, settle_all
from catalogue.importing.staging import stage
from catalogue.importing.taking_back import take_back
from catalogue.models import Alteration, Deed, Holding, ImportedRow, Member, Place
from series.models import CoinType, Currency, Denomination, Issue
from series.text.folding import fold
from tests.conftest import Coinage

from .brought import bring_in, listed, outcomes, row, taken_in

pytestmark = pytest.mark.django_db
TYPES = 400


def test_hundreds_of_unknown_types_come_and_go(member: Member, coinage: Coinage) -> None:
    """Each takes a few queries, however many there are already."""
    before = [kind.everything.count() for kind in (CoinType, Denomination, Currency, Issue)]
    rows = [row(str(1900 + n % 37), f"{n % TYPES + 1} ort", country="Skarvø") for n in range(500)]
    brought = bring(member, io.BytesIO(listed(*rows)), "long.csv")
    stage(brought)
    assert settle_all(brought, may_have_a_type(brought), "provisional") == 500
    with CaptureQueriesContext(connection) as asked:
        publish(brought)
    assert len(asked) < 12 * TYPES
    made = CoinType.objects.filter(series__issuer__name="Skarvø")
    assert made.count() == TYPES
    assert {one.standing for one in made} == {CoinType.Standing.PROVISIONAL}
    assert Currency.objects.filter(name="ort").count() == 1
    first = Holding.objects.filter(coin_type__denomination__name="7 ort").order_by("pk")
    assert [str(piece.issue) for piece in first] == ["1906", "1936"]
    assert not Holding.objects.filter(owner=member, issue=None).exists()
    take_back(brought)
    after = [kind.everything.count() for kind in (CoinType, Denomination, Currency, Issue)]
    assert after == before


def test_laying_ready_changes_nothing(member: Member, coinage: Coinage) -> None:
    brought = bring_in(member, listed(row(place="New box"), row("1901", "1 ort", country="Skarvø")))
    settle_all(brought, doubtful(brought), "provisional")
    number = current_number()
    with Coming(brought) as coming:
        coming.lay_ready()
        assert coming.pieces.count() == 2
        assert not Holding.everything.exists()
        assert not Place.everything.exists()
        assert current_number() == number
    assert outcomes(brought) == ["make", "make"]


# ---- what others do meanwhile ----
def _meanwhile(monkeypatch: pytest.MonkeyPatch, deed: Callable[[], Any]) -> None:
    """Have something done after the list is laid ready and before it is taken in."""
    locked = publishing.lock_numbers

    def lock(owner: Member) -> None:
        deed()
        locked(owner)

    monkeypatch.setattr(publishing, "lock_numbers", lock)


def test_a_number_that_was_given_meanwhile_is_not_given_twice(
    member: Member,
    coinage: Coinage,
    make_holding: Callable[..., Holding],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    first, second, third = next_accessions(member, 3)
    brought = bring_in(member, listed(row(), row("1947")))
    _meanwhile(monkeypatch, lambda: make_holding(accession=first))
    publish(brought)
    numbers = {piece.accession for piece in Holding.objects.filter(owner=member)}
    assert numbers == {first, second, third}
    assert fold(third) in Holding.objects.get(accession=third).search_text


def test_a_number_of_the_list_that_was_given_meanwhile_stops_all(
    member: Member,
    coinage: Coinage,
    make_holding: Callable[..., Holding],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    brought = bring_in(member, listed(row(), row("1947", number="K-7")))
    _meanwhile(monkeypatch, lambda: make_holding(accession="K-7"))
    tasks.take_in(brought)
    brought.refresh_from_db()
    assert "K-7 (line 3) was given to another piece" in brought.message


def test_a_place_that_was_made_meanwhile_is_used(
    member: Member, coinage: Coinage, monkeypatch: pytest.MonkeyPatch
) -> None:
    brought = bring_in(member, listed(row(place="New box")))
    made = {"owner": member, "name": "New box", "path": "New box"}
    _meanwhile(monkeypatch, lambda: Place.objects.create(**made))
    publish(brought)
    assert Holding.objects.get().place == Place.objects.get()


def test_a_row_that_was_left_out_meanwhile_stays_out(
    member: Member, coinage: Coinage, monkeypatch: pytest.MonkeyPatch
) -> None:
    brought = bring_in(member, listed(row(), row("1947")))
    left = ImportedRow.objects.filter(of=brought, line=3)
    _meanwhile(monkeypatch, lambda: left.update(outcome=ImportedRow.Outcome.LEFT))
    publish(brought)
    assert outcomes(brought) == ["made", "left"]
    assert Holding.objects.count() == 1


def test_a_type_that_went_into_the_bin_meanwhile_stops_all(
    member: Member, coinage: Coinage, monkeypatch: pytest.MonkeyPatch
) -> None:
    brought = bring_in(member, listed(row()))
    _meanwhile(monkeypatch, coinage.type.bin)
    tasks.take_in(brought)
    brought.refresh_from_db()
    assert "The type of line 2 is no longer there" in brought.message
    assert not Holding.everything.exists()


def test_a_date_that_went_meanwhile_leaves_the_date_that_was_read(
    member: Member, coinage: Coinage, monkeypatch: pytest.MonkeyPatch
) -> None:
    brought = bring_in(member, listed(row("1947")))
    _meanwhile(monkeypatch, coinage.issues[1].bin)
    publish(brought)
    piece = Holding.objects.get()
    assert (piece.coin_type, piece.issue, piece.date_reading) == (coinage.type, None, "1947")


def test_a_problem_that_was_noted_meanwhile_is_found(
    member: Member,
    coinage: Coinage,
    make_holding: Callable[..., Holding],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    piece = make_holding(accession="K-7", issue=coinage.issues[0], grade="F")
    brought = bring_in(member, listed(row(number="K-7", grade="EF", ticket="from the attic")))
    _meanwhile(monkeypatch, lambda: set_problems(piece, ["holed"]))
    monkeypatch.setattr(publishing, "NOTED_EACH", -1)  # as in a long list
    publish(brought)
    piece.refresh_from_db()
    assert "attic" in piece.own_text
    assert refresh([piece.pk]) == 0


# ---- history ----
def test_every_piece_has_one_row_of_history(member: Member, coinage: Coinage) -> None:
    brought = taken_in(member, listed(row(), row("1947"), row("1953")))
    kept = Alteration.objects.filter(holding__owner=member)
    assert {each.holding_id for each in kept} == {piece.pk for piece in Holding.objects.all()}
    assert [(each.before, each.after) for each in kept] == [(None, {})] * 3
    assert {each.deed for each in kept} == {Deed.objects.get(back_at=brought.get_absolute_url())}


def test_a_change_is_told_as_if_the_piece_were_saved(
    member: Member, coinage: Coinage, make_holding: Callable[..., Holding]
) -> None:
    def told(piece: Holding) -> tuple[Any, Any, str, int]:
        last = Alteration.objects.filter(holding=piece).order_by("-deed", "-pk")[0]
        return last.before, last.after, last.row, last.row_id - piece.pk

    start = {"issue": coinage.issues[0], "grade": "F", "grade_scale": "british"}
    brought, saved = make_holding(accession="K-7", **start), make_holding(accession="K-8", **start)
    taken_in(member, listed(row(number="K-7", grade="EF", quantity="3")))
    brought.refresh_from_db()
    for name in ("grade", "grade_rank", "quantity", "imported"):
        setattr(saved, name, getattr(brought, name))
    saved.save()
    assert told(brought) == told(saved)
