"""What a row says of a piece that is there already: compared field by field, then changed.

An empty cell says nothing, so nothing is ever emptied.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any, NamedTuple

from django.utils.translation import gettext as _

from catalogue.models import Holding, ImportedRow, Place
from series.dates.words import in_words
from series.models import CoinType

LONGEST_READING = 60
GRADED = ("grade", "grade_obverse", "grade_reverse")
_DECIMALS = frozenset({"mass_g", "diameter_mm", "thickness_mm", "alignment", "price"})


class Step(NamedTuple):
    """One column that becomes another value; ``was`` and ``becomes`` are in words."""

    column: str
    value: Any
    what: str
    was: str
    becomes: str


def column_values(fields: Mapping[str, Any]) -> dict[str, Any]:
    """The columns of a holding as a model takes them, from what JSON kept."""
    return {name: _value(name, kept) for name, kept in fields.items() if kept not in (None, "")}


def _value(name: str, kept: Any) -> Any:
    if name in _DECIMALS:
        return Decimal(kept)
    return date.fromisoformat(kept) if name == "acquired_on" else kept


def differences(piece: Holding, row: ImportedRow, coin_type: CoinType | None) -> list[Step]:
    """What of a piece is other than its row says."""
    kept = row.reading["piece"]
    values = column_values(kept["fields"])
    values.pop("accession", None)
    if "grade_scale" in values and not any(values.get(name) for name in GRADED):
        values.pop("grade_scale")
    steps = [
        _step(piece, name, value) for name, value in values.items() if getattr(piece, name) != value
    ]
    if kept["imported"] and kept["imported"] != piece.imported:
        steps.append(_step(piece, "imported", kept["imported"]))
    where = piece.place.path if piece.place else ""
    if kept["place"] and kept["place"].casefold() != where.casefold():
        steps.append(Step("place", kept["place"], _("place"), where, kept["place"]))
    if coin_type is not None and piece.coin_type_id is None:
        steps.append(Step("coin_type_id", coin_type.pk, _("type"), piece.title, str(coin_type)))
    return steps + _dates(piece, row)


def _dates(piece: Holding, row: ImportedRow) -> list[Step]:
    """A date where the piece has none of its type's."""
    if piece.issue_id is not None:
        return []
    becomes = row.reading.get("date", "")
    same_type = row.coin_type_id and piece.coin_type_id in (None, row.coin_type_id)
    if row.issue_id and same_type:
        return [Step("issue_id", row.issue_id, _("date"), "", becomes)]
    reading = reading_of(row)
    if not reading or reading == piece.date_reading:
        return []
    was = in_words(piece.date_reading)
    return [Step("date_reading", reading, _("date"), was, in_words(reading))]


def reading_of(row: ImportedRow) -> str:
    """The date a row says in EDTF; a longer one than is kept stays in the text alone."""
    reading = str(row.reading.get("edtf", ""))
    return reading if len(reading) <= LONGEST_READING else ""


def _step(piece: Holding, name: str, value: Any) -> Step:
    column: Any = Holding._meta.get_field(name)
    return Step(
        name, value, str(column.verbose_name), _said(column, getattr(piece, name)),
        _said(column, value),
    )  # fmt: skip


def _said(column: Any, value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    return str(dict(column.flatchoices).get(value, value)) if column.choices else str(value)


def before_of(piece: Holding, steps: list[Step]) -> dict[str, Any]:
    """What the columns held before, as JSON takes it."""
    columns = ["place_id" if step.column == "place" else step.column for step in steps]
    return {name: _plain(getattr(piece, name)) for name in columns}


def _plain(value: Any) -> Any:
    return str(value) if isinstance(value, (Decimal, date)) else value


def put_back(piece: Holding, before: Mapping[str, Any]) -> None:
    """Set the columns to what they held before; the piece is not saved."""
    for name, kept in before.items():
        value = kept if kept in (None, "") else _value(name, kept)
        setattr(piece, name, value)


def apply(piece: Holding, steps: list[Step], places: Mapping[str, Place]) -> None:
    """Set what differs; the piece is not saved."""
    for step in steps:
        if step.column == "place":
            piece.place = places[step.value.casefold()]
        else:
            setattr(piece, step.column, step.value)
