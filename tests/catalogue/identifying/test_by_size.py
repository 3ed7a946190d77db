"""What mass and size say of the metal, on the page and on a piece's own page."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.test import Client

from catalogue.holdings.actions import derive
from catalogue.holdings.piece.standards import against_standard
from catalogue.models import Holding, Member
from tests.conftest import Coinage

pytestmark = pytest.mark.django_db

# The type of the test coinage: Cu75Ni25, 23.5 × 1.6 mm, 5.4 g.


def test_all_three_measures_imply_a_density(as_member: Client, coinage: Coinage) -> None:
    sizes = {"mass": "5.40", "diameter": "23.5", "thickness": "1.60"}
    page = as_member.get("/identify/", sizes).content.decode()
    assert "What its size says of the metal" in page
    assert "copper-nickel" in page


def test_two_measures_do_not(as_member: Client, coinage: Coinage) -> None:
    page = as_member.get("/identify/", {"mass": "5.40", "diameter": "23.5"}).content.decode()
    assert "What its size says of the metal" not in page


def piece(member: Member, coinage: Coinage, grade: str, mass: str) -> Holding:
    coinage.type.remedy_g = Decimal("0.1")
    coinage.type.save()
    coinage.type.refresh_from_db()
    holding = Holding(
        owner=member,
        accession="1",
        coin_type=coinage.type,
        grade=grade,
        mass_g=Decimal(mass),
        mass_within=Decimal("0.01"),
        diameter_mm=Decimal("23.5"),
        diameter_within=Decimal("0.05"),
        thickness_mm=Decimal("1.6"),
        thickness_within=Decimal("0.02"),
    )
    derive(holding)
    return holding


@pytest.mark.parametrize(
    ("mass", "words"),
    [("5.36", "within the remedy of 0.1 g"), ("5.20", "outside the remedy of 0.1 g")],
)
def test_the_remedy_is_named_for_a_new_piece(
    member: Member, coinage: Coinage, mass: str, words: str
) -> None:
    assert any(words in line for line in against_standard(piece(member, coinage, "UNC", mass)))


def test_a_worn_piece_is_never_within_the_remedy(member: Member, coinage: Coinage) -> None:
    assert not any(
        "remedy" in line for line in against_standard(piece(member, coinage, "VF", "5.36"))
    )


def test_the_density_by_size_stands_beside_that_of_the_metal(
    member: Member, coinage: Coinage
) -> None:
    last = against_standard(piece(member, coinage, "VF", "5.36"))[-1]
    assert last.startswith("density by size 8.2 to ")
    assert "the recorded metal has 8.9 to 9.0" in last
