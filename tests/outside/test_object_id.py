"""An itemised piece says what the Object ID checklist asks for.

Source: Object ID checklist, J. Paul Getty Trust 1997, kept by the International Council of Museums
(ICOM): nine categories of information, photographs and a short description to be written, and
five more that are recommended.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from io import BytesIO
from typing import Any

import pytest
from django.template.loader import render_to_string
from PIL import Image

from catalogue.models import Holding, HoldingProblem, Member, Photo
from catalogue.printing.drawing import draw
from series.models import Face, FaceMotif, FacePerson, Mark, Mint, Motif, Person
from series.picture.pictures import prepare_picture
from valuation.models import PriceSource, Schedule, Valuation
from valuation.schedules.drawing import laid_out
from valuation.schedules.making import Terms, make_schedule
from valuation.schedules.object_id import ASKED, FIELDS, RECOMMENDED, label

CHECKLIST = """Photographs, Type of object, Materials and techniques, Measurements,
Inscriptions and markings, Distinguishing features, Title, Subject, Date or period, Maker,
Short description"""
ALSO_RECOMMENDED = """Inventory number, Related written material, Place of origin,
Cross-reference to related objects, Date documented"""

Make = Callable[..., Any]
pytestmark = pytest.mark.django_db


def _names(listed: str) -> list[str]:
    return [" ".join(name.split()) for name in listed.split(",")]


def test_the_fields_are_those_of_the_checklist() -> None:
    assert [label(field) for field in ASKED] == _names(CHECKLIST)
    assert [label(field) for field in RECOMMENDED] == _names(ALSO_RECOMMENDED)


@pytest.fixture
def described(coinage: Any, make_holding: Make, member: Member) -> Schedule:
    """A schedule with one piece of which everything is recorded."""
    mint = Mint.objects.create(key="salt", name="Saltmouth mint", town="Saltmouth")
    mark = Mark.objects.create(
        coin_type=coinage.type, kind="mint", text="S", side="reverse", clock="6", mint=mint
    )
    coinage.issues[1].marks.add(mark)
    motif = Motif.objects.create(key="net", name="fishing net")
    person = Person.objects.create(key="mv", name="M. Vane")
    face = Face.objects.get(coin_type=coinage.type, side="reverse")
    face.description = "Numeral over a fishing net"
    face.save()
    face.legends.create(text="XXV TINNE", translation="twenty-five tinne")
    FaceMotif.objects.create(face=face, motif=motif)
    FacePerson.objects.create(face=face, person=person, role="engraver")
    holding = make_holding(
        issue=coinage.issues[1], mass_g="5.36", mass_within="0.01", grade="EF", grade_rank=50
    )
    make_holding(accession="T.900")
    HoldingProblem.objects.create(holding=holding, kind="edge_knock", note="at 4 o'clock")
    holding.references.create(work="Ternholm", edition="2nd", number="31")
    holding.receipts.create(name="Invoice 12", file="x", content_type="application/pdf")
    picture = BytesIO()
    Image.new("RGB", (300, 300), "brown").save(picture, "PNG")
    for side in ("obverse", "reverse"):
        picture.seek(0)
        kept = prepare_picture(picture).keep()
        Photo.objects.create(
            holding=holding, side=side, digest=kept.digest, width=300, height=300, trimmed=True
        )
    source = PriceSource.objects.create(name="Fair list")
    Valuation.objects.create(
        holding=holding, single=Decimal(80), on=date(2026, 3, 1), source=source
    )
    terms = Terms("Ana", "", "", date(2026, 3, 1), "EUR", Decimal(50), Decimal(0))
    return make_schedule(member, terms, Holding.objects.filter(owner=member))


def test_every_field_of_a_recorded_piece_says_something(described: Schedule) -> None:
    said = described.lines.get(grouped=False).facts["object_id"]
    assert set(said) == set(FIELDS)
    assert [field for field in FIELDS if not said[field]] == []


@pytest.mark.parametrize(
    ("field", "words"),
    [
        ("type_of_object", "coin"),
        ("materials_and_techniques", "copper-nickel, Cu75Ni25"),
        ("measurements", "mass 5.36 g as measured, to ± 0.01 g"),
        ("measurements", "diameter 23.5 mm as specified for the type"),
        ("inscriptions_and_markings", "reverse: XXV TINNE (twenty-five tinne)"),
        ("inscriptions_and_markings", "mint mark S (reverse, 6 o'clock)"),
        ("distinguishing_features", "edge knock: at 4 o'clock"),
        ("title", "25 tinne"),
        ("subject", "reverse: fishing net"),
        ("date_or_period", "1947"),
        ("maker", "issued by Testland"),
        ("maker", "struck at Saltmouth mint"),
        ("maker", "engraver M. Vane"),
        ("short_description", "reverse: Numeral over a fishing net."),
        ("inventory_number", "T.001"),
        ("related_written_material", "Ternholm, 2nd, 31"),
        ("related_written_material", "paper kept: Invoice 12"),
        ("place_of_origin", "Saltmouth, Testland"),
        ("cross_reference", "T.900"),
    ],
)
def test_a_field_says_what_is_recorded(described: Schedule, field: str, words: str) -> None:
    said = described.lines.get(grouped=False).facts["object_id"][field]
    assert words in ("; ".join(said) if isinstance(said, list) else said)


def test_measurements_carry_their_unit(described: Schedule) -> None:
    measurements = described.lines.get(grouped=False).facts["object_id"]["measurements"]
    assert all(" g " in line or " mm " in line for line in measurements)


def html_of(schedule: Schedule) -> tuple[str, int]:
    """The document of a schedule, and how many pictures it names."""
    pages, images = laid_out(schedule)
    context = {"sheet": draw(pages), "title": schedule.number, "lang": "en"}
    return render_to_string("print/sheet.html", context), len(images)


def test_the_printed_photographs_carry_a_scale(described: Schedule) -> None:
    """Object ID asks for a scale: 10 mm of a 23.5 mm coin pictured 22 mm wide are 9.36 mm."""
    html, pictures = html_of(described)
    assert pictures == 1
    assert html.count('width="9.36mm"') == 2


def test_what_is_not_recorded_is_named_and_not_made_up(make_holding: Make, member: Member) -> None:
    holding = make_holding(coin_type=None, title="worn copper disc")
    source = PriceSource.objects.create(name="Fair list")
    Valuation.objects.create(
        holding=holding, single=Decimal(80), on=date(2026, 3, 1), source=source
    )
    terms = Terms("Ana", "", "", date(2026, 3, 1), "EUR", Decimal(50), Decimal(0))
    schedule = make_schedule(member, terms, Holding.objects.filter(owner=member))
    said = schedule.lines.get().facts["object_id"]
    assert said["title"] == "worn copper disc"
    assert said["maker"] == []
    html, _pictures = html_of(schedule)
    assert "No photograph of this piece." in html
    assert "photographs, materials and techniques, measurements" in html
