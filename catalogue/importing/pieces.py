"""What of a row a holding keeps in columns of its own, and what stays with it as text.

Computed: from a reading the columns of a holding as JSON takes them (measures in mm and g, amounts
and days as texts), the title of a piece that stays unidentified, and the lines of imported text:
every cell that is not wholly in such a column, under its heading. A cell that says which coin it
is stays too, so that a match can be looked at again.

>>> from catalogue.importing.reading.lists import Mapping, Reading, Row
>>> row = Row(4, ("Halvern", "25 tinne", "3", "from the attic"))
>>> mapping = Mapping(True, 0, ("country", "denomination", "quantity", ""))
>>> reading = Reading(4, values={"quantity": 3})
>>> piece = piece_of(row, ("Land", "Value", "No.", ""), mapping, reading)
>>> piece.fields, piece.title
({'quantity': 3}, 'Halvern 25 tinne')
>>> print(piece.imported)
Land: Halvern
Value: 25 tinne
Column 4: from the attic
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import Any

from catalogue.importing.reading.lists import Mapping as Columns
from catalogue.importing.reading.lists import Reading, Row

SAYS_WHICH = ("country", "coin", "denomination", "currency", "date", "mint_mark")
SAYS_MORE = ("title", "series", "metal", "description", "legend", "reference")
GRADES = ("grade", "grade_obverse", "grade_reverse")
MEASURES = {
    "mass": ("mass_g", 9, 4),
    "diameter": ("diameter_mm", 7, 3),
    "thickness": ("thickness_mm", 6, 3),
    "alignment": ("alignment", 4, 2),
}
"""The column of each measure, its digits and how many stand after the point."""
PICTURES = ("obverse_picture", "reverse_picture", "picture")
LONGEST_TITLE, LONGEST_SOURCE, LONGEST_NUMBER, LONGEST_PLACE = 200, 200, 60, 80
MOST_PIECES = 2_147_483_647
GONE = frozenset({"sold", "swapped", "given", "lost"})


@dataclass
class Piece:
    """``fields`` by the column of a holding; ``place`` by name; ``pictures`` by side."""

    fields: dict[str, Any] = field(default_factory=dict)
    place: str = ""
    title: str = ""
    imported: str = ""
    pictures: dict[str, str] = field(default_factory=dict)


def answered(reading: Reading, answers: Mapping[str, int]) -> dict[str, Any]:
    """The values of a row with its questions answered; the first choice where they are not."""
    values = dict(reading.values)
    for question in reading.questions:
        chosen = answers.get(question_key(question.field, question.text), 0)
        choices = question.choices
        if choices:
            values |= choices[chosen if 0 <= chosen < len(choices) else 0].values
    return values


def question_key(name: str, text: str) -> str:
    """What questions that are answered as one have in common: the field and the cell."""
    return f"{name}|{text}"


def piece_of(
    row: Row,
    headings: Sequence[str],
    mapping: Columns,
    reading: Reading,
    answers: Mapping[str, int] | None = None,
    currency: str = "",
) -> Piece:
    """The piece of a row; ``currency`` is what prices without one are in."""
    values = answered(reading, answers or {})
    piece = Piece()
    whole = set(_plain(values, piece)) | set(_graded(values, piece)) | set(_measured(values, piece))
    whole |= set(_paid(values, piece, currency)) | set(_kept(values, piece))
    for name in PICTURES:
        if values.get(name):
            side = "obverse" if name == "picture" else name.removesuffix("_picture")
            piece.pictures.setdefault(side, str(values[name]))
    piece.title = _title(row, mapping)
    piece.imported = "\n".join(_lines(row, headings, mapping, reading, whole))
    return piece


def heading_of(headings: Sequence[str], column: int) -> str:
    """The name of a column, by its place where the list gives it none."""
    named = _tidied(headings[column]) if column < len(headings) else ""
    return named or f"Column {column + 1}"


@lru_cache(maxsize=1_000)
def _tidied(heading: str) -> str:
    return " ".join(heading.split())


def _plain(values: Mapping[str, Any], piece: Piece) -> Iterator[str]:
    """Fields that go over as they are; each is given back where nothing of it is lost."""
    longest = {"acquired_from": LONGEST_SOURCE, "accession": LONGEST_NUMBER}
    for name in ("acquired_from", "accession"):
        text = " ".join(str(values.get(name) or "").split())
        if text and len(text) <= longest[name]:
            piece.fields[name] = text
            yield name
    if values.get("note"):
        piece.fields["note"] = str(values["note"]).strip()
        yield "note"
    quantity = values.get("quantity")
    if isinstance(quantity, int) and 1 <= quantity <= MOST_PIECES:
        piece.fields["quantity"] = quantity
        yield "quantity"
    day = values.get("acquired_on")
    if isinstance(day, date):
        piece.fields["acquired_on"] = day.isoformat()
        yield "acquired_on"


def _graded(values: Mapping[str, Any], piece: Piece) -> Iterator[str]:
    """A holding has one scale: grades on another than the first's stay as text."""
    for name in GRADES:
        found = values.get(name)
        if found is None:
            continue
        scale = piece.fields.setdefault("grade_scale", found.scale)
        if found.scale == scale:
            piece.fields[name] = found.code
            yield name


