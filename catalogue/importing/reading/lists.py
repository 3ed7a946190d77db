"""A collector's list as plain values: its tables, what its columns are, what a row says.

What is kept: the texts of a file's cells as read; the fields a column may hold; a mapping from
columns to fields, which is proposed and may be corrected; and the reading of one row. Lengths in
mm, masses in g (``Decimal``), amounts of money ``Decimal``, face values exact (``Fraction``),
alignment in hours, days ISO 8601, dates on coins EDTF.

>>> mapping = Mapping(headed=True, skip=0, fields=("country", "", "grade"))
>>> Mapping.from_json(mapping.as_json()) == mapping
True
>>> mapping.field_of(1), mapping.field_of(7), FIELDS["mint_mark"].label
('', '', 'Mint mark')
>>> Mapping.from_json({"headed": True, "skip": 0, "fields": ["hue"]})
Traceback (most recent call last):
catalogue.importing.reading.lists.ListError: There is no field 'hue': choose one of those offered.
"""

from __future__ import annotations

from collections.abc import Mapping as Names
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, Literal, NamedTuple


class ListError(ValueError):
    """A list that cannot be taken; the message is a sentence that says what to do."""


ANY_COUNTRY = "*"
"""A rival (see ``Reading``) that is every country."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table: its line in the file (from 1), and the texts of its cells."""

    line: int
    cells: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """A table of a file; ``said`` are sentences on how it was read ("Commas part the cells.")."""

    name: str
    rows: tuple[Row, ...]
    said: tuple[str, ...] = ()


class Field(NamedTuple):
    """What a column may hold: its name for people, and what stands in it."""

    label: str
    holds: str


FIELDS: Names[str, Field] = {
    "": Field("Kept as text", "anything else; it stays with the piece as imported text"),
    "country": Field("Country", "who issued the coin, in any language, or its code"),
    "currency": Field("Currency of the coin", "the unit where the value stands apart, Pfennig"),
    "denomination": Field("Value", "the value of the coin, 2 euro, ½ crown, dime"),
    "coin": Field("Coin", "several of country, value, date, mint and grade in one cell"),
    "date": Field("Date", "the year on the coin, with a mint mark behind it or not"),
    "mint_mark": Field("Mint mark", "letters or the name of the mint"),
    "series": Field("Series", "the series, reign or period"),
    "metal": Field("Metal", "the metal or alloy"),
    "diameter": Field("Diameter", "mm"),
    "mass": Field("Mass", "g"),
    "thickness": Field("Thickness", "mm"),
    "alignment": Field("Alignment", "hours by the clock, degrees, or an arrow"),
    "grade": Field("Grade", "the grade of the piece, or of both sides"),
    "grade_obverse": Field("Grade of the obverse", "a grade"),
    "grade_reverse": Field("Grade of the reverse", "a grade"),
    "quantity": Field("Quantity", "how many pieces"),
    "price": Field("Price paid", "an amount, with its currency or not"),
    "price_currency": Field("Paid in", "a currency's code, sign or name"),
    "acquired_on": Field("Acquired on", "a day, a month or a year"),
    "acquired_from": Field("Acquired from", "a person, a dealer, a fair"),
    "place": Field("Place", "where the piece is kept"),
    "accession": Field("Accession number", "the owner's own number of the piece"),
    "note": Field("Note", "remarks"),
    "title": Field("Title", "the name of the coin or what it shows"),
    "description": Field("Description", "what is seen on the piece"),
    "legend": Field("Legend", "what is written on the coin"),
    "reference": Field("Reference", "a work and number"),
    "worth": Field("Worth", "what the piece is thought to be worth"),
    "obverse_picture": Field("Picture of the obverse", "the name of a file"),
    "reverse_picture": Field("Picture of the reverse", "the name of a file"),
    "picture": Field("Picture", "the name of a file"),
    "spare": Field("Spare", "yes or no"),
    "visibility": Field("Who may see it", "nobody else, the club, everybody"),
    "status": Field("Status", "held, sold, lent and so on"),
}


