"""What the columns of a list are, from their headings and from what they hold.

Computed: the line of the heading (titles may stand above it, it may take two lines, or be missing),
and for each column the field it most likely is, with how sure that is (0 to 1). What a heading says
(``heading_words.py``) and what the cells look like (``contents.py``) are added
up, and each field is given to one column, but for those that may stand twice; the weights are this
project's own.

>>> table = Table("Liste", (
...     Row(1, ("Meine Münzen",)), Row(2, ("Land", "Wert", "Jahr", "", "Wert")),
...     Row(3, ("Schweden", "10 öre", "1943", "ss", "2,50 €")),
...     Row(4, ("Norwegen", "2 kr", "1952", "vz", "4 €")),
... ))
>>> proposal = propose(table)
>>> proposal.mapping
Mapping(headed=True, skip=1, fields=('country', 'denomination', 'date', 'grade', 'worth'))
>>> proposal.guesses[3].why
'Without a heading; its cells look like this.'
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from catalogue.importing.reading.contents import is_to_the_cent, marks_of
from catalogue.importing.reading.figures import read_currency
from catalogue.importing.reading.heading_words import named_by
from catalogue.importing.reading.lists import FIELDS, ColumnGuess, Mapping, Proposal, Row, Table
from catalogue.importing.reading.values import read_value

_LOOK_THROUGH = 25
_ROWS = 400
_SAMPLES = 4
_OFTEN = {"note", "title", "description", "reference", "place", "legend", "picture", ""}
"""Fields that several columns may be."""
_UNTOLD = {"note", "title", "description", "legend", "series", "acquired_from", "reference"}
"""Fields whose cells may be any text, so that only a heading tells them."""
_ABOUT_THE_COIN = {"title", "description", "denomination"}
_MOSTLY_UNITS = 0.1
"""Above one half, as a catalogue has units of its own that are not known here."""
_OF_COINS = {"title", "description"}
_MOSTLY_COUNTRIES = 0.4
_WHENCE = {"acquired_from", "place", "note"}
_TELLING = {
    "country": -0.2, "place": 0.2, "note": 0.6, "date": 0.5, "denomination": 0.5, "coin": 0.5,
    "grade": 0.5, "acquired_on": 0.6,
    "price": 0.5, "metal": 0.6, "picture": 0.6, "quantity": 0.3, "accession": 0.6, "currency": 0.8,
    "price_currency": 0.8, "reference": 0.9, "mint_mark": 0.9,
}  # fmt: skip
"""From which mark on the cells alone may name a field, without a heading."""


def likeliest(tables: Sequence[Table]) -> int:
    """Which of a file's tables is the list of coins; the first where none looks like one.

    >>> likeliest([Table("Info", (Row(1, ("Thank you",)),)),
    ...            Table("Coins", (Row(1, ("Country", "Year")), Row(2, ("USA", "1969"))))])
    1
    """

    def worth(table: Table) -> int:
        found = {*propose(table).mapping.fields} & {
            "country",
            "denomination",
            "coin",
            "date",
            "grade",
        }
        return len(found) * min(len(table.rows), _ROWS)

    return max(range(len(tables)), key=lambda n: worth(tables[n]), default=0)


def propose(table: Table) -> Proposal:
    """What each column of a table seems to hold, and where its rows begin."""
    skip, headed, headings = _heading(table)
    rows = table.rows[skip + headed : skip + headed + _ROWS]
    width = max((len(row.cells) for row in table.rows[skip : skip + _ROWS]), default=0)
    columns = [_cells(rows, column) for column in range(width)]
    headings += [""] * (width - len(headings))
    scores = [_scores(headings[n], cells) for n, cells in enumerate(columns)]
    _in_context(scores, columns, headings)
    fields = _given_out(scores)
    guesses = tuple(_guess(n, headings[n], fields[n], scores[n], columns[n]) for n in range(width))
    return Proposal(Mapping(headed, skip, tuple(fields)), guesses)


def _cells(rows: Sequence[Row], column: int) -> list[str]:
    """The filled cells of a column in rows that fill several."""
    return [
        row.cells[column]
        for row in rows
        if column < len(row.cells) and row.cells[column].strip() and sum(map(bool, row.cells)) > 1
    ] or [
        row.cells[column] for row in rows if column < len(row.cells) and row.cells[column].strip()
    ]


def _heading(table: Table) -> tuple[int, bool, list[str]]:
    """How many rows stand above the heading, whether there is one, and the texts of it."""
    best, at = 0.0, -1
    for n, row in enumerate(table.rows[:_LOOK_THROUGH]):
        filled = [cell for cell in row.cells if cell.strip()]
        named = sum(
            max(named_by(cell).values(), default=0) > 0.5 for cell in filled if len(cell) < 40
        )
        figures = sum(bool(re.search(r"\d{2}", cell)) for cell in filled)
        if (
            named - 1.5 * figures > best
            and named * 2 >= len(filled)
            and (named > 1 or len(filled) == 1)
        ):
            best, at = named - 1.5 * figures, n
    if at >= 0 and (best > 1 or len(table.rows[at].cells) == 1):
        above = table.rows[at - 1].cells if at else ()
        return at, True, _joined(above, table.rows[at].cells)
    return _unheard_of_heading(table)


def _joined(above: tuple[str, ...], own: tuple[str, ...]) -> list[str]:
    """A heading with the line above it, where that line heads groups of its columns."""
    if sum(1 for cell in above if cell.strip()) < 2:
        return list(own)
    joined, group = [], ""
    for n, cell in enumerate(own):
        group = above[n].strip() if n < len(above) and above[n].strip() else group
        both = f"{cell.strip()} {group}".strip()
        known, alone = named_by(both), named_by(cell)
        better = max(known.values(), default=0) > max(alone.values(), default=0)
        other = max(known.values(), default=0) > 0.8 and not known.keys() & alone.keys()
        joined.append(both if not cell.strip() or better or other else cell)
    return joined


def _unheard_of_heading(table: Table) -> tuple[int, bool, list[str]]:
    """A first line of words over columns of figures, else no heading at all."""
    if not table.rows:
        return 0, False, []
    first, rest = table.rows[0], table.rows[1:200]
    over_figures = 0
    for n, cell in enumerate(first.cells):
        below = [row.cells[n] for row in rest if n < len(row.cells) and row.cells[n].strip()]
        digits = sum(any(map(str.isdigit, text)) for text in below)
        if cell.strip() and below and digits > 0.9 * len(below):
            if any(map(str.isdigit, cell)):
                return 0, False, []
            over_figures += 1
    return (0, True, list(first.cells)) if over_figures > 1 else (0, False, [])


def _scores(heading: str, cells: Sequence[str]) -> dict[str, float]:
    """How much speaks for each field, about -1 to 2."""
    named = named_by(heading) if heading.strip() else {}
    marks = marks_of(cells)
    scores: dict[str, float] = {}
    told = bool(heading.strip())
    unheard_of = told and not named
    if marks.get("coin", -1) >= 0.2 and (told and not named.keys().isdisjoint(_ABOUT_THE_COIN)):
        named = {**named, "coin": max(named.values())}
    if "reference" in named and "accession" not in named and marks.get("accession", 0) >= 0.7:
        named = {**named, "accession": named["reference"] + 0.1}  # numbers that run on
    if told and any(read_currency(word, "") for word in re.findall(r"[€£$]|[A-Z]{2,3}", heading)):
        named = {name: said + 0.3 * (name in ("price", "worth")) for name, said in named.items()}
    for name in FIELDS:
        said = named.get(name, 0.0)
        mark = marks.get(name)
        if not name or (not said and told and (_is_known(named) or name in _UNTOLD)):
            continue
        if name.startswith("grade") and name != "grade":
            mark = marks.get("grade")
        if said:
            scores[name] = said + 0.6 * (mark if mark is not None else 0.1) if cells else said
        elif mark is not None and mark >= _TELLING.get(name, 2):
            scores[name] = _alone(name, mark) - (0.1 if unheard_of else 0.25 if told else 0)
    return scores


def _alone(name: str, mark: float) -> float:
    """How much cells speak for a field without a heading: words alone and short marks little."""
    if name == "note":
        return 0.16
    return (0.45 if name in ("mint_mark", "reference") else 0.6) * max(mark, 0.3)


def _is_known(named: dict[str, float]) -> bool:
    return max(named.values(), default=0) >= 0.8


def _in_context(
    scores: list[dict[str, float]], columns: list[list[str]], headings: Sequence[str]
) -> None:
    """What neighbours tell: a currency beside a price, a second price that is a worth."""
    priced = {n for n, each in enumerate(scores) if _best(each) in ("price", "worth")}
    valued = any("denomination" in each or "coin" in each for each in scores)
    for n, each in enumerate(scores):
        if (
            "currency" in each
            and (n - 1 in priced or n + 1 in priced)
            and not _lacks_units(scores, columns)
        ):
            each["price_currency"] = max(each.get("price_currency", 0), each["currency"] + 0.1)
    _units_beside(scores, columns, headings)
    _coins_in_titles(scores, columns)
    _countries_by_another_name(scores, columns)
    _values_in_every_row(scores, columns)
    _value_or_worth(scores, columns)
    if not valued:
        for n, cells in enumerate(columns):
            if not headings[n].strip() and cells and "price" in scores[n] and len(priced) > 1:
                scores[n]["denomination"] = scores[n]["price"]


def _units_beside(
    scores: list[dict[str, float]], columns: list[list[str]], headings: Sequence[str]
) -> None:
    """A column of units without a heading, beside one of bare numbers: together the value."""
    for n, cells in enumerate(columns):
        letters = sum(len(text) == 1 and text.isalpha() for text in cells)
        units = marks_of(cells).get("currency", -1)
        if headings[n].strip() or units < _MOSTLY_UNITS or letters * 2 > len(cells):
            continue
        for beside in (n - 1, n + 1):
            some = columns[beside] if 0 <= beside < len(columns) else []
            values = [read_value(text) for text in some]
            bare = sum(value.number is not None and not value.units for value in values)
            told = bool(some) and headings[beside].strip()
            if bare > 0.8 * len(some) and not told and "date" not in scores[beside]:
                scores[n]["currency"] = scores[beside]["denomination"] = 0.8
                break


def _coins_in_titles(scores: list[dict[str, float]], columns: list[list[str]]) -> None:
    """Where no column has the values, the titles in which most values stand are the coins."""
    best = {_best(each) for each in scores}
    if best & {"denomination", "coin"}:
        return
    for each, cells in zip(scores, columns, strict=True):
        valued = sum(bool(read_value(text).units) for text in cells)
        if _best(each) in _OF_COINS and valued > 0.6 * len(cells):
            each["coin"] = max(each.values()) + 0.1


def _values_in_every_row(scores: list[dict[str, float]], columns: list[list[str]]) -> None:
    """Of several columns of amounts the value of the coins is the fullest, prices have gaps."""
    fullest = max(map(len, columns), default=0)
    for each, cells in zip(scores, columns, strict=True):
        if "denomination" in each and len(cells) < 0.9 * fullest:
            each["denomination"] -= 0.15 * (1 - len(cells) / fullest)


def _countries_by_another_name(scores: list[dict[str, float]], columns: list[list[str]]) -> None:
    """Where no column is headed as the country, the one whose cells mostly name countries is."""
    if "country" in map(_best, scores):
        return
    marks = [marks_of(cells).get("country", -1.0) for cells in columns]
    n = max(range(len(marks)), key=marks.__getitem__, default=-1)
    if n >= 0 and marks[n] >= _MOSTLY_COUNTRIES and _best(scores[n]) in _WHENCE:
        scores[n]["country"] = max(scores[n].values(), default=0) + 0.1


def _value_or_worth(scores: list[dict[str, float]], columns: list[list[str]]) -> None:
    """A heading for both: of the coins where no other column says theirs, and else of the pieces.

    Amounts to the cent are what the pieces are worth.
    """
    for n, each in enumerate(scores):
        if "denomination" not in each or "worth" not in each:
            continue
        others = [best for m, best in enumerate(map(_best, scores)) if m != n]
        cents = sum(map(is_to_the_cent, columns[n]))
        bare = all(read_value(text).number and not read_value(text).units for text in columns[n])
        if "coin" in others and bare:
            each["worth"] = each["denomination"] + 0.1
        elif not {"coin", "denomination", "currency"} & {*others} and 2 * cents < len(columns[n]):
            each["denomination"] = max(each["denomination"], each["worth"] + 0.1)


def _best(scores: dict[str, float]) -> str:
    return max(scores, key=scores.__getitem__, default="")


def _lacks_units(scores: list[dict[str, float]], columns: list[list[str]]) -> bool:
    """Whether the values of coins stand there as bare numbers."""
    for each, cells in zip(scores, columns, strict=True):
        if _best(each) == "denomination" and cells:
            bare = sum(not any(map(str.isalpha, text)) and text[-1] not in "€$£¢" for text in cells)
            return bare > 0.5 * len(cells)
    return False


def _given_out(scores: list[dict[str, float]]) -> list[str]:
    """Each column's field: the best pairs first, a field that stands once given once."""
    pairs = sorted(
        ((score, -n, name) for n, each in enumerate(scores) for name, score in each.items()),
        reverse=True,
    )
    fields = [""] * len(scores)
    taken: set[str] = set()
    for score, minus, name in pairs:
        if score > 0.15 and not fields[-minus] and (name not in taken or name in _OFTEN):
            fields[-minus] = name
            taken.add(name)
    return fields


def _guess(
    column: int, heading: str, name: str, scores: dict[str, float], cells: Sequence[str]
) -> ColumnGuess:
    """The guess in words; it is the less sure the closer the next field is."""
    samples = tuple(dict.fromkeys(cells))[:_SAMPLES]
    if not name:
        why = "Nothing tells what this is." if cells else "There is nothing in it."
        return ColumnGuess(column, heading, "", 0.0 if cells else 1.0, why, samples)
    best = scores[name]
    others = [score for other, score in scores.items() if other != name]
    margin = best - max(others, default=0)
    sure = max(0.05, min(0.99, 0.35 + 0.35 * min(best, 1.2) + 0.3 * min(margin, 0.8)))
    said = named_by(heading).get(name) if heading.strip() else None
    mark = marks_of(cells).get(name, 0)
    if said and mark > 0:
        why = f"“{heading}” says so, and its cells look like this."
    elif said:
        why = f"“{heading}” says so."
    else:
        why = (
            "Without a heading; its cells look like this."
            if not heading.strip()
            else "Its cells look like this."
        )
    return ColumnGuess(column, heading, name, round(sure, 2), why, samples)
