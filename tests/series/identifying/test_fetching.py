"""Types fetched from the records for the ranking."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from series.identifying.fetching import facts_of, load_table
from series.models import CoinType, Face, FaceMotif, Issue, Legend, Motif
from tests.conftest import Coinage
from tests.series.coinage_maker import add_type

pytestmark = pytest.mark.django_db


def test_everything_that_is_weighed_is_fetched(coinage: Coinage) -> None:
    made = add_type(coinage, 25, composition="Cu75Ni25", edge="reeded", mass_g="5.5")
    gull = Motif.objects.get(key="gull")
    gull.broader.add(Motif.objects.create(key="bird", name="bird"))
    facts = next(each for each in facts_of(CoinType.objects.filter(pk=made.pk)))
    assert (facts.label, facts.denomination, facts.composition) == (
        "25 tinne", "25 tinne", "Cu75Ni25",
    )  # fmt: skip
    assert (facts.diameter_mm, facts.mass_g, facts.edge) == (20.0, 5.5, "reeded")
    assert [each.text for each in facts.legends] == ["TESTLAND"]
    assert facts.motifs == ("gull", "bird")
    assert [each.shown for each in facts.issues] == ["1931", "1932", "1933"]
    assert facts.country in facts.countries


def test_issues_not_struck_or_withdrawn_are_left_out(coinage: Coinage) -> None:
    made = add_type(coinage, 25)
    Issue.objects.filter(coin_type=made, shown="1931").update(fact="not_struck")
    Issue.objects.filter(coin_type=made, shown="1932").update(withdrawn=True)
    (facts,) = facts_of(CoinType.objects.filter(pk=made.pk))
    assert [each.shown for each in facts.issues] == ["1933"]


def test_a_face_in_the_bin_lends_no_legend(coinage: Coinage) -> None:
    made = add_type(coinage, 25)
    Face.objects.get(coin_type=made, side="obverse").bin()
    (facts,) = facts_of(CoinType.objects.filter(pk=made.pk))
    assert facts.legends == ()


def test_types_joined_to_another_are_not_ranked(coinage: Coinage) -> None:
    made = add_type(coinage, 25, standing="joined")
    assert made.pk not in load_table().numbers


def test_proposed_types_are_not_everyones(coinage: Coinage) -> None:
    made = add_type(coinage, 25, standing="proposed")
    assert load_table().not_everyones.tolist() == [made.pk]


def test_many_types_ask_no_more_queries_than_few(coinage: Coinage) -> None:
    def queries() -> int:
        with CaptureQueriesContext(connection) as found:
            list(facts_of(CoinType.objects.all()))
        return len(found)

    add_type(coinage, 2)
    few = queries()
    for n in range(3, 14):
        add_type(coinage, n)
    assert queries() == few


def test_parcels_join_without_a_seam(coinage: Coinage, monkeypatch: Any) -> None:
    for n in range(2, 9):
        add_type(coinage, n)
    whole = list(facts_of(CoinType.objects.all()))
    monkeypatch.setattr("series.identifying.fetching.PARCEL", 3)
    assert list(facts_of(CoinType.objects.all())) == whole


def test_members_of_a_union_call_its_coins_by_their_own_name(coinage: Coinage) -> None:
    from series.models import Currency, Issuer

    old = Currency.objects.create(key="old", name="old", successor=coinage.currency)
    member = Issuer.objects.create(key="northland", name="Northland", code="NL")
    old.issuers.add(member)
    made = add_type(coinage, 25)
    (facts,) = facts_of(CoinType.objects.filter(pk=made.pk))
    assert {"Northland", "NL"} <= set(facts.related)


def test_a_motif_shown_on_both_faces_counts_once(coinage: Coinage) -> None:
    made = add_type(coinage, 25)
    reverse = Face.objects.get(coin_type=made, side="reverse")
    FaceMotif.objects.create(face=reverse, motif=Motif.objects.get(key="gull"))
    Legend.objects.create(face=reverse, text="25 TINNE")
    (facts,) = facts_of(CoinType.objects.filter(pk=made.pk))
    assert facts.motifs == ("gull",)
