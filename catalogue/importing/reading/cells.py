"""What a row of a list says, by what its columns are.

Computed: a ``Reading`` from a row, a mapping and the habits of the whole list (its decimal sign,
order of day and month, grades, language, currency, and what stands above the rows of a section).
Nothing is refused: what cannot be read as its column asks is kept as text, with the reason.

>>> table = Table("Liste", (
...     Row(1, ("Land", "Wert", "Jahr", "Erh.", "Preis")),
...     Row(2, ("Schweiz", "", "", "", "")),
...     Row(3, ("", "½ Franken", "1969 B", "ss/vz", "2,50 Fr.")),
... ))
>>> mapping = Mapping(True, 0, ("country", "denomination", "date", "grade", "price"))
>>> habits = habits_of(table, mapping)
>>> reading = understand(table.rows[2], mapping, habits)
>>> reading.values["country"].code, reading.carried, reading.values["price_currency"]
('CH', ('country',), 'CHF')
>>> reading.values["date"].marks, [choice.label for choice in reading.questions[0].choices]
(('B',), ['between ss and vz', 'obverse ss, reverse vz'])
>>> understand(table.rows[1], mapping, habits).kind
'section'
"""

from __future__ import annotations

from catalogue.importing.reading import countries, figures
from catalogue.importing.reading.habits import Habits, habits_of
from catalogue.importing.reading.lists import Country, Mapping, Reading, Row, Table, Value
from catalogue.importing.reading.one_cell import Gathered, joined_value, read_cell
from catalogue.importing.reading.rows import DITTO, kind_of

__all__ = ["Habits", "Table", "habits_of", "understand"]

Cells = dict[int, tuple[str, str]]


def understand(row: Row, mapping: Mapping, habits: Habits) -> Reading:
    """What a row says; never raises, and nothing of the row is lost."""
    kind = habits.kinds.get(row.line) or kind_of(row, mapping, habits.shape)
    if kind != "coin":
        kept = tuple((n, cell) for n, cell in enumerate(row.cells) if cell.strip())
        return Reading(row.line, kind, rest=kept)
    gathered = Gathered()
    cells, carried = _cells(row, mapping, habits)
    country = _country(cells, gathered, carried)
    rivals = (text for name, text in cells.values() if name == "rival" and country)
    for column, (name, text) in cells.items():
        if name not in ("country", "rival"):
            read_cell(gathered, column, name, text, habits, country)
    _country_within(cells, gathered)
    _settle_unit(gathered)
    _pieces_said(mapping, gathered)
    rest = {n: text for n, text in gathered.rest.items() if n >= 0}
    return Reading(
        row.line, "coin", gathered.values, tuple(gathered.questions), tuple(gathered.unread),
        tuple(sorted(rest.items())), _not_own(carried, country, gathered),
        next(rivals, ""),
    )  # fmt: skip


def _cells(row: Row, mapping: Mapping, habits: Habits) -> tuple[Cells, tuple[str, ...]]:
    """The filled cells of a row by column, and what holds for it without standing in it."""
    cells: Cells = {}
    for column, cell in enumerate(row.cells):
        text = cell.strip()
        if text:
            cells[column] = mapping.field_of(column), text
    carried = habits.carried.get(row.line, ())
    for place, (column, name, text) in enumerate(carried):
        cells[column if column >= 0 else -1 - place] = name, text
    for column, (_name, text) in list(cells.items()):
        if column >= 0 and DITTO.fullmatch(text):
            cells[column] = "", text  # with nothing above that it could repeat
    return cells, tuple(name for _column, name, _text in carried)


def _not_own(
    carried: tuple[str, ...], country: Country | None, gathered: Gathered
) -> tuple[str, ...]:
    """What was carried down, without a country where the row names its own."""
    own = country is None and "country" in gathered.values
    return tuple(n for n in carried if n != "rival" and not (own and n == "country"))


def _country(cells: Cells, gathered: Gathered, carried: tuple[str, ...]) -> Country | None:
    """The country that the row's own column names, or a section above it.

    None where the cell of the coin names one, which outranks what is only carried down.
    """
    own = ("coin", "denomination", "title")
    if "country" in carried and any(
        name in own and countries.names_one(text) for name, text in cells.values()
    ):
        return None
    for column, (name, text) in cells.items():
        if name == "country":
            country = countries.meant(text)
            gathered.take(column, "country", country, text, not country.misspelt)
    found: Country | None = gathered.values.get("country")
    return found


def _country_within(cells: Cells, gathered: Gathered) -> None:
    """The country that the words of a value or a title name, where nothing else does."""
    if "country" in gathered.values:
        return
    for name, text in cells.values():
        if name in ("denomination", "title") and countries.names_one(text):
            gathered.values["country"] = countries.within(text)
            return


def _pieces_said(mapping: Mapping, gathered: Gathered) -> None:
    """How many pieces a note says there are, in a list that has no column for it."""
    if "quantity" in mapping.fields or "quantity" in gathered.values:
        return
    count = figures.read_pieces(str(gathered.values.get("note", "")))
    if count is not None:
        gathered.values["quantity"] = count


def _settle_unit(gathered: Gathered) -> None:
    """Give a value without a unit the one of the currency's column."""
    value: Value | None = gathered.values.get("denomination")
    unit = gathered.values.get("currency")
    if value is not None and unit and not value.units and value.number is not None:
        gathered.values["denomination"] = joined_value(value, unit)
