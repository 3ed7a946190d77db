"""One cell of a row, read as its column asks; what cannot be read stays as text.

Computed: the values that a cell gives, the question it leaves open, or why it was not read; see
``lists.Reading``. The same text is read once however often it stands in a list.

>>> gathered = Gathered()
>>> read_cell(gathered, 3, "price", "12,50 €", Habits(decimal=","), None)
>>> read_cell(gathered, 4, "grade", "VF/EF", Habits(scale="british"), None)
>>> read_cell(gathered, 5, "mass", "heavy", Habits(), None)
>>> gathered.values["price"], gathered.values["price_currency"], gathered.values["grade"].code
(Decimal('12.50'), 'EUR', 'VF')
>>> gathered.rest, gathered.unread[0].why
({4: 'VF/EF', 5: 'heavy'}, 'This is no mass in grams, such as 5.4.')
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

from catalogue.importing.reading import figures
from catalogue.importing.reading.coin_dates import purpose_in, read_coin_date
from catalogue.importing.reading.combined import split_coin
from catalogue.importing.reading.grade_words import HABITS, PRIOR, GradeRead, read_grade
from catalogue.importing.reading.habits import Habits
from catalogue.importing.reading.lists import Choice, Country, Question, Unread, Value
from catalogue.importing.reading.swap_words import says_for_swap
from catalogue.importing.reading.values import read_value
from series.text.folding import fold

_HABITS_OF = {"DE": "german", "AT": "german", "CH": "german", "DDHH": "german", "FR": "french",
              "BE": "french", "IT": "italian", "ES": "spanish", "NL": "dutch", "SE": "nordic",
              "DK": "nordic", "NO": "nordic", "FI": "nordic", "PL": "polish", "US": "american",
              "GB": "british"}  # fmt: skip
_WHY = {
    "date": "This is no date of a coin, such as 1957 S.",
    "grade": "This is no grade that is known here.",
    "quantity": "This is no number of pieces, such as 2.",
    "price": "This is no amount of money, such as 12.50 EUR.",
    "price_currency": "This is no currency: write its code, such as EUR.",
    "acquired_on": "This is no whole day, such as 2004-03-20.",
    "diameter": "This is no diameter in millimetres, such as 23.5.",
    "thickness": "This is no thickness in millimetres, such as 1.6.",
    "mass": "This is no mass in grams, such as 5.4.",
    "alignment": "This is no alignment in hours, such as 6.",
    "spare": "This is neither yes nor no.",
    "visibility": "This says none of: private, club, public.",
    "status": "This says none of: held, on loan, sold, swapped, given, lost.",
}


@dataclass
class Gathered:
    """What the cells of a row have given so far; see ``Reading``."""

    values: dict[str, Any] = field(default_factory=dict)
    questions: list[Question] = field(default_factory=list)
    unread: list[Unread] = field(default_factory=list)
    rest: dict[int, str] = field(default_factory=dict)

    def take(self, column: int, name: str, value: Any, text: str, whole: bool = True) -> None:
        """Keep a value; where the field has one already, or says not all, the text stays too."""
        if name in self.values:
            self.rest[column] = text
            return
        self.values[name] = value
        if not whole:
            self.rest[column] = text

    def leave(self, column: int, name: str, text: str) -> None:
        """Keep a cell as text that could not be read as its field."""
        why = _WHY.get(
            "grade" if name.startswith("grade") else "price" if name == "worth" else name, ""
        )
        self.unread.append(Unread(column, name, text, why))
        self.rest[column] = text


def read_cell(
    gathered: Gathered, column: int, name: str, text: str, habits: Habits, country: Country | None
) -> None:
    """Read one cell into ``gathered``."""
    if not name:
        gathered.rest[column] = text
    elif name == "coin":
        _coin(gathered, column, text, habits, country)
    elif name == "date":
        _date(gathered, column, text)
    elif name.startswith("grade"):
        _grade(gathered, column, name, text, habits, country)
    elif name in ("price", "worth"):
        _price(gathered, column, name, text, habits)
    elif name == "denomination":
        gathered.take(column, name, read_value(text), text)
    elif name == "status" and says_for_swap(text):
        gathered.take(column, "spare", True, text)
    elif name in _PLAIN:
        value = _PLAIN[name](text, habits)
        if value is None or value == "":
            gathered.leave(column, name, text)
        else:
            counted = name == "spare" and text.isdigit() and text not in ("0", "1")
            gathered.take(column, name, value, text, not counted)
    elif name in gathered.values:
        gathered.values[name] = f"{gathered.values[name]}; {text}"
    else:
        gathered.values[name] = text


_PLAIN: dict[str, Callable[[str, Habits], Any]] = {
    "quantity": lambda text, habits: figures.read_quantity(text),
    "price_currency": lambda text, habits: figures.read_currency(text, habits.language),
    "acquired_on": lambda text, habits: figures.read_day(
        text, "dmy" if habits.day_first else "mdy"
    ),
    "diameter": lambda text, habits: figures.read_measure(text, habits.decimal, "mm"),
    "thickness": lambda text, habits: figures.read_measure(text, habits.decimal, "mm"),
    "mass": lambda text, habits: figures.read_measure(text, habits.decimal, "g"),
    "alignment": lambda text, habits: figures.read_alignment(text),
    "spare": lambda text, habits: figures.read_yes(text),
    "visibility": lambda text, habits: figures.VISIBILITIES.get(fold(text)),
    "status": lambda text, habits: figures.STATUSES.get(fold(text)),
}


def _date(gathered: Gathered, column: int, text: str) -> None:
    read = read_coin_date(text)
    if read is None:
        gathered.leave(column, "date", text)
        return
    coin_date, left = read
    gathered.take(column, "date", coin_date, text, not left)


def _price(gathered: Gathered, column: int, name: str, text: str, habits: Habits) -> None:
    read = figures.read_price(text, habits.decimal, habits.language)
    if read is None:
        gathered.leave(column, name, text)
        return
    amount, currency = read
    gathered.take(column, name, amount, text)
    currency = currency or (habits.currency if name == "price" else "")
    if currency:
        gathered.values.setdefault(f"{name}_currency", currency)


def read_as_graded(text: str, habits: Habits, country: Country | None) -> GradeRead | None:
    """A grade by the list's habit, else by that of the country or of anybody else."""
    own = _HABITS_OF.get(country.code if country else "", "")
    order = [habits.scale, own, PRIOR.get(habits.language, ""), *HABITS]
    loose = None
    for habit in dict.fromkeys(filter(None, order)):
        read = read_grade(text, habit)
        if read is not None and read.whole:
            return read
        loose = loose or read
    return loose


