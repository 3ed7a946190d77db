"""Holdings and the types they are of as plain values, for JSON, linked data and pages to keep."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import Model, Prefetch

from catalogue import access
from catalogue.exports import sheet_rows
from catalogue.exports.sheet_rows import batches
from catalogue.extensions import holding_extensions
from catalogue.members.requests import Viewer
from catalogue.models import Holding
from series.models import CoinType, Face
from series.parcels import parcels

_PLAIN = {field.name for field in Holding._meta.concrete_fields if not field.is_relation}
OPEN = tuple(path for _name, path in sheet_rows.OPEN if path in _PLAIN)
PRIVATE = tuple(path for _name, path in sheet_rows.PRIVATE if path in _PLAIN)
"""Columns of a holding that stand for themselves, as in a spreadsheet."""
ROWS = {
    "provenance": ("when", "text"),
    "references": ("work", "edition", "number"),
    "status_changes": ("status", "on", "with_whom", "amount", "currency", "note"),
}
OF_TYPE = (
    "key",
    "name",
    "purpose",
    "first_year",
    "last_year",
    "composition",
    "metal",
    "outline",
    "edge",
    "mass_g",
    "diameter_mm",
    "thickness_mm",
    "alignment",
)
BATCH = 200


def holding_records(ids: list[int], viewer: Viewer) -> Iterator[dict[str, Any]]:
    """What the viewer may see of each holding; what stands empty is left out.

    Masses in grams, lengths in millimetres, alignment in hours, as in the records. What only an
    owner sees (place, price, earlier owners, worth) is there of the viewer's own pieces alone.
    """
    for batch in batches(ids, viewer):
        own = [holding for holding in batch if access.may_see_private(viewer, holding)]
        rows = _rows([holding.pk for holding in own])
        more = _more(batch, own, viewer)
        for holding in batch:
            record = _open(holding) | more.get(holding.pk, {})
            if holding in own:
                record |= _private(holding) | rows.get(holding.pk, {})
            yield {name: value for name, value in record.items() if value not in (None, "", [], {})}


def _open(holding: Holding) -> dict[str, Any]:
    return {
        "owner": holding.owner.username,
        "type": holding.coin_type.key if holding.coin_type else None,
        "issue": holding.issue.key if holding.issue else None,
        "variety": holding.variety.key if holding.variety else None,
        "label": holding.label,
        "date": holding.issue.label if holding.issue else None,
        **plain_values(holding, OPEN),
        "problems": [problem.kind for problem in holding.problems.all()],
    }


def _private(holding: Holding) -> dict[str, Any]:
    place = str(holding.place) if holding.place else None
    return {**plain_values(holding, PRIVATE), "place": place}


def _rows(ids: list[int]) -> dict[int, dict[str, Any]]:
    """Earlier owners, references and changes of status, by holding."""
    found: dict[int, dict[str, Any]] = {}
    for name, columns in ROWS.items():
        model: type[Model] = Holding._meta.get_field(name).related_model  # type: ignore[assignment]
        for row in model._default_manager.filter(holding__in=ids).order_by(
            *(model._meta.ordering or ["pk"])
        ):
            values = {k: v for k, v in plain_values(row, columns).items() if v not in (None, "")}
            found.setdefault(row.holding_id, {}).setdefault(name, []).append(values)  # type: ignore[attr-defined]
    return found


def _more(batch: list[Holding], own: list[Holding], viewer: Viewer) -> dict[int, dict[str, Any]]:
    """What upper apps export of these: the worth with its day and source."""
    found: dict[int, dict[str, Any]] = {}
    for extension in holding_extensions():
        rows = extension.export(own if extension.own_only else batch, viewer)
        for pk, figures in rows.items():
            found.setdefault(pk, {})[extension.key] = {k: v for k, v in figures.items() if v}
    return found


def types_of(ids: list[int], viewer: Viewer) -> list[int]:
    """The types that these holdings are of, by id, in the order of the catalogue."""
    found: set[int] = set()
    for some in parcels(ids, 5_000):
        held = access.visible_holdings(viewer).filter(pk__in=some).exclude(coin_type=None)
        found |= set(held.order_by().values_list("coin_type", flat=True).distinct())
    return sorted(found)


def type_records(ids: Iterable[int], viewer: Viewer) -> Iterator[dict[str, Any]]:
    """What is recorded of each type that the viewer may see."""
    faces = Prefetch(
        "faces", queryset=Face.objects.prefetch_related("legends", "motifs").order_by("side")
    )
    for some in parcels(list(ids), BATCH):
        types = access.visible_types(viewer).filter(pk__in=some)
        named = types.select_related("denomination", "series__issuer", "series__currency")
        for coin_type in named.prefetch_related(faces).order_by("pk"):
            record = _type_record(coin_type)
            yield {name: value for name, value in record.items() if value not in (None, "", [])}


def _type_record(coin_type: CoinType) -> dict[str, Any]:
    series = coin_type.series
    return {
        "label": str(coin_type),
        "country": series.issuer.name,
        "country_code": series.issuer.code,
        "currency": series.currency.name,
        "series": series.name,
        "denomination": coin_type.denomination.name,
        **plain_values(coin_type, OF_TYPE),
        "faces": [_face_record(face) for face in coin_type.faces.all()],
    }


def _face_record(face: Face) -> dict[str, Any]:
    legends = [
        {"text": legend.text, "script": legend.script, "translation": legend.translation}
        for legend in face.legends.all()
    ]
    return {
        "side": face.side,
        "description": face.description,
        "legends": legends,
        "motifs": [motif.name for motif in face.motifs.all()],
    }


def plain_values(record: Any, names: Iterable[str]) -> dict[str, Any]:
    """Columns of a record as JSON has them: an exact decimal and a day become text."""
    return {name: plain_value(getattr(record, name)) for name in names}


def plain_value(value: Any) -> Any:
    """
    >>> plain_value(Decimal("1.50")), plain_value(date(2024, 5, 1)), plain_value(3)
    ('1.50', '2024-05-01', 3)
    """
    if isinstance(value, Decimal):
        return str(value)
    if isinstance(value, date):
        return value.isoformat()
    return value
