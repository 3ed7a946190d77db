"""The evidence kept of a piece: its texts, what becomes of it, and where it is shown."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client

from catalogue.holdings.actions import copy, join, split
from catalogue.identifying.evidence_of import LABELS, evidence_lines
from catalogue.identifying.keeping import keep_open, texts_of
from catalogue.models import Holding, Member, Observation
from series.identifying.evidence import FIELDS, read_evidence
from series.models import CoinType
from series.types.joining import join_types
from tests.conftest import Coinage

pytestmark = pytest.mark.django_db
SEEN = {"legend": "LIB?RTY", "diameter": "23.4", "mass": "5.35", "mass_within": "0.02",
        "colour": "white", "year": "194?"}  # fmt: skip
MakeHolding = Callable[..., Holding]


@pytest.fixture
def unknown(member: Member) -> Holding:
    return keep_open(member, read_evidence(SEEN))


def test_the_texts_are_those_put_down(unknown: Holding) -> None:
    assert texts_of(Holding.objects.get()) == SEEN


def test_a_measure_taken_again_counts_for_more(unknown: Holding) -> None:
    unknown.mass_g, unknown.diameter_mm = Decimal("5.3"), None
    unknown.save()
    texts = texts_of(Holding.objects.get())
    assert (texts["mass"], texts["mass_within"]) == ("5.3", "0.02")
    assert "diameter" not in texts
    assert texts["legend"] == "LIB?RTY"


def test_a_piece_without_evidence_gives_its_own_measures(make_holding: MakeHolding) -> None:
    piece = make_holding(
        coin_type=None, mass_g="2.95", mass_within="0.05", date_reading="19X8", title="worn"
    )
    piece.refresh_from_db()
    assert texts_of(piece) == {"mass": "2.95", "mass_within": "0.05", "year": "19?8"}


def test_evidence_stays_with_the_first_of_lots_parted_copied_or_joined(unknown: Holding) -> None:
    unknown.quantity = 3
    unknown.save()
    taken = split(unknown, 1)
    twin = copy(unknown)
    assert list(Observation.objects.values_list("holding", flat=True)) == [unknown.pk]
    kept = join([Holding.objects.get(pk=h.pk) for h in (taken, unknown, twin)])
    assert kept.pk == taken.pk
    assert list(Observation.objects.values_list("holding", flat=True)) == [unknown.pk]


def test_evidence_comes_back_from_the_bin_with_its_piece(unknown: Holding) -> None:
    unknown.bin()
    Holding.everything.get(pk=unknown.pk).take_back()
    assert texts_of(Holding.objects.get()) == SEEN


def test_when_types_are_joined_what_is_likely_follows(unknown: Holding, coinage: Coinage) -> None:
    gone = CoinType.objects.create(
        key="gone", series=coinage.series, denomination=coinage.denomination
    )
    Observation.objects.update(likely_type=gone, told_type=gone)
    join_types(gone, coinage.type)
    seen = Observation.objects.get()
    assert (seen.likely_type, seen.told_type) == (coinage.type, coinage.type)


def test_evidence_is_in_the_export_of_its_owner_and_of_nobody_else(
    unknown: Holding, member: Member, other: Member
) -> None:
    from catalogue.exports.archive import records
    from catalogue.members.member_data import CATALOGUE

    def exported(whose: Member) -> list[dict[str, Any]]:
        (table,) = [t for t in CATALOGUE.tables(whose) if t.name == "observations"]
        return list(records(table))

    (row,) = exported(member)
    assert (row["texts"], row["holding"]) == (SEEN, unknown.accession)
    assert exported(other) == []


def test_erasing_a_member_takes_their_evidence_along(unknown: Holding, administrator: Any) -> None:
    from catalogue.members.erase import erase_member

    erase_member(unknown.owner)
    assert not Observation.objects.exists()


def test_the_page_of_a_piece_shows_its_evidence(as_member: Client, unknown: Holding) -> None:
    page = as_member.get(unknown.get_absolute_url()).text
    assert "What was seen of it" in page
    assert "LIB?RTY" in page
    assert "5.35 g, read to ± 0.02 g" in page
    assert f"/identify/?holding={unknown.pk}" in page


def test_whoever_sees_a_piece_sees_its_evidence_but_not_what_it_may_be(
    client: Client, unknown: Holding, coinage: Coinage
) -> None:
    Observation.objects.update(likely_type=coinage.type, probability=0.9)
    Holding.objects.update(visibility="public")
    page = client.get(unknown.get_absolute_url()).text
    assert "LIB?RTY" in page
    assert "it may be" not in page
    assert "/identify/" not in page


def test_an_identified_piece_is_held_against_the_standard(
    as_member: Client, make_holding: MakeHolding
) -> None:
    piece = make_holding(mass_g="5.27", mass_within="0.01", diameter_mm="23.5")
    page = as_member.get(piece.get_absolute_url()).text
    assert "2.4 hundredths light (5.27 g, standard 5.4 g; read to ± 0.01 g)" in page
    assert "diameter agrees (23.5 mm, standard 23.5 mm)" in page
    assert "says nothing certain about grade" in page
    unmeasured = make_holding()
    assert "hundredths" not in as_member.get(unmeasured.get_absolute_url()).text


def test_every_kind_of_evidence_is_said_on_the_page_of_a_piece() -> None:
    assert set(LABELS) == {name for name in FIELDS if not name.endswith("_within")}
    lines = dict(
        evidence_lines(
            {"outline": "polygon", "sides": "7", "script": "Arab", "density": "8.9",
             "year": "١٣?٨", "calendar": "AH", "mass": "heavy"}
        )
    )  # fmt: skip
    assert lines == {
        "Mass": "heavy",
        "Density": "8.9 g/cm³, read to ± 0.05 g/cm³",
        "Outline": "polygon, 7 sides",
        "Date": "١٣\u200e?\u200e٨ (AH)",
        "Script": "Arabic",
    }
