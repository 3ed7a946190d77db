"""Holdings taken out as a workbook, as JSON and as linked data."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from openpyxl import load_workbook
from rdflib import Graph, Literal, Namespace, URIRef
from rdflib.namespace import DCTERMS, RDF, SKOS, XSD

from catalogue.exports import records
from catalogue.models import Holding, Place
from series.models import Face, Legend

NMO = Namespace("http://nomisma.org/ontology#")


def taken_out(client: Client, ending: str, **asked: str) -> bytes:
    response = client.get(reverse("holdings-export", args=[ending]), asked)
    assert response.status_code == 200
    assert response["Content-Disposition"].endswith(f'.{ending}"')
    return b"".join(response.streaming_content)  # type: ignore[attr-defined]


@pytest.fixture
def piece(make_holding: Callable[..., Holding], coinage: Any, member: Any) -> Holding:
    face = Face.objects.get_or_create(coin_type=coinage.type, side="obverse")[0]
    Legend.objects.filter(face=face).delete()
    Legend.objects.create(face=face, text="ΝΗΣΟΙ", script="Grek")
    place = Place.objects.create(owner=member, name="Drawer 2", path="Cabinet, Drawer 2")
    holding = make_holding(
        accession="A.7",
        issue=coinage.issues[1],
        mass_g="5.4300",
        diameter_mm="23.400",
        alignment="6.00",
        grade="VF",
        price="12.50",
        price_currency="EUR",
        acquired_on=date(2024, 5, 1),
        place=place,
        note="=cmd|' /C calc'!A0",
    )
    holding.provenance.create(text="an aunt", when="1999")
    holding.problems.create(kind="cleaned")
    return holding


# ---- the workbook ----
def cells(data: bytes) -> dict[str, Any]:
    """The first piece by column. openpyxl is a reader of another maker than the writer."""
    page = load_workbook(io.BytesIO(data)).active
    heading, first, *_ = page.iter_rows()
    return {h.value: c for h, c in zip(heading, first, strict=True)}


def test_a_workbook_has_numbers_days_and_texts(as_member: Client, piece: Holding) -> None:
    found = cells(taken_out(as_member, "xlsx"))
    assert found["accession"].value == "A.7"
    assert found["mass_g"].value == 5.43
    assert found["price"].value == 12.5
    assert found["acquired_on"].value == datetime(2024, 5, 1)
    assert found["place"].value == "Cabinet, Drawer 2"


def test_a_formula_in_a_note_is_a_text_in_the_workbook(as_member: Client, piece: Holding) -> None:
    found = cells(taken_out(as_member, "xlsx"))["note"]
    assert (found.value, found.data_type) == ("=cmd|' /C calc'!A0", "s")


def test_a_note_longer_than_a_cell_is_cut_and_the_workbook_opens(
    as_member: Client, make_holding: Callable[..., Holding]
) -> None:
    make_holding(note="x" * 40_000)
    assert len(cells(taken_out(as_member, "xlsx"))["note"].value) == 32_767


def test_an_empty_selection_is_an_empty_workbook(as_member: Client, member: Any) -> None:
    page = load_workbook(io.BytesIO(taken_out(as_member, "xlsx"))).active
    assert page.max_row == 1


# ---- JSON ----
def test_json_says_what_the_owner_recorded(as_member: Client, piece: Holding) -> None:
    made = json.loads(taken_out(as_member, "json"))
    (held,) = made["holdings"]
    assert held["type"] == made["types"][0]["key"] == "testland-first-25"
    assert (held["issue"], held["date"], held["mass_g"]) == ("1947", "1947", "5.4300")
    assert held["provenance"] == [{"when": "1999", "text": "an aunt"}]
    assert held["problems"] == ["cleaned"]
    assert held["place"] == "Cabinet, Drawer 2"


def test_others_get_neither_place_nor_price_nor_earlier_owners(
    piece: Holding, other: Any, client: Client
) -> None:
    client.force_login(other, backend="django.contrib.auth.backends.ModelBackend")
    (held,) = json.loads(taken_out(client, "json", owner="any"))["holdings"]
    assert held["accession"] == "A.7"
    kept_back = {"place", "price", "price_currency", "acquired_on", "provenance", "visibility"}
    assert not kept_back & set(held)


def test_every_column_of_a_holding_is_taken_out_or_left_out_on_purpose() -> None:
    left_out = {"id", "owner", "coin_type", "issue", "variety", "place"}  # by key, name or path
    left_out |= {"grade_rank", "search_text", "own_text", "row_version", "deleted_at"}
    names = {field.name for field in Holding._meta.concrete_fields} - left_out
    names -= {"created_at", "changed_at", "updated_at"}
    assert names == {*records.OPEN, *records.PRIVATE}


def test_queries_do_not_grow_with_the_pieces(
    as_member: Client, make_holding: Callable[..., Holding], django_assert_max_num_queries: Any
) -> None:
    def queries() -> int:
        with django_assert_max_num_queries(60) as seen:
            taken_out(as_member, "json")
        return len(seen)

    make_holding()
    few = queries()
    for _ in range(10):
        make_holding()
    assert queries() == few


# ---- linked data ----
@pytest.fixture
def graph(as_member: Client, piece: Holding) -> Graph:
    return Graph().parse(data=taken_out(as_member, "jsonld"), format="json-ld")


def only(graph: Graph, kind: URIRef) -> Any:
    (found,) = graph.subjects(RDF.type, kind)
    return found


def test_a_piece_is_linked_to_its_type_with_its_measures(graph: Graph) -> None:
    """Terms and units: the nomisma.org ontology (diameter mm, weight g, axis hours)."""
    piece, coin_type = only(graph, NMO.NumismaticObject), only(graph, NMO.TypeSeriesItem)
    assert graph.value(piece, NMO.hasTypeSeriesItem) == coin_type
    assert str(coin_type).endswith("/types/testland-first-25/")
    assert graph.value(piece, DCTERMS.identifier) == Literal("A.7")
    assert graph.value(piece, NMO.hasWeight).toPython() == Decimal("5.43")
    assert graph.value(piece, NMO.hasDiameter).datatype == XSD.decimal
    assert graph.value(piece, NMO.hasAxis).toPython() == 6


def test_a_type_has_its_value_its_years_and_its_legends(graph: Graph) -> None:
    coin_type = only(graph, NMO.TypeSeriesItem)
    denomination = graph.value(coin_type, NMO.hasDenomination)
    assert graph.value(denomination, SKOS.prefLabel) == Literal("25 tinne")
    legend = graph.value(graph.value(coin_type, NMO.hasObverse), NMO.hasLegend)
    assert (str(legend), legend.language.lower()) == ("ΝΗΣΟΙ", "und-grek")
    years = [graph.value(coin_type, each) for each in (NMO.hasStartDate, NMO.hasEndDate)]
    assert all(y is None or y.datatype == XSD.gYear for y in years)


def test_neither_place_nor_price_is_in_the_linked_data(as_member: Client, piece: Holding) -> None:
    text = taken_out(as_member, "jsonld").decode()
    assert "Drawer 2" not in text
    assert "12.5" not in text


def test_the_same_graph_comes_of_another_form_of_it(graph: Graph) -> None:
    """Written as N-Triples and read again by rdflib it is the same graph (RDF 1.1)."""
    again = Graph().parse(data=graph.serialize(format="nt"), format="nt")
    assert again.isomorphic(graph)
