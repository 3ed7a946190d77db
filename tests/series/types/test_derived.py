"""Metal, colour, years and search text of types follow from their records."""

from __future__ import annotations

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from series.models import (
    CoinType,
    Face,
    FaceMotif,
    FacePerson,
    Issue,
    Legend,
    Mark,
    Mint,
    Motif,
    Person,
)
from series.text.folding import fold
from series.types.derived import derive_types, differing_types, types_using
from tests.conftest import Coinage

pytestmark = pytest.mark.django_db


def fresh(coinage: Coinage) -> CoinType:
    found: CoinType = CoinType.objects.get(pk=coinage.type.pk)
    return found


def test_it_works(coinage: Coinage) -> None:
    assert derive_types() == 1
    coin = fresh(coinage)
    assert (coin.metal, coin.colour) == ("copper-nickel", "white")
    assert (coin.first_year, coin.last_year) == (1931, 1953)
    for word in ("25 tinne", "First", "Testland", "marl"):
        assert fold(word) in coin.search_text


def test_a_second_time_changes_nothing(coinage: Coinage) -> None:
    derive_types()
    version = fresh(coinage).row_version
    assert derive_types() == 0
    assert fresh(coinage).row_version == version


def test_ring_and_centre_are_both_named(coinage: Coinage) -> None:
    CoinType.objects.update(composition="ring: Cu75Ni25; centre: CuZn20Ni5")
    derive_types([coinage.type.pk])
    coin = fresh(coinage)
    assert coin.metal == "ring and centre: copper-nickel, nickel brass"
    assert coin.colour == "two-colour"


@pytest.mark.parametrize("composition", ["", "an alloy of the moon"])
def test_a_composition_that_says_nothing_leaves_metal_empty(
    coinage: Coinage, composition: str
) -> None:
    CoinType.objects.update(composition=composition)
    derive_types()
    assert (fresh(coinage).metal, fresh(coinage).colour) == ("", "")


def test_years_are_those_of_issues_struck(coinage: Coinage) -> None:
    coin = coinage.type
    Issue.objects.create(
        coin_type=coin, key="1960", shown="1960", struck_from=1960, struck_to=1960,
        fact=Issue.Fact.NOT_STRUCK,
    )  # fmt: skip
    Issue.objects.create(
        coin_type=coin, key="1900", shown="1900", struck_from=1900, struck_to=1900, withdrawn=True
    )
    coinage.issues[0].bin()
    derive_types()
    assert (fresh(coinage).first_year, fresh(coinage).last_year) == (1947, 1953)


def test_years_stay_where_no_issue_is_recorded(coinage: Coinage) -> None:
    Issue.objects.all().delete()
    CoinType.objects.update(first_year=1800, last_year=1820)
    derive_types()
    assert (fresh(coinage).first_year, fresh(coinage).last_year) == (1800, 1820)


def test_search_finds_what_stands_on_a_coin(coinage: Coinage) -> None:
    face = Face.objects.get(side="obverse")
    Legend.objects.create(
        face=face, text="جزر", script="Arab", transliteration="juzur", translation="islands"
    )
    animal = Motif.objects.create(key="animal", name="beast")
    bird = Motif.objects.create(key="bird", name="bird")
    gull = Motif.objects.create(key="gull", name="herring gull")
    bird.broader.add(animal)
    gull.broader.add(bird)
    FaceMotif.objects.create(face=face, motif=gull, note="on a mooring post")
    person = Person.objects.create(key="moy", name="Ada Moy")
    FacePerson.objects.create(face=face, person=person, role="designer")
    mint = Mint.objects.create(key="sund", name="Sund")
    Mark.objects.create(coin_type=coinage.type, kind="mint", text="S", side="reverse", mint=mint)
    derive_types()
    text = fresh(coinage).search_text
    for word in ("جزر", "juzur", "islands", "herring gull", "bird", "beast", "mooring", "Ada Moy",
                 "Sund"):  # fmt: skip
        assert fold(word) in text, word


def test_the_check_names_what_differs(coinage: Coinage) -> None:
    derive_types()
    assert differing_types() == []
    CoinType.objects.update(metal="gold")
    found = differing_types()
    assert [(d.name, d.stored, d.computed) for d in found] == [("metal", "gold", "copper-nickel")]
    assert fresh(coinage).metal == "gold"


def test_types_that_rest_on_a_record_are_found(coinage: Coinage) -> None:
    pk = coinage.type.pk
    face = Face.objects.get(side="obverse")
    bird = Motif.objects.create(key="bird", name="bird")
    gull = Motif.objects.create(key="gull", name="gull")
    gull.broader.add(bird)
    FaceMotif.objects.create(face=face, motif=gull)
    assert types_using({"motifs": [bird.pk]}) == {pk}
    assert types_using({"issuers": [coinage.issuer.pk]}) == {pk}
    assert types_using({"denominations": [coinage.denomination.pk]}) == {pk}
    assert types_using({"people": [1], "mints": [1]}) == set()


def test_the_number_of_queries_does_not_grow_with_the_types(coinage: Coinage) -> None:
    def queries() -> int:
        CoinType.objects.update(metal="?")
        with CaptureQueriesContext(connection) as captured:
            derive_types()
        return len(captured)

    few = queries()
    for n in range(30):
        CoinType.objects.create(
            key=f"more-{n}", series=coinage.series, denomination=coinage.denomination
        )
    assert queries() == few
