"""``manage.py read_year TEXT``: read the date on a coin; every calendar and year it may mean."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from series.types.models import CoinType, Issue
from series.types.queries import issues_in_order
from series.years.readings import CALENDARS, Reading, YearError, read_year
from series.years.struck import ShownIssue, struck

FIELDS = ("calendar", "shown_year", "civil_from", "civil_to", "edtf")


class Command(BaseCommand):
    help = "Read the date on a coin as it stands; write ? for a figure that cannot be read."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("text", help="the date as on the coin, such as 19?8 or MDCCCC")
        parser.add_argument(
            "--calendar",
            default="",
            metavar="NAME",
            help=f"read it in this calendar only: {', '.join(CALENDARS)}; or AH, SH, BE, ...",
        )
        parser.add_argument(
            "--accession",
            metavar="YEAR",
            help="the text is a year of a reign begun in this year, or on a day: 1936-12-11",
        )
        parser.add_argument(
            "--type", dest="type_key", metavar="KEY", help="say which readings a type was struck in"
        )
        parser.add_argument("--json", action="store_true", dest="as_json", help="print JSON")

    def handle(
        self,
        *args: Any,
        text: str,
        calendar: str,
        accession: str | None,
        type_key: str | None,
        as_json: bool,
        **options: Any,
    ) -> None:
        try:
            readings = read_year(text, calendar, accession=_accession(accession))
        except YearError as error:
            raise CommandError(str(error)) from error
        shown = None if type_key is None else struck(readings, _issues(type_key))
        if as_json:
            answer = {"readings": [_entry(reading, shown) for reading in readings]}
            self.stdout.write(json.dumps(answer, ensure_ascii=False))
        else:
            self.stdout.write("\n".join(_table(_rows(readings, shown))))


def _accession(text: str | None) -> int | date | None:
    if text is None:
        return None
    if re.fullmatch(r"[0-9]{1,4}", text):
        return int(text)
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise CommandError(
            f"'{text}' is no accession: write a year, such as 1327, or a civil day, 1936-12-11."
        ) from error


def _issues(type_key: str) -> list[ShownIssue]:
    printable = type_key.isprintable()  # a database refuses some of what is not
    coin_type = CoinType.objects.filter(key=type_key).first() if printable else None
    if coin_type is None:
        raise CommandError(
            f"There is no type '{type_key}': write the key that stands in its page's address."
        )
    return [
        ShownIssue(issue.shown, issue.calendar, issue.struck_from, issue.struck_to, issue.label)
        for issue in issues_in_order().filter(coin_type=coin_type, fact=Issue.Fact.STRUCK)
    ]


Shown = dict[Reading, tuple[ShownIssue, ...]]


def _entry(reading: Reading, shown: Shown | None) -> dict[str, Any]:
    entry: dict[str, Any] = {field: getattr(reading, field) for field in FIELDS}
    if shown is not None:
        names = [issue.name for issue in shown.get(reading, ())]
        entry |= {"struck": bool(names), "issues": names}
    return entry


def _rows(readings: Iterable[Reading], shown: Shown | None) -> list[tuple[str, ...]]:
    head = ("calendar", "reading", "EDTF")
    rows: list[tuple[str, ...]] = [head if shown is None else (*head, "struck")]
    for reading in readings:
        row: tuple[str, ...] = (reading.calendar, reading.words, reading.edtf)
        if shown is not None:
            row += (", ".join(issue.name for issue in shown.get(reading, ())) or "no",)
        rows.append(row)
    return rows


def _table(rows: Sequence[tuple[str, ...]]) -> list[str]:
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]
