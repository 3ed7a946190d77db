"""How a whole list is written: its decimal sign, order of days, grades, language, and sections.

Computed: ``Habits`` from all cells of a table and its mapping. What stands above the rows of a
section, what a ditto mark repeats, and a country or value given once for several rows, is laid out
for each row that it holds for. The language is that of the headings, else of most country names.

>>> table = Table("Münzen", (
...     Row(1, ("Land", "Wert", "Jahr", "Erhaltung", "Preis")),
...     Row(2, ("Italien",)),
...     Row(3, ("", "100 Lire", "1956", "ss", "1,50")),
...     Row(4, ("", '"', "1957", "vz", "2,00")),
... ))
>>> mapping = Mapping(True, 0, ("country", "denomination", "date", "grade", "price"))
>>> habits = habits_of(table, mapping)
>>> habits.language, habits.decimal, habits.scale, habits.carried[4]
('de', ',', 'german', ((-1, 'country', 'Italien'), (1, 'denomination', '100 Lire')))
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from collections.abc import Mapping as Names
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise

from babel import Locale

from catalogue.holdings.finding.country_names import LANGUAGES
from catalogue.importing.reading import countries
from catalogue.importing.reading.figures import read_currency
from catalogue.importing.reading.grade_words import habit_of
from catalogue.importing.reading.heading_words import language_of
from catalogue.importing.reading.lists import ANY_COUNTRY, Kind, Mapping, Row, Table
from catalogue.importing.reading.rows import (
    DITTO,
    DITTO_BEFORE,
    NO_SHAPE,
    Shape,
    kind_of,
    rows_of,
    shape_of,
)
from catalogue.importing.reading.values import read_value
from series.text.folding import fold

_FIGURES = ("price", "worth", "diameter", "mass", "thickness")
_FILLED_DOWN = ("country", "denomination", "currency")
_MOST = 3_000
"""So many cells of a column tell its habits."""

Carried = tuple[tuple[int, str, str], ...]


@dataclass(frozen=True)
class Habits:
    """See the module's docstring.

    ``scale`` is a habit of ``grade_words``; ``currency`` the code that the
    heading of the prices names. ``carried``: by line what holds for a row without standing in it,
    as column (-1 for none), field and text.
    """

    decimal: str = "."
    day_first: bool = True
    scale: str = ""
    language: str = ""
    currency: str = ""
    shape: Shape = NO_SHAPE
    carried: Names[int, Carried] = field(default_factory=dict)
    kinds: Names[int, Kind] = field(default_factory=dict)


def habits_of(table: Table, mapping: Mapping) -> Habits:
    """The habits of a list, from all of its cells."""
    heading = table.rows[mapping.skip].cells if mapping.headed and table.rows else ()
    shape = shape_of(table, mapping)
    kinds = [kind_of(row, mapping, shape) for row in rows_of(table, mapping)]
    language = language_of(heading) or _language_of_countries(_cells(table, mapping, "country"))
    grades = [
        text for name in ("grade", "grade_obverse", "grade_reverse")
        for text in _cells(table, mapping, name)
    ]  # fmt: skip
    return Habits(
        _decimal(table, mapping, language),
        _day_first(_cells(table, mapping, "acquired_on")),
        habit_of(grades, language),
        language,
        _currency(heading, mapping, language),
        shape,
        dict(_carried(table, mapping, kinds)),
        {row.line: kind for row, kind in zip(rows_of(table, mapping), kinds, strict=True)},
    )


def _cells(table: Table, mapping: Mapping, name: str) -> list[str]:
    columns = [n for n, each in enumerate(mapping.fields) if each == name]
    rows = rows_of(table, mapping)
    return [
        row.cells[n] for n in columns for row in rows[:_MOST] if n < len(row.cells) and row.cells[n]
    ]


def _decimal(table: Table, mapping: Mapping, language: str) -> str:
    """The sign before decimals, told by figures that can have only that one."""
    texts = [text for name in _FIGURES for text in _cells(table, mapping, name)]
    seen = Counter(m[1] for text in texts for m in re.finditer(r"\d([.,])\d{1,2}(?!\d)", text))
    seen.update(m[1] for text in texts for m in re.finditer(r"\d([.,])\s?[-–—]", text))
    if seen:
        return seen.most_common(1)[0][0]
    return "." if language in ("", "en") else ","


def _day_first(texts: list[str]) -> bool:
    """Whether days come before months; so unless a second figure can be no month."""
    pairs = [re.match(r"(\d{1,2})[./-](\d{1,2})[./-]\d{2,4}", text.strip()) for text in texts]
    found = [(int(match[1]), int(match[2])) for match in pairs if match]
    return not any(second > 12 for _first, second in found) or any(f > 12 for f, _s in found)


def _currency(heading: tuple[str, ...], mapping: Mapping, language: str) -> str:
    for column, text in enumerate(heading):
        if mapping.field_of(column) == "price":
            for word in re.findall(r"[€£$]|[A-Za-zł]+\.?", text):
                if len(word) < 4 and (code := read_currency(word, language)):
                    return code
    return ""


def _language_of_countries(texts: list[str]) -> str:
    """The language in which most country names stand; "" where none does."""
    votes: Counter[str] = Counter()
    for text, count in Counter(map(fold, texts)).items():
        votes.update({language: count for language in LANGUAGES if text in _names_in(language)})
    if not votes:
        return ""
    most = max(votes.values())
    return next(language for language in LANGUAGES if votes[language] == most)


@cache
def _names_in(language: str) -> frozenset[str]:
    return frozenset(map(fold, Locale(language).territories.values()))


def _carried(
    table: Table, mapping: Mapping, kinds: Sequence[Kind]
) -> Iterator[tuple[int, Carried]]:
    """What holds for each row without standing in it."""
    down = _filled_down(table, mapping, kinds)
    above: dict[str, str] = _of_titles(table, mapping)
    last: dict[int, str] = {}
    spoken = before = ""
    run: list[str] = []
    made: dict[Carried, Carried] = {}
    for row, kind_of_row in zip(rows_of(table, mapping), kinds, strict=True):
        kind: str = kind_of_row
        if kind == "section":
            above = _section(row, above, mapping, nested=before == "section")
            last = {}
        elif kind == "coin":
            cells = {n: cell.strip() for n, cell in enumerate(row.cells)}
            holds = list(_held_above(cells, above, last, mapping, down, run))
            for column, text in last.items():
                cell = cells.get(column, "")
                if DITTO.fullmatch(cell) or (not cell and column in down):
                    holds.append((column, mapping.field_of(column), text))
            spoken, repeated = _spoken_of(cells, mapping, spoken)
            if repeated and not any(name == "country" for _n, name, _text in holds):
                holds.append((-1, "country", repeated))
            if own := _own_country(cells, mapping):
                run = [*run, own][-4:] if before == "own" else [own]
                last = {n: text for n, text in last.items() if n not in down}
            kind = "own" if own else kind
            last.update({n: c for n, c in cells.items() if c and not DITTO.fullmatch(c)})
            if holds:
                carried = tuple(holds)
                yield row.line, made.setdefault(carried, carried)
        before = kind


def _held_above(
    cells: dict[int, str],
    above: dict[str, str],
    last: dict[int, str],
    mapping: Mapping,
    down: frozenset[int],
    run: list[str],
) -> Iterator[tuple[int, str, str]]:
    """What a section says of a row.

    Where a row below the section's heading named another country of its own, a blank cell may mean
    that one or the section's: the nearer is taken, and the other stands beside it. After a ``run``
    of rows that each name theirs it may be any.
    """
    column = mapping.fields.index("country") if "country" in mapping.fields else -1
    own = cells.get(column, "")
    nearer = own if own and not DITTO.fullmatch(own) else last.get(column, "")
    section = above.get("series") or above.get("country", "")
    other = bool(nearer and section) and not _is_same(nearer, section)
    if other and own:
        return  # the row's own country, or a ditto mark: the section is over
    if other:
        each = column not in down and (len(run) > 3 or run == [nearer, nearer])
        yield column, "country", nearer
        yield -1, "rival", ANY_COUNTRY if each else section
        return
    for name, text in above.items():
        if not _says(cells, mapping, name):
            yield -1, name, text


def _own_country(cells: dict[int, str], mapping: Mapping) -> str:
    """The country that a row names in its column, "" for none or a ditto mark."""
    named = (c for n, c in cells.items() if mapping.field_of(n) == "country" and c)
    return next((text for text in named if not DITTO.fullmatch(text)), "")


def _spoken_of(cells: dict[int, str], mapping: Mapping, before: str) -> tuple[str, str]:
    """The country named in the cell of several things, and the one that its ditto mark repeats."""
    for n, text in cells.items():
        if not text or mapping.field_of(n) != "coin":
            continue
        if DITTO_BEFORE.match(text):
            return before, before
        known = countries.find(re.findall(r"[^\W\d_]+", text))
        return (countries.describe(known[0], text).text if known else ""), ""
    return before, ""


def _is_same(one: str, other: str) -> bool:
    first, second = countries.named(one), countries.named(other)
    return fold(one) == fold(other) or (bool(first.code) and first.code == second.code)


def _says(cells: dict[int, str], mapping: Mapping, name: str) -> bool:
    return any(
        cell and not DITTO.fullmatch(cell) and mapping.field_of(n) == name
        for n, cell in cells.items()
    )


def _of_titles(table: Table, mapping: Mapping) -> dict[str, str]:
    """The country that the sheet or a title above the table names, where no column does."""
    if "country" in mapping.fields or _name_countries(_cells(table, mapping, "coin")):
        return {}
    titles = [table.name, *(cell for row in table.rows[: mapping.skip] for cell in row.cells)]
    for title in titles:
        known = countries.find(re.findall(r"[^\W\d_]+", title))
        if known is not None:
            return {"country": countries.describe(known[0], title).text}
    return {}


def _name_countries(texts: list[str]) -> bool:
    """Whether a good part of the cells that hold several things name a country too."""
    named = sum(countries.find(re.findall(r"[^\W\d_]+", text)) is not None for text in texts[:200])
    return named * 4 > len(texts[:200])


def _section(row: Row, above: dict[str, str], mapping: Mapping, nested: bool) -> dict[str, str]:
    """What a section's heading says: a country, or a series within the country before it.

    A name that is known nowhere is a country too, unless it stands right below another heading or
    speaks of values or years.
    """
    text = next(cell for cell in row.cells if cell.strip()).strip(" =-–—*#:_«»\t")
    own_column = mapping.field_of(0) == "country" and row.cells[0].strip()
    within = "country" in mapping.fields or (nested and "country" in above)
    bare = re.sub(r"\(.*?\)", "", text)
    within = within or any(map(str.isdigit, bare)) or bool(read_value(bare).units)
    if _is_known(text) or own_column or not within or "country" not in {*above, *mapping.fields}:
        return {"country": text}
    return {**above, "series": text}


def _is_known(text: str) -> bool:
    country = countries.named(text)
    return bool(country.code or country.name or country.currency)


def _filled_down(table: Table, mapping: Mapping, kinds: Sequence[Kind]) -> frozenset[int]:
    """The columns of which a blank cell means what stands above it.

    Those whose first cell is filled and of which most are blank; of countries also those in which
    hardly a country stands twice running, as where each is written once for all of its rows.
    """
    columns = [n for n, name in enumerate(mapping.fields) if name in _FILLED_DOWN]
    if not columns:
        return frozenset()
    rows = zip(rows_of(table, mapping), kinds, strict=True)
    coins = [row for row, kind in rows if kind == "coin"]
    found = set()
    for column in columns if len(coins) > 3 else ():
        cells = [row.cells[column].strip() if column < len(row.cells) else "" for row in coins]
        filled = sum(map(bool, cells))
        twice = sum(one == other != "" for one, other in pairwise(cells))
        once = mapping.fields[column] == "country" and twice * 20 <= filled < len(cells)
        if cells[0] and (filled * 2 < len(cells) or once):
            found.add(column)
    return frozenset(found)