@dataclass(frozen=True)
class Mapping:
    """Which column holds what.

    ``skip`` lines stand before the table begins; ``headed``: the first line after them names the
    columns. ``fields`` holds a name of FIELDS for each column; further columns are kept as text.
    """

    headed: bool
    skip: int
    fields: tuple[str, ...]

    def field_of(self, column: int) -> str:
        return self.fields[column] if column < len(self.fields) else ""

    def as_json(self) -> dict[str, Any]:
        return {"headed": self.headed, "skip": self.skip, "fields": list(self.fields)}

    @classmethod
    def from_json(cls, kept: Names[str, Any]) -> Mapping:
        """What ``as_json`` gave; ListError names a field that is none."""
        fields = tuple(str(name) for name in kept["fields"])
        for name in fields:
            if name not in FIELDS:
                raise ListError(f"There is no field '{name}': choose one of those offered.")
        return cls(bool(kept["headed"]), int(kept["skip"]), fields)


@dataclass(frozen=True)
class ColumnGuess:
    """What one column seems to be: how sure (0 to 1), why in words, and some of its cells."""

    index: int
    heading: str
    field: str
    sure: float
    why: str
    samples: tuple[str, ...] = ()


@dataclass(frozen=True)
class Proposal:
    """The mapping proposed for a table, and the guess for each column that it rests on."""

    mapping: Mapping
    guesses: tuple[ColumnGuess, ...]


@dataclass(frozen=True)
class Country:
    """A country as written; ``code`` in ISO 3166-1, of what has gone in ISO 3166-3, or "".

    ``name`` is its English name, "" where it is not known. ``currency`` is a code of ISO 4217
    where the text names a money rather than a country ("Euro"); ``misspelt`` says that the text is
    one slip away from the name.
    """

    text: str
    code: str = ""
    name: str = ""
    currency: str = ""
    misspelt: bool = field(default=False, repr=False)


@dataclass(frozen=True)
class Value:
    """A value as written: how many of a unit, both empty where they cannot be read.

    ``units``: what the unit may be called, folded, the likeliest first. ``words``: the other
    words of the cell, folded.
    """

    text: str
    number: Fraction | None = None
    unit: str = ""
    units: tuple[str, ...] = ()
    words: tuple[str, ...] = ()


@dataclass(frozen=True)
class CoinDate:
    """The date on a coin: ``edtf`` as civil years, first and last year, and its mint marks.

    ``shown`` is the date alone as it stands on the coin ("1371", "昭和35"). ``purpose`` is
    "proof", "sets" or "pattern" where the text says so.
    """

    text: str
    edtf: str = ""
    first: int | None = None
    last: int | None = None
    shown: str = ""
    marks: tuple[str, ...] = ()
    purpose: str = ""


@dataclass(frozen=True)
class Graded:
    """A grade: the scale and its code as ``catalogue.holdings.grades`` has them; as written."""

    scale: str
    code: str
    rank: int
    text: str


@dataclass(frozen=True)
class Choice:
    """One answer to a question: its label, and the values that it gives."""

    label: str
    values: Names[str, Any]


@dataclass(frozen=True)
class Question:
    """What a cell leaves open; until it is answered the first choice counts."""

    column: int
    field: str
    text: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True)
class Unread:
    """A cell that could not be read as its field, and why; its text is in ``Reading.rest``."""

    column: int
    field: str
    text: str
    why: str


Kind = Literal["coin", "section", "total", "empty", "heading"]


@dataclass(frozen=True)
class Reading:
    """What one row says.

    ``values`` by name of field: country ``Country``; denomination ``Value``; date ``CoinDate``;
    grade, grade_obverse, grade_reverse ``Graded``; diameter, mass, thickness, alignment, price,
    worth ``Decimal``; quantity ``int``; price_currency, and worth_currency beside worth, codes of
    ISO 4217; acquired_on ``date`` (a month or a year alone stays in ``rest``); spare ``bool``;
    status and visibility as the columns of a holding; "purpose" where a grade says "proof" or
    "pattern"; every other field its text. What a cell
    "coin" says stands under the fields that it names; its other words under "title".

    ``rival``: a country that a blank cell may mean as well as the one taken for it, or ANY_COUNTRY.

    ``rest``: column and whole text of each cell that is not wholly in ``values``. ``carried``:
    fields that came from a section above, not from the row itself. Only a row of the kind "coin"
    is a piece; what a total or a repeated heading holds is in ``rest`` too.
    """

    line: int
    kind: Kind = "coin"
    values: Names[str, Any] = field(default_factory=dict)
    questions: tuple[Question, ...] = ()
    unread: tuple[Unread, ...] = ()
    rest: tuple[tuple[int, str], ...] = ()
    carried: tuple[str, ...] = ()
    rival: str = ""
