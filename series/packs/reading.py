"""Read one TOML table field by field, collecting every mistake instead of stopping at the first.

What is computed: typed values from the plain values of a parsed TOML file (TOML 1.0), and a list
of :class:`Problem`, each of which names the file, the record, what is wrong and what to write.
No units; lengths of texts are in characters.

>>> problems: list[Problem] = []
>>> table = Table({"name": "Sund", "twon": "Sund"}, Place("mints.toml", "mint sund"), problems)
>>> table.text("name", 120), table.text("town", 120)
('Sund', '')
>>> table.done()
>>> print(problems[0])
mints.toml, mint sund: there is no field 'twon'; did you mean 'town'?
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from difflib import get_close_matches
from fractions import Fraction
from typing import Any, TypeVar

from series.dates.edtf import parse_edtf
from series.dates.written import DateError, complete_year
from series.entries.columns import columns
from series.entries.flat import trimmed
from series.entries.tables import Citation, Place
from series.money.units import read_rate

R = TypeVar("R")
SLUG = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_YEARS = re.compile(r"(?P<first>\d{1,4})?\s*(?P<dash>[-–—])?\s*(?P<last>\d{1,4})?")


@dataclass(frozen=True)
class Problem:
    """One mistake, where it is and what to write instead."""

    file: str
    record: str
    message: str

    def __str__(self) -> str:
        return f"{', '.join(filter(None, (self.file, self.record)))}: {self.message}"


class PackErrors(Exception):
    """A pack with mistakes; ``problems`` holds all of them."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(map(str, self.problems)))