def _measured(values: Mapping[str, Any], piece: Piece) -> Iterator[str]:
    for name, (column, digits, places) in MEASURES.items():
        size = values.get(name)
        if not isinstance(size, Decimal) or not size.is_finite() or size <= 0:
            continue
        if (name == "alignment" and size > 12) or size.adjusted() >= digits - places:
            continue
        kept = round(size, places)
        if kept > 0:
            piece.fields[column] = str(
                kept.normalize() if kept != kept.to_integral() else int(kept)
            )
            if kept == size:
                yield name


def _paid(values: Mapping[str, Any], piece: Piece, currency: str) -> Iterator[str]:
    price = values.get("price")
    code = str(values.get("price_currency") or currency)
    if not isinstance(price, Decimal) or not price.is_finite() or price < 0 or not code:
        return
    if price.adjusted() >= 12:
        return
    kept = round(price, 2)
    piece.fields |= {"price": str(kept), "price_currency": code}
    if kept == price:
        yield "price"
    if values.get("price_currency"):
        yield "price_currency"


def _kept(values: Mapping[str, Any], piece: Piece) -> Iterator[str]:
    """Where it lies, who sees it, whether it is there and may go."""
    for name in ("visibility", "status"):
        if values.get(name):
            piece.fields[name] = str(values[name])
            yield name
    gone = piece.fields.get("status") in GONE
    if isinstance(values.get("spare"), bool):
        piece.fields["spare"] = values["spare"] and not gone
        if piece.fields["spare"] == values["spare"]:
            yield "spare"
    place = " ".join(str(values.get("place") or "").split())
    if place and len(place) <= LONGEST_PLACE and not gone:
        piece.place = place
        yield "place"


def _title(row: Row, mapping: Columns) -> str:
    """The words of a row that say which coin it is; all of them where no column does."""
    cells = [(mapping.field_of(n), " ".join(cell.split())) for n, cell in enumerate(row.cells)]
    for names in (SAYS_WHICH, SAYS_MORE):
        said = [cell for name in names for field_, cell in cells if cell and field_ == name]
        if said:
            break
    else:
        said = [cell for _field, cell in cells if cell]
    text = " ".join(said)
    return text if len(text) <= LONGEST_TITLE else text[: LONGEST_TITLE - 2] + " …"


def _lines(
    row: Row, headings: Sequence[str], mapping: Columns, reading: Reading, whole: set[str]
) -> Iterator[str]:
    left = {column for column, _text in reading.rest}
    for column, cell in enumerate(row.cells):
        name = mapping.field_of(column)
        if cell.strip() and (name not in whole or column in left):
            yield f"{heading_of(headings, column)}: {cell.strip()}"
