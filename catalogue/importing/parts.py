"""What of a row becomes records beside the piece: references, a change of status, a worth.

Computed: from a row and its reading the works and numbers that it names, the status of a piece that
is no longer there, and an amount that one piece is thought to be worth; with each the lines of
imported text that say no more than that. Amounts are in the currency that stands beside them.

>>> from catalogue.importing.reading.lists import Mapping, Reading, Row
>>> row = Row(2, ("Tarn 12a; Ole, Coins of Halvern 7", "sold", "12.50"))
>>> columns = Mapping(True, 0, ("reference", "status", "worth"))
>>> reading = Reading(2, values={"status": "sold", "worth": Decimal("12.50")})
>>> parts = parts_of(row, ("Ref.", "State", "Worth"), columns, reading.values, "EUR")
>>> parts.references
[['Tarn', '12a'], ['Ole, Coins of Halvern', '7']]
>>> parts.status, parts.worth, parts.lines
('sold', ['12.50', 'EUR'], ['Ref.: Tarn 12a; Ole, Coins of Halvern 7', 'Worth: 12.50'])
>>> parts_of(Row(3, ("7",)), ("Handbook",), columns, {}, "").references
[['Handbook', '7']]
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from catalogue.importing.pieces import heading_of
from catalogue.importing.reading.lists import Mapping as Columns
from catalogue.importing.reading.lists import Row

LONGEST_WORK, LONGEST_NUMBER = 200, 60
_NUMBER = re.compile(r"(?:no\.?|nr\.?|n°|#)?\s?[A-Za-z]{0,3}\.?\d[\w./*-]*", re.IGNORECASE)
_AMOUNT_DIGITS = 12


@dataclass
class Parts:
    """``references``: work and number; ``worth``: amount and currency; ``lines``: of the text."""

    references: list[list[str]] = field(default_factory=list)
    status: str = ""
    worth: list[str] = field(default_factory=list)
    lines: list[str] = field(default_factory=list)


def parts_of(
    row: Row, headings: Sequence[str], mapping: Columns, values: Mapping[str, Any], currency: str
) -> Parts:
    """The parts of a row; ``currency`` is what a worth without one is in."""
    parts = Parts(worth=_worth(values, currency))
    status = str(values.get("status") or "")
    parts.status = status if status != "held" else ""
    said = [(mapping.field_of(column), cell.strip()) for column, cell in enumerate(row.cells)]
    one_worth = sum(name == "worth" and bool(text) for name, text in said) == 1
    for column, (name, text) in enumerate(said):
        heading = heading_of(headings, column)
        if name == "reference" and text:
            found = list(_references(text, heading))
            parts.references += found
            if found:
                parts.lines.append(f"{heading}: {text}")
        elif name == "worth" and text and parts.worth and one_worth:
            parts.lines.append(f"{heading}: {text}")
    return parts


def _references(text: str, heading: str) -> Iterator[list[str]]:
    """Works with their numbers, a semicolon or a new line between; none where one is too long."""
    found = []
    for each in re.split(r"[;\n]", text):
        said = " ".join(each.split())
        if not said:
            continue
        before, _space, last = said.rpartition(" ")
        if _NUMBER.fullmatch(said):
            pair = [heading, said]
        elif before and _NUMBER.fullmatch(last):
            pair = [before.rstrip(" ,"), last]
        else:
            pair = [said, ""]
        if not pair[0] or len(pair[0]) > LONGEST_WORK or len(pair[1]) > LONGEST_NUMBER:
            return
        found.append(pair)
    yield from found


def _worth(values: Mapping[str, Any], currency: str) -> list[str]:
    """Of a single piece: what stands beside several may be of one or of all."""
    amount = values.get("worth")
    code = str(values.get("worth_currency") or currency)
    if not isinstance(amount, Decimal) or not amount.is_finite() or amount <= 0 or not code:
        return []
    if values.get("quantity", 1) != 1 or amount.adjusted() >= _AMOUNT_DIGITS:
        return []
    kept = round(amount, 2)
    return [str(kept), code] if kept == amount else []


def without(imported: str, lines: Sequence[str]) -> str:
    """Imported text without the lines that are kept in records of their own.

    >>> without("Ref.: 7\\nTicket: old", ["Ref.: 7"])
    'Ticket: old'
    """
    for line in lines:
        whole = f"\n{imported}\n".replace(f"\n{line}\n", "\n", 1)
        imported = whole.strip("\n")
    return imported