def _grade(
    gathered: Gathered, column: int, name: str, text: str, habits: Habits, country: Country | None
) -> None:
    purpose = purpose_in(text)
    if purpose:
        gathered.values.setdefault("purpose", purpose)
    read = read_as_graded(text, habits, country)
    if read is None:
        gathered.leave(column, name, text)
        return
    first = min(read.grades, key=lambda each: each.rank)
    gathered.take(column, name, first, text, read.whole and len(read.grades) == 1 and not purpose)
    if read.kind == "sides" and name == "grade":
        one, other = read.grades
        low, high = sorted((one, other), key=lambda each: each.rank)
        choices = (
            Choice(f"between {low.text} and {high.text}", {"grade": low}),
            Choice(
                f"obverse {one.text}, reverse {other.text}",
                {"grade_obverse": one, "grade_reverse": other},
            ),
        )
        gathered.questions.append(Question(column, name, text, choices))


def _coin(
    gathered: Gathered, column: int, text: str, habits: Habits, country: Country | None
) -> None:
    """The parts of a cell that holds several; its other words are a title."""
    habit = "" if habits.scale else PRIOR.get(habits.language, "british")
    parts = split_coin(text, habit, country.code if country else "")
    found: list[tuple[str, Any]] = [
        ("country", parts.country), ("denomination", parts.value), ("date", parts.date),
        ("quantity", parts.quantity),
    ]  # fmt: skip
    lost = False
    for name, value in found:
        if value is None:
            continue
        if name in gathered.values:
            lost = True
        else:
            gathered.values[name] = value
    if parts.grade:
        _grade(gathered, column, "grade", parts.grade, habits, country)
    words = parts.value.words if parts.value else tuple(parts.left)
    if words and "title" not in gathered.values and not parts.value:
        gathered.values["title"] = " ".join(words)
    if words or lost or column in gathered.rest:
        gathered.rest[column] = text


def joined_value(value: Value, unit_text: str) -> Value:
    """A bare number with the unit that another column names."""
    together = read_value(f"{value.text} {unit_text}")
    return replace(together, text=value.text) if together.units else value
