"""From a list to holdings: all or nothing, told beforehand, and no row twice."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from django.db import DatabaseError

from catalogue.holdings.actions import next_accessions
from catalogue.holdings.changes import changes_since, current_number
from catalogue.holdings.own_words import refresh
from catalogue.importing import publishing, tasks
from catalogue.importing.publishing import publish
from catalogue.importing.settling import Decision, doubtful, may_have_a_type, settle, settle_all
from catalogue.models import Holding, ImportedList, ImportedRow, Member, Place
from series.models import CoinType, Issue, Issuer
from tests.conftest import Coinage

from .brought import bring_in, listed, outcomes, row, taken_in

pytestmark = pytest.mark.django_db


def test_a_sure_row_becomes_a_piece_with_all_it_says(member: Member, coinage: Coinage) -> None:
    taken_in(
        member,
        listed(row("1947", grade="VF", quantity="3", place="Blue box", ticket="bent rim")),
    )
    piece = Holding.objects.get(owner=member)
    assert (piece.coin_type, piece.issue) == (coinage.type, coinage.issues[1])
    assert (piece.grade, piece.quantity) == ("VF", 3)
    assert piece.place == Place.objects.get(owner=member, name="Blue box")
    assert "Ticket: bent rim" in piece.imported.splitlines()


def test_it_is_numbered_and_found_as_if_it_were_entered(member: Member, coinage: Coinage) -> None:
    free = next_accessions(member, 2)
    before = current_number()
    taken_in(member, listed(row(), row("1953", ticket="from the attic")))
    pieces = list(Holding.objects.filter(owner=member).order_by("pk"))
    assert [piece.accession for piece in pieces] == free
    assert "attic" in pieces[1].own_text
    assert "attic" not in pieces[1].search_text
    noted = changes_since(before) or []
    assert {pk for kind, pk in noted if kind == "holding"} == {piece.pk for piece in pieces}


def test_a_rehearsal_makes_nothing(member: Member, coinage: Coinage) -> None:
    brought = bring_in(member, listed(row(), row("1800"), row(quantity="0", ticket="none")))
    assert outcomes(brought) == ["make", "doubtful", "refused"]
    assert brought.counts == {"make": 1, "doubtful": 1, "refused": 1}
    reasons = ImportedRow.objects.filter(of=brought).values_list("reason", flat=True)
    assert all(reasons)
    assert not Holding.objects.exists()


def test_what_cannot_have_a_type_is_not_said_to_be_settled(
    member: Member, coinage: Coinage
) -> None:
    """Nor is a provisional type offered for it again."""
    rows = (row("1950", "10 ort", country=""), row("1901", "10 ort", country="Skarvø"))
    brought = bring_in(member, listed(*rows))
    assert may_have_a_type(brought).count() == 2
    assert settle_all(brought, may_have_a_type(brought), "provisional") == 1
    assert doubtful(brought).count() == 1
    assert may_have_a_type(brought).count() == 0


def test_doubtful_rows_stay_out_until_they_are_settled(member: Member, coinage: Coinage) -> None:
    brought = taken_in(member, listed(row(), row("1800", ticket="odd one")))
    assert outcomes(brought) == ["made", "doubtful"]
    assert brought.state == ImportedList.State.REHEARSAL
    settle_all(brought, doubtful(brought), "unidentified")
    tasks.take_in(brought)
    assert outcomes(brought) == ["made", "made"]
    odd = Holding.objects.get(coin_type=None)
    assert odd.title == "Testland 25 tinne 1800"
    assert "Ticket: odd one" in odd.imported
    brought.refresh_from_db()
    assert brought.state == ImportedList.State.DONE


def test_a_candidate_is_chosen_for_all_rows_like_it(member: Member, coinage: Coinage) -> None:
    twin = _twin(coinage)
    brought = bring_in(member, listed(row("1931"), row("1947"), row("1802", country="Nowhere")))
    assert outcomes(brought) == ["doubtful"] * 3
    first = doubtful(brought).first()
    assert first is not None
    assert settle(brought, {first.pk: Decision("type", twin.pk, alike=True)}) == 2
    assert outcomes(brought) == ["make", "make", "doubtful"]
    tasks.take_in(brought)
    held = Holding.objects.filter(coin_type=twin).order_by("pk")
    assert [piece.issue.shown for piece in held if piece.issue] == ["1931", "1947"]


def _twin(coinage: Coinage) -> CoinType:
    """Another type of the same value and dates."""
    twin = CoinType.objects.create(
        key="testland-first-25-twin",
        series=coinage.series,
        denomination=coinage.denomination,
        name="twin",
        first_year=1931,
        last_year=1953,
    )
    for issue in coinage.issues:
        Issue.objects.create(
            coin_type=twin,
            key=issue.key,
            shown=issue.shown,
            struck_from=issue.struck_from,
            struck_to=issue.struck_to,
        )
    return twin


def test_a_type_that_is_no_candidate_cannot_be_chosen(member: Member, coinage: Coinage) -> None:
    brought = bring_in(member, listed(row("1931", country="Nowhere")))
    odd = doubtful(brought).get()
    assert settle(brought, {odd.pk: Decision("type", coinage.type.pk)}) == 0
    assert outcomes(brought) == ["doubtful"]


def test_unknown_rows_get_provisional_types_in_one_go(member: Member, coinage: Coinage) -> None:
    data = listed(
        row("1901", "10 ort", country="Skarvø"),
        row("1903", "10 ort", country="Skarvø"),
        row("1905", "1 dal", country="Skarvø"),
    )
    brought = bring_in(member, data)
    assert outcomes(brought) == ["doubtful"] * 3
    settle_all(brought, doubtful(brought), "provisional")
    assert not Issuer.objects.filter(name="Skarvø").exists()
    tasks.take_in(brought)
    made = CoinType.objects.filter(series__issuer__name="Skarvø").order_by("pk")
    assert [str(one) for one in made] == ["10 ort", "1 dal"]
    assert {one.standing for one in made} == {CoinType.Standing.PROVISIONAL}
    assert {one.proposal.proposed_by for one in made} == {member}
    assert [issue.shown for issue in made[0].issues.all()] == ["1901", "1903"]
    held = Holding.objects.filter(coin_type=made[0]).order_by("issue__struck_from")
    assert [piece.label for piece in held] == ["10 ort, 1901", "10 ort, 1903"]


def test_a_row_without_a_country_says_why_it_has_no_type(member: Member, coinage: Coinage) -> None:
    brought = bring_in(member, listed(row("1901", "10 ort", country="")))
    settle_all(brought, doubtful(brought), "provisional")
    assert outcomes(brought) == ["doubtful"]
    assert "country" in ImportedRow.objects.get(of=brought).reason


# ---- all or nothing ----
def test_what_fails_at_the_last_row_leaves_nothing(
    member: Member, coinage: Coinage, monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = [row(place="New box"), row("1901", "10 ort", country="Skarvø"), row("1953")]
    brought = bring_in(member, listed(*rows))
    settle_all(brought, doubtful(brought), "provisional")

    def fail(*_ids: Any) -> None:
        raise DatabaseError("the last thing that is done")

    monkeypatch.setattr(publishing, "note_made", fail)
    before = outcomes(brought)
    with pytest.raises(DatabaseError):
        publish(brought)
    assert not Holding.everything.exists()
    assert not Place.objects.exists()
    assert not Issuer.objects.filter(name="Skarvø").exists()
    assert outcomes(brought) == before


def test_taking_in_twice_adds_nothing_the_second_time(member: Member, coinage: Coinage) -> None:
    brought = taken_in(member, listed(row(), row("1947")))
    publish(brought)
    assert Holding.objects.count() == 2


def test_a_full_disk_is_said_and_leaves_the_rehearsal(
    member: Member, coinage: Coinage, monkeypatch: pytest.MonkeyPatch
) -> None:
    brought = bring_in(member, listed(row()))

    def full(*_ids: Any) -> None:
        raise DatabaseError("database or disk is full")

    monkeypatch.setattr(publishing, "note_made", full)
    tasks.take_in(brought)
    brought.refresh_from_db()
    assert brought.state == ImportedList.State.REHEARSAL
    assert "disk of this site is full" in brought.message
    assert not Holding.everything.exists()
    monkeypatch.undo()
    tasks.take_in(brought)
    brought.refresh_from_db()
    assert brought.state == ImportedList.State.DONE
    assert brought.message == ""
    assert Holding.objects.count() == 1


# ---- no row twice ----
def test_the_same_file_again_makes_no_doubles(member: Member, coinage: Coinage) -> None:
    data = listed(row(), row("1947"))
    taken_in(member, data)
    again = taken_in(member, data, name="a copy.csv")
    assert outcomes(again) == ["same", "same"]
    numbers = Holding.objects.values_list("accession", flat=True)
    reasons = list(ImportedRow.objects.filter(of=again).values_list("reason", flat=True))
    assert all(number in reason for number, reason in zip(numbers, reasons, strict=True))
    assert Holding.objects.count() == 2


def test_a_file_that_waits_is_the_same_list(member: Member, coinage: Coinage) -> None:
    data = listed(row())
    assert bring_in(member, data).pk == bring_in(member, data).pk


def test_a_list_that_grew_brings_only_what_is_new(member: Member, coinage: Coinage) -> None:
    taken_in(member, listed(row(), row()))
    grown = taken_in(member, listed(row(), row(), row(), row("1953")))
    assert outcomes(grown) == ["same", "same", "made", "made"]
    assert Holding.objects.count() == 4


def test_two_lists_read_before_either_is_in_make_no_double(
    member: Member, coinage: Coinage
) -> None:
    first = bring_in(member, listed(row()))
    second = bring_in(member, listed(row(), row("1953")))
    tasks.take_in(first)
    tasks.take_in(second)
    second.refresh_from_db()
    assert "another list" in second.message
    assert outcomes(second) == ["same", "make"]
    assert Holding.objects.count() == 1


def test_what_another_member_brought_is_no_double(
    member: Member, other: Member, coinage: Coinage
) -> None:
    data = listed(row())
    taken_in(member, data)
    assert outcomes(taken_in(other, data)) == ["made"]


# ---- numbers of one's own ----
def test_a_number_of_the_list_is_kept(member: Member, coinage: Coinage) -> None:
    taken_in(member, listed(row(number="K-7"), row("1947")))
    numbers = set(Holding.objects.values_list("accession", flat=True))
    assert "K-7" in numbers
    assert len(numbers) == 2


def test_a_number_that_would_be_next_is_not_given_twice(member: Member, coinage: Coinage) -> None:
    free = next_accessions(member, 1)[0]
    taken_in(member, listed(row("1947"), row(number=free)))
    assert Holding.objects.filter(accession=free).count() == 1
    assert Holding.objects.count() == 2


def test_a_number_twice_in_the_list_is_refused(member: Member, coinage: Coinage) -> None:
    brought = bring_in(member, listed(row(number="K-7"), row("1947", number="K-7")))
    assert outcomes(brought) == ["make", "refused"]


def test_a_known_number_changes_the_piece_and_says_what(
    member: Member, coinage: Coinage, make_holding: Callable[..., Holding]
) -> None:
    piece = make_holding(accession="K-7", issue=coinage.issues[0], grade="F", note="mine")
    brought = bring_in(member, listed(row(number="K-7", grade="EF", place="Box")))
    reason = ImportedRow.objects.get(of=brought).reason
    assert outcomes(brought) == ["change"]
    assert "grade: F becomes EF" in reason
    assert "place: Box is added" in reason
    tasks.take_in(brought)
    piece.refresh_from_db()
    assert (piece.grade, piece.note, piece.row_version) == ("EF", "mine", 2)
    assert str(piece.place) == "Box"


def test_a_known_number_of_another_coin_is_refused(
    member: Member, coinage: Coinage, make_holding: Callable[..., Holding]
) -> None:
    make_holding(accession="K-7", issue=coinage.issues[2])
    brought = bring_in(member, listed(row("1931", number="K-7")))
    assert outcomes(brought) == ["refused"]
    assert "another piece" in ImportedRow.objects.get(of=brought).reason


def test_a_number_in_the_bin_is_refused(
    member: Member, coinage: Coinage, make_holding: Callable[..., Holding]
) -> None:
    make_holding(accession="K-7", issue=coinage.issues[0]).bin()
    assert outcomes(bring_in(member, listed(row(number="K-7")))) == ["refused"]


def test_a_piece_changed_since_the_rehearsal_stops_all(
    member: Member, coinage: Coinage, make_holding: Callable[..., Holding]
) -> None:
    piece = make_holding(accession="K-7", issue=coinage.issues[0], grade="F")
    brought = bring_in(member, listed(row(number="K-7", grade="EF"), row("1953")))
    piece.note = "changed meanwhile"
    piece.save()
    tasks.take_in(brought)
    brought.refresh_from_db()
    assert "K-7" in brought.message
    assert Holding.objects.count() == 1
    tasks.take_in(brought)
    piece.refresh_from_db()
    assert (piece.grade, piece.note) == ("EF", "changed meanwhile")


def test_another_members_number_is_none_of_ones_own(
    member: Member, other: Member, coinage: Coinage, make_holding: Callable[..., Holding]
) -> None:
    make_holding(owner=other, accession="K-7", grade="F")
    taken_in(member, listed(row(number="K-7", grade="EF")))
    assert Holding.objects.get(owner=other).grade == "F"
    assert Holding.objects.get(owner=member).accession == "K-7"


def test_a_price_is_in_the_currency_of_the_list_or_stays_text(
    member: Member, coinage: Coinage
) -> None:
    headings = ("Country", "Value", "Year", "Price paid")
    data = listed(("Testland", "25 tinne", "1931", "12.50"), headings=headings)
    brought = bring_in(member, data)
    assert ImportedRow.objects.get(of=brought).reading["piece"]["fields"] == {}
    brought.mapping = {**brought.mapping, "currency": "SEK"}
    brought.save()
    tasks.read_rows(brought)
    tasks.take_in(brought)
    piece = Holding.objects.get()
    assert (piece.price, piece.price_currency) == (Decimal("12.50"), "SEK")


def test_the_words_of_a_new_piece_are_what_they_would_be_made_anew(
    member: Member, coinage: Coinage
) -> None:
    taken_in(member, listed(row(place="Blue box", ticket="from the attic")))
    assert refresh(Holding.objects.values_list("pk", flat=True)) == 0