class Table:
    """The fields of one TOML table; every reader notes a problem and returns an empty value.

    ``path`` is put before the names of fields in messages, such as ``obverse.``.
    """

    def __init__(
        self, raw: Mapping[str, Any], place: Place, problems: list[Problem], path: str = ""
    ) -> None:
        self.raw = raw
        self.place = place
        self.problems = problems
        self.path = path
        self.known: set[str] = set()
        self.is_short = False

    def problem(self, message: str) -> None:
        self.problems.append(Problem(self.place.file, self.place.record, message))

    def fields(self, record: type) -> dict[str, Any]:
        """What this table says in the columns of a kind of record."""
        return {
            name: getattr(self, column.reader)(name, **column.limits)
            for name, column in columns(record).items()
        }

    def value(self, name: str) -> Any:
        self.known.add(name)
        return self.raw.get(name)

    def done(self) -> None:
        """Note every field that nothing asked for."""
        for name in self.raw:
            if name not in self.known:
                near = get_close_matches(name, self.known, 1)
                hint = f"did you mean '{near[0]}'?" if near else "take it out."
                self.problem(f"there is no field '{self.path}{name}'; {hint}")

    def wrong(self, name: str, value: object, write: str) -> None:
        shown = repr(value) if isinstance(value, str | int | list | dict) else str(value)
        self.problem(f"{self.path}{name} is {shown}: {write}")

    def text(self, name: str, longest: int = 0, *, needed: bool = False) -> str:
        value = self.value(name)
        if needed and value in (None, ""):
            self.problem(f'{self.path}{name} is missing: write {name} = "…".')
            return ""
        if value is None:
            return ""
        if not isinstance(value, str):
            self.wrong(name, value, f'write a text in quotes, {name} = "…".')
            return ""
        return self.fitting(name, value.strip(), longest)

    def fitting(self, name: str, text: str, longest: int) -> str:
        if "\0" in text:
            self.wrong(name, text, "it holds a NUL character; take it out.")
        elif longest and len(text) > longest:
            self.problem(
                f"{self.path}{name} has {len(text)} characters, at most {longest} are kept: "
                "write it shorter."
            )
        return text

    def matching(self, name: str, pattern: str, write: str, default: str = "") -> str:
        text = self.text(name)
        if text and not re.fullmatch(pattern, text):
            self.wrong(name, text, write)
            return default
        return text or default

    def slug(self, name: str, longest: int = 120, *, needed: bool = False) -> str:
        text = self.text(name, longest, needed=needed)
        return self.as_slug(name, text)

    def as_slug(self, name: str, text: str) -> str:
        if text and not SLUG.fullmatch(text):
            self.wrong(name, text, "a key is lower-case letters, digits and hyphens.")
            return ""
        return text

    def list(self, name: str) -> list[Any]:
        value = self.value(name)
        if value is None or value == "":
            return []
        if not isinstance(value, list):
            self.wrong(name, value, f"write a list in square brackets, {name} = [ … ].")
            return []
        return value

    def slugs(self, name: str, what: str, needed: str = "") -> tuple[str, ...]:
        """A list of keys, each once, in their order; ``needed`` says whose where one must be."""
        if needed and not self.raw.get(name):
            self.problem(f'{self.path}{name} is missing: write {name} = ["…"], {needed}.')
        return tuple(sorted(key for key, _words in self.pairs(name, what, 0)))

    def pairs(self, name: str, what: str, longest: int) -> tuple[tuple[str, str], ...]:
        """A list of texts ``key: words``, each key once; ``longest`` 0 means no words."""
        found: dict[str, str] = {}
        for item in self.list(name):
            if not isinstance(item, str):
                self.wrong(name, item, f"write the key of a {what} in quotes.")
                continue
            key, _colon, words = (part.strip() for part in item.partition(":"))
            if not key or (words and not longest):
                self.wrong(name, item, f"write the key of a {what} and nothing else.")
            elif key in found:
                self.problem(f"{self.path}{name} names '{key}' twice: leave one out.")
            elif self.as_slug(name, key):
                found[key] = self.fitting(name, words, longest)
        return tuple(found.items())

    def citations(self, name: str) -> tuple[Citation, ...]:
        """A list of texts ``source: place`` in which a source may come again, with other places."""
        found: list[Citation] = []
        for item in self.list(name):
            if not isinstance(item, str) or not SLUG.fullmatch(item.partition(":")[0].strip()):
                self.wrong(name, item, 'write "key: place", such as "act-1931: section 4".')
                continue
            key, _colon, words = (part.strip() for part in item.partition(":"))
            if Citation(key, words) in found:
                self.problem(f"{self.path}{name} has '{item}' twice: leave one out.")
            found.append(Citation(key, self.fitting(name, words, 200)))
        return tuple(found)

    def choice(self, name: str, choices: Sequence[str], default: str = "") -> str:
        value = self.value(name)
        if value is None or value == "":
            return default
        if value not in choices:
            near = get_close_matches(str(value), choices, 1)
            hint = f"did you mean '{near[0]}'?" if near else f"write one of {', '.join(choices)}."
            self.wrong(name, value, hint)
            return default
        return str(value)

    def yes(self, name: str, *, default: bool = False) -> bool:
        value = self.value(name)
        if value is None:
            return default
        if not isinstance(value, bool):
            self.wrong(name, value, "write true or false, without quotes.")
            return default
        return value

    def whole(self, name: str, least: int, most: int, what: str) -> int | None:
        value = self.value(name)
        if value is None or value == "":
            return None
        if not isinstance(value, int) or isinstance(value, bool):
            self.wrong(name, value, f"write {what}, a whole number without quotes.")
            return None
        if not least <= value <= most:
            self.wrong(name, value, f"write {what}, from {least} to {most}.")
            return None
        return value

    def measure(self, name: str, unit: str, places: int, below: int) -> Decimal | None:
        """A number above zero and below ``below``, with at most ``places`` decimals."""
        value = self.value(name)
        if value is None or value == "":
            return None
        if isinstance(value, bool) or not isinstance(value, int | Decimal):
            self.wrong(name, value, f"write a number of {unit} without quotes, such as 5.4.")
            return None
        number = Decimal(value)
        if not number.is_finite() or not 0 < number < below:
            self.wrong(name, value, f"write {unit} above 0 and below {below}.")
            return None
        number = trimmed(number)
        if -int(number.as_tuple().exponent) > places:
            self.wrong(name, value, f"at most {places} decimals of {unit} are kept; round it.")
            return None
        return number

    def fraction(self, name: str, *, needed: bool = False) -> Fraction:
        """An exact number above zero: 5, "1/4", "3/2"; one where it cannot be read."""
        value = self.value(name)
        if value is None:
            if needed:
                self.problem(f'{self.path}{name} is missing: write {name} = 5 or {name} = "1/4".')
        elif (type(value) is int and value > 0) or (
            isinstance(value, str) and re.fullmatch(r"[1-9]\d{0,40}(/[1-9]\d{0,40})?", value)
        ):
            number = Fraction(value)
            if max(number.numerator, number.denominator) < 2**63 and len(str(number)) <= 20:
                return number
            self.wrong(name, str(number), "the figures are too long to be kept.")
        else:
            self.wrong(name, value, 'it must be exact: write a whole number or a fraction, "1/4".')
        return Fraction(1)

    def clock(self, name: str) -> Decimal | None:
        value = self.value(name)
        if value is None or value == "":
            return None
        number = Decimal(value) if isinstance(value, int | Decimal) else Decimal("NaN")
        if number.is_nan() or not 1 <= number <= Decimal("12.75") or number * 4 % 1:
            self.wrong(name, value, "write hours from 1 to 12.75 in quarters, such as 6.25.")
            return None
        return number.normalize()

    def rate(self, name: str) -> str:
        """A rate of change as written, with all its figures."""
        value = self.value(name)
        if isinstance(value, int | Decimal) and not isinstance(value, bool):
            value = str(value)
        if value in (None, ""):
            return ""
        if not isinstance(value, str) or read_rate(value) is None:
            self.wrong(name, value, 'write the exact rate, such as "1.95583", "100" or "2/3".')
            return ""
        return self.fitting(name, value, 40)

    def day(self, name: str) -> date | None:
        value = self.value(name)
        if value is None or value == "":
            return None
        if isinstance(value, str):
            try:
                value = date.fromisoformat(value)
            except ValueError:
                pass
        if type(value) is not date:
            self.wrong(name, value, "write a day as 1999-01-31.")
            return None
        return value

    def edtf(self, name: str, longest: int, *, open_end: bool = False) -> str:
        text = self.text(name, longest)
        if not text or (open_end and text == ".."):
            return text
        try:
            return str(parse_edtf(text))
        except DateError as error:
            self.problem(f"{self.path}{name}: {error}")
            return ""

    def year(self, _name: str, end: int) -> int | None:
        """The first (0) or the last (1) of the years that are written as one text."""
        return self.years()[end]

    def years(self) -> tuple[int | None, int | None]:
        """From and to; None where open or not known."""
        value = self.value("years")
        if value is None or value == "":
            return None, None
        text = str(value) if type(value) is int else value
        match = _YEARS.fullmatch(text.strip()) if isinstance(text, str) else None
        if not match or not (match["first"] or match["last"]):
            self.wrong("years", value, 'write "1931–59", "1931", "1999–" or "–1890".')
            return None, None
        first = int(match["first"]) if match["first"] else None
        if not match["last"]:
            return first, None if match["dash"] else first
        try:
            last = complete_year(first, match["last"]) if first else int(match["last"])
        except DateError as error:
            self.problem(f"{self.path}years: {error}")
            return None, None
        return first, last

    def inner(self, name: str, raw: Any) -> Table:
        """A table within this one."""
        return Table(raw, self.place, self.problems, f"{self.path}{name}.")

    def tables(self, name: str, short: str = "", write: str = "") -> Iterator[Table]:
        """A list of tables within this one; fields that nobody asked of one are noted after it.

        ``short`` is the field that a text alone stands for; ``write`` says what may stand here.
        """
        for item in self.list(name):
            is_short = bool(short) and isinstance(item, str)
            if not is_short and not isinstance(item, dict):
                self.wrong(name, item, write or f"write a table in braces, {name} = [ {{ … }} ].")
                continue
            table = self.inner(name, {short: item} if is_short else item)
            table.is_short = is_short
            yield table
            table.done()

    def rows(
        self, name: str, kind: type[R], short: str = "", write: str = ""
    ) -> Iterator[tuple[Table, R]]:
        """The records of a list of tables, each with its table."""
        for table in self.tables(name, short, write):
            yield table, kind(**table.fields(kind))
