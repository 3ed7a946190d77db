"""Read the text of a reference pack into plain records; say everything that is wrong with it.

What is computed: a ``PackEntry`` from the texts of a folder's TOML 1.0 files. The format is this
project's own and is described in ``fixtures/packs/README.md``. Lengths in mm, masses in g, face
values exact, years civil. :class:`PackErrors` holds every mistake found.

>>> pack = read_pack({"pack.toml": '''
... key = "demo"
... title = "A demonstration"
... [[motifs]]
... key = "herring-gull"
... '''})
>>> pack.title, pack.motifs[0].name
('A demonstration', 'herring gull')
>>> read_pack({"pack.toml": 'key = "demo"'})
Traceback (most recent call last):
    ...
series.packs.reading.PackErrors: pack.toml, pack demo: title is missing: write title = "…".
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from series.entries.columns import columns
from series.entries.tables import (
    ENTRIES,
    KINDS,
    SINGULAR,
    PackEntry,
    Place,
    PriceNote,
    Rung,
    Unit,
    motif_name,
)
from series.packs import checks
from series.packs.reading import SLUG, PackErrors, Problem, Table
from series.packs.type_format import read_types

ABOUT = "pack.toml"


@dataclass
class _Raw:
    """The tables of all files as they stand there, with the defaults of their files."""

    head: dict[str, Any] = field(default_factory=dict)
    tables: dict[str, list[tuple[Place, dict[str, Any], dict[str, Any]]]] = field(
        default_factory=lambda: {kind: [] for kind in SINGULAR}
    )


def said_in_head(files: Mapping[str, str], name: str) -> str:
    """A text that ``pack.toml`` states, or "" where it cannot be read."""
    try:
        said = tomllib.loads(files.get(ABOUT, "")).get(name, "")
    except (tomllib.TOMLDecodeError, RecursionError):
        return ""
    return said if isinstance(said, str) else ""


def read_pack(files: Mapping[str, str], known: checks.Known | None = None) -> PackEntry:
    """The pack in ``files`` (name to text); raises PackErrors with every mistake in it.

    ``known`` are the records outside this pack that it may refer to.
    """
    known = known or checks.Known()
    problems: list[Problem] = []
    raw = _raw(files, problems)
    head = Table(raw.head, Place(ABOUT, f"pack {raw.head.get('key', '')}".strip()), problems)
    fields = head.fields(PackEntry)
    head.done()
    for kind in SINGULAR:
        if kind != "types":
            fields[kind] = _read(raw, kind, problems)
    fields["types"] = read_types(raw.tables["types"], problems, known.alike)
    for kind in ("sources", *KINDS):
        checks.unique(kind, [(place, table.get("key")) for place, table, _d in raw.tables[kind]],
                      problems)  # fmt: skip
    pack = checks.completed(PackEntry(**fields))
    problems += checks.cross_checks(pack, known)
    if problems:
        raise PackErrors(_without_echoes(list(dict.fromkeys(problems)), raw))
    return pack


def _without_echoes(problems: list[Problem], raw: _Raw) -> list[Problem]:
    """Without the mistakes that a type only took over from one that it is like."""
    like = {
        place.record: f"type {own['like']}"
        for place, own, _defaults in raw.tables["types"]
        if "like" in own
    }
    noted = {(problem.record, problem.message) for problem in problems}
    return [each for each in problems if (like.get(each.record), each.message) not in noted]


def _raw(files: Mapping[str, str], problems: list[Problem]) -> _Raw:
    raw = _Raw()
    if ABOUT not in files:
        problems.append(
            Problem(ABOUT, "", 'the file is missing: write key = "…" and title = "…" in it.')
        )
    for name in sorted(files):
        try:
            content = tomllib.loads(files[name], parse_float=Decimal)
        except tomllib.TOMLDecodeError as error:
            problems.append(Problem(name, "", f"this is not TOML: {error}."))
            continue
        except RecursionError:
            problems.append(Problem(name, "", "lists and tables stand too deep in each other."))
            continue
        defaults = content.pop("defaults", {})
        if not isinstance(defaults, dict):
            problems.append(Problem(name, "", "write defaults as [defaults.types] and so on."))
            defaults = {}
        _check_defaults(name, defaults, problems)
        for kind, value in content.items():
            if kind in SINGULAR:
                _collect(raw, name, kind, value, defaults.get(kind, {}), problems)
            elif name == ABOUT:
                raw.head[kind] = value
            else:
                words = f"there is no table '{kind}'; the tables are {', '.join(SINGULAR)}."
                if kind in columns(PackEntry):
                    words = f"'{kind}' belongs into {ABOUT}."
                problems.append(Problem(name, "", words))
    return raw


def _check_defaults(name: str, defaults: dict[str, Any], problems: list[Problem]) -> None:
    for kind, values in defaults.items():
        if kind not in SINGULAR or not isinstance(values, dict):
            problems.append(
                Problem(name, f"defaults.{kind}", f"write one of {', '.join(SINGULAR)} as a table.")
            )
            defaults[kind] = {}
        elif "key" in values:
            problems.append(Problem(name, f"defaults.{kind}", "a key cannot be a default."))


def _collect(
    raw: _Raw,
    file: str,
    kind: str,
    value: Any,
    defaults: dict[str, Any],
    problems: list[Problem],
) -> None:
    if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
        problems.append(Problem(file, "", f"write [[{kind}]], with two brackets, for each record."))
        return
    for number, item in enumerate(value, 1):
        key = item.get("key")
        named = key if isinstance(key, str) and key else f"number {number} of the file"
        raw.tables[kind].append((Place(file, f"{SINGULAR[kind]} {named}"), item, defaults))


def _read(raw: _Raw, kind: str, problems: list[Problem]) -> tuple[Any, ...]:
    """The records of one table in the order of their keys; those without a key left out."""
    found: dict[str, Any] = {}
    for place, own, defaults in raw.tables[kind]:
        table = Table({**defaults, **own}, place, problems)
        entry = _record(kind, table)
        table.done()
        if entry.key:
            found.setdefault(entry.key, entry)
    return tuple(found[key] for key in sorted(found))


def _record(kind: str, table: Table) -> Any:
    """A record of any kind but types: its columns, and what stands in parts."""
    record = ENTRIES[kind]
    found = table.fields(record)
    if kind == "motifs":
        found["name"] = found["name"] or motif_name(found["key"])
    elif kind == "currencies":
        found["units"] = _units(table)
        found["price_notes"] = tuple(map(_price_note, table.rows("price_notes", PriceNote)))
    elif kind == "series":
        found["rungs"] = _rungs(table)
    return record(**found) if kind == "sources" else record(**found, place=table.place)


def _units(table: Table) -> tuple[Unit, ...]:
    if isinstance(short := table.value("units"), dict):
        items = [{"name": name, "per_main": ratio} for name, ratio in short.items()]
        table = Table({"units": items}, table.place, table.problems)
    found: dict[str, Unit] = {}
    for _row, unit in table.rows("units", Unit):
        if unit.name in found:
            table.problem(f"units names '{unit.name}' twice: leave one out.")
        found.setdefault(unit.name, unit)
    return tuple(found.values())


def _price_note(row: tuple[Table, PriceNote]) -> PriceNote:
    table, note = row
    if "year" not in table.raw:
        table.problem(f"{table.path}year is missing: write year = 1931.")
    if not note.bought and note.index is None:
        table.problem(f'{table.path}bought is missing: write bought = "…" or index = 100.')
    return note


def _rungs(table: Table) -> tuple[Rung, ...]:
    raw = table.value("rungs") or {}
    if not isinstance(raw, dict):
        table.wrong("rungs", raw, 'write rungs as a table, denomination = "1931–59".')
        return ()
    found = []
    for denomination, value in sorted(raw.items()):
        item = table.inner(
            f"rungs.{denomination}", value if isinstance(value, dict) else {"years": value}
        )
        years = item.value("years")
        not_struck = isinstance(years, str) and years.strip().lower() == "not struck"
        first, last = (None, None) if not_struck else item.years()
        if SLUG.fullmatch(denomination):
            found.append(Rung(denomination, first, last, not_struck, item.text("note", 200)))
        else:
            table.wrong("rungs", denomination, "write the key of a denomination.")
        item.done()
    return tuple(found)
