"""Read a list with its answers, and count what is right: for tests and for looking."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from catalogue.importing.reading.cells import habits_of, understand
from catalogue.importing.reading.columns import likeliest, propose
from catalogue.importing.reading.facts import (
    CurrencyFacts,
    DenominationFacts,
    IssueFacts,
    IssuerFacts,
    SeriesFacts,
    TypeFacts,
    UnitFacts,
)
from catalogue.importing.reading.files import read_tables
from catalogue.importing.reading.lists import Proposal, Reading, Row
from catalogue.importing.reading.matching import Match, Reference, match
from series.entries.tables import IssueEntry, TypeEntry
from series.packs.format import read_pack

ROOT = Path(__file__).parents[3]
LISTS = Path(__file__).parent / "lists"
PACKS = ("halvern", "united-states", "euro")


@cache
def shipped() -> Reference:
    """The three packs that come with the house, as plain rows."""
    rows: dict[str, list[Any]] = {}
    for name in PACKS:
        files = {p.name: p.read_text() for p in (ROOT / "fixtures" / "packs" / name).glob("*.toml")}
        assert all(tomllib.loads(text) is not None for text in files.values())
        pack = read_pack(files)
        for kind in ("issuers", "currencies", "denominations", "mints", "series", "types"):
            rows.setdefault(kind, []).extend(getattr(pack, kind))
    mints = {mint.key: (mint.name, mint.town) for mint in rows["mints"]}
    return Reference.of(
        [
            IssuerFacts(i.key, i.name, i.code, i.first_year, i.last_year, i.predecessors)
            for i in rows["issuers"]
        ],
        [
            CurrencyFacts(
                c.key,
                c.name,
                c.plural,
                c.symbol,
                c.code,
                c.issuers,
                tuple(UnitFacts(u.name, u.plural, u.symbol, u.per_main) for u in c.units),
                c.first_year,
                c.last_year,
                c.successor,
                c.rate_from.year if c.rate_from else None,
                c.subunit_in_use,
            )
            for c in rows["currencies"]
        ],
        [DenominationFacts(d.key, d.name, d.currency, d.value) for d in rows["denominations"]],
        [
            SeriesFacts(s.key, s.name, s.issuer, s.currency, s.first_year, s.last_year)
            for s in rows["series"]
        ],
        [_type(t, mints) for t in rows["types"]],
    )


def _type(entry: TypeEntry, mints: dict[str, tuple[str, str]]) -> TypeFacts:
    faces = (entry.obverse, entry.reverse)
    return TypeFacts(
        entry.key,
        entry.series,
        entry.denomination,
        entry.name,
        entry.purpose,
        entry.composition,
        str(entry.diameter_mm or ""),
        str(entry.mass_g or ""),
        tuple(legend.text for face in faces for legend in face.legends),
        tuple(face.description for face in faces)
        + tuple(m.motif.replace("-", " ") for f in faces for m in f.motifs),
        entry.first_year,
        entry.last_year,
        tuple(_issue(issue, entry, mints) for issue in entry.issues),
        any(face.role == "common" for face in faces),
    )


def _issue(issue: IssueEntry, entry: TypeEntry, mints: dict[str, tuple[str, str]]) -> IssueFacts:
    marks = [mark for mark in entry.marks if mark.identity in issue.marks]
    return IssueFacts(
        issue.key,
        issue.shown,
        issue.shown,
        issue.struck_from,
        issue.struck_to,
        tuple(mark.text for mark in marks),
        tuple(name for mark in marks for name in mints.get(mark.mint, ())),
        issue.purpose,
        issue.fact,
    )


@dataclass
class Count:
    """How many columns and rows of a list are right, and what is wrong of the others."""

    columns: int = 0
    columns_right: int = 0
    matchable: int = 0
    right: int = 0
    sure_and_wrong: int = 0
    wrong: list[str] = field(default_factory=list)

    @property
    def shares(self) -> str:
        return (
            f"columns {self.columns_right}/{self.columns}, rows {self.right}/{self.matchable}, "
            f"wrong and sure {self.sure_and_wrong}"
        )


def rows_read(path: Path) -> tuple[Proposal, list[tuple[Row, Reading, Match]]]:
    """The table of a file that is the list, with each of its rows as read and as matched."""
    tables = read_tables(path, path.name)
    table = tables[likeliest(tables)]
    proposal = propose(table)
    habits = habits_of(table, proposal.mapping)
    start = proposal.mapping.skip + proposal.mapping.headed
    readings = [(row, understand(row, proposal.mapping, habits)) for row in table.rows[start:]]
    return proposal, [(row, reading, match(reading, shipped())) for row, reading in readings]


def count(path: Path) -> Count:
    """Hold a list against the answers beside it."""
    answers = json.loads(path.with_name(f"{path.name}.answers.json").read_text())
    proposal, rows = rows_read(path)
    counted = Count(columns=len(answers["columns"]))
    for guess in proposal.guesses:
        expected = answers["columns"].get(
            guess.heading, answers["columns"].get(str(guess.index + 1))
        )
        either = expected if isinstance(expected, list) else [expected]
        if (guess.field or None) in either:
            counted.columns_right += 1
        else:
            counted.wrong.append(
                f"column {guess.heading or guess.index + 1}: {guess.field}, not {expected}"
            )
    by_line = {answer["line"]: answer for answer in answers["rows"]}
    for row, reading, found in rows:
        answer = by_line.pop(row.line, None)
        if answer is None:
            counted.wrong.append(f"line {row.line} has no answer: {reading.kind}")
        else:
            _count_row(counted, answer, row, reading, found)
    matchable = [answer for answer in by_line.values() if answer["kind"] == "matchable"]
    counted.matchable += len(matchable)
    counted.wrong += [f"line {answer['line']} was not read" for answer in matchable]
    return counted


def _count_row(
    counted: Count, answer: dict[str, Any], row: Row, reading: Reading, found: Match
) -> None:
    first = found.candidates[0].type_key if found.candidates else ""
    right = first in answer.get("types", ())
    is_sure = reading.kind == "coin" and found.sure
    if is_sure and not right:
        counted.sure_and_wrong += 1
        counted.wrong.append(f"line {row.line} SURE AND WRONG {row.cells}: {first} {found.why}")
    if answer["kind"] == "not a row":
        if reading.kind == "coin":
            counted.wrong.append(f"line {row.line} is no row: {row.cells}")
        return
    faults = [*_faults(answer, reading, _marks_found(found))]
    if answer["kind"] == "matchable":
        counted.matchable += 1
        open_to_doubt = bool(answer["question"]) or len(answer["types"]) > 1
        settled = right and (is_sure or open_to_doubt)
        asked = bool(answer["question"]) and bool(
            {c.type_key for c in found.candidates} & {*answer["types"]}
        )
        if reading.kind == "coin" and (settled or asked) and not faults:
            counted.right += 1
        else:
            some = [(c.type_key, c.share) for c in found.candidates[:3]]
            counted.wrong.append(
                f"line {row.line} {row.cells} {faults}: {some} {found.why} {answer['types']}"
            )
    elif faults:
        counted.wrong.append(f"line {row.line} {row.cells} (unknown) {faults}")


def _marks_found(found: Match) -> str:
    """The marks of the issue that was found."""
    if not found.candidates or not found.candidates[0].issue_key:
        return ""
    first = found.candidates[0]
    types = [t for some in shipped().types.values() for t in some if t.key == first.type_key]
    return "".join(m for i in types[0].issues if i.key == first.issue_key for m in i.marks)


def _faults(answer: dict[str, Any], reading: Reading, found: str) -> Iterator[str]:
    """What was not read as the answer says; a mark may be known from the issue found."""
    date = reading.values.get("date")
    year = date.first if date else None
    if answer["year"] != year and not (
        date and answer["year"] and date.edtf and date.first <= answer["year"] <= date.last
    ):
        yield f"year {year}, not {answer['year']}"
    marks = "/".join(date.marks) if date else ""
    mark = marks or reading.values.get("mint_mark", "")
    if answer["mint_mark"] not in (mark, found):
        yield f"mark {mark!r}, not {answer['mint_mark']!r}"
    if answer["quantity"] != reading.values.get("quantity", 1):
        yield f"quantity {reading.values.get('quantity', 1)}, not {answer['quantity']}"
