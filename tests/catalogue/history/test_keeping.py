"""Every change of a tracked row is kept with what stood before, whichever way it is made."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.core import serializers
from django.db import IntegrityError, transaction
from django.db.models import F
from django.test import Client
from django.utils import timezone

from catalogue.history.keeping import doing
from catalogue.models import (
    Alteration,
    Deed,
    Holding,
    HoldingProblem,
    Member,
    Photo,
    Place,
    ProvenanceLine,
    WantList,
)
from catalogue.site.bin import empty_bin
from series.models import Legend
from series.records import BIN_DAYS
from series.tracked import unannounced
from valuation.models import PriceSource, Valuation

MakeHolding = Callable[..., Holding]
Said = list[tuple[str, Any, Any]]


def _said(holding: Holding, after: int = 0) -> Said:
    rows = Alteration.objects.filter(holding=holding, pk__gt=after).order_by("pk")
    return [(row.row.split(".")[1], row.before, row.after) for row in rows]


@pytest.fixture
def piece(make_holding: MakeHolding) -> Holding:
    made = make_holding(grade="VF", price="12.50", price_currency="EUR")
    Alteration.objects.all().delete()
    return made


def test_an_entry_is_kept_without_its_values(make_holding: MakeHolding) -> None:
    assert _said(make_holding(grade="VF")) == [("holding", None, {})]


def test_a_save_keeps_the_columns_that_differ(piece: Holding) -> None:
    piece.price, piece.spare = "14.50", True
    piece.save()
    assert _said(piece) == [
        ("holding", {"price": "12.50", "spare": False}, {"price": "14.50", "spare": True})
    ]


def test_a_save_that_changes_nothing_keeps_nothing(piece: Holding) -> None:
    piece.price = "12.5"
    piece.save()
    Holding.objects.filter(pk=piece.pk).update(spare=False)
    assert _said(piece) == []


def test_what_stood_in_the_database_counts_not_what_was_loaded(piece: Holding) -> None:
    stale = Holding.objects.get(pk=piece.pk)
    piece.price = "14.50"
    piece.save()
    stale.spare = True
    stale.save()
    assert _said(piece)[-1] == (
        "holding",
        {"price": "14.50", "spare": False},
        {"price": "12.50", "spare": True},
    )


def test_a_set_update_keeps_what_each_was(make_holding: MakeHolding) -> None:
    one, two = make_holding(quantity=2), make_holding(quantity=5)
    last = Alteration.objects.latest("pk").pk
    Holding.objects.update(quantity=F("quantity") + 1)
    assert _said(one, last) == [("holding", {"quantity": 2}, {"quantity": 3})]
    assert _said(two, last) == [("holding", {"quantity": 5}, {"quantity": 6})]


def test_a_set_update_that_moves_rows_out_of_its_filter(piece: Holding) -> None:
    Holding.objects.filter(spare=False).update(spare=True)
    assert _said(piece) == [("holding", {"spare": False}, {"spare": True})]


def test_bulk_update_is_kept_once(piece: Holding) -> None:
    piece.note, piece.title = "a note", "a title"
    Holding.objects.bulk_update([piece], ["note", "title", "search_text"])
    assert _said(piece) == [
        ("holding", {"note": "", "title": ""}, {"note": "a note", "title": "a title"})
    ]


def test_parts_are_kept_with_their_piece(piece: Holding) -> None:
    ProvenanceLine.objects.bulk_create([ProvenanceLine(holding=piece, text="an aunt")])
    problem = piece.problems.create(kind="cleaned")
    piece.provenance.all().delete()
    problem.delete()
    aunt, cleaned = {"text": "an aunt"}, {"kind": "cleaned"}
    whole = {"holding": piece.pk, "position": 0}
    assert _said(piece) == [
        ("provenanceline", None, whole | aunt),
        ("holdingproblem", None, {"holding": piece.pk} | cleaned),
        ("provenanceline", whole | aunt, None),
        ("holdingproblem", {"holding": piece.pk} | cleaned, None),
    ]


def test_a_part_that_goes_to_another_piece(make_holding: MakeHolding, piece: Holding) -> None:
    HoldingProblem.objects.create(holding=piece, kind="holed")
    other = make_holding()
    last = Alteration.objects.latest("pk").pk
    piece.problems.update(holding=other)
    assert _said(other, last) == [("holdingproblem", {"holding": piece.pk}, {"holding": other.pk})]


def test_the_bin_is_kept_for_one_and_for_many(piece: Holding) -> None:
    piece.bin()
    piece.take_back()
    Holding.objects.all().bin()
    changes = [(before["deleted_at"], after["deleted_at"]) for _row, before, after in _said(piece)]
    assert [(was is None, now is None) for was, now in changes] == [
        (True, False),
        (False, True),
        (True, False),
    ]


def test_a_secret_and_a_row_version_are_never_kept(member: Member) -> None:
    wants = WantList.objects.create(owner=member, title="List")
    wants.token_hash = "f" * 64
    wants.save()
    assert "token_hash" not in str(list(Alteration.objects.values_list("before", "after")))
    assert not Alteration.objects.filter(row="catalogue.wantlist", before__isnull=False).exists()


def test_whose_a_record_is(member: Member, piece: Holding, coinage: Any) -> None:
    place = Place.objects.create(owner=member, name="Drawer")
    source = PriceSource.objects.create(owner=member, name="Notes", kind="own")
    day = "2024-03-01"
    Valuation.objects.create(holding=piece, single="1", on=day, source=source)
    Valuation.objects.create(coin_type=coinage.type, single="1", on=day, source=source)
    rows = Alteration.objects.filter(row__in=["catalogue.place", "valuation.valuation"])
    assert [(row.subject, row.holding_id, row.owner_id) for row in rows.order_by("pk")] == [
        ("catalogue.place", None, member.pk),
        ("catalogue.holding", piece.pk, None),
        ("valuation.valuation", None, member.pk),
    ]
    assert rows.first().subject_id == place.pk  # type: ignore[union-attr]


def test_a_part_of_a_part_belongs_to_the_type(coinage: Any) -> None:
    face = coinage.type.faces.get(side="obverse")
    Legend.objects.bulk_create([Legend(face=face, text="HALVERN")])
    row = Alteration.objects.get(row="series.legend")
    assert (row.subject, row.subject_id, row.owner_id) == (
        "series.cointype",
        coinage.type.pk,
        None,
    )


def test_one_deed_for_all_within(member: Member, piece: Holding) -> None:
    with doing(member, "sorted out"):
        piece.problems.create(kind="holed")
        piece.spare = True
        piece.save()
    (deed,) = Deed.objects.filter(alterations__holding=piece).distinct()
    assert (deed.by, deed.why, deed.alterations.count()) == (member, "sorted out", 2)


def test_a_deed_is_written_again_after_its_transaction_was_undone(
    member: Member, piece: Holding
) -> None:
    @transaction.atomic
    def twice() -> None:
        for _time in range(2):
            piece.problems.create(kind="holed")

    with doing(member):
        with pytest.raises(IntegrityError):
            twice()
        piece.problems.create(kind="bent")
    assert [after["kind"] for _row, _before, after in _said(piece)] == ["bent"]
    assert Deed.objects.filter(by=member).count() == 1


def test_a_request_is_one_deed_of_who_is_signed_in(as_member: Client, piece: Holding) -> None:
    as_member.post(f"/holdings/{piece.pk}/status/", {"status": "on_loan", "on": "2024-03-01"})
    deed = Deed.objects.get(alterations__row="catalogue.statuschange")
    assert deed.by == piece.owner
    assert set(deed.alterations.values_list("row", flat=True)) == {
        "catalogue.statuschange",
        "catalogue.holding",
    }


def test_what_is_loaded_raw_is_not_kept_again(piece: Holding) -> None:
    text = serializers.serialize("json", [piece, piece.problems.create(kind="bent")])
    kept = Alteration.objects.count()
    for each in serializers.deserialize("json", text.replace("bent", "holed")):
        each.save()
    assert piece.problems.get().kind == "holed"
    assert Alteration.objects.count() == kept


def test_nothing_is_kept_where_nothing_is_to_be(piece: Holding) -> None:
    with unannounced():
        piece.spare = True
        piece.save()
        Holding.objects.update(note="a note")
        piece.problems.create(kind="bent")
    assert _said(piece) == []


def test_a_piece_gone_for_good_takes_its_history_along(piece: Holding) -> None:
    piece.problems.create(kind="bent")
    piece.delete()
    assert not Alteration.objects.filter(subject="catalogue.holding").exists()


def test_what_goes_from_the_bin_for_good_takes_its_history_along(
    member: Member, piece: Holding
) -> None:
    place = Place.objects.create(owner=member, name="Drawer")
    photo = Photo.objects.create(holding=piece, digest="d" * 64, width=9, height=9)
    for record in (place, photo):
        record.bin()
    told = _said(piece)
    long_ago = timezone.now() - timedelta(days=BIN_DAYS + 1)
    for model in (Place, Photo):
        model._base_manager.update(deleted_at=long_ago)
    empty_bin()
    assert not Photo._base_manager.exists()
    assert not Alteration.objects.filter(subject="catalogue.place").exists()
    assert _said(piece) == told
