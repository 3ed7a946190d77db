"""Holdings and types as linked data: JSON-LD 1.1 in the terms of the nomisma.org ontology.

Computed from plain records (catalogue.exports.records): each piece is a ``NumismaticObject``, each
type a ``TypeSeriesItem``. Diameter in mm, weight in g, axis in hours, as that ontology has them;
years as ``xsd:gYear`` by XML Schema 1.1, part 2, in which the year 0 is 1 BC. Only what the site
knows itself is named by an address: a country, a value or a metal is a node with a name, since no
address of another vocabulary has been checked for it.

The terms of the ontology are from public RDF, the list of them from memory.

>>> year(1931), year(-43), year(90)
('1931', '-0043', '0090')
>>> json.loads("".join(lines("https://coins.example.org", [], [])))["@graph"]
[]
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from itertools import chain
from typing import Any

Record = Mapping[str, Any]

CONTEXT: dict[str, Any] = {
    "nmo": "http://nomisma.org/ontology#",
    "dcterms": "http://purl.org/dc/terms/",
    "skos": "http://www.w3.org/2004/02/skos/core#",
    "xsd": "http://www.w3.org/2001/XMLSchema#",
    "name": "skos:prefLabel",
    "definition": "skos:definition",
    "title": "dcterms:title",
    "identifier": "dcterms:identifier",
    "description": "dcterms:description",
    "owner": "dcterms:rightsHolder",
    "type": {"@id": "nmo:hasTypeSeriesItem", "@type": "@id"},
    "obverse": "nmo:hasObverse",
    "reverse": "nmo:hasReverse",
    "legend": "nmo:hasLegend",
    "denomination": "nmo:hasDenomination",
    "material": "nmo:hasMaterial",
    "authority": "nmo:hasAuthority",
    "collection": "nmo:hasCollection",
    "diameter": {"@id": "nmo:hasDiameter", "@type": "xsd:decimal"},
    "weight": {"@id": "nmo:hasWeight", "@type": "xsd:decimal"},
    "axis": {"@id": "nmo:hasAxis", "@type": "xsd:decimal"},
    "start": {"@id": "nmo:hasStartDate", "@type": "xsd:gYear"},
    "end": {"@id": "nmo:hasEndDate", "@type": "xsd:gYear"},
}


def lines(site: str, types: Iterable[Record], holdings: Iterable[Record]) -> Iterator[str]:
    """One JSON-LD document, a node a line; ``site`` is the address that its pages begin with."""
    yield f'{{"@context": {json.dumps(CONTEXT)},\n"@graph": ['
    nodes = chain(
        (type_node(site, each) for each in types), (piece_node(site, each) for each in holdings)
    )
    for number, node in enumerate(nodes):
        yield (",\n" if number else "\n") + json.dumps(node, ensure_ascii=False)
    yield "\n]}\n"


def type_node(site: str, record: Record) -> dict[str, Any]:
    """A type with its faces, size and years."""
    node = {
        "@id": type_address(site, record["key"]),
        "@type": "nmo:TypeSeriesItem",
        "name": f"{record['label']}, {record['country']}",
        "definition": f"{record['country']}, {record['series']}: {record['label']}",
        "denomination": _named(record.get("denomination")),
        "material": _named(record.get("metal")),
        "authority": _named(record.get("country")),
        "diameter": record.get("diameter_mm"),
        "weight": record.get("mass_g"),
        "axis": _text(record.get("alignment")),
        "start": year(record.get("first_year")),
        "end": year(record.get("last_year")),
        **{f["side"]: _face(f) for f in record.get("faces", []) if f["side"] in CONTEXT},
    }
    return _said(node)


def piece_node(site: str, record: Record) -> dict[str, Any]:
    """A piece as its owner has measured it; a lot says how many pieces it is."""
    pieces = record.get("quantity", 1)
    node = {
        "@id": f"{site}/holdings/#{record['owner']}/{record['accession']}",
        "@type": "nmo:NumismaticObject",
        "identifier": record["accession"],
        "title": record["label"],
        "type": type_address(site, record["type"]) if record.get("type") else None,
        "collection": _named(record["owner"]),
        "diameter": record.get("diameter_mm"),
        "weight": record.get("mass_g"),
        "axis": record.get("alignment"),
        "description": [
            *([f"{pieces} pieces"] if pieces > 1 else []),
            *([f"grade {record['grade']}"] if record.get("grade") else []),
            *([record["note"]] if record.get("note") else []),
        ],
    }
    return _said(node)


def type_address(site: str, key: str) -> str:
    """The address of a type's page, which names it for all who link to it."""
    return f"{site}/types/{key}/"


def year(civil: int | None) -> str | None:
    """A civil year as ``xsd:gYear``, in which -43 (44 BC) is written -0043."""
    if civil is None:
        return None
    return f"{'-' if civil < 0 else ''}{abs(civil):04d}"


def _face(face: Record) -> dict[str, Any]:
    return _said(
        {
            "description": face.get("description"),
            "legend": [_legend(legend) for legend in face.get("legends", [])],
        }
    )


def _legend(legend: Record) -> dict[str, str]:
    """A legend in its script; ``und`` since the language is not recorded (BCP 47)."""
    return {"@value": legend["text"], "@language": f"und-{legend['script']}"}


def _named(name: str | None) -> dict[str, str] | None:
    return {"name": name} if name else None


def _text(value: object) -> str | None:
    return None if value is None else str(value)


def _said(node: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in node.items() if value not in (None, "", [], {})}
