"""Which rows of a list are pieces, and which are sections, totals, repeated headings or empty.

Computed: the kind of a row from its cells, the mapping of its columns and the shape of its table:
the folded texts of its heading and how many cells its rows usually fill. Words for totals are
common usage in several languages, no source.

>>> mapping = Mapping(True, 0, ("country", "denomination", "date", "price"))
>>> shape = Shape(("land", "wert", "iahr", "preis"), 4)
>>> rows = [("Land", "Wert", "Jahr", "Preis"), ("", "Schweden"), ("Summe", "", "", "12"), ("-",)]
>>> [kind_of(Row(n, cells), mapping, shape) for n, cells in enumerate(rows)]
['heading', 'section', 'total', 'empty']
>>> kind_of(Row(5, ("Schweden", "10 öre")), mapping, shape), bool(DITTO.fullmatch('"'))
('coin', True)
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from catalogue.importing.reading import countries
from catalogue.importing.reading.lists import Kind, Mapping, Row, Table
from catalogue.importing.reading.values import read_value
from series.text.folding import fold

DITTO = re.compile(
    r"[\"”“„〃″'’]{1,2}|,,|[-–—]\s?[\"”“„″']+\s?[-–—]|\.\.\.|…|"
    r"(?:as above|wie oben|come sopra|jak wyżej|ditto|dito|dto|do|idem|id|ders|dgl|j\. ?w|j\.w)\.?",
    re.IGNORECASE,
)
"""A cell that repeats the one above."""
DITTO_BEFORE = re.compile(r"(?:,,|[\"”“„〃″]{1,2})\s+(?=\S)")
"""What stands before the value of a cell that holds several things, for the country above."""

_TOTAL = re.compile(
    r"\W*(?:grand total|sub ?total|totals?|summe|gesamt\w*|insgesamt|zwischensumme|somme|totale|"
    r"sous-total|suma|razem|totaal|subtotaal|summa|sum|i alt|totalt|ogółem|soma|anzahl münzen|"
    r"total général)\b[^\d]{0,20}"
    r"[\s:=.,\d€$£%]*\w{0,8}\W*",
    re.IGNORECASE,
)
_FIGURE = re.compile(r"[\d.,\s€$£%-]+(?:[A-Za-zł]{1,4}\.?)?")
_SUMMED = ("quantity", "price", "worth", "price_currency", "spare", "")
_COINS = ("country", "denomination", "coin", "date", "title")


@dataclass(frozen=True)
class Shape:
    """The heading of a table, folded, and how many cells its rows usually fill."""

    heading: tuple[str, ...] = ()
    usual: float = 0


NO_SHAPE = Shape()


def shape_of(table: Table, mapping: Mapping) -> Shape:
    rows = rows_of(table, mapping)
    filled = [count for row in rows if (count := sum(1 for cell in row.cells if cell.strip())) > 1]
    heading: tuple[str, ...] = ()
    if mapping.headed and len(table.rows) > mapping.skip:
        heading = tuple(map(fold, table.rows[mapping.skip].cells))
    return Shape(heading, median(filled) if filled else 0)


def rows_of(table: Table, mapping: Mapping) -> Sequence[Row]:
    """The rows of a table after its titles and its heading."""
    return table.rows[mapping.skip + mapping.headed :]


def kind_of(row: Row, mapping: Mapping, shape: Shape) -> Kind:
    filled = [(n, cell.strip()) for n, cell in enumerate(row.cells) if cell.strip()]
    if not any(char.isalnum() for _n, text in filled for char in text):
        return (
            "empty"
            if not any(mapping.field_of(n) in _COINS for n, t in filled if t == "?")
            else "coin"
        )
    first = filled[0][1]
    at = filled[0][0]
    begins_alike = at < len(shape.heading) and fold(first) == shape.heading[at]
    if begins_alike and tuple(map(fold, row.cells)) == shape.heading[: len(row.cells)]:
        return "heading"
    if _TOTAL.fullmatch(first) and len(filled) <= max(3, shape.usual / 2):
        return "total"
    if len(filled) <= 3 and _says_total([text for _n, text in filled]):
        return "total"
    if shape.usual >= 3 and all(_is_sum(mapping.field_of(n), text) for n, text in filled):
        return "total"
    usual = 2 if _is_headline(first) else 3
    if len(filled) == 1 and shape.usual >= usual and _may_head(filled[0][0], first, mapping):
        return "section"
    return "coin"


def _says_total(texts: Sequence[str]) -> bool:
    """Whether a word for a total stands beside nothing but figures, wherever it stands."""
    words = [text for text in texts if not _FIGURE.fullmatch(text)]
    return len(texts) > 1 and len(words) == 1 and _TOTAL.fullmatch(words[0]) is not None


def _is_headline(text: str) -> bool:
    """Whether a text is the name of a country alone, or words in capitals."""
    if any(map(str.isdigit, text)) or read_value(text).units:
        return False
    return len(text) > 3 and (text.isupper() or countries.is_name(text))


def _is_sum(name: str, text: str) -> bool:
    """Whether a cell can stand beneath a column as its sum."""
    return name in _SUMMED and not re.search(r"[^\W\d_]{4}", text)


def _may_head(column: int, text: str, mapping: Mapping) -> bool:
    """Whether a text alone in its row may stand for the rows below it."""
    coin = mapping.field_of(column) in ("coin", "denomination") and any(map(str.isdigit, text))
    if column > 2 or (coin and read_value(text).unit and not countries.is_usual(text)):
        return False
    return any(char.isalpha() for char in text) and len(text) <= 100
